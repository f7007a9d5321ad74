"""Donning a harness and following a motion from there, by one fixed rule.

Rule: the harness is put on with the arm hanging; the wearer takes up the posture (everything
but arm flexion) in one step, then flexes or extends the arm in steps of 15 degrees, and stops at
the angle asked for. The same question therefore has the same answer, however it was reached.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from ..body import Pose, Posed, place
from ..outline import built
from ..surfaces import Union
from ..taut import Paths, tighten
from . import route
from .laws import WEBBING, Pull, Webbing
from .net import CONTROL, FRONT, LOOP, NetState, Stations, settle
from .pattern import Harness

Array = NDArray[np.float64]
Index = NDArray[np.intp]

STEP = float(np.deg2rad(15.0))
"""Step in which arm flexion is followed [rad]."""
REST = Pose()


@dataclass(frozen=True)
class Donned:
    """A harness as put on, arm hanging, before any pull.

    Attributes
    ----------
    ring : ndarray
        Where the fitter put the ring [m], shape (3,)
    length : ndarray
        Snug lengths of the three straps [m], shape (3,)
    nodes : ndarray
        Their run [m], shape (3, 1, nodes, 3)
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
        Straps [m], shape (3, stations, nodes, 3)
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
    """
    shape = built(harness.wearer)
    body = place(shape, np.zeros(1, dtype=np.intp), [REST])
    ring = route.on_back(
        body.surface, np.zeros(1, dtype=np.intp),
        shape.height["c7"] - harness.ring_below_c7, np.array([-harness.ring_to_sound_side]),
    )
    front, control = _ends(harness, body)
    if near is None:
        nodes = route.first_guess(shape, np.zeros(1, dtype=np.intp), body, ring, front, control)
    else:
        nodes = _pin(near, ring, front, control)
    taut = tighten(body.surface, np.zeros(3, dtype=np.intp), nodes[:, 0])
    return Donned(ring[0], taut.length, taut.nodes[:, None])


def follow(
    harness: Harness, poses: Sequence[Pose], law: Callable[[Pose, float], tuple[float, float, float, float]],
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
    usable = near is not None and near.nodes.shape[1] == count
    donned = don(harness, near.donned if near is not None else None)
    ring = np.repeat(donned.ring[None], count, axis=0)
    if near is not None and usable:
        start = near.ring + (donned.ring - near.donned[LOOP, 0, 0])
        nodes = _pin(near.nodes, start, front, control)
        held_start = _pin(np.stack([near.nodes[LOOP], near.nodes[FRONT], near.held]), ring, front, control)[CONTROL]
    else:
        start = ring
        nodes = route.first_guess(shape, who, bodies, ring, front, control)
        held_start = nodes[CONTROL]
    held = tighten(bodies.surface, np.arange(count), held_start)
    laws = np.array([law(pose, float(donned.length[CONTROL])) for pose in stations]).T
    ask = Stations(
        bodies.surface, before, ring, front, control,
        _webbing(donned.length[LOOP], harness.axilla_loop, count),
        _webbing(donned.length[FRONT], 0.0, count),
        Pull(np.full(count, donned.length[CONTROL] + harness.control_strap), *laws),
        harness.skin,
    )
    if not usable:
        nodes = np.concatenate([nodes[:CONTROL], held.nodes[None]])
        loops = tighten(bodies.surface, np.tile(np.arange(count), 2), nodes[:CONTROL].reshape(-1, *nodes.shape[2:]))
        nodes[:CONTROL] = loops.nodes.reshape(nodes[:CONTROL].shape)
    net = settle(ask, start, nodes)
    return Followed(
        stations, asked, donned, net, held, moment_arm(harness, stations, bodies.surface, held), ask.control
    )


def moment_arm(harness: Harness, poses: Sequence[Pose], union: Union, held: Paths) -> Array:
    r"""Moment arm of the control strap about arm flexion, ring held.

    .. math:: r = \frac{dl}{d\theta} = \frac{N}{l}\left((x_N - x_{N-1})\cdot\dot{x}_N
              - \sum_i p_i\, \frac{\partial f}{\partial\theta}(x_i)\right)

    Parameters
    ----------
    harness : Harness
        The harness
    poses : sequence of Pose
        Poses
    union : Union
        Their surfaces
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


def _webbing(snug: float, let_out: float, count: int) -> Webbing:
    free = np.full(count, snug + let_out)
    return Webbing(free, WEBBING / free)


def _pin(nodes: Array, ring: Array, front: Array, control: Array) -> Array:
    """Straps of a similar question, bent so that their ends are where they must be now."""
    share = np.linspace(0.0, 1.0, nodes.shape[2])[None, :, None]
    out = np.empty_like(nodes)
    for k, end in ((LOOP, ring), (FRONT, front), (CONTROL, control)):
        first, last = (ring - nodes[k, :, 0])[:, None], (end - nodes[k, :, -1])[:, None]
        out[k] = nodes[k] + (1.0 - share) * first + share * last
    return out
