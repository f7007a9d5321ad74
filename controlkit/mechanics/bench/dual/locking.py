"""What the lock motion, walking and abduction do to the elbow lock, as tape and goniometer read it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from controlkit.mechanics.body.pose import posed
from controlkit.mechanics.chain.dual import IDLE, SHOULDER_DOWN, LockMotion, LockStrap, lock_motions
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.harness.pattern import Harness
from controlkit.units import deg

ABDUCTED = tuple(deg(angle) for angle in (15.0, 30.0, 45.0, 60.0))
"""Arm abduction to which the wearer is led [rad]."""
_WALKING = ("walking, arm forward", "walking, arm back")


@dataclass(frozen=True)
class LockTried:
    """The elbow lock tried on the wearer.

    Attributes
    ----------
    motion : LockMotion
        The lock motion: extension, abduction and depression
    walking : tuple of LockMotion
        Both ends of the arm's swing
    abducted : tuple of LockMotion
        Arm abduction, step by step
    """

    motion: LockMotion
    walking: tuple[LockMotion, ...]
    abducted: tuple[LockMotion, ...]

    @property
    def walked(self) -> float:
        """Tape: how far walking draws the lock's cable at most [m]."""
        return max(one.travel for one in self.walking)

    @property
    def quiet_to(self) -> float:
        """Goniometer: abduction up to which the lock has not been worked, in steps of 15 degrees up to 60 [rad]."""
        quiet = 0.0
        for angle, one in zip(ABDUCTED, self.abducted, strict=True):
            if one.triggers:
                break
            quiet = angle
        return quiet


@lru_cache(maxsize=256)
def try_lock(harness: Harness, lock: ElbowLock, strap: LockStrap) -> LockTried:
    """Lead the wearer through the lock motion and through what must not lock.

    Parameters
    ----------
    harness : Harness
        A harness above the elbow
    lock : ElbowLock
        The lock
    strap : LockStrap
        Its strap

    Returns
    -------
    LockTried
        What each does to the lock's cable

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> man = Wearer.average("male", level="transhumeral")
    >>> harness = above_elbow_eight(man, ring_below_c7=0.05, support_strap=0.016)
    >>> tried = try_lock(harness, ElbowLock.evenly(11), LockStrap())
    >>> tried.walked < tried.motion.travel, round(tried.quiet_to, 2)
    (True, 1.05)
    """
    poses = [
        posed(SHOULDER_DOWN),
        *(posed(IDLE[name]) for name in _WALKING),
        *(posed({"arm_abduction": a}) for a in ABDUCTED),
    ]
    motion, *others = lock_motions(harness, lock, poses, strap)
    return LockTried(motion, tuple(others[: len(_WALKING)]), tuple(others[len(_WALKING) :]))
