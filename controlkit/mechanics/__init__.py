"""What happens: bodies, straps, cable and device, in SI units, without pictures."""

from .body import Pose
from .budgets import budget
from .cable import ControlCable, Housing, tension_ratio
from .control import Excursion, Motion, Pull, SingleControl
from .device import VoluntaryClosing, VoluntaryOpening, hand_closing, hand_opening, hook_closing, hook_opening
from .harness import Harness, Skin, figure_of_eight
from .positions import POSITIONS, reach
from .sequence import operating_sequence
from .wearer import Wearer

__all__ = [
    "POSITIONS",
    "ControlCable",
    "Excursion",
    "Harness",
    "Housing",
    "Motion",
    "Pose",
    "Pull",
    "SingleControl",
    "Skin",
    "VoluntaryClosing",
    "VoluntaryOpening",
    "Wearer",
    "budget",
    "figure_of_eight",
    "hand_closing",
    "hand_opening",
    "hook_closing",
    "hook_opening",
    "operating_sequence",
    "reach",
    "tension_ratio",
]
