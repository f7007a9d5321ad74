"""Donning a harness and following a motion from there, by one fixed rule.

Rule: the harness is put on with the arm hanging; the wearer takes up the posture (everything
but arm flexion) in one step, then flexes or extends the arm in steps of 15 degrees, and stops at
the angle asked for. The same question therefore has the same answer, however it was reached.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ...units import InputError, show
from ..body import Build, Pose, Posed, place
from ..outline import built
from ..surfaces import Union
from ..taut import Paths, tighten
from . import route
from .laws import WEBBING, Pull, Webbing
from .loop import split
from .net import CONTROL, FRONT, OVER, UNDER, NetState, Stations, settle, turning
from .pattern import Harness

Array = NDArray[np.float64]
Index = NDArray[np.intp]

STEP = float(np.deg2rad(15.0))
"""Step in which arm flexion is followed [rad]."""
REST = Pose()
LEAST_LOOP = 0.25
"""A loop shorter than this has slid off the shoulder [m]."""


@dataclass(frozen=True)
class Donned:
    """A harness as put on, arm hanging, before any pull.

    Attributes
    ----------
    ring : ndarray
        Where the fitter put the ring [m], shape (3,)
    length : ndarray
        Snug lengths: loop over the shoulder, loop under the arm, anterior, control [m], shape (4,)
    nodes : ndarray
        Runs of the whole loop, the anterior support strap and the control strap [m], shape (3, 1, nodes, 3)
    """

    ring: Array
    length: Array
    nodes: Array


@dataclass(frozen=True)
class Guess:
    """Runs of an earlier, similar question: a start that makes the next one faster, never different.

    Attributes
    ----------
    donned : ndarray
        Donned straps [m], shape (3, 1, nodes, 3)
    ring : ndarray
        Rings [m], shape (stations, 3)
    nodes : ndarray
        Runs as in the net [m], shape (4, stations, nodes, 3)
    held : ndarray
        Control strap with the ring held [m], shape (stations, nodes, 3)
    """

    donned: Array
    ring: Array
    nodes: Array
    held: Array


@dataclass(frozen=True)
class Followed:
    """A motion followed from donning.

    Attributes
    ----------
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
    arm : ndarray
        Moment arm of that strap about arm flexion [m], shape (stations,)
    law : Pull
        Law of the control strap at every station
    """

    poses: tuple[Pose, ...]
    asked: tuple[int, ...]
    donned: Donned
    net: NetState
    held: Paths
    arm: Array
    law: Pull

    @property
    def guess(self) -> Guess:
        """A start for the next question."""
        return Guess(self.donned.nodes, self.net.ring, self.net.nodes, self.held.nodes)


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


def don(harness: Harness, near: Array | None = None) -> Donned:
    """Put a harness on: the ring where the fitter wants it, every strap just snug.

    Parameters
    ----------
    harness : Harness
        The harness
    near : ndarray, optional
        Runs of a similar harness to start from [m], shape (3, 1, nodes, 3)

    Returns
    -------
    Donned
        Ring, snug lengths and runs

    Raises
    ------
    InputError
        If the axilla loop has no hold on the sound shoulder with the ring there
    """
    shape = built(harness.wearer)
    body = place(shape, np.zeros(1, dtype=np.intp), [REST])
    ring = route.on_back(
        body.surface,
        np.zeros(1, dtype=np.intp),
        shape.height["c7"] - harness.ring_below_c7,
        np.array([-harness.ring_to_sound_side]),
    )
    front, control = _ends(harness, body)
    if near is None:
        nodes = route.first_guess(shape, np.zeros(1, dtype=np.intp), body, ring, front, control)
    else:
        nodes = _pin(near, (ring, ring, ring), (ring, front, control))
    taut = tighten(body.surface, np.zeros(3, dtype=np.intp), nodes[:, 0])
    if not taut.settled.all() or taut.length[0] < LEAST_LOOP:
        raise InputError(
            f"With the ring {show(harness.ring_below_c7, 'length')} below C7 and "
            f"{show(harness.ring_to_sound_side, 'length')} to the sound side the axilla loop has no hold on the "
            "sound shoulder. Move the ring towards the sound side or further down."
        )
    pair = np.concatenate(_split(body.surface, np.zeros(1, dtype=np.intp), taut.nodes[:1]))
    legs = tighten(body.surface, np.zeros(2, dtype=np.intp), pair)
    return Donned(ring[0], np.concatenate([legs.length, taut.length[1:]]), taut.nodes[:, None])


def follow(
    harness: Harness,
    poses: Sequence[Pose],
    law: Callable[[Pose, float], tuple[float, float, float, float]],
    near: Guess | None = None,
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
        the device moves [N], its rise [N/m] and force at full travel [N]
    near : Guess, optional
        Runs of a similar question

    Returns
    -------
    Followed
        The settled motion
    """
    shape = built(harness.wearer)
    stations, before, asked = itinerary(poses)
    count = len(stations)
    who = np.zeros(count, dtype=np.intp)
    bodies = place(shape, who, stations)
    front, control = _ends(harness, bodies)
    donned = don(harness, near.donned if near is not None else None)
    ring = np.repeat(donned.ring[None], count, axis=0)
    legs = _legs(shape, bodies, stations, donned)
    armpit = legs[0][:, -1]
    if near is not None and near.nodes.shape[1] == count:
        start = near.ring + (donned.ring - near.donned[0, 0, 0])
        nodes = _pin(near.nodes, (start,) * 4, (armpit, armpit, front, control))
        held_start = _pin(near.held[None], (ring,), (control,))[0]
        held = tighten(bodies.surface, np.arange(count), held_start)
    else:
        start = ring
        rough = route.first_guess(shape, who, bodies, ring, front, control)[1:]
        taut = tighten(bodies.surface, np.tile(np.arange(count), 2), rough.reshape(-1, *rough.shape[2:]))
        both = taut.nodes.reshape(rough.shape)
        held = Paths(both[1], taut.press.reshape(2, count, -1)[1], taut.settled[count:], taut.iterations)
        nodes = np.stack([*legs, *both])
    laws = np.array([law(pose, float(donned.length[CONTROL])) for pose in stations]).T
    let_out = harness.axilla_loop * donned.length[:2] / donned.length[:2].sum()
    control_law = Pull(np.full(count, donned.length[CONTROL] + harness.control_strap), *laws)
    ask = Stations(
        bodies.surface,
        before,
        ring,
        front,
        control,
        armpit,
        _webbing(donned.length[OVER] + let_out[0], count),
        _webbing(donned.length[UNDER] + let_out[1], count),
        _webbing(donned.length[FRONT], count),
        control_law,
        harness.skin,
        _ring_friction(harness, bodies, held, control_law),
        _loop_ratio(harness, legs),
        np.zeros(count),
    )
    net = settle(ask, start, nodes)
    return Followed(stations, asked, donned, net, held, moment_arm(harness, stations, held), ask.control)


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


