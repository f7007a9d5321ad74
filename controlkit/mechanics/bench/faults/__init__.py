"""Set-up faults: what each does to the bench readings, and which reading tells one from another."""

from controlkit.mechanics.bench.faults.above import FAULTS_ABOVE, blind_above, tell_apart_above
from controlkit.mechanics.bench.faults.changes import FAULTS
from controlkit.mechanics.bench.faults.fault import Fault
from controlkit.mechanics.bench.faults.standing import Against, FaultsLeft, fewest
from controlkit.mechanics.bench.faults.telling import Guess, Pair, Signatures, blind, tell_apart

__all__ = [
    "FAULTS",
    "FAULTS_ABOVE",
    "Against",
    "Fault",
    "FaultsLeft",
    "Guess",
    "Pair",
    "Signatures",
    "blind",
    "blind_above",
    "fewest",
    "tell_apart",
    "tell_apart_above",
]
