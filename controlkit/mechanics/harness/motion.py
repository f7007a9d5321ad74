"""Donning a harness and following a motion from there, by one fixed rule.

Rule: the harness is put on with the arm hanging; the wearer takes up the posture (everything
but arm flexion) in one step, then flexes or extends the arm in steps of 15 degrees, and stops at
the angle asked for. The same question therefore has the same answer, however it was reached.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ..body import Pose, Posed, place
from ..outline import built
from ..taut import Chain, Paths, path_length, tighten
from . import route
from .donning import REST, Donned, don, ends, legs_at, pin
from .laws import WEBBING, Pull, Webbing
from .net import CONTROL, FRONT, OVER, UNDER, NetState, Stations, turning
from .pattern import Harness
from .settle import resume, settle

Array = NDArray[np.float64]
Index = NDArray[np.intp]

STEP = float(np.deg2rad(15.0))
"""Step in which arm flexion is followed [rad]."""
NEAR = 0.006
"""How far apart two rings may lie for one harness to start from the other [m]."""


@dataclass(frozen=True)
class Followed:
    """A motion followed from donning; also a start for the next, similar question.

    Attributes
    ----------
    harness : Harness
        The harness
    poses : tuple of Pose
        Pose of each station
    asked : tuple of int
        Station of each pose that was asked for
    donned : Donned
        The harness as put on
    net : NetState
        The settled net at every station
    held : Paths
        The control strap at every station, were the ring held where it was donned
    fronts : ndarray
        The anterior support strap, the ring held [m], shape (stations, nodes, 3)
    law : Pull
        Law of the control strap at every station
    """

    harness: Harness
    poses: tuple[Pose, ...]
    asked: tuple[int, ...]
    donned: Donned
    net: NetState
    held: Paths
    fronts: Array
    law: Pull

    @cached_property
    def travel(self) -> Array:
        """Travel of the cable at the device [m], shape (stations,)."""
        return self.law.travel(self.net.length[CONTROL])

    def moment_arm(self, at: int) -> float:
        """Moment arm of the control strap about arm flexion, ring held.

        Parameters
        ----------
        at : int
            Station [-]

        Returns
        -------
        float
            Moment arm [m]
        """
        row = slice(at, at + 1)
        held = Paths(self.held.nodes[row], self.held.press[row], self.held.settled[row], 0)
        return float(moment_arm(self.harness, self.poses[row], held)[0])


def itinerary(poses: Sequence[Pose]) -> tuple[tuple[Pose, ...], Index, tuple[int, ...]]:
    """Stations of the fixed rule for the poses asked for.

    Parameters
    ----------
    poses : sequence of Pose
        Poses asked for

    Returns
    -------
    stations : tuple of Pose
        Every pose on the way, the first is donning
    before : ndarray
        Station before each, -1 for the first [-], shape (stations,)
    asked : tuple of int
        Station of each pose asked for

    Examples
    --------
    >>> stations, before, asked = itinerary([Pose(arm_flexion=0.3), Pose(arm_flexion=0.1)])
    >>> len(stations), before.tolist(), asked
    (4, [-1, 0, 1, 0], (2, 3))
    """
    stations: list[Pose] = [REST]
    before: list[int] = [-1]
    index: dict[Pose, int] = {REST: 0}

    def add(pose: Pose, after: int) -> int:
        if pose not in index:
            index[pose] = len(stations)
            stations.append(pose)
            before.append(after)
        return index[pose]

    asked = []
    for pose in poses:
        place_ = add(replace(pose, arm_flexion=0.0), 0)
        sign = 1.0 if pose.arm_flexion >= 0.0 else -1.0
        k = 1
        while k * STEP < abs(pose.arm_flexion) - 1e-9:
            place_ = add(replace(pose, arm_flexion=sign * k * STEP), place_)
            k += 1
        if abs(pose.arm_flexion) > 0.0:
            on_grid = abs(abs(pose.arm_flexion) - k * STEP) < 1e-9
            place_ = add(replace(pose, arm_flexion=sign * k * STEP) if on_grid else pose, place_)
        asked.append(place_)
    return tuple(stations), np.array(before, dtype=np.intp), tuple(asked)


def follow(
    harness: Harness,
    poses: Sequence[Pose],
    law: Callable[[Pose, float], tuple[float, ...]],
    near: Followed | None = None,
) -> Followed:
    """Don a harness and follow the motion to each pose.

    Parameters
    ----------
    harness : Harness
        The harness
    poses : sequence of Pose
        Poses asked for
    law : callable
        From a pose and the control strap's snug length [m] to stiffness [N/m], force at which
        the device moves [N], its rise [N/m], force at full travel [N] and, if it is not always
        nothing, the cable that the elbow has taken up [m]
    near : Followed, optional
        The answer to a similar question: what is the same in both is taken over, the rest starts there

    Returns
    -------
    Followed
        The settled motion
    """
    shape = built(harness.wearer)
    stations, before, asked = itinerary(poses)
    count = len(stations)
    bodies = place(shape, np.zeros(count, dtype=np.intp), stations)
    front, control = ends(harness, bodies)
    there = near is not None and _same_place(near.harness, harness)
    if near is not None and not (there or _close(near.harness, harness)):
        near = None  # a long way from there to here could leave a strap on the wrong side of something
    donned = near.donned if near is not None and there else don(harness, None if near is None else near.donned.nodes)
    index = {pose: k for k, pose in enumerate(near.poses)} if near is not None and there else {}
    known = np.array([index.get(pose, -1) for pose in stations])
    ring = np.repeat(donned.ring[None], count, axis=0)
    legs = legs_at(shape, bodies, stations, donned)
    fronts, held = _outer(harness, stations, donned, near, known)
    laws = np.array([law(pose, float(donned.length[CONTROL])) for pose in stations]).T
    let_out = harness.axilla_loop * donned.length[:2] / donned.length[:2].sum()
    free = donned.length[CONTROL] + harness.control_strap - (laws[4] if len(laws) > 4 else np.zeros(count))
    control_law = Pull(free, *laws[:4])
    ask = Stations(
        bodies.surface,
        before,
        ring,
        front,
        control,
        legs[0][:, -1],
        _webbing(donned.length[OVER] + let_out[0], count),
        _webbing(donned.length[UNDER] + let_out[1], count),
        _webbing(donned.length[FRONT], count),
        control_law,
        harness.skin,
        _ring_friction(harness, bodies, held, control_law),
        _loop_ratio(harness, legs),
        np.zeros(count),
    )
    if near is not None and near.harness == harness and _same_law(near.law, control_law, known):
        runs = np.stack([*legs, fronts, held.nodes])
        net = resume(ask, near.net, known, runs)
    else:
        net = settle(ask, ring, np.stack([*legs, fronts, held.nodes]))
    return Followed(harness, stations, asked, donned, net, held, fronts, control_law)


def _close(one: Harness, other: Harness) -> bool:
    """Whether one harness lies so near the other that straps find their way from there."""
    return one.wearer == other.wearer and all(
        abs(getattr(one, name) - getattr(other, name)) <= NEAR for name in ("ring_below_c7", "ring_to_sound_side")
    )


def _same_place(one: Harness, other: Harness) -> bool:
    """Whether two harnesses lie alike before any strap is let out."""
    return replace(one, control_strap=0.0, axilla_loop=0.0, skin=other.skin) == replace(
        other, control_strap=0.0, axilla_loop=0.0
    )


def _same_law(one: Pull, other: Pull, known: Index) -> bool:
    mine = np.flatnonzero(known >= 0)
    pairs = ((getattr(one, f.name)[known[mine]], getattr(other, f.name)[mine]) for f in fields(Pull))
    return all(np.array_equal(a, b) for a, b in pairs)


def _nearest(pose: Pose, others: Sequence[Pose]) -> int:
    gaps = [sum(abs(getattr(pose, f.name) - getattr(o, f.name)) for f in fields(Pose)) for o in others]
    return int(np.argmin(gaps))


def _outer(
    harness: Harness, poses: Sequence[Pose], donned: Donned, near: Followed | None, known: Index
) -> tuple[Array, Paths]:
    """Anterior and control strap with the ring held."""
    count, new = len(poses), np.flatnonzero(known < 0)
    nodes = np.empty((2, count, route.NODES, 3))
    press, settled = np.zeros((count, route.NODES)), np.ones(count, dtype=bool)
    if near is not None and (known >= 0).any():
        mine, theirs = np.flatnonzero(known >= 0), known[known >= 0]
        nodes[0, mine], nodes[1, mine] = near.fronts[theirs], near.held.nodes[theirs]
        press[mine], settled[mine] = near.held.press[theirs], near.held.settled[theirs]
    if new.size:
        shape, some = built(harness.wearer), [poses[int(k)] for k in new]
        bodies = place(shape, np.zeros(new.size, dtype=np.intp), some)
        front, control = ends(harness, bodies)
        ring = np.repeat(donned.ring[None], new.size, axis=0)
        if near is not None:
            like = [_nearest(pose, near.poses) for pose in some]
            runs = pin(np.stack([near.fronts[like], near.held.nodes[like]]), (ring, ring), (front, control))
        else:
            runs = route.outer_guess(shape, np.zeros(new.size, dtype=np.intp), bodies, ring, front, control)
        taut = tighten(bodies.surface, np.tile(np.arange(new.size), 2), runs.reshape(-1, route.NODES, 3))
        nodes[:, new] = taut.nodes.reshape(2, new.size, route.NODES, 3)
        press[new], settled[new] = taut.press[new.size :], taut.settled[new.size :]
    return nodes[0], Paths(nodes[1], press, settled, 0)


def _ring_friction(harness: Harness, bodies: Posed, held: Paths, law: Pull) -> Array:
    """Friction limit of the ring: what the control strap would press on the back, were the ring held."""
    skin, count = harness.skin, len(held.nodes)
    tension = law.pull(held.length)[0]
    first = held.nodes[:, 1] - held.nodes[:, 0]
    heading = first / np.linalg.norm(first, axis=1, keepdims=True)
    _, gradient = bodies.surface.at(np.arange(count)).slope(np.ascontiguousarray(held.nodes[:, 0].T))
    inward = np.maximum(-(heading.T * gradient).sum(axis=0), 0.0)
    return np.asarray(skin.friction * (skin.floor + tension * (inward + turning(held.nodes, skin.reach))))


def _loop_ratio(harness: Harness, legs: tuple[Array, Array]) -> Array:
    """Largest ratio of the loop's tensions, from how far it turns round the shoulder."""
    over, under = legs
    last, first = over[:, -1] - over[:, -2], under[:, -2] - under[:, -1]
    joint = np.stack([np.zeros_like(last), last, last + first], axis=1)
    return np.asarray(np.exp(harness.skin.loop_friction * (turning(over) + turning(under) + turning(joint))))


