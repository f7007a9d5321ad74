"""What happens: bodies, straps, cable and device, in SI units, without pictures."""

from .body import Pose
from .budgets import budget
from .cable import ControlCable, Housing, tension_ratio
from .checkout import checkout
from .control import Excursion, Motion, Pull, SingleControl
from .device import VoluntaryClosing, VoluntaryOpening, hand_closing, hand_opening, hook_closing, hook_opening
from .faults import FAULTS, tell_apart
from .harness import Harness, Skin, Straps, chest_strap, figure_of_eight, figure_of_nine
from .harness.suspension import suspend
from .population import population
from .positions import POSITIONS, reach
from .sequence import operating_sequence
from .wearer import Wearer

__all__ = [
    "FAULTS",
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
    "Straps",
    "VoluntaryClosing",
    "VoluntaryOpening",
    "Wearer",
    "budget",
    "checkout",
    "chest_strap",
    "figure_of_eight",
    "figure_of_nine",
    "hand_closing",
    "hand_opening",
    "hook_closing",
    "hook_opening",
    "operating_sequence",
    "population",
    "reach",
    "suspend",
    "tell_apart",
    "tension_ratio",
]
