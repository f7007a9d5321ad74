"""Set-up faults: what each does to the bench readings, and which reading tells one from another."""

from .changes import FAULTS, Fault
from .telling import Guess, Pair, Signatures, blind, tell_apart

__all__ = ["FAULTS", "Fault", "Guess", "Pair", "Signatures", "blind", "tell_apart"]
