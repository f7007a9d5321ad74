"""Turning of the humeral socket about the humerus: the tangential part of the straps' pulls against cuff and straps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import Pose, posed
from controlkit.mechanics.chain.dual.capture import constant
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.layout import CONTROL, CONTROL_STRAP
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.patterns.above_elbow import LATERAL_SUSPENSOR
from controlkit.mechanics.inputs import kind, within
from controlkit.mechanics.surface.taut import Draft, tighten
from controlkit.sources import source
from controlkit.units import InputError, deg

Array = NDArray[np.float64]

TURNING = source("cuff_turning").si_low / deg(1.0)
"""Moment by which a cuff resists turning about the arm, a radian [N m/rad]."""
MOST = deg(60.0)
"""Furthest turn looked at [rad]. Assumption."""
LEAST_PULL = 0.5
"""At the control strap, which turns the socket [N]."""
_STEPS, _FINE = 12, 10  # steps of a first and of a second look


@dataclass(frozen=True, kw_only=True)
class SocketRotation:
    """What straps do to turn the humeral socket about the humerus; external rotation is positive, on either side.

    Attributes
    ----------
    pose : Pose
        In which it was asked
    tension : mapping
        Tension of each strap that ends on the socket, the socket not turned [N]
    lever : mapping
        Moment of each for one newton, the socket not turned [m]
    moment : mapping
        Moment of each about the arm's length, the socket not turned [N m]
    cuff : float
        Moment by which the cuff resists, a radian [N m/rad]
    alone : float
        Where the cuff alone would hold the socket against the control strap; infinite where it does not [rad]
    without_suspensor : float
        Where cuff and all straps but the lateral suspensor hold it [rad]
    angle : float
        Where all hold it [rad]
    moment_there : mapping
        Moment of each strap at that angle; empty where nothing holds the socket [N m]
    settled : bool
        Whether all straps settled; where they did not, the model has no answer
    """

    pose: Pose
    tension: Mapping[str, float]
    lever: Mapping[str, float]
    moment: Mapping[str, float]
    cuff: float
    alone: float
    without_suspensor: float
    angle: float
    moment_there: Mapping[str, float]
    settled: bool

    @property
    def total(self) -> float:
        """Moment of all straps, the socket not turned [N m]."""
        return sum(self.moment.values())

    @property
    def suspensor_resists(self) -> bool:
        """Whether the lateral suspensor pulls, and works against the control strap's turn."""
        return self.moment.get(LATERAL_SUSPENSOR, 0.0) * self.moment[CONTROL_STRAP] < 0.0


@dataclass(frozen=True)
class _Turned:
    """Straps on the socket at some turns of it: [N] and [m], shape (runs, turns)."""

    tension: Array
    lever: Array
    length: Array
    settled: bool

    def moment(self, runs: list[int]) -> Array:
        """Moment of some of them together [N m], shape (turns,)."""
        return np.asarray((self.tension[runs] * self.lever[runs]).sum(axis=0))


