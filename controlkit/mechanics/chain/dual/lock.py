"""The elbow lock's own strap and motion: what each part of the motion does to the lock, lift cable and front strap."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import to_right
from controlkit.mechanics.body.pose import POSE_RANGES, Pose, posed
from controlkit.mechanics.chain.generated import generated
from controlkit.mechanics.elbow import ElbowLock, ElbowState
from controlkit.mechanics.elbow.lock import Outcome
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.laws import CableLaw, Webbing
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP
from controlkit.mechanics.inputs import kind, within
from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.taut import Draft, Paths, tighten
from controlkit.sources import source
from controlkit.units import InputError, deg

Array = NDArray[np.float64]

REST = Pose()
"""The pose in which the lock's strap is buckled: the arm hangs."""
EXTENDED: Mapping[str, float] = {"arm_flexion": deg(-12.0), "arm_abduction": REST.arm_abduction + deg(20.0)}
"""The lock motion with the point of the shoulder held: extension with abduction [rad]. Assumption: sources give no
figures; the one stands to the other as in a trial of this package."""
DEPRESSED: Mapping[str, float] = {**EXTENDED, "shoulder_elevation": deg(-8.0)}
"""The same with depression of the shoulder, as some texts have it [rad]."""
FORWARD: Mapping[str, float] = {**EXTENDED, "scapular_abduction": deg(5.0)}
"""The same with the point of the shoulder slightly forward, as an open textbook allows [rad]."""
IDLE: Mapping[str, Mapping[str, float]] = {
    "rest": {},
    "walking, arm forward": {"arm_flexion": deg(20.0)},
    "walking, arm back": {"arm_flexion": -source("arm_swing_back").si},
    "abduction of 60 degrees": {"arm_abduction": deg(60.0)},
}
"""What must not trigger the lock [rad]. Walking is the ends of the arm's swing: back as observed on people with two
arms of their own, for want of a figure with a prosthesis; forward, where the strap only slackens, an assumption."""
STRAP_LIMITS = (-0.03, 0.08)
"""How far the lock's strap may be taken in or let out [m]."""
PULL = 5.0
"""Pull at the control strap meanwhile [N]: enough to keep the lift cable taut. Assumption."""
_ENDLESS = 1e6  # [N] beyond any pull
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
    stretch : float
        What the strap itself takes of that under the lock's force [m]
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
    """

    part: str
    lock_alone: float
    lift_alone: float
    lock_added: float
    lift_added: float


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
        How much longer idle poses make the strap's way, by name [m]
    lengthening : float
        How much longer the motion makes it [m]
    """

    least: float
    most: float
    idle: Mapping[str, float]
    lengthening: float

    @property
    def separates(self) -> bool:
        """Whether any setting of the buckle does both."""
        return self.least < self.most

    @property
    def works_against(self) -> str:
        """The idle pose that comes nearest to triggering."""
        return max(self.idle, key=lambda name: self.idle[name])


@dataclass(frozen=True)
class _Ways:
    """The way of the lock's strap in some poses, and the motion that it was found in."""

    found: Followed
    paths: Paths

    @property
    def rows(self) -> list[int]:
        """Stations of the poses asked for, hanging first."""
        return list(self.found.asked)

    @property
    def longer(self) -> Array:
        """How much longer the way is than with the arm hanging [m], shape (poses,)."""
        return np.asarray(self.paths.length - self.paths.length[0])

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

    What comes of it: extension alone draws the lock but pays lift cable out; abduction up to some 40 degrees, depression
    and protraction draw the lock and take lift cable up. With depression, or the point of the shoulder slightly forward,
    9 to 13 degrees of extension with 15 to 20 more of abduction do for 16 to 19 mm. With the shoulder held the way comes
    to its longest before 19 mm. Walking with the arm 24 degrees back draws 15 to 17 mm: a lock of 16 mm then needs its
    strap let out a little on men, see `lock_buckle`. A front support strap that is snug keeps the lock from its travel.

    Limits: the lock asks for its whole force from the first millimetre; its strap stretches like other webbing, without
    sinking into flesh; its pull, some 9 N, moves neither ring nor socket; skin does not rub. The model's shoulder is a
    ball that turns in itself: muscles that swell, which sources mention, lengthen nothing here.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> from controlkit.sources import source
    >>> harness = above_elbow_eight(Wearer.average("female", level="transhumeral"), support_strap=0.016)
    >>> lock = ElbowLock(positions=(1.5,), travel=source("elbow_lock_travel").si_low)
    >>> done = lock_motion(harness, lock, **DEPRESSED)
    >>> done.triggers, done.lift > 0.0, done.front_taut
    (True, True, False)
    """
    lockable = _checked(harness, lock, strap)
    return _answered(_ways(harness, strap, [posed(angles)], pull), lockable, strap, at=1)


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
    harness, lock, strap, pull
        As in `lock_motion`
    poses : sequence of Pose
        Poses

    Returns
    -------
    tuple of LockMotion
        One a pose
    """
    lockable = _checked(harness, lock, strap)
    ways = _ways(harness, strap, poses, pull)
    return tuple(_answered(ways, lockable, strap, at=k) for k in range(1, len(poses) + 1))


