"""The elbow lock's own strap: what a motion of arm and shoulder does to it, to the lift cable and front strap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import to_right
from controlkit.mechanics.body.pose import Pose, posed
from controlkit.mechanics.chain.dual.capture import constant
from controlkit.mechanics.chain.dual.pulled import pulled
from controlkit.mechanics.chain.generated import generated
from controlkit.mechanics.elbow import ElbowLock, ElbowState
from controlkit.mechanics.elbow.lock import Outcome
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.laws import Webbing
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP
from controlkit.mechanics.inputs import kind, within
from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.taut import Draft, Paths, tighten
from controlkit.units import InputError, deg

Array = NDArray[np.float64]

REST = Pose()
"""The pose in which the lock's strap is buckled: the arm hangs."""
STRAP_LIMITS = (-0.03, 0.08)
"""How far the lock's strap may be taken in or let out [m]."""
PULL = 5.0
"""Pull at the control strap meanwhile [N]: enough to keep the lift cable taut. Assumption."""


@dataclass(frozen=True, kw_only=True)
class LockStrap:
    """Where the strap of the elbow lock runs: from the front support strap down to the lock cable's retainer.

    Parameters
    ----------
    let_out : float
        Let out (+) or taken in (-) at its buckle from just snug, the arm hanging [m]
    retainer : float
        Where the lock cable leaves its retainer, share of the upper arm from shoulder to elbow [-]. Assumption
    side : float
        How far round the arm from its front it does so, towards the outer side [rad]. Assumption

    Raises
    ------
    InputError
        If a value is outside its range

    Examples
    --------
    >>> LockStrap(let_out=0.005).retainer
    0.3
    """

    let_out: float = 0.0
    retainer: float = 0.30
    side: float = 0.0

    def __post_init__(self) -> None:
        why = "taken in further it locks at rest, and let out further no motion comes to the lock"
        within("The lock's strap", self.let_out, *STRAP_LIMITS, example="mm(0)", of="length", why=why)
        share = {"example": "0.3", "unit": " of the upper arm", "why": "the retainer sits high on the socket's front"}
        within("The lock cable's retainer", self.retainer, 0.20, 0.60, **share)
        why = "further in it would press into the trunk, and further out the strap slides off the front of the shoulder"
        within("The retainer's side", self.side, -deg(20.0), deg(20.0), example="deg(0)", of="angle", why=why)


@dataclass(frozen=True, kw_only=True)
class LockMotion:
    """What a motion from hanging does to the elbow lock, the lift cable and the front support strap.

    Attributes
    ----------
    pose : Pose
        Where the motion has come to
    lengthening : float
        How much longer the way of the lock's strap has become [m]
    yielded : float
        What ring and socket yield of that under the lock's force, the one on the skin, the other along the limb [m]
    stretch : float
        What the strap itself takes of that by stretching and sinking into flesh [m]
    travel : float
        Of the lock's cable [m]
    force : float
        Of the lock's cable: the lock's own once it moves, less before [N]
    outcome : str
        What such a pull and letting go does to an elbow without load that was unlocked: one of `Outcome`
    spare : float
        Travel beyond what the lock needs; below nothing what is missing [m]
    lift : float
        Excursion that the motion generates at the lift cable: taken up (+) or paid out (-) [m]
    front_give : float
        How far the front support strap is beyond its free length; below nothing it hangs slack by that [m]
    front_room : float
        How far its elastic part would still give before the webbing is taut; below nothing it is taut [m]
    front_tension : float
        What the front support strap bears [N]
    way : ndarray
        The strap's way from the ring over the shoulder to the retainer, ISB axes [m], shape (nodes, 3)
    anchor : ndarray
        Where the lock's strap leaves the front support strap, ISB axes [m], shape (3,)
    settled : bool
        Whether all straps settled; where they did not, the model has no answer
    """

    pose: Pose
    lengthening: float
    yielded: float
    stretch: float
    travel: float
    force: float
    outcome: Outcome
    spare: float
    lift: float
    front_give: float
    front_room: float
    front_tension: float
    way: Array
    anchor: Array
    settled: bool

    @property
    def triggers(self) -> bool:
        """Whether the lock changes over on release."""
        return self.outcome == "locked"

    @property
    def front_taut(self) -> bool:
        """Whether the front support strap has come to the end of its elastic part, or has none and is taut."""
        return self.front_room < 0.0


