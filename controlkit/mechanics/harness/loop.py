"""The axilla loop as two legs that meet under the armpit, where friction lets them differ."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..taut import resample
from .laws import Webbing

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]


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


def loop_pull(over: Webbing, under: Webbing, length: Array, crept: Array, ratio: Array) -> LoopPull:
    r"""Tensions of the legs of a loop that rubs on the shoulder it goes round.

    .. math:: e^{-\mu\beta} \le T_{over} / T_{under} \le e^{\mu\beta}

    Parameters
    ----------
    over, under : Webbing
        The legs, as if each ended under the armpit
    length : ndarray
        Lengths of the legs [m], shape (2, loops)
    crept : ndarray
        Webbing passed from the lower to the upper leg before [m], shape (loops,)
    ratio : ndarray
        Largest ratio of the tensions, 1 without friction [-], shape (loops,)

    Returns
    -------
    LoopPull
        Tensions, their rates, and the webbing passed now

    Examples
    --------
    >>> import numpy as np
    >>> leg = Webbing(np.array([0.3]), np.array([50000.0]))
    >>> lengths = np.array([[0.303], [0.300]])
    >>> free = loop_pull(leg, leg, lengths, np.zeros(1), np.ones(1))
    >>> bool(abs(free.tension[0, 0] - free.tension[1, 0]) < 1e-6)
    True
    """
    low = crept - 0.05
    high = crept + 0.05
    first, first_rate = over.pull(length[0] - crept)
    second, second_rate = under.pull(length[1] + crept)
    up, down = first > ratio * second * (1.0 + 1e-12), second > ratio * first * (1.0 + 1e-12)
    slips = up | down
    bound = np.where(up, ratio, 1.0 / ratio)
    if slips.any():
        low, high = np.where(slips, low, crept), np.where(slips, high, crept)
        moved = crept
        for _ in range(60):
            first, first_rate = over.pull(length[0] - moved)
            second, second_rate = under.pull(length[1] + moved)
            excess = np.where(slips, first - bound * second, 0.0)
            low, high = np.where(excess > 0.0, moved, low), np.where(excess < 0.0, moved, high)
            newton = moved + excess / np.maximum(first_rate + bound * second_rate, 1e-9)
            inside = (newton > low) & (newton < high)
            moved = np.where(excess == 0.0, moved, np.where(inside, newton, 0.5 * (low + high)))
            if np.abs(excess).max() < 1e-9:
                break
        crept = moved
    joint = first_rate * bound * second_rate / np.maximum(first_rate + bound * second_rate, 1e-12)
    zero = np.zeros_like(first)
    rate = np.array(
        [
            [np.where(slips, joint, first_rate), np.where(slips, joint, zero)],
            [np.where(slips, joint / bound, zero), np.where(slips, joint / bound, second_rate)],
        ]
    )
    return LoopPull(np.stack([first, second]), rate, crept, slips)


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
    """Point on the parabola through three nodes.

    Parameters
    ----------
    before, here, after : ndarray
        Nodes [m], shape (3,)
    shift : float
        Place between them, -1 the first, 0 the middle, 1 the last [-]

    Returns
    -------
    ndarray
        Point [m], shape (3,)

    Examples
    --------
    >>> import numpy as np
    >>> here_point(np.array([-1.0, 1, 0]), np.zeros(3), np.array([1.0, 1, 0]), 0.5).tolist()
    [0.5, 0.25, 0.0]
    """
    return np.asarray(here + 0.5 * shift * (after - before) + 0.5 * shift**2 * (before - 2.0 * here + after))
