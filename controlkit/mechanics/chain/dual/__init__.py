"""Dual control above the elbow: one cable lifts the forearm, and opens the device once the elbow is locked."""

from controlkit.mechanics.chain.dual.capture import Capture
from controlkit.mechanics.chain.dual.control import ELBOWS, DualControl
from controlkit.mechanics.chain.dual.results import Lifted, Limit, LiveLift, Opened

__all__ = ["ELBOWS", "Capture", "DualControl", "Lifted", "Limit", "LiveLift", "Opened"]