@dataclass(frozen=True, kw_only=True)
class LockWays:
    """The way of the lock's strap in some poses, hanging first, and the motion that it was found in.

    Attributes
    ----------
    found : Followed
        The motion, the strap without pull
    paths : Paths
        The way from the ring to the retainer, one a pose
    yielded : ndarray
        By how much the lock's force makes it shorter; none with the arm hanging [m], shape (poses,)
    stretch : float
        What the strap itself takes under that force [m]
    settled : bool
        Whether all straps settled
    """

    found: Followed
    paths: Paths
    yielded: Array
    stretch: float
    settled: bool

    @property
    def rows(self) -> list[int]:
        """Stations of the poses asked for, hanging first."""
        return list(self.found.asked)

    @property
    def longer(self) -> Array:
        """How much longer the way is than with the arm hanging [m], shape (poses,)."""
        return np.asarray(self.paths.length - self.paths.length[0])

    @property
    def drawn(self) -> Array:
        """How far the lock's cable is drawn by a strap that is just snug; below nothing it is slack [m]."""
        return np.asarray(self.longer - self.yielded - self.stretch)

    @property
    def lift(self) -> Array:
        """Excursion generated at the lift cable from there [m], shape (poses,)."""
        made = generated(self.found)[self.rows]
        return np.asarray(made - made[0])


def lock_motion(
    harness: Harness, lock: ElbowLock, strap: LockStrap = LockStrap(), *, pull: float = PULL, **angles: float
) -> LockMotion:
    """What a motion from hanging does to the elbow lock.

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
    **angles : float
        Angles of the pose that the motion comes to, as in `Pose`; those left out hang [rad]

    Returns
    -------
    LockMotion
        Travel of lock and lift cable, and whether the lock changes over

    Raises
    ------
    InputError
        If the harness has no front support strap above the elbow, or a value is outside its range

    Notes
    -----
    The strap is sewn to the front support strap at the upper end of the deltopectoral interval (an open textbook of the
    University of Washington, chapter 14), and that is webbing from there back over the shoulder to the ring. Together
    they are one way, taut over the skin from the ring to the retainer: where the anchor divides it changes no length.
    The ring, not the shoulder, is what the lock pulls against, so that it lengthens when the point of the shoulder goes
    forward or down. The ring is where the other straps, pulled at the control strap, have settled.

    What comes of it: extension draws the lock but pays lift cable out; abduction up to some 40 degrees, depression and
    protraction draw the lock and take lift cable up. The lock's force takes some 4 mm of what is drawn, in the ring's
    hold, in flesh and in webbing. With depression, or the point of the shoulder slightly forward, 10 to 16 degrees of
    extension with 17 to 27 more of abduction do for 16 to 19 mm; with the shoulder held the way comes to its longest
    before. Walking with the arm 24 degrees back draws 12 to 15 mm, so that a strap taken in by 1 to 4 mm would let a
    lock of 16 mm change over in walking. A front support strap that is snug keeps the lock from its travel. `locking`
    takes that apart.

    Were the anchor held by the skin under it instead of by the ring, as friction may in part, extension and abduction
    would draw more, depression and protraction nothing, and walking would draw as far as the motion with the shoulder
    held: no buckle would tell the two apart. A pull that holds the forearm up draws the ring towards it, and on a woman
    takes up to 4 mm from the lock.

    Limits: the lock asks for its whole force from the first millimetre; its pull is settled with the other straps at
    the ring, the socket gives way along the limb as its cuff does; skin does not rub. Front strap and lift cable are
    reported without that pull. The model's shoulder is a ball that turns in itself: muscles that swell, which sources
    mention, lengthen nothing here.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> from controlkit.sources import source
    >>> harness = above_elbow_eight(Wearer.average("female", level="transhumeral"), support_strap=0.016)
    >>> lock = ElbowLock(positions=(1.5,), travel=source("elbow_lock_travel").si_low)
    >>> done = lock_motion(harness, lock, arm_flexion=-deg(12), arm_abduction=deg(30), shoulder_elevation=-deg(8))
    >>> done.triggers, done.lift > 0.0, done.front_taut
    (True, True, False)
    """
    return lock_motions(harness, lock, [posed(angles)], strap, pull=pull)[0]


