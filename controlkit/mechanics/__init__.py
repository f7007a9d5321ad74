"""What happens: bodies, straps, cable and device, in SI units, without pictures."""

from controlkit.mechanics.bench import checkout, symptoms
from controlkit.mechanics.bench.faults import FAULTS, tell_apart
from controlkit.mechanics.body import Pose, Wearer, crossing, hold_device, joints, scapula
from controlkit.mechanics.cable import ControlCable, Housing, tension_ratio
from controlkit.mechanics.chain import (
    POSITIONS,
    DualControl,
    Excursion,
    ExcursionAmplifier,
    Motion,
    Pull,
    SingleControl,
    Strength,
    TripleControl,
    budget,
    fatigue,
    reach,
    take_apart,
)
from controlkit.mechanics.device import (
    VoluntaryClosing,
    VoluntaryOpening,
    hand_closing,
    hand_opening,
    hook_closing,
    hook_opening,
)
from controlkit.mechanics.harness import (
    Cuff,
    Harness,
    Skin,
    Straps,
    above_elbow_chest_strap,
    above_elbow_eight,
    chest_strap,
    figure_of_eight,
    figure_of_nine,
)
from controlkit.mechanics.harness.suspension import suspend
from controlkit.mechanics.sequence import operating_sequence
from controlkit.mechanics.study import drivers, population

__all__ = [
    "FAULTS",
    "POSITIONS",
    "ControlCable",
    "Cuff",
    "DualControl",
    "Excursion",
    "ExcursionAmplifier",
    "Harness",
    "Housing",
    "Motion",
    "Pose",
    "Pull",
    "SingleControl",
    "Skin",
    "Straps",
    "Strength",
    "TripleControl",
    "VoluntaryClosing",
    "VoluntaryOpening",
    "Wearer",
    "above_elbow_chest_strap",
    "above_elbow_eight",
    "budget",
    "checkout",
    "chest_strap",
    "crossing",
    "drivers",
    "fatigue",
    "figure_of_eight",
    "figure_of_nine",
    "hand_closing",
    "hand_opening",
    "hold_device",
    "hook_closing",
    "hook_opening",
    "joints",
    "operating_sequence",
    "population",
    "reach",
    "scapula",
    "suspend",
    "symptoms",
    "take_apart",
    "tell_apart",
    "tension_ratio",
]
