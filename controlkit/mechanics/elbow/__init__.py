"""The elbow of a prosthesis: what its forearm weighs, the cable that lifts it, the lock that holds it, hinges."""

from controlkit.mechanics.elbow.forearm import GRAVITY, Piece, ProstheticForearm, forearm_of
from controlkit.mechanics.elbow.hinge import StepUpHinge, socket_couple
from controlkit.mechanics.elbow.lift import FlexionSpring, Lift, lift
from controlkit.mechanics.elbow.lock import ElbowLock, ElbowState, Pulled
from controlkit.mechanics.elbow.loop import LiftLine
from controlkit.mechanics.elbow.short_limb import ShortLimbWay, below_axilla, short_forearm

__all__ = [
    "GRAVITY",
    "ElbowLock",
    "ElbowState",
    "FlexionSpring",
    "Lift",
    "LiftLine",
    "Piece",
    "ProstheticForearm",
    "Pulled",
    "ShortLimbWay",
    "StepUpHinge",
    "below_axilla",
    "forearm_of",
    "lift",
    "short_forearm",
    "socket_couple",
]
