"""Terminal devices: what a cable must do to move them, and how hard they grip."""

from .closing import VoluntaryClosing
from .kinds import KINDS, hand_closing, hand_opening, hook_closing, hook_opening
from .opening import BAND_PINCH, VoluntaryOpening

__all__ = [
    "BAND_PINCH",
    "KINDS",
    "VoluntaryClosing",
    "VoluntaryOpening",
    "hand_closing",
    "hand_opening",
    "hook_closing",
    "hook_opening",
]
