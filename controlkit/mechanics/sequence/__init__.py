"""Operating sequences: which motion comes when, how much of it, and what a wrong step does."""

from controlkit.mechanics.sequence.amounts import at_device, in_system
from controlkit.mechanics.sequence.dual import in_dual_control, operating_sequence_dual, pose_of
from controlkit.mechanics.sequence.dual_errand import DualErrand
from controlkit.mechanics.sequence.dual_reach import Reached
from controlkit.mechanics.sequence.machine import OperatingSequence
from controlkit.mechanics.sequence.records import Amount, Judged, LockWork, Situation, Step, Taken, Told, Wrong
from controlkit.mechanics.sequence.single import operating_sequence
from controlkit.mechanics.sequence.turned import Instead, arm_instead, opening_askew

__all__ = [
    "Amount",
    "DualErrand",
    "Instead",
    "Judged",
    "LockWork",
    "OperatingSequence",
    "Reached",
    "Situation",
    "Step",
    "Taken",
    "Told",
    "Wrong",
    "arm_instead",
    "at_device",
    "in_dual_control",
    "in_system",
    "opening_askew",
    "operating_sequence",
    "operating_sequence_dual",
    "pose_of",
]