def _legs(shape: Build, bodies: Posed, poses: Sequence[Pose], donned: Donned) -> tuple[Array, Array]:
    """The two legs of the loop at every station, ring held; they change only with the sound side."""
    sound = [(p.sound_arm_abduction, p.sound_scapular_abduction) for p in poses]
    kinds = list(dict.fromkeys(sound))
    first = np.array([sound.index(kind) for kind in kinds])
    loops = np.repeat(donned.nodes[0], len(kinds), axis=0)
    if len(kinds) > 1:
        some = place(shape, np.zeros(len(kinds), dtype=np.intp), [poses[k] for k in first])
        who, ring = np.zeros(len(kinds), dtype=np.intp), np.repeat(donned.ring[None], len(kinds), axis=0)
        rough = route.first_guess(shape, who, some, ring, ring, ring)[0]
        loops = tighten(bodies.surface, first, rough).nodes
    over, under = _split(bodies.surface, first, loops)
    each = np.array([kinds.index(kind) for kind in sound])
    return over[each], under[each]


def _split(union: Union, body: Index, loops: Array) -> tuple[Array, Array]:
    """Legs of loops that meet on the skin under the armpit: the point between nodes lies a trace inside."""
    over, under = split(loops, route.NODES)
    field, points = union.at(body), np.ascontiguousarray(over[:, -1].T)
    for _ in range(3):
        value, gradient = field.slope(points)
        points = points - value / (gradient * gradient).sum(axis=0) * gradient
    over[:, -1] = under[:, -1] = points.T
    return over, under


def moment_arm(harness: Harness, poses: Sequence[Pose], held: Paths) -> Array:
    r"""Moment arm of the control strap about arm flexion, ring held.

    .. math:: r = \frac{dl}{d\theta} = \frac{N}{l}\left((x_N - x_{N-1})\cdot\dot{x}_N
              - \sum_i p_i\, \frac{\partial f}{\partial\theta}(x_i)\right)

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
    The path is shortest, so that its own change of shape does not count, but the body that it
    presses on moves with the arm, and that does: the second term.
    """
    shape, turn = built(harness.wearer), 1e-4
    count, nodes = held.nodes.shape[:2]
    ends, values = [], []
    flat = np.ascontiguousarray(held.nodes.reshape(-1, 3).T)
    for sign in (1.0, -1.0):
        moved = place(shape, np.zeros(count, dtype=np.intp), poses, more_flexion=sign * turn)
        ends.append(_ends(harness, moved)[1])
        values.append(moved.surface.at(np.repeat(np.arange(count), nodes)).value(flat).reshape(count, nodes))
    speed, swell = (ends[0] - ends[1]) / (2.0 * turn), (values[0] - values[1]) / (2.0 * turn)
    last = held.nodes[:, -1] - held.nodes[:, -2]
    work = (last * speed).sum(axis=1) - (held.press * swell).sum(axis=1)
    return np.asarray((nodes - 1) * work / held.length)


def _ends(harness: Harness, bodies: Posed) -> tuple[Array, Array]:
    upper = np.repeat(built(harness.wearer).upper_arm, len(bodies.arm))
    share = np.full(len(bodies.arm), float(harness.crossbar))
    return route.front_point(bodies, upper), route.crossbar_point(bodies, upper, share)


def _webbing(free: float, count: int) -> Webbing:
    each = np.full(count, free)
    return Webbing(each, WEBBING / each)


def _pin(nodes: Array, starts: tuple[Array, ...], ends: tuple[Array, ...]) -> Array:
    """Runs of a similar question, bent so that their ends are where they must be now."""
    share = np.linspace(0.0, 1.0, nodes.shape[2])[None, :, None]
    out = np.empty_like(nodes)
    for k, (start, end) in enumerate(zip(starts, ends, strict=True)):
        first, last = (start - nodes[k, :, 0])[:, None], (end - nodes[k, :, -1])[:, None]
        out[k] = nodes[k] + (1.0 - share) * first + share * last
    return out