def socket_rotation(harness: Harness, pull: float, *, cuff: float = TURNING, **angles: float) -> SocketRotation:
    r"""How far the straps turn the socket about the humerus, and what holds it.

    .. math:: \sum_i T_i(\vartheta)\,r_i(\vartheta) = c\,\vartheta, \qquad
              r_i = -\hat a \cdot \left[(\mathbf{p}_i - \mathbf{o}) \times \mathbf{u}_i\right]

    Parameters
    ----------
    harness : Harness
        A harness above the elbow
    pull : float
        At the control strap, once the motion has drawn it so far [N]
    cuff : float
        Moment by which the cuff resists, a radian [N m/rad]
    **angles : float
        Angles of the pose in which it is pulled, as in `Pose` [rad]

    Returns
    -------
    SocketRotation
        Moments, and how far the socket turns

    Raises
    ------
    InputError
        If the wearer's level is not transhumeral, or a value is outside its range

    Notes
    -----
    *a* points up the arm, *o* is on its axis, *p* a strap's end on the socket and *u* the direction in which it leaves.
    The control strap keeps its tension while the socket turns; the others pull by their lengths. Junctions stay where
    they have settled, and the straps' ways stay taut over the body. The cuff's figure is that of one worn by healthy
    people (Schiebl and others, Sensors 2025;25:4605, appendix B), the lower of two; what a socket's own grip adds, by
    suction or shape, is left out, so that angles are upper bounds.

    The control strap turns the socket outward, as is taught. The lateral suspensor is taught to work against that. Here
    it depends on the arm. From the ring it comes to its end from behind: with the arm hanging the backward part of its
    pull, at 60 mm beside the axis, turns the socket *outward* too, by more than the inward part turns it inward, 14 mm
    in front of it. From some 30 degrees of flexion on it turns the socket inward, but flexion shortens its way, so that
    it hangs slack there unless it is taken in far. Taut, it is a spring that holds the socket near one place rather
    than a pull inward. The front strap, where it pulls, turns the socket inward.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, above_elbow_eight
    >>> harness = above_elbow_eight(Wearer.average("female", level="transhumeral"))
    >>> turned = socket_rotation(harness, 40.0, arm_flexion=deg(60))
    >>> turned.moment["control attachment strap"] > 0.0, 0.0 < turned.angle <= turned.alone < turned.total / turned.cuff
    (True, True)
    """
    kind("The harness", harness, Harness, "above_elbow_eight(wearer)")
    if harness.wearer.level != "transhumeral":
        raise InputError(
            given=f'The wearer\'s level is "{harness.wearer.level}".',
            allowed="A socket that turns about the humerus is worn after a transhumeral amputation.",
            do="Give a harness such as above_elbow_eight(wearer).",
        )
    within("The pull at the control strap", pull, LEAST_PULL, 400.0, example="newton(40)", of="force")
    within("The cuff's resistance to turning", cuff, 0.01, 1000.0, example="1.7", unit=" N m/rad")

    found = follow(harness, [posed(angles)], constant(pull, 0.0))
    runs = [k for k, run in enumerate(harness.layout.runs) if run.limb == 0]
    names = [harness.layout.runs[k].strap for k in runs]
    others = [i for i, k in enumerate(runs) if harness.layout.runs[k].strap != LATERAL_SUSPENSOR]
    every, control = list(range(len(runs))), [runs.index(CONTROL)]
    here = _turned(found, runs, np.zeros(1))
    held = [_held(found, runs, of=some, cuff=cuff) for some in (control, others, every)]
    there = _turned(found, runs, np.array([held[2]])) if np.isfinite(held[2]) else None

    def named(values: Array) -> dict[str, float]:
        return {name: float(values[[n == name for n in names], 0].sum()) for name in dict.fromkeys(names)}

    return SocketRotation(
        pose=found.poses[found.asked[0]],
        tension=named(here.tension),
        lever=named(here.lever),
        moment=named(here.tension * here.lever),
        cuff=cuff,
        alone=held[0],
        without_suspensor=held[1],
        angle=held[2],
        moment_there={} if there is None else named(there.tension * there.lever),
        settled=bool(found.net.settled[found.asked[0]]) and here.settled,
    )


def _held(found: Followed, runs: list[int], *, of: list[int], cuff: float) -> float:
    """The first turn at which a cuff and some straps hold the socket; infinite where none does within reach [rad]."""
    way = float(np.sign(_turned(found, runs, np.zeros(1)).moment(of)[0]))
    low, high = 0.0, MOST
    if way == 0.0:
        return 0.0
    for steps in (_STEPS, _FINE):
        turns = np.linspace(low, high, steps + 1)
        left = way * _turned(found, runs, way * turns).moment(of) - cuff * turns
        past = np.flatnonzero(left <= 0.0)
        if not len(past):
            return float(way * np.inf)
        at = max(int(past[0]), 1)
        low, high, before, after = float(turns[at - 1]), float(turns[at]), float(left[at - 1]), float(left[at])
    return way * (low + (high - low) * before / (before - after))


def _turned(found: Followed, runs: list[int], turns: Array) -> _Turned:
    """Straps on the socket with it turned about the arm, junctions held."""
    at, count = found.asked[0], len(turns)
    bodies = route.bodies_of(found.harness.wearer, found.poses).rows(np.full(count, at))
    axes, origin = bodies.posed.axes[0, 0], bodies.posed.joint[0, 0]
    drafts = []
    for k in runs:
        nodes = np.repeat(found.net.nodes[k][at][None], count, axis=0)
        drafts.append(Draft(np.arange(count), nodes, (nodes[:, 0], origin + _spun(nodes[0, -1] - origin, axes, turns))))
    ways = tighten(bodies.posed.surface, drafts)
    tension, lever = np.zeros((len(runs), count)), np.zeros((len(runs), count))
    for i, (k, way) in enumerate(zip(runs, ways, strict=True)):
        heading = way.nodes[:, -2] - way.nodes[:, -1]
        heading /= np.linalg.norm(heading, axis=1, keepdims=True)
        lever[i] = -(np.cross(way.nodes[:, -1] - origin, heading) * axes[:, 1]).sum(axis=1)
        if k == CONTROL:
            tension[i] = found.net.tension[k, at]
        else:
            tension[i] = found.ask.laws.webbing.pick(np.full(count, at), k).pull(way.length)[0]
    return _Turned(tension, lever, np.stack([way.length for way in ways]), all(bool(way.settled.all()) for way in ways))


def _spun(arm: Array, axes: Array, turns: Array) -> Array:
    """An arm from the axis, turned outward about it [m], shape (turns, 3)."""
    ahead, up, aside = arm @ axes
    cos, sin = np.cos(turns), np.sin(turns)
    local = np.stack([cos * ahead - sin * aside, np.full_like(turns, up), sin * ahead + cos * aside], axis=1)
    return np.asarray(local @ axes.T)
