"""Set-up faults: what each does to the bench readings, and which reading tells one from another."""

from controlkit.mechanics.bench.faults.changes import FAULTS, Fault
from controlkit.mechanics.bench.faults.telling import Guess, Pair, Signatures, blind, tell_apart

__all__ = ["FAULTS", "Fault", "Guess", "Pair", "Signatures", "blind", "tell_apart"]
