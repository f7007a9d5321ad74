"""Dual control above the elbow: one cable lifts the forearm, and opens the device once the elbow is locked."""

from controlkit.mechanics.chain.dual.amplifier import ExcursionAmplifier
from controlkit.mechanics.chain.dual.capture import Capture
from controlkit.mechanics.chain.dual.control import ELBOWS, DualControl
from controlkit.mechanics.chain.dual.results import Lifted, Limit, LiveLift, Opened
from controlkit.mechanics.chain.dual.triple import TripleControl

__all__ = [
    "ELBOWS",
    "Capture",
    "DualControl",
    "ExcursionAmplifier",
    "Lifted",
    "Limit",
    "LiveLift",
    "Opened",
    "TripleControl",
]
