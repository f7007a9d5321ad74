"""Terminal devices: what a cable must do to move them, and how hard they grip."""

from controlkit.mechanics.device.bands import Banded, fewest_bands, most_bands, two_loads
from controlkit.mechanics.device.base import Device
from controlkit.mechanics.device.closing import VoluntaryClosing
from controlkit.mechanics.device.holding import Holding, hold, lost, refit
from controlkit.mechanics.device.kinds import KINDS, hand_closing, hand_opening, hook_closing, hook_opening
from controlkit.mechanics.device.opening import BAND_PINCH, VoluntaryOpening

__all__ = [
    "BAND_PINCH",
    "KINDS",
    "Banded",
    "Device",
    "Holding",
    "VoluntaryClosing",
    "VoluntaryOpening",
    "fewest_bands",
    "hand_closing",
    "hand_opening",
    "hold",
    "hook_closing",
    "hook_opening",
    "lost",
    "most_bands",
    "refit",
    "two_loads",
]
