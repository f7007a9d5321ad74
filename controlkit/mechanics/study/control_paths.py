"""The control path of many wearers at once: followed from the hanging arm, the ring held where it was donned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import LinAlgError

from controlkit.mechanics.body.placed import Posed, place
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.shape import Build, build
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.layout import CONTROL_RUN
from controlkit.mechanics.harness.route import Bodies, Span
from controlkit.mechanics.surface.taut import Draft, tighten
from controlkit.units import InputError

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Mask = NDArray[np.bool_]

RUN = replace(CONTROL_RUN, nodes=33)
"""The control strap, with fewer nodes than in a net."""
TURN = 1e-4
"""Arm turned each way for the moment arm [rad]."""
CALM = 1e-4
"""A path whose nodes move less leaves the batch; one more step comes with the moment arm [m]."""
STILL = 1e-5
"""A path that moves further in that last step is taken up again [m]. A node about to touch or to leave moves less."""
JUMP = 1e-3
"""Where a length grows by more or less than its rates say, the step is gone again in small ones [m]."""
SMALL = 3
"""Small steps in such a step [-]."""


@dataclass(frozen=True, kw_only=True)
class RingPlacement:
    """Where a harness lies on everybody.

    Attributes
    ----------
    ring_below_c7, ring_to_sound_side : float
        The ring [m]
    crossbar : float
        Where the cable meets the crossbar, share of the upper arm [-]
    """

    ring_below_c7: float
    ring_to_sound_side: float
    crossbar: float


def control_paths(wearers: Sequence[Wearer], where: RingPlacement, flexion: Sequence[float]) -> tuple[Array, Array]:
    """Length of the control strap and its moment arm, the ring held, for many wearers.

    Parameters
    ----------
    wearers : sequence of Wearer
        Who wears it, all of one sex
    where : RingPlacement
        Where the harness lies
    flexion : sequence of float
        Rising angles of arm flexion, in steps of some 15 degrees [rad], shape (angles,)

    Returns
    -------
    length : ndarray
        From ring to crossbar [m], shape (wearers, angles)
    arm : ndarray
        Its rate of change with arm flexion [m], shape (wearers, angles)

    Notes
    -----
    A wearer without an answer has nan. Each pose starts from the one before, led on by how the path
    moves there; paths that have settled leave the batch. Where a length does not grow as its rate says,
    the strap may have been led astray: the step is gone again in small ones. A jump that is still there
    is the strap's own: it snaps from under the deltoid to the top of it.

    Predictor and corrector of numerical continuation (E. L. Allgower and K. Georg, Introduction to Numerical
    Continuation Methods, 1990; cited from memory). Costs O(wearers x angles x nodes), times a few Newton steps each.

    Examples
    --------
    >>> where = RingPlacement(ring_below_c7=0.06, ring_to_sound_side=0.025, crossbar=0.55)
    >>> length, arm = control_paths([Wearer.average("male")], where, [0.0, 0.2])
    >>> bool(abs((length[0, 1] - length[0, 0]) / 0.2 - arm[0].mean()) < 1e-3)
    True
    """
    try:
        first = np.repeat(_average_path(wearers[0].sex, where), len(wearers), axis=0)
        return _follow(build(wearers), where, flexion, first)
    except (InputError, LinAlgError):
        # one body that cannot be solved would take the others of its batch along
        if len(wearers) == 1:
            return np.full((1, len(flexion)), np.nan), np.full((1, len(flexion)), np.nan)
        half = len(wearers) // 2
        parts = [control_paths(some, where, flexion) for some in (wearers[:half], wearers[half:])]
        return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts])


def _follow(shape: Build, where: RingPlacement, flexion: Sequence[float], first: Array) -> tuple[Array, Array]:
    """Lengths and moment arms of a batch, every pose led on from the one before."""
    count = len(shape.arm)
    who = np.arange(count)
    length, arm = np.empty((count, len(flexion))), np.empty((count, len(flexion)))
    ring = np.empty((count, 3))
    step, nodes, before, rate = 0.0, first, first, first
    for k, angle in enumerate(flexion):
        pose = Pose(arm_flexion=angle)
        bodies = place(shape, who, [pose] * count)
        if k == 0:
            ring, start = _ring(shape, bodies, where), first
        else:
            # a parabola through the last two poses, with the rate at the later one
            past, step = step, angle - flexion[k - 1]
            bent = (step / past) ** 2 * (past * rate - (nodes - before)) if k > 1 else 0.0
            before, start = nodes, nodes + step * rate + bent
        led = Draft(who, start, (ring, _crossbar(shape, who, bodies, where)))
        nodes = tighten(bodies.surface, [led], limit=60, calm=CALM)[0].nodes
        length[:, k], arm[:, k], rate, off = _moment_arms(shape, who, where, pose=pose, nodes=nodes)
        sure = off < STILL
        if k > 0:
            sure &= np.abs(np.diff(length)[:, k - 1] - 0.5 * step * (arm[:, k - 1] + arm[:, k])) < JUMP
        again = np.flatnonzero(~sure)
        if again.size:
            way = np.linspace(flexion[k - 1], angle, SMALL + 1)[1:] if k > 0 else np.zeros(1)
            last = before[again] if k > 0 else None
            nodes[again], settled = _step_by_step(shape, again, where, ring=ring[again], nodes=last, flexion=way)
            length[again, k], arm[again, k], rate[again], _ = _moment_arms(
                shape, again, where, pose=pose, nodes=nodes[again]
            )
            length[again[~settled], k] = np.nan
    lost = ~np.isfinite(length).all(axis=1)
    length[lost], arm[lost] = np.nan, np.nan
    return length, arm


def _step_by_step(
    shape: Build, who: Index, where: RingPlacement, *, ring: Array, nodes: Array | None, flexion: Array
) -> tuple[Array, Mask]:
    """Paths of some wearers, followed in small steps without looking ahead; from a rough guess if need be."""
    settled = np.ones(len(who), dtype=bool)
    for angle in flexion:
        bodies = place(shape, who, [Pose(arm_flexion=float(angle))] * len(who))
        end = _crossbar(shape, who, bodies, where)
        if nodes is None:
            nodes = route.control_strap(Span(run=RUN, bodies=Bodies(shape, who, bodies), start=ring, end=end))
        (taut,) = tighten(bodies.surface, [Draft(np.arange(len(who)), nodes, (ring, end))], limit=400)
        nodes, settled = taut.nodes, taut.settled
    assert nodes is not None
    return nodes, settled


def _crossbar(shape: Build, who: Index, bodies: Posed, where: RingPlacement) -> Array:
    """Where each cable meets the crossbar."""
    return route.crossbar_point(bodies, shape.upper_arm[who], where.crossbar)


def _ring(shape: Build, bodies: Posed, where: RingPlacement) -> Array:
    """Where each ring lies."""
    count = len(shape.arm)
    height, side = shape.height["c7"] - where.ring_below_c7, np.full(count, -where.ring_to_sound_side)
    return route.on_back(bodies.surface, np.arange(count), height, side)


@lru_cache(maxsize=16)
def _average_path(sex: str, where: RingPlacement) -> Array:
    """The path of the average wearer, arm hanging: from there it is not far to anybody's."""
    shape, who = build([Wearer.average(sex)]), np.zeros(1, dtype=np.intp)
    bodies = place(shape, who, [Pose()])
    ring = _ring(shape, bodies, where)
    return _step_by_step(shape, who, where, ring=ring, nodes=None, flexion=np.zeros(1))[0]


def _moment_arms(
    shape: Build, who: Index, where: RingPlacement, *, pose: Pose, nodes: Array
) -> tuple[Array, Array, Array, Array]:
    """One Newton step with the arm turned each way: length, its rate, the nodes' rate, and their step unturned [m]."""
    count, twice = len(who), np.tile(who, 2)
    moved = place(shape, twice, [pose] * (2 * count), more_flexion=np.repeat([TURN, -TURN], count))
    start = np.tile(nodes, (2, 1, 1))
    ends = start[:, 0], _crossbar(shape, twice, moved, where)
    (led,) = tighten(moved.surface, [Draft(np.arange(2 * count), start, ends)], limit=1)
    more, less = led.length.reshape(2, count)
    ahead, behind = led.nodes.reshape(2, *nodes.shape)
    off = np.abs(0.5 * (ahead + behind) - nodes).max(axis=(1, 2))
    return 0.5 * (more + less), (more - less) / (2.0 * TURN), (ahead - behind) / (2.0 * TURN), off