def lock_parts(
    harness: Harness, strap: LockStrap = LockStrap(), *, pull: float = PULL, **angles: float
) -> tuple[LockPart, ...]:
    """What each part of a motion from hanging does to the lock's strap and to the lift cable.

    Parameters
    ----------
    harness, strap, pull
        As in `lock_motion`
    **angles : float
        Angles of the pose that the motion comes to, in the order in which the parts are added [rad]

    Returns
    -------
    tuple of LockPart
        One an angle that differs from hanging, in that order

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> parts = lock_parts(above_elbow_eight(Wearer.average("male", level="transhumeral")), **EXTENDED)
    >>> [(part.part, part.lock_alone > 0.0, part.lift_alone > 0.0) for part in parts]
    [('extension', True, False), ('abduction', True, True)]
    """
    _strapped(harness, strap)
    whole = posed(angles)
    moved = [name for name in angles if getattr(whole, name) != getattr(REST, name)]
    alone = [replace(REST, **{name: angles[name]}) for name in moved]
    along = [replace(REST, **{name: angles[name] for name in moved[: k + 1]}) for k in range(len(moved))]
    ways = _ways(harness, strap, [*alone, *along], pull)
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
        )
        for k, name in enumerate(moved)
    )


def smallest_lock_motion(
    harness: Harness,
    lock: ElbowLock,
    strap: LockStrap = LockStrap(),
    *,
    pull: float = PULL,
    motion: Mapping[str, float] = EXTENDED,
) -> LockMotion | None:
    """The smallest share of a motion from hanging, all its parts alike, that triggers the lock.

    Parameters
    ----------
    harness, lock, strap, pull
        As in `lock_motion`
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
    >>> found = smallest_lock_motion(harness, ElbowLock.evenly(11), motion=DEPRESSED)
    >>> found is not None and bool(-deg(12) < found.pose.arm_flexion < 0.0)
    True
    """
    most = min([_MOST, *(_reaches(name, angle) for name, angle in motion.items())])
    low, high, steps, best = 0.0, most, _COARSE, None
    for count in (steps, _FINE):
        shares = np.linspace(low, high, count + 1)[1:]
        done = lock_motions(harness, lock, [_share(motion, float(s)) for s in shares], strap, pull=pull)
        hits = [k for k, one in enumerate(done) if one.triggers]
        if not hits:
            return None
        best, high = done[hits[0]], float(shares[hits[0]])
        low = float(shares[hits[0] - 1]) if hits[0] else low
    return best


def lock_buckle(
    harness: Harness,
    lock: ElbowLock,
    strap: LockStrap = LockStrap(),
    *,
    pull: float = PULL,
    motion: Mapping[str, float] = DEPRESSED,
) -> LockBuckle:
    """Between which settings of its buckle the lock's strap tells a lock motion from what must not lock.

    Parameters
    ----------
    harness, lock, strap, pull
        As in `lock_motion`; how far the strap is let out plays no part
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
    lockable = _checked(harness, lock, strap)
    ways = _ways(harness, strap, [posed(motion), *(posed(idle) for idle in IDLE.values())], pull)
    spent = lockable.travel + _stretch(ways, lockable)
    idle = dict(zip(IDLE, ways.longer[2:].tolist(), strict=True))
    longer = float(ways.longer[1])
    return LockBuckle(least=max(idle.values()) - spent, most=longer - spent, idle=idle, lengthening=longer)


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
    >>> inner, outer = (front_way(harness, 0.35, side, [posed(DEPRESSED)])[0] for side in (-deg(20), deg(20)))
    >>> bool(0.010 < outer < inner)
    True
    """
    strap = LockStrap(retainer=down, side=side)
    _strapped(harness, strap)
    return _ways(harness, strap, poses, pull).longer[1:]


