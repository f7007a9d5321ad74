"""What a harness captures of a motion against a constant pull: one table that answers for every load and loop."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.chain.generated import generated
from controlkit.mechanics.harness.laws import CableLaw, Law
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.pattern import Harness

Array = NDArray[np.float64]

PULLS = (5.0, 15.0, 35.0, 65.0, 110.0, 170.0)
"""Pulls at the harness for which the straps are settled [N]."""
STEP = float(np.deg2rad(15.0))
"""Step of arm flexion between those stations [rad]."""
_DRAWN = 1e-4  # [m] travel below which the pull has not been reached yet
_ENDLESS = 1e6  # [N] beyond any pull


@dataclass(frozen=True, kw_only=True)
class Capture:
    """Travel that a harness captures of arm flexion, by the pull against which it does so.

    Attributes
    ----------
    arm_flexion : ndarray
        Arm flexion, rising [rad], shape (flexions,)
    pull : ndarray
        Tension of the control strap, rising [N], shape (pulls,)
    travel : ndarray
        Travel of the cable, from the control strap as its buckle sets it, the arm hanging and no pull; negative where
        the pull has not been reached yet [m], shape (pulls, flexions)
    generated : ndarray
        What the motion would give if nothing stretched [m], shape (flexions,)
    settled : bool
        Whether all straps settled

    Notes
    -----
    At every station the cable stood still until the motion had made the pull, and has yielded to it since. Before that,
    travel is carried on in a line, below nought; between stations and pulls it follows monotone cubics, the latter over
    the logarithm of the pull. Below the least pull it is that of the least; beyond the greatest there is none.

    Limits: skin and loop remember a pull that was greater before and has fallen since, as when a forearm comes up. That
    is left out here. `tests/laws/test_dual.py` follows one whole lift, and opening at a locked elbow, with that memory:
    3 mm apart at most above 20 N, and more below, where captured is then too large.
    """

    arm_flexion: Array
    pull: Array
    travel: Array
    generated: Array
    settled: bool

    def at(self, arm_flexion: Array | float, pull: Array | float) -> Array:
        """Travel at some arm flexions, each against its own pull.

        Parameters
        ----------
        arm_flexion : float or ndarray
            Within the motion [rad], any shape
        pull : float or ndarray
            Tension of the control strap [N], any shape that goes with it

        Returns
        -------
        ndarray
            Travel; minus infinity beyond the greatest pull [m], shape of both together
        """
        flexion, force = np.asarray(arm_flexion, dtype=float), np.asarray(pull, dtype=float)
        shape = np.broadcast_shapes(flexion.shape, force.shape)
        count = len(self.pull)
        own = _monotone(self.arm_flexion, self.travel, np.broadcast_to(flexion.ravel(), (count, flexion.size)))
        bare = own.reshape(count, *(1,) * (len(shape) - flexion.ndim), *flexion.shape)
        against = np.broadcast_to(bare, (count, *shape)).reshape(count, -1)
        held = np.broadcast_to(force, shape)
        log = np.log(np.clip(held.ravel(), self.pull[0], self.pull[-1]))
        found = _monotone(np.log(self.pull), against.T, log[:, None])
        return np.where(held <= self.pull[-1], found.reshape(shape), -np.inf)

    def gives(self, arm_flexion: Array | float) -> Array:
        """Generated excursion at some arm flexions.

        Parameters
        ----------
        arm_flexion : float or ndarray
            Within the motion [rad], any shape

        Returns
        -------
        ndarray
            Generated excursion [m], same shape
        """
        flexion = np.asarray(arm_flexion, dtype=float)
        return _monotone(self.arm_flexion, self.generated[None], flexion.reshape(1, -1)).reshape(flexion.shape)


def capture(
    harness: Harness, base: Pose, furthest: float, cable_give: float, *, pulls: Sequence[float] = PULLS
) -> Capture:
    """Follow arm flexion on a harness against one constant pull after the other.

    Parameters
    ----------
    harness : Harness
        The harness
    base : Pose
        All other angles of the motion
    furthest : float
        Arm flexion at the motion's end [rad]
    cable_give : float
        How much the cable stretches [m/N]
    pulls : sequence of float
        Pulls at the control strap, rising [N], shape (pulls,)

    Returns
    -------
    Capture
        The table

    Notes
    -----
    Costs as many runs of the solver as there are pulls, each from the one before.
    """
    flexions = np.linspace(0.0, furthest, max(int(np.ceil(furthest / STEP - 1e-9)), 1) + 1)
    poses = [replace(base, arm_flexion=float(a)) for a in flexions]
    rows: list[Array] = []
    near: Followed | None = None
    own, settled = np.zeros(len(flexions)), True
    for pull in pulls:
        near = follow(harness, poses, constant(pull, cable_give), near)
        row = _carried_back(near.travel[list(near.asked)], rows[-1] if rows else None)
        if row is None:
            break
        rows.append(row)
        settled = settled and bool(near.net.settled.all())
        own = generated(near)[list(near.asked)]
    return Capture(
        arm_flexion=flexions, pull=np.array(pulls[: len(rows)]), travel=np.array(rows), generated=own, settled=settled
    )


def constant(pull: float, cable_give: float) -> Law:
    """Law of a cable that stays where it is below a force, and is drawn with that force.

    Parameters
    ----------
    pull : float
        The force [N]
    cable_give : float
        How much the cable stretches [m/N]

    Returns
    -------
    callable
        As `harness.motion.follow` takes it
    """

    def law(pose: Pose, strap_give: float) -> CableLaw:  # noqa: ARG001
        return CableLaw(stiffness=1.0 / (strap_give + cable_give), start=pull, rise=0.0, full=_ENDLESS)

    return law


def _carried_back(travel: Array, before: Array | None) -> Array | None:
    """Travel, carried on in a line to where the pull is not reached yet; none where it never is."""
    drawn = np.flatnonzero(travel > _DRAWN)
    if not len(drawn):
        return None
    first = int(drawn[0])
    if first == 0:
        return travel
    if first < len(travel) - 1:
        step = travel[first + 1] - travel[first]
    else:
        step = before[-1] - before[-2] if before is not None else travel[first]
    back = travel[first] - step * np.arange(first, 0, -1)
    if before is not None:
        back = np.minimum(back, before[:first])  # a greater pull is not reached any earlier
    return np.concatenate([back, travel[first:]])


def _monotone(x: Array, y: Array, at: Array) -> Array:
    """Cubics that turn nowhere between their points: y of shape (rows, x), at and what comes of it (rows, wanted)."""
    step = np.diff(x)
    rise = np.diff(y) / step
    one, two = rise[:, :-1], rise[:, 1:]
    same = one * two > 0.0
    heavy, light = 2.0 * step[1:] + step[:-1], step[1:] + 2.0 * step[:-1]
    mean = (heavy + light) / (heavy / np.where(same, one, 1.0) + light / np.where(same, two, 1.0))
    slope = np.concatenate([rise[:, :1], np.where(same, mean, 0.0), rise[:, -1:]], axis=1)
    k = np.clip(np.searchsorted(x, at, side="right") - 1, 0, len(step) - 1)
    t, h = (at - x[k]) / step[k], step[k]
    low, high, first, last = (
        np.take_along_axis(v, j, axis=1) for v, j in ((y, k), (y, k + 1), (slope, k), (slope, k + 1))
    )
    rest = 1.0 - t
    return np.asarray(
        rest**2 * (low * (1.0 + 2.0 * t) + h * first * t) + t**2 * (high * (1.0 + 2.0 * rest) - h * last * rest)
    )
