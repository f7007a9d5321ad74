"""Operating sequences: which motion comes when, how much of it, and what a wrong step does."""

from .amounts import at_device, in_system
from .machine import OperatingSequence
from .records import Amount, Judged, State, Step, Taken, Wrong
from .single import operating_sequence

__all__ = [
    "Amount",
    "Judged",
    "OperatingSequence",
    "State",
    "Step",
    "Taken",
    "Wrong",
    "at_device",
    "in_system",
    "operating_sequence",
]
