"""The axilla loop as two legs that meet under the armpit, where friction lets them differ."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.laws import TOE, Webbing
from controlkit.mechanics.surface.taut import resample

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

STILL = 1e-9
"""A loop that creeps less stands still [m]."""

MOST, CLOSE = 30, 1e-9
"""Steps to a limit of a loop's tensions, at most, and the share of a tension that ends them [-]."""

OUT = np.array([0.0, 1.0, 1.0]) / np.sqrt(2.0)
"""Up and inward on the sound side: a loop's armpit is where it reaches furthest against this [-]."""


@dataclass(frozen=True)
class LoopPull:
    """What the two legs of a loop pull, and how much webbing has crept from one to the other.

    Attributes
    ----------
    tension : ndarray
        Tension over the shoulder and under the armpit [N], shape (2, loops)
    rate : ndarray
        Change of each tension with each leg's length [N/m], shape (2, 2, loops)
    crept : ndarray
        Webbing that has passed from the lower to the upper leg [m], shape (loops,)
    slips : ndarray
        Whether the loop slides round the shoulder [-], shape (loops,)
    """

    tension: Array
    rate: Array
    crept: Array
    slips: Mask


def loop_pull(
    over: Webbing, under: Webbing, length: Array, *, before: NDArray[np.intp], donned: Array, ratio: Array
) -> LoopPull:
    r"""Tensions of the legs of loops that rub on the shoulder they go round.

    .. math:: e^{-\mu\beta} \le T_{over} / T_{under} \le e^{\mu\beta}

    Parameters
    ----------
    over, under : Webbing
        The legs, as if each ended under the armpit
    length : ndarray
        Lengths of the legs [m], shape (2, loops)
    before : ndarray
        Station before each, -1 after donning; it stands earlier in the row [-], shape (loops,)
    donned : ndarray
        Webbing that had crept before the first station [m], shape (loops,)
    ratio : ndarray
        Largest ratio of the tensions, 1 without friction [-], shape (loops,)

    Returns
    -------
    LoopPull
        Tensions, their rates, and the webbing that has passed

    Notes
    -----
    A loop keeps what has crept until a limit of its tensions pushes it on, as a rod with play: the play operator
    (M. A. Krasnosel'skii and A. V. Pokrovskii, Systems with Hysteresis, 1989; cited from memory), between the limits of
    the capstan equation. Costs O(loops), one after the other.

    Examples
    --------
    >>> import numpy as np
    >>> leg = Webbing(np.array([0.3]), np.array([50000.0]))
    >>> lengths, first = np.array([[0.303], [0.300]]), np.array([-1])
    >>> free = loop_pull(leg, leg, lengths, before=first, donned=np.zeros(1), ratio=np.ones(1))
    >>> bool(abs(free.tension[0, 0] - free.tension[1, 0]) < 1e-6)
    True
    """
    extension = np.stack([length[0] - over.free, length[1] - under.free])
    total = extension.sum(axis=0)
    stretch = _stretch_of_first(over, under, total, np.stack([ratio, 1.0 / ratio]))
    least = extension[0] - stretch[0]  # more must creep where the upper leg pulls too hard
    most = np.where(total > 0.0, extension[0] - stretch[1], -extension[1])
    crept, slips = np.empty_like(donned), np.empty(len(donned), dtype=bool)
    rows = zip(before.tolist(), donned.tolist(), least.tolist(), most.tolist(), strict=True)
    for k, (last, start, low, high) in enumerate(rows):
        past = start if last < 0 else crept[last]
        crept[k] = min(max(past, low), high)
        slips[k] = abs(crept[k] - past) > STILL
    up = slips & (crept == least)
    first, first_rate = over.pull(length[0] - crept)
    second, second_rate = under.pull(length[1] + crept)
    bound = np.where(up, ratio, 1.0 / ratio)
    joint = first_rate * bound * second_rate / np.maximum(first_rate + bound * second_rate, 1e-12)
    zero = np.zeros_like(first)
    rate = np.array(
        [
            [np.where(slips, joint, first_rate), np.where(slips, joint, zero)],
            [np.where(slips, joint / bound, zero), np.where(slips, joint / bound, second_rate)],
        ]
    )
    return LoopPull(np.stack([first, second]), rate, crept, slips)


def _stretch_of_first(over: Webbing, under: Webbing, total: Array, ratio: Array) -> Array:
    """How far the upper leg stretches when both together stretch by a total and it pulls some times as hard [m].

    What both stretch is concave in the tension: from below Newton's steps never pass the root.
    """
    wanted = np.maximum(total, 1e-12)
    first, second = (1.0 / leg.stiffness + leg.flesh.sinks(np.zeros_like(total))[1] for leg in (over, under))
    toes = wanted**2 / (2.0 * TOE * (np.sqrt(first) + np.sqrt(second / ratio)) ** 2)
    tension = np.maximum((wanted - TOE) / (first + second / ratio), np.minimum(toes, 1.0))
    for _ in range(MOST):
        (upper, rising), (lower, falling) = over.stretch(tension), under.stretch(tension / ratio)
        step = (wanted - upper - lower) / (rising + falling / ratio)
        tension = np.maximum(tension + step, 0.1 * tension)
        if np.all(np.abs(step) <= CLOSE * tension):
            break
    return np.where(total > 0.0, over.stretch(tension)[0], 0.0)


def split(loop: Array, count: int) -> tuple[Array, Array]:
    """Split closed loops at their deepest point in the armpit into the leg over the shoulder and the one under the arm.

    Parameters
    ----------
    loop : ndarray
        Runs that begin and end at the ring, over the shoulder first [m], shape (loops, nodes, 3)
    count : int
        Nodes of each leg [-]

    Returns
    -------
    over, under : ndarray
        Runs from the ring to that point [m], shape (loops, count, 3)

    Examples
    --------
    >>> import numpy as np
    >>> ring = np.array([[[0.0, 0, 0], [1, -1, 0], [2, -2, 0], [1, -1, 0], [0, 0, 0]]])
    >>> split(ring, 3)[0][0, -1].tolist()
    [2.0, -2.0, 0.0]
    """
    over, under = [], []
    for run in loop:
        out = run @ OUT
        k = int(np.clip(out[1:-1].argmin() + 1, 1, len(run) - 2))
        before, here, after = out[k - 1], out[k], out[k + 1]
        bend = before - 2.0 * here + after
        shift = float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5)) if bend > 1e-9 else 0.0
        # the parabola through three nodes moves smoothly where the nearest node would jump
        deepest = here_point(run[k - 1], run[k], run[k + 1], shift)
        first = run[: k + (shift >= 0.0)]
        last = run[k + (shift >= 0.0) :]
        over.append(resample(np.concatenate([first, deepest[None]])[None], count)[0])
        under.append(resample(np.concatenate([last[::-1], deepest[None]])[None], count)[0])
    return np.stack(over), np.stack(under)


def here_point(before: Array, here: Array, after: Array, shift: float) -> Array:
    """Point on the parabola through three nodes, at a place from -1 (the first) to 1 (the last)."""
    return np.asarray(here + 0.5 * shift * (after - before) + 0.5 * shift**2 * (before - 2.0 * here + after))
