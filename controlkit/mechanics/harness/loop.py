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

MOST, CLOSE = 30, 1e-6
"""Steps to a limit of a loop's tensions, at most, and the share of a tension whose square may be left over [-]."""

_BOTH = np.array([[0, 0], [1, 1]])

OUT = np.array([0.0, 1.0, 1.0]) / np.sqrt(2.0)
"""Up and inward on the sound side: a loop's armpit is where it reaches furthest against this [-]."""


@dataclass(frozen=True)
class Creep:
    """How much webbing has crept from one leg of a loop to the other.

    Attributes
    ----------
    crept : ndarray
        Webbing that has passed from the lower to the upper leg [m], shape (loops,)
    pushed : ndarray
        Whether a limit of the tensions pushes it on, so that what had crept before does not matter [-], shape (loops,)
    bound : ndarray
        The ratio of the tensions, upper to lower, at that limit [-], shape (loops,)
    up : ndarray
        Whether it is the upper leg that would pull too hard [-], shape (loops,)
    slips : ndarray
        Whether the loop slides round the shoulder by more than a trace [-], shape (loops,)
    """

    crept: Array
    pushed: Mask
    bound: Array
    up: Mask
    slips: Mask

    @classmethod
    def none(cls, loops: int) -> Creep:
        """Nothing creeps: the legs are straps of their own.

        Parameters
        ----------
        loops : int
            How many there are [-]

        Returns
        -------
        Creep
            None
        """
        still, no = np.zeros(loops), np.zeros(loops, dtype=bool)
        return cls(crept=still, pushed=no, bound=np.ones(loops), up=no, slips=no)

    def shares(self, over: Array, under: Array) -> tuple[Array, Array]:
        """How much creeps from leg to leg, where a limit pushes it, for each metre that either leg lengthens.

        Parameters
        ----------
        over, under : ndarray
            Stiffness of the legs as they are now [N/m], shape (loops,)

        Returns
        -------
        tuple of ndarray
            Towards the upper leg as that lengthens, and back from it as the lower one does [-], shape (loops,)
        """
        under = self.bound * under
        both = over + under
        lower = np.where(both > 0.0, under / np.maximum(both, 1e-300), np.where(self.up, 0.0, 1.0))
        return 1.0 - lower, lower


class Loop:
    r"""Two legs that rub on the shoulder they go round, at stations along a motion.

    .. math:: e^{-\mu\beta} \le T_{over} / T_{under} \le e^{\mu\beta}

    Parameters
    ----------
    legs : Webbing
        The leg over the shoulder and the one under the armpit, as if each ended there, shape (2, loops)
    before : ndarray
        Station before each, -1 after donning; it stands earlier in the row [-], shape (loops,)
    donned : ndarray
        Webbing that had crept before the first station [m], shape (loops,)
    ratio : ndarray
        Largest ratio of the tensions, 1 without friction [-], shape (loops,)

    Notes
    -----
    A loop keeps what has crept until a limit of its tensions pushes it on, as a rod with play: the play operator
    (M. A. Krasnosel'skii and A. V. Pokrovskii, Systems with Hysteresis, 1989; cited from memory), between the limits of
    the capstan equation. Costs O(loops), one after the other.

    Examples
    --------
    >>> import numpy as np
    >>> legs = Webbing(np.full((2, 1), 0.3), np.full((2, 1), 50000.0))
    >>> loop = Loop(legs, np.array([-1]), donned=np.zeros(1), ratio=np.ones(1))
    >>> float(loop.creep(np.array([[0.303], [0.300]])).crept[0].round(6))  # without friction both pull alike
    0.0015
    """

    def __init__(self, legs: Webbing, before: NDArray[np.intp], *, donned: Array, ratio: Array) -> None:
        self.legs, self.ratio = legs, ratio
        self.past = list(zip(before.tolist(), donned.tolist(), strict=True))
        # both limits at once: axis 0 the leg, axis 1 the limit, and by how much less than the upper each leg pulls
        self.share = np.array([np.ones((2, len(ratio))), [1.0 / ratio, ratio]])
        self.each = Webbing(legs.free[_BOTH], legs.stiffness[_BOTH], flesh=legs.flesh.pick((_BOTH,)))
        self.give = 1.0 / self.each.stiffness + self.each.flesh.sinks(np.zeros(self.share.shape))[1]
        self.smooth = ratio == 1.0
        self.tension: Array | None = None

    def creep(self, length: Array) -> Creep:
        """What has crept when the legs are as long as this.

        Parameters
        ----------
        length : ndarray
            Lengths of the legs [m], shape (2, loops)

        Returns
        -------
        Creep
            What has crept, and where a limit pushes it
        """
        upper, lower = length - self.legs.free
        total = upper + lower
        slack = total <= 0.0
        least, most = upper - self._stretch(total)  # more must creep where the upper leg pulls too hard
        most = np.where(slack, -lower, most)
        least = np.where(slack, upper, least)
        crept: list[float] = []
        pasts: list[float] = []
        for (last, start), low, high in zip(self.past, least.tolist(), most.tolist(), strict=True):
            past = start if last < 0 else crept[last]
            pasts.append(past)
            crept.append(low if past < low else min(past, high))
        now = np.array(crept)
        way = now - pasts
        up = way > 0.0
        pushed = (way != 0.0) | (self.smooth & ~slack)
        bound = np.where(up, self.ratio, 1.0 / self.ratio)
        return Creep(crept=now, pushed=pushed, bound=bound, up=up, slips=np.abs(way) > STILL)

    def _stretch(self, total: Array) -> Array:
        """How far the upper leg stretches at each limit when both together stretch by a total [m], shape (2, loops).

        What both stretch is concave in the tension: from anywhere Newton's steps end below the root and do not pass it.
        """
        wanted = np.maximum(total, 1e-12)
        tension = self.tension
        if tension is None:
            first, second = self.give
            share = self.share[1]
            toes = wanted**2 / (2.0 * TOE * (np.sqrt(first) + np.sqrt(second * share)) ** 2)
            tension = np.maximum((wanted - TOE) / (first + second * share), np.minimum(toes, 1.0))
        for _ in range(MOST):
            stretch, rate = self.each.stretch(tension * self.share)
            rate *= self.share
            step = (wanted - stretch.sum(axis=0)) / rate.sum(axis=0)
            step = np.maximum(step, -0.9 * tension)
            tension = tension + step
            if (np.abs(step) <= CLOSE * tension).all():
                break
        self.tension = tension
        return np.asarray(stretch[0] + rate[0] * step)


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