def _checked(harness: Harness, lock: ElbowLock, strap: LockStrap) -> ElbowLock:
    """A lock that has a strap on this harness."""
    kind("The lock", lock, ElbowLock, "ElbowLock.evenly(11)")
    _strapped(harness, strap)
    return lock


def _strapped(harness: Harness, strap: LockStrap) -> None:
    """Refuse what has no place for the lock's strap."""
    kind("The harness", harness, Harness, "above_elbow_eight(wearer)")
    kind("The lock's strap", strap, LockStrap, "LockStrap(let_out=mm(5))")
    if harness.wearer.level != "transhumeral" or FRONT_STRAP not in harness.layout.straps:
        raise InputError(
            given=f'The harness is a {harness.pattern.name} on a wearer whose level is "{harness.wearer.level}".',
            allowed="The strap of an elbow lock is sewn to the front support strap of a harness above the elbow.",
            do="Give a harness such as above_elbow_eight(wearer).",
        )


def _ways(harness: Harness, strap: LockStrap, poses: Sequence[Pose], pull: float) -> _Ways:
    """The way of the lock's strap with the arm hanging, then in some poses."""
    within("The pull at the control strap", pull, 0.5, 200.0, example="newton(5)", of="force")

    def law(pose: Pose, strap_give: float) -> CableLaw:  # noqa: ARG001
        return CableLaw(stiffness=1.0 / strap_give, start=pull, rise=0.0, full=_ENDLESS)

    found = follow(harness, [REST, *poses], law)
    rows = np.array(found.asked)
    bodies = route.bodies_of(harness.wearer, found.poses).rows(rows)
    given = found.net.give[rows][:, None] * bodies.posed.axes[:, 0, :, 1]
    retainer = route.on_arm(bodies.posed, strap.retainer * bodies.upper_arm, strap.side) + given
    front = found.net.nodes[harness.layout.of(FRONT_STRAP)[0]][rows]
    return _Ways(found, led(bodies.posed.surface, front, front[:, 0], retainer))


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


def _stretch(ways: _Ways, lock: ElbowLock) -> float:
    """What ring, strap and retainer's way takes up under the lock's force [m]."""
    return float(_webbing(ways).stretch(np.array([lock.force]))[0][0]) if lock.force > 0.0 else 0.0


def _webbing(ways: _Ways, let_out: float = 0.0) -> Webbing:
    """The way as webbing, just snug with the arm hanging unless let out."""
    long = ways.paths.length[:1]
    return Webbing(long + let_out, ways.found.harness.straps.webbing / long)


def _answered(ways: _Ways, lock: ElbowLock, strap: LockStrap, *, at: int) -> LockMotion:
    """What one of some poses does to the lock."""
    found, row = ways.found, ways.rows[at]
    harness, side = found.harness, found.harness.wearer.amputated
    stretch, longer = _stretch(ways, lock), float(ways.longer[at])
    drawn = longer - strap.let_out - stretch
    pulled = float(_webbing(ways, strap.let_out).pull(ways.paths.length[at : at + 1])[0][0])
    travel, force = max(drawn, 0.0), lock.force if drawn > 0.0 else min(pulled, lock.force)
    state = ElbowState(locked=False, elbow_flexion=found.poses[row].elbow_flexion)
    front = harness.layout.of(FRONT_STRAP)[0]
    webbing = found.ask.laws.webbing
    give = float(found.net.length[front, row] - webbing.free[front, row])
    return LockMotion(
        pose=found.poses[row],
        lengthening=longer,
        stretch=stretch,
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
        settled=bool(found.net.settled[[ways.rows[0], row]].all() and ways.paths.settled[[0, at]].all()),
    )


def _anchor(ways: _Ways, at: int) -> Array:
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