def lock_motions(
    harness: Harness,
    lock: ElbowLock,
    poses: Sequence[Pose],
    strap: LockStrap = LockStrap(),
    *,
    pull: float = PULL,
) -> tuple[LockMotion, ...]:
    """The same for some poses, all at once.

    Parameters
    ----------
    harness : Harness
        A harness above the elbow
    lock : ElbowLock
        The lock
    poses : sequence of Pose
        Poses that motions from hanging come to
    strap : LockStrap
        Its strap
    pull : float
        At the control strap meanwhile [N]

    Returns
    -------
    tuple of LockMotion
        One a pose

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("male", level="transhumeral"))
    >>> lifted = lock_motions(harness, ElbowLock.evenly(11), [Pose(arm_flexion=0.3), Pose(arm_flexion=0.6)])
    >>> [done.travel for done in lifted]
    [0.0, 0.0]
    """
    lockable(harness, lock, strap)
    ways = ways_of(harness, strap, poses, pull=pull, force=lock.force)
    return tuple(answered(ways, lock, strap, at=k) for k in range(1, len(poses) + 1))


def lockable(harness: Harness, lock: ElbowLock, strap: LockStrap) -> None:
    """Refuse what is no lock, or has no place for its strap."""
    kind("The lock", lock, ElbowLock, "ElbowLock.evenly(11)")
    strapped(harness, strap)


def strapped(harness: Harness, strap: LockStrap) -> None:
    """Refuse what has no place for the lock's strap."""
    kind("The harness", harness, Harness, "above_elbow_eight(wearer)")
    kind("The lock's strap", strap, LockStrap, "LockStrap(let_out=mm(5))")
    if harness.wearer.level != "transhumeral" or FRONT_STRAP not in harness.layout.straps:
        raise InputError(
            given=f'The harness is a {harness.pattern.name} on a wearer whose level is "{harness.wearer.level}".',
            allowed="The strap of an elbow lock is sewn to the front support strap of a harness above the elbow.",
            do="Give a harness such as above_elbow_eight(wearer).",
        )


def ways_of(
    harness: Harness,
    strap: LockStrap,
    poses: Sequence[Pose],
    *,
    pull: float,
    force: float = 0.0,
    near: Followed | None = None,
) -> LockWays:
    """The way of the lock's strap with the arm hanging, then in some poses.

    Parameters
    ----------
    harness : Harness
        A harness above the elbow
    strap : LockStrap
        Where the strap runs
    poses : sequence of Pose
        Poses
    pull : float
        At the control strap meanwhile [N]
    force : float
        With which the strap pulls [N]
    near : Followed, optional
        The motion of a similar question, from which to start

    Returns
    -------
    LockWays
        Ways, one more than poses

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("male", level="transhumeral"))
    >>> ways_of(harness, LockStrap(), [Pose(arm_flexion=-0.2)], pull=PULL).longer.round(2).tolist()
    [0.0, 0.01]

    Raises
    ------
    InputError
        If the poses are no list of poses, or the pull is outside its range
    """
    if not isinstance(poses, (list, tuple)):
        raise InputError(
            given=f"The poses were given as {poses!r}.",
            do="Give a list of them, for example [Pose(arm_flexion=-deg(12))].",
        )
    for pose in poses:
        kind("A pose", pose, Pose, "Pose(arm_flexion=-deg(12))")
    within("The pull at the control strap", pull, 0.5, 200.0, example="newton(5)", of="force")

    found = follow(harness, [REST, *poses], constant(pull, 0.0), near)
    bodies = route.bodies_of(harness.wearer, found.poses)
    retainer = route.on_arm(bodies.posed, strap.retainer * bodies.upper_arm, strap.side)
    given = found.net.give[:, None] * bodies.posed.axes[:, 0, :, 1]
    front = found.net.nodes[_front(harness)]
    rows = np.array(found.asked)
    every = led(bodies.posed.surface, front, front[:, 0], retainer + given)
    paths, settled = every.rows(rows), bool(found.net.settled[rows].all() and every.settled[rows].all())
    if force == 0.0:
        return LockWays(found=found, paths=paths, yielded=np.zeros(len(rows)), stretch=0.0, settled=settled)
    net = pulled(found, every.nodes, retainer, force)
    yielded = np.where(rows > 0, paths.length - net.length[-1, rows], 0.0)
    stretch = float(_webbing(found, paths.length[:1]).stretch(np.array([force]))[0][0])
    settled = settled and bool(net.settled[rows].all())
    return LockWays(found=found, paths=paths, yielded=yielded, stretch=stretch, settled=settled)


