"""What happens: bodies, straps, cable and device, in SI units, without pictures."""

from .body import Pose
from .cable import ControlCable, tension_ratio
from .control import Excursion, Motion, Pull, SingleControl
from .device import VoluntaryClosing, VoluntaryOpening, hand_closing, hand_opening, hook_closing, hook_opening
from .harness import Harness, Skin, figure_of_eight
from .sequence import operating_sequence
from .wearer import Wearer

__all__ = [
    "ControlCable",
    "Excursion",
    "Harness",
    "Motion",
    "Pose",
    "Pull",
    "SingleControl",
    "Skin",
    "VoluntaryClosing",
    "VoluntaryOpening",
    "Wearer",
    "figure_of_eight",
    "hand_closing",
    "hand_opening",
    "hook_closing",
    "hook_opening",
    "operating_sequence",
    "tension_ratio",
]
