"""Working the elbow lock while the cable must not give back what holds the forearm up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.chain.dual import (
    SHOULDER_DOWN,
    SHOULDER_FORWARD,
    LockMotion,
    LockStrap,
    lock_motion,
    lock_motions,
    smallest_lock_motion,
)
from controlkit.mechanics.chain.positions import FORWARD
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.harness import Harness
from controlkit.mechanics.sequence.records import LockWork, Told
from controlkit.units import deg

Array = NDArray[np.float64]

REST = Pose()
ARMS = deg(1) * np.arange(-20.0, 86.0, 15.0)
"""Arm flexions at which the lock motion is computed [rad]."""
PULLS = (5.0, 70.0)
"""Pulls at the control strap for which that is done; in between it follows a line [N]."""
SHARES = np.linspace(0.0, 1.2, 5)
"""Shares of the abduction and depression of a usual lock motion; the shoulder goes no lower than with the last [-]."""
_FINE = np.linspace(0.0, 1.2, 61)  # shares in which the smallest is looked for
_AWAY = SHOULDER_DOWN["arm_abduction"] - REST.arm_abduction
_DOWN = -SHOULDER_DOWN["shoulder_elevation"]


@dataclass(frozen=True, kw_only=True)
class LockTable:
    """What comes to lift cable, lock and front strap with both scapulae forward, by pull, share and arm flexion.

    Attributes
    ----------
    lift : ndarray
        Excursion that is generated at the lift cable, from hanging [m], shape (pulls, shares, arms)
    travel : ndarray
        Of the lock's cable [m], shape (pulls, shares, arms)
    room : ndarray
        How far the front support strap would still give; below nothing it is taut [m], shape (pulls, shares, arms)
    force, needs : float
        Of the lock's cable: its force [N], and the travel at which the lock changes over [m]
    """

    lift: Array
    travel: Array
    room: Array
    force: float
    needs: float

    def held(self, drawn: float, pull: float, slack: float = 0.0) -> tuple[LockWork, Told]:
        """The smallest lock motion that leaves the lift cable as far drawn as it is.

        Parameters
        ----------
        drawn : float
            Excursion that must stay generated [m]
        pull : float
            At the control strap: it draws the ring towards itself, and takes from the lock [N]
        slack : float
            How slack the lock's strap hangs before [m]

        Returns
        -------
        work : LockWork
            That motion, or the one that comes nearest
        short : Told
            Why it does not do; nothing if it does

        Notes
        -----
        Arm flexion slackens the strap of the lock, which runs down the front of the shoulder; scapulae draw both. So
        the arm goes back and the scapulae come forward, and the lift cable stays where it is. That the weight asks for
        a little less or more pull with the arm in another place is left out.
        """
        share_of = float(np.clip((pull - PULLS[0]) / (PULLS[1] - PULLS[0]), 0.0, 1.0))
        pulled = ((1.0 - share_of) * of[0] + share_of * of[1] for of in (self.lift, self.travel, self.room))
        rows = [np.array([np.interp(_FINE, SHARES, column) for column in of.T]).T for of in pulled]
        found = []
        for share, lift, travel, room in zip(_FINE, *rows, strict=True):
            if lift[0] <= drawn <= lift[-1]:
                arm = float(np.interp(drawn, lift, ARMS))
                found.append(
                    (float(share), arm, float(np.interp(arm, ARMS, travel)), float(np.interp(arm, ARMS, room)))
                )
        gives = [one for one in found if one[3] >= 0.0]
        enough = [one for one in gives if one[2] >= self.needs]
        share, arm, travel, room = (
            enough[0] if enough else max(gives or found or [(0.0, float(ARMS[-1]), 0.0, 0.0)], key=lambda one: one[2])
        )
        work = LockWork(
            travel=travel,
            force=self.force,
            arm_flexion=arm,
            abduction=share * _AWAY,
            depression=share * _DOWN,
            protraction=FORWARD,
            both=True,
            lift=0.0,
            slack=slack,
        )
        if enough:
            return work, Told()
        sizes = (
            ("drawn", drawn, "length"),
            ("comes", travel, "length"),
            ("needs", self.needs, "length"),
            ("forward", FORWARD, "angle"),
        )
        text = (
            "While {drawn} of excursion must stay drawn, a lock motion with both scapulae {forward} forward brings "
            "{comes} to the lock's cable; it changes over at {needs}."
        )
        if any(one[2] >= self.needs for one in found) or room < 0.0:
            text += " Beyond that the front support strap is taut: elastic webbing or slack of it would let it."
        return work, Told(text, sizes)


def lock_table(harness: Harness, lock: ElbowLock, strap: LockStrap) -> LockTable:
    """Compute lock motions with both scapulae forward, over arm flexion and share.

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
    LockTable
        What comes to lift cable, lock and front support strap

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("female", level="transhumeral"), support_strap=0.016)
    >>> table = lock_table(harness, ElbowLock.evenly(11), LockStrap())
    >>> work, short = table.held(0.038, pull=30.0)
    >>> bool(short), round(float(np.rad2deg(work.arm_flexion))) < 10
    (False, True)
    """
    poses = [
        Pose(
            arm_flexion=float(arm),
            arm_abduction=REST.arm_abduction + share * _AWAY,
            shoulder_elevation=-share * _DOWN,
            scapular_abduction=FORWARD,
            sound_scapular_abduction=FORWARD,
        )
        for share in SHARES
        for arm in ARMS
    ]
    done = [one for pull in PULLS for one in lock_motions(harness, lock, poses, strap, pull=pull)]
    lift, travel, room = (
        np.array([getattr(one, name) for one in done]).reshape(len(PULLS), len(SHARES), len(ARMS))
        for name in ("lift", "travel", "front_room")
    )
    return LockTable(lift=lift, travel=travel, room=room, force=lock.force, needs=lock.travel)


def from_hanging(harness: Harness, lock: ElbowLock, strap: LockStrap) -> tuple[LockWork, Told]:
    """The smallest lock motion from a hanging arm: the shoulder down or, if that does not do, forward.

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
    work : LockWork
        That motion, or the usual one
    short : Told
        Why it does not do; nothing if it does
    """
    tried = [smallest_lock_motion(harness, lock, strap, motion=motion) for motion in (SHOULDER_DOWN, SHOULDER_FORWARD)]
    found = [one for one in tried if one is not None]
    free = [one for one in found if not one.front_taut]
    done = free[0] if free else found[0] if found else lock_motion(harness, lock, strap, **SHOULDER_DOWN)
    return _work(done), Told() if free else _hindered(done, lock)


def _work(done: LockMotion) -> LockWork:
    """A lock motion from hanging, part by part."""
    return LockWork(
        travel=done.travel,
        force=done.force,
        arm_flexion=done.pose.arm_flexion,
        abduction=done.pose.arm_abduction - REST.arm_abduction,
        depression=-done.pose.shoulder_elevation,
        protraction=done.pose.scapular_abduction,
        both=False,
        lift=done.lift,
    )


def _hindered(done: LockMotion, lock: ElbowLock) -> Told:
    """Why the lock does not change over."""
    comes = ("comes", done.travel, "length"), ("needs", lock.travel, "length")
    if done.front_taut:
        return Told(
            "The front support strap is taut and does not give: it would have to bear {taut} before {comes} came to "
            "the lock's cable, which changes over at {needs}. Elastic webbing or slack of that strap would let it.",
            (*comes, ("taut", done.front_tension, "force")),
        )
    return Told("The lock motion brings {comes} to the lock's cable; it changes over at {needs}.", comes)
