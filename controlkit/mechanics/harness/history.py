"""What slipped and crept before moves what holds now: the recursion along a motion that couples its stations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Index = NDArray[np.intp]

SIZE = 4
"""What one station leaves to the next [-]: where the skin lets the ring rest, 3, and the webbing that has crept."""


@dataclass(frozen=True)
class Links:
    r"""How stations hang together near one place, to first order.

    .. math:: x_s = b_s + G_s z_p, \quad z_s = K_s z_p + C_s x_s

    Here x are the steps of the junctions, z the changes of what a station leaves to the next, p the station before.

    Attributes
    ----------
    base : ndarray
        Step b of each station were nothing before it to change [m], shape (stations, unknowns)
    follows : ndarray
        How the step follows what changes before G [-], shape (stations, unknowns, 4)
    keeps : ndarray
        What stays as it was before K [-], shape (stations, 4, 4)
    carries : ndarray
        What the step carries along C [-], shape (stations, 4, unknowns); none of the three where nothing moves on
    """

    base: Array
    follows: Array | None = None
    keeps: Array | None = None
    carries: Array | None = None

    def steps(self, levels: list[tuple[Index, Index]], *, share: Array, start: Array, most: float) -> Array:
        """Where stations come to that step together, none further than it may.

        Parameters
        ----------
        levels : list of (ndarray, ndarray)
            Stations in groups that can be answered together, and the station before each, -1 after donning [-]
        share : ndarray
            Share of its own step b that each station takes [-], shape (stations,)
        start : ndarray
            Where they step from [m], shape (stations, unknowns)
        most : float
            How far from nought they may come [m]

        Returns
        -------
        ndarray
            Where they come to [m], shape (stations, unknowns)

        Notes
        -----
        Costs O(stations x unknowns), one group after the other.
        """
        own = share[:, None] * capped(self.base, most)
        if self.follows is None or self.keeps is None or self.carries is None:
            return capped(start + own, most)
        carried = np.matmul(self.carries, own[..., None])
        keeps = self.keeps + np.matmul(self.carries, self.follows)
        before = np.zeros_like(carried)
        for stations, past in levels[1:]:
            before[stations] = carried[past]
            carried[stations] += np.matmul(keeps[stations], before[stations])
        shift = start + own + np.matmul(self.follows, before)[..., 0]
        far = (shift * shift).sum(axis=1) > most * most
        return self._within(levels, start + own, start, most) if far.any() else np.asarray(shift)

    def _within(self, levels: list[tuple[Index, Index]], shift: Array, start: Array, most: float) -> Array:
        """The same where some may go no further: what comes after follows what they do, not what they would do."""
        assert self.follows is not None
        assert self.keeps is not None
        assert self.carries is not None
        passed = np.zeros((len(shift), SIZE, 1))
        for stations, past in levels:
            here = shift[stations]
            if past[0] >= 0:
                here = here + np.matmul(self.follows[stations], passed[past])[..., 0]
                passed[stations] = np.matmul(self.keeps[stations], passed[past])
            shift[stations] = here = capped(here, most)
            passed[stations] += np.matmul(self.carries[stations], (here - start[stations])[..., None])
        return shift


def capped(shift: Array, most: float) -> Array:
    """Shifts of at most some length, in their own directions."""
    size = np.sqrt((shift * shift).sum(axis=1))
    return np.asarray(shift * np.minimum(1.0, most / np.maximum(size, 1e-12))[:, None])


def levels_of(before: Index) -> list[Index]:
    """Stations in groups that can be answered together: each group follows the one before it.

    Parameters
    ----------
    before : ndarray
        Station before each, -1 after donning [-], shape (stations,)

    Returns
    -------
    list of ndarray
        Stations of each group [-], shape (stations in the group,)

    Examples
    --------
    >>> [group.tolist() for group in levels_of(np.array([-1, 0, 0, 1]))]
    [[0], [1, 2], [3]]
    """
    depth = np.zeros(len(before), dtype=int)
    for k, b in enumerate(before):
        depth[k] = 0 if b < 0 else depth[b] + 1
    return [np.flatnonzero(depth == level) for level in range(int(depth.max()) + 1)]


def passed_back(share: Array, before: Index, least: float = 0.3) -> Array:
    """Shares of stations that step less where what follows must step less.

    Parameters
    ----------
    share : ndarray
        Share that each station by itself takes [-], shape (stations,)
    before : ndarray
        Station before each, -1 after donning; it stands earlier in the row [-], shape (stations,)
    least : float
        Share below which none goes for another's sake [-]

    Returns
    -------
    ndarray
        Shares, none more than those after it or the least [-], shape (stations,)

    Examples
    --------
    >>> passed_back(np.array([1.0, 1.0, 0.1, 1.0]), np.array([-1, 0, 1, 0])).tolist()
    [0.3, 0.3, 0.1, 1.0]
    """
    shares = share.tolist()
    for k, last in reversed(list(enumerate(before.tolist()))):
        if last >= 0:
            shares[last] = min(shares[last], max(shares[k], least))
    return np.array(shares)


def within(before: Index, which: Index) -> Index:
    """The order of a motion among some of its stations.

    Parameters
    ----------
    before : ndarray
        Station before each, -1 after donning [-], shape (stations,)
    which : ndarray
        Some stations [-], shape (picked,)

    Returns
    -------
    ndarray
        Place of the station before each among them, -1 where it is none of them [-], shape (picked,)

    Examples
    --------
    >>> within(np.array([-1, 0, 0, 1]), np.array([1, 3])).tolist()
    [-1, 0]
    """
    place = np.full(len(before) + 1, -1)
    place[which] = np.arange(len(which))
    return np.asarray(place[before[which]])
