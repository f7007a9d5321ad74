"""What happens: bodies, straps, cable and device, in SI units, without pictures."""

from controlkit.mechanics.bench import checkout
from controlkit.mechanics.bench.faults import FAULTS, tell_apart
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.cable import ControlCable, Housing, tension_ratio
from controlkit.mechanics.chain.budgets import budget
from controlkit.mechanics.chain.positions import POSITIONS, reach
from controlkit.mechanics.chain.results import Excursion, Motion, Pull
from controlkit.mechanics.chain.single import SingleControl
from controlkit.mechanics.device import (
    VoluntaryClosing,
    VoluntaryOpening,
    hand_closing,
    hand_opening,
    hook_closing,
    hook_opening,
)
from controlkit.mechanics.harness import Harness, Skin, Straps, chest_strap, figure_of_eight, figure_of_nine
from controlkit.mechanics.harness.suspension import suspend
from controlkit.mechanics.sequence import operating_sequence
from controlkit.mechanics.study.population import population

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
