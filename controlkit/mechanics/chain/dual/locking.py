"""The lock motion taken apart: its parts, the smallest that locks, and the buckles with which only it locks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import POSE_RANGES, Pose, posed
from controlkit.mechanics.chain.dual.lock import (
    PULL,
    REST,
    LockMotion,
    LockStrap,
    lock_motion,
    lock_motions,
    lockable,
    strapped,
    ways_of,
)
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.inputs import kind
from controlkit.mechanics.roots import halved
from controlkit.sources import source
from controlkit.units import deg

Array = NDArray[np.float64]

SHOULDER_HELD: Mapping[str, float] = {"arm_flexion": deg(-12.0), "arm_abduction": REST.arm_abduction + deg(20.0)}
"""The lock motion with the point of the shoulder held: extension with abduction [rad]. Assumption: sources give no
figures; the one stands to the other as in a trial of this package."""
SHOULDER_DOWN: Mapping[str, float] = {**SHOULDER_HELD, "shoulder_elevation": deg(-8.0)}
"""The same with depression of the shoulder, as some texts have it [rad]."""
SHOULDER_FORWARD: Mapping[str, float] = {**SHOULDER_HELD, "scapular_abduction": deg(5.0)}
"""The same with the point of the shoulder slightly forward, as an open textbook allows [rad]."""
IDLE: Mapping[str, Mapping[str, float]] = {
    "rest": {},
    "walking, arm forward": {"arm_flexion": deg(20.0)},
    "walking, arm back": {"arm_flexion": -source("arm_swing_back").si},
    "abduction of 60 degrees": {"arm_abduction": deg(60.0)},
}
"""What must not trigger the lock [rad]. Walking is the ends of the arm's swing: back as observed on people with two
arms of their own, for want of a figure with a prosthesis; forward, where the strap only slackens, an assumption."""
_MOST = 3.0  # times a usual motion is as far as a smallest one is looked for [-]
_COARSE, _FINE = 16, 8  # steps in which it is looked for [-]
_PARTS = {
    "arm_flexion": ("extension", "flexion"),
    "arm_abduction": ("adduction", "abduction"),
    "shoulder_elevation": ("depression", "elevation"),
    "scapular_abduction": ("retraction", "protraction"),
    "sound_arm_abduction": ("adduction of the sound arm", "abduction of the sound arm"),
    "sound_scapular_abduction": ("retraction of the sound side", "protraction of the sound side"),
    "elbow_flexion": ("extension of the elbow", "flexion of the elbow"),
    "socket_slip": ("slip of the socket", "slip of the socket"),
}


@dataclass(frozen=True, kw_only=True)
class LockPart:
    """What one part of a motion does: alone from hanging, and added to the parts before it.

    Attributes
    ----------
    part : str
        What a fitter calls it
    lock_alone, lift_alone : float
        What it does alone to the way of the lock's strap, and to the lift cable: taken up (+), paid out (-) [m]
    lock_added, lift_added : float
        What it adds to the parts before it; over all parts these sum to the whole motion [m]
    settled : bool
        Whether all straps settled; where they did not, the model has no answer
    """

    part: str
    lock_alone: float
    lift_alone: float
    lock_added: float
    lift_added: float
    settled: bool


@dataclass(frozen=True, kw_only=True)
class LockBuckle:
    """How far the buckle of the lock's strap may be let out so that a motion locks, and nothing else does.

    Attributes
    ----------
    least : float
        Let out by more than this, nothing idle triggers; below nothing it may even be taken in [m]
    most : float
        Let out by no more than this, the motion triggers [m]
    idle : mapping
        How far idle poses draw the lock's cable with a strap just snug, by name; below nothing it is slack [m]
    drawn : float
        How far the motion draws it [m]
    settled : bool
        Whether all straps settled; where they did not, the model has no answer
    """

    least: float
    most: float
    idle: Mapping[str, float]
    drawn: float
    settled: bool

    @property
    def separates(self) -> bool:
        """Whether any setting of the buckle does both."""
        return self.least < self.most

    @property
    def works_against(self) -> str:
        """The idle pose that comes nearest to triggering."""
        return max(self.idle, key=lambda name: self.idle[name])


def lock_parts(
    harness: Harness, strap: LockStrap = LockStrap(), *, pull: float = PULL, **angles: float
) -> tuple[LockPart, ...]:
    """What each part of a motion from hanging does to the lock's strap and to the lift cable.

    Parameters
    ----------
    harness : Harness
        A harness above the elbow
    strap : LockStrap
        Strap of the lock
    pull : float
        At the control strap meanwhile [N]
    **angles : float
        Angles of the pose that the motion comes to, in the order in which the parts are added [rad]

    Returns
    -------
    tuple of LockPart
        One an angle that differs from hanging, in that order

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> parts = lock_parts(above_elbow_eight(Wearer.average("male", level="transhumeral")), **SHOULDER_HELD)
    >>> [(part.part, part.lock_alone > 0.0, part.lift_alone > 0.0) for part in parts]
    [('extension', True, False), ('abduction', True, True)]
    """
    strapped(harness, strap)
    whole = posed(angles)
    moved = [name for name in angles if getattr(whole, name) != getattr(REST, name)]
    alone = [replace(REST, **{name: angles[name]}) for name in moved]
    along = [replace(REST, **{name: angles[name] for name in moved[: k + 1]}) for k in range(len(moved))]
    ways = ways_of(harness, strap, [*alone, *along], pull=pull)
    count = len(moved)
    each = [slice(1, count + 1), slice(count + 1, None)]
    lock, lift = ((values[each[0]], np.diff(values[each[1]], prepend=0.0)) for values in (ways.longer, ways.lift))
    return tuple(
        LockPart(
            part=_PARTS[name][int(angles[name] > getattr(REST, name))],
            lock_alone=float(lock[0][k]),
            lift_alone=float(lift[0][k]),
            lock_added=float(lock[1][k]),
            lift_added=float(lift[1][k]),
            settled=ways.settled,
        )
        for k, name in enumerate(moved)
    )


def smallest_lock_motion(
    harness: Harness,
    lock: ElbowLock,
    strap: LockStrap = LockStrap(),
    *,
    pull: float = PULL,
    motion: Mapping[str, float] = SHOULDER_HELD,
) -> LockMotion | None:
    """The smallest share of a motion from hanging, all its parts alike, that triggers the lock.

    Parameters
    ----------
    harness : Harness
        A harness above the elbow
    lock : ElbowLock
        The lock
    strap : LockStrap
        Its strap
    pull : float
        At the control strap meanwhile [N]
    motion : mapping
        Angles of the pose that the whole motion comes to [rad]

    Returns
    -------
    LockMotion or None
        The motion there, to a part in forty of the whole; none where up to three times the whole, or to the end of an
        angle's range, does not trigger

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("male", level="transhumeral"), support_strap=0.016)
    >>> found = smallest_lock_motion(harness, ElbowLock.evenly(11), motion=SHOULDER_DOWN)
    >>> found is not None and bool(-deg(15) < found.pose.arm_flexion < 0.0)
    True
    """
    kind("The lock motion", motion, Mapping, "{'arm_flexion': -deg(12), 'arm_abduction': deg(30)}")
    most = min([_MOST, *(_reaches(name, angle) for name, angle in motion.items())])

    def first(low: float, high: float, steps: int) -> tuple[float, float, LockMotion] | None:
        """The first of some even steps that triggers: the share before it, its own, and the motion there."""
        shares = np.linspace(low, high, steps + 1)
        done = lock_motions(harness, lock, [_share(motion, float(share)) for share in shares[1:]], strap, pull=pull)
        hits = [(float(shares[k]), float(shares[k + 1]), one) for k, one in enumerate(done) if one.triggers]
        return hits[0] if hits else None

    coarse = first(0.0, most, _COARSE)
    if coarse is None:
        return None
    fine = first(*coarse[:2], _FINE)
    return coarse[2] if fine is None else fine[2]


def lock_buckle(
    harness: Harness,
    lock: ElbowLock,
    strap: LockStrap = LockStrap(),
    *,
    pull: float = PULL,
    motion: Mapping[str, float] = SHOULDER_DOWN,
) -> LockBuckle:
    """Between which settings of its buckle the lock's strap tells a lock motion from what must not lock.

    Parameters
    ----------
    harness : Harness
        A harness above the elbow
    lock : ElbowLock
        The lock
    strap : LockStrap
        Its strap; how far it is let out plays no part
    pull : float
        At the control strap meanwhile [N]
    motion : mapping
        Angles of the pose that the lock motion comes to [rad]

    Returns
    -------
    LockBuckle
        The least and the most by which it may be let out

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("male", level="transhumeral"), support_strap=0.016)
    >>> lock_buckle(harness, ElbowLock.evenly(11)).works_against
    'walking, arm back'
    """
    lockable(harness, lock, strap)
    poses = [posed(motion), *(posed(idle) for idle in IDLE.values())]
    ways = ways_of(harness, strap, poses, pull=pull, force=lock.force)
    idle = dict(zip(IDLE, ways.drawn[2:].tolist(), strict=True))
    drawn = float(ways.drawn[1])
    return LockBuckle(
        least=max(idle.values()) - lock.travel,
        most=drawn - lock.travel,
        idle=idle,
        drawn=drawn,
        settled=ways.settled,
    )


def front_let_out(
    harness: Harness,
    lock: ElbowLock,
    strap: LockStrap = LockStrap(),
    *,
    pull: float = PULL,
    motion: Mapping[str, float] = SHOULDER_DOWN,
) -> float:
    """How far the front support strap must be let out for a motion to lock before that strap is taut.

    Parameters
    ----------
    harness : Harness
        A harness above the elbow; how far its front strap is let out now plays no part
    lock : ElbowLock
        The lock
    strap : LockStrap
        Its strap
    pull : float
        At the control strap meanwhile [N]
    motion : mapping
        Angles of the pose that the motion comes to [rad]

    Returns
    -------
    float
        From just snug, to a tenth of a millimetre; infinite where no slack that may be asked for suffices [m]

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("female", level="transhumeral"))
    >>> lock = ElbowLock(positions=(1.5,), travel=source("elbow_lock_travel").si_low)
    >>> 0.0 < front_let_out(harness, lock) < lock.travel
    True
    """
    lockable(harness, lock, strap)
    most = harness.pattern.limits["support_strap"][1]

    def hinders(let_out: float) -> bool:
        done = lock_motion(replace(harness, support_strap=let_out), lock, strap, pull=pull, **motion)
        return not done.triggers or done.front_taut

    if not hinders(0.0):
        return 0.0
    if hinders(most):
        return float(np.inf)
    ends = np.zeros(1), np.array([most])
    _, enough = halved(lambda out: np.array([hinders(float(out[0]))]), low=ends[0], high=ends[1], times=10)
    return float(enough[0])


def front_way(harness: Harness, down: float, side: float, poses: Sequence[Pose], *, pull: float = PULL) -> Array:
    """How much longer than hanging the way from the ring to some place on the socket's front becomes.

    Parameters
    ----------
    harness : Harness
        A harness above the elbow
    down : float
        Where on the socket, share of the upper arm from shoulder to elbow [-]
    side : float
        How far round the arm from its front, towards the outer side [rad]
    poses : sequence of Pose
        Poses
    pull : float
        At the control strap meanwhile [N]

    Returns
    -------
    ndarray
        Lengthening: what a front support strap that ended there would have to give [m], shape (poses,)

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("male", level="transhumeral"), support_strap=0.016)
    >>> inner, outer = (front_way(harness, 0.35, side, [posed(SHOULDER_DOWN)])[0] for side in (-deg(20), deg(20)))
    >>> bool(0.010 < outer < inner)
    True
    """
    strap = LockStrap(retainer=down, side=side)
    strapped(harness, strap)
    return ways_of(harness, strap, poses, pull=pull).longer[1:]


def _share(motion: Mapping[str, float], share: float) -> Pose:
    """A share of a motion from hanging."""
    return posed({name: getattr(REST, name) + share * (angle - getattr(REST, name)) for name, angle in motion.items()})


def _reaches(name: str, angle: float) -> float:
    """How many times an angle's change from hanging its range allows [-]."""
    posed({name: angle})
    change, rest = angle - getattr(REST, name), getattr(REST, name)
    if name not in POSE_RANGES or change == 0.0:
        return _MOST
    return float((deg(POSE_RANGES[name][int(change > 0.0)]) - rest) / change)
