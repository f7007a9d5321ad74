"""Dual control above the elbow: one cable lifts the forearm, and opens the device once the elbow is locked."""

from controlkit.mechanics.chain.dual.capture import Capture
from controlkit.mechanics.chain.dual.control import ELBOWS, DualControl
from controlkit.mechanics.chain.dual.lock import (
    DEPRESSED,
    EXTENDED,
    FORWARD,
    IDLE,
    LockBuckle,
    LockMotion,
    LockPart,
    LockStrap,
    front_way,
    lock_buckle,
    lock_motion,
    lock_motions,
    lock_parts,
    smallest_lock_motion,
)
from controlkit.mechanics.chain.dual.results import Lifted, Limit, LiveLift, Opened
from controlkit.mechanics.chain.dual.standing import DualPull, dual_pull

__all__ = [
    "DEPRESSED",
    "ELBOWS",
    "EXTENDED",
    "FORWARD",
    "IDLE",
    "Capture",
    "DualControl",
    "DualPull",
    "Lifted",
    "Limit",
    "LiveLift",
    "LockBuckle",
    "LockMotion",
    "LockPart",
    "LockStrap",
    "Opened",
    "dual_pull",
    "front_way",
    "lock_buckle",
    "lock_motion",
    "lock_motions",
    "lock_parts",
    "smallest_lock_motion",
]
