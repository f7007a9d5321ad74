"""Dual control above the elbow: one cable lifts the forearm, and opens the device once the elbow is locked."""

from controlkit.mechanics.chain.dual.amplifier import ExcursionAmplifier
from controlkit.mechanics.chain.dual.capture import Capture
from controlkit.mechanics.chain.dual.control import ELBOWS, DualControl
from controlkit.mechanics.chain.dual.lock import LockMotion, LockStrap, lock_motion, lock_motions
from controlkit.mechanics.chain.dual.locking import (
    IDLE,
    SHOULDER_DOWN,
    SHOULDER_FORWARD,
    SHOULDER_HELD,
    LockBuckle,
    LockPart,
    front_let_out,
    front_way,
    lock_buckle,
    lock_parts,
    smallest_lock_motion,
)
from controlkit.mechanics.chain.dual.results import Lifted, Limit, LiveLift, Opened
from controlkit.mechanics.chain.dual.rotation import SocketRotation, socket_rotation
from controlkit.mechanics.chain.dual.standing import DualPull, dual_pull
from controlkit.mechanics.chain.dual.triple import TripleControl

__all__ = [
    "ELBOWS",
    "IDLE",
    "SHOULDER_DOWN",
    "SHOULDER_FORWARD",
    "SHOULDER_HELD",
    "Capture",
    "DualControl",
    "DualPull",
    "ExcursionAmplifier",
    "Lifted",
    "Limit",
    "LiveLift",
    "LockBuckle",
    "LockMotion",
    "LockPart",
    "LockStrap",
    "Opened",
    "SocketRotation",
    "TripleControl",
    "dual_pull",
    "front_let_out",
    "front_way",
    "lock_buckle",
    "lock_motion",
    "lock_motions",
    "lock_parts",
    "smallest_lock_motion",
    "socket_rotation",
]