def led(surface: Union, near: Array, start: Array, end: Array) -> Paths:
    """Taut ways between two places on bodies, one a body.

    Parameters
    ----------
    surface : Union
        Bodies
    near : ndarray
        Ways that lie on the right side of everything [m], shape (bodies, nodes, 3)
    start, end : ndarray
        Their ends [m], shape (bodies, 3)

    Returns
    -------
    Paths
        Taut ways
    """
    return tighten(surface, [Draft(np.arange(len(near)), near, (start, end))])[0]


def _front(harness: Harness) -> int:
    """Place of the front support strap among the runs."""
    return harness.layout.of(FRONT_STRAP)[0]


def _webbing(found: Followed, long: Array, let_out: float = 0.0) -> Webbing:
    """The strap on its whole way as webbing, over the flesh that the front support strap lies on."""
    harness = found.harness
    flesh = found.ask.laws.webbing.flesh.pick((_front(harness), slice(0, 1)))
    return Webbing(long + let_out, harness.straps.webbing / long, flesh=flesh)


def answered(ways: LockWays, lock: ElbowLock, strap: LockStrap, *, at: int) -> LockMotion:
    """What one of some poses does to the lock.

    Parameters
    ----------
    ways : LockWays
        Ways of the strap under the lock's force
    lock : ElbowLock
        The lock
    strap : LockStrap
        Its strap; only how far it is let out is asked here
    at : int
        Which of the poses, hanging being the first [-]

    Returns
    -------
    LockMotion
        Travel of lock and lift cable, and whether the lock changes over

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> harness, lock = above_elbow_eight(Wearer.average("male", level="transhumeral")), ElbowLock.evenly(11)
    >>> ways = ways_of(harness, LockStrap(), [Pose(arm_flexion=-0.2)], pull=PULL, force=lock.force)
    >>> taut, loose = (answered(ways, lock, LockStrap(let_out=out), at=1).travel for out in (0.0, 0.001))
    >>> round(1e3 * (taut - loose), 3)
    1.0
    """
    found, row = ways.found, ways.rows[at]
    harness, side = found.harness, found.harness.wearer.amputated
    drawn = float(ways.drawn[at]) - strap.let_out
    whole = ways.paths.length
    before = float(_webbing(found, whole[:1], strap.let_out).pull(whole[at : at + 1])[0][0])
    travel, force = max(drawn, 0.0), lock.force if drawn > 0.0 else min(before, lock.force)
    state = ElbowState(locked=False, elbow_flexion=found.poses[row].elbow_flexion)
    front, webbing = _front(harness), found.ask.laws.webbing
    give = float(found.net.length[front, row] - webbing.free[front, row])
    return LockMotion(
        pose=found.poses[row],
        lengthening=float(ways.longer[at]),
        yielded=float(ways.yielded[at]),
        stretch=ways.stretch,
        travel=travel,
        force=force,
        outcome=lock.pull(state, travel=travel, force=force).outcome,
        spare=drawn - lock.travel,
        lift=float(ways.lift[at]),
        front_give=give,
        front_room=float(webbing.reach[front, row]) - give,
        front_tension=float(found.net.tension[front, row]),
        way=to_right(ways.paths.nodes[at], side),
        anchor=to_right(_anchor(ways, at), side),
        settled=ways.settled,
    )


def _anchor(ways: LockWays, at: int) -> Array:
    """Where the strap leaves the front strap: half way from the clavicle down to the joint with the arm hanging."""
    found = ways.found
    bodies = route.bodies_of(found.harness.wearer, found.poses).rows(np.array(ways.rows[:1]))
    level = 0.5 * (bodies.build.acromion[bodies.who, 1] + bodies.posed.joint[:, 0, 1])[0]
    hanging = ways.paths.nodes[0]
    ahead = np.flatnonzero((hanging[:, 0] > 0.0) & (hanging[:, 1] > level))
    share = float(_along(hanging)[ahead[-1] if len(ahead) else len(hanging) // 2])
    way = ways.paths.nodes[at]
    along = _along(way)
    return np.array([np.interp(share, along, way[:, axis]) for axis in range(3)])


def _along(way: Array) -> Array:
    """How far along a way its nodes lie [m], shape (nodes,)."""
    return np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(way, axis=0), axis=1))])