def moment_arm(harness: Harness, poses: Sequence[Pose], held: Paths) -> Array:
    r"""Moment arm of the control strap about arm flexion, ring held.

    .. math:: r = \frac{dl}{d\theta}

    Parameters
    ----------
    harness : Harness
        The harness
    poses : sequence of Pose
        Poses
    held : Paths
        Taut control straps, one a pose

    Returns
    -------
    ndarray
        Moment arms [m], shape (poses,)

    Notes
    -----
    Central difference of the length, arm and skin turned a little each way. Both paths take one
    Newton step from the taut one, which leaves an error of second order in the turn.
    """
    shape, turn = built(harness.wearer), 1e-4
    count = len(poses)
    who = np.zeros(2 * count, dtype=np.intp)
    moved = place(shape, who, [*poses, *poses], more_flexion=np.repeat([turn, -turn], count))
    chain = Chain(moved.surface, np.arange(2 * count), np.tile(held.nodes, (2, 1, 1)))
    chain.x[:, -1] = ends(harness, moved)[1]
    chain.move(chain.step()[0])
    more, less = path_length(chain.x).reshape(2, count)
    return np.asarray((more - less) / (2.0 * turn))


def _webbing(free: float, count: int) -> Webbing:
    each = np.full(count, free)
    return Webbing(each, WEBBING / each)
