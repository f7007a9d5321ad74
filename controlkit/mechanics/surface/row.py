"""Chains of nodes, one behind the other in a single row: which node is whose, and how long their curves are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Mask = NDArray[np.bool_]


@dataclass(frozen=True, eq=False, kw_only=True)
class Row:
    """Which nodes of a row belong to which path.

    Attributes
    ----------
    counts : ndarray
        Nodes of each path, its ends among them [-], shape (paths,)
    first, last : ndarray
        Places of the ends of each path [-], shape (paths,)
    path : ndarray
        Path of each node [-], shape (nodes,)
    inner : ndarray
        One for a node between its path's ends, nought for an end [-], shape (nodes,)
    joined : ndarray
        One where a node and the next are of one path, else nought [-], shape (nodes - 1,)
    """

    counts: Index
    first: Index
    last: Index
    path: Index
    inner: Array
    joined: Array

    @property
    def nodes(self) -> int:
        """Number of nodes [-]."""
        return len(self.path)

    def largest(self, values: Array) -> Array:
        """Largest of a value over the nodes of each path.

        Parameters
        ----------
        values : ndarray
            One a node [-], shape (nodes,)

        Returns
        -------
        ndarray
            One a path [-], shape (paths,)
        """
        return np.asarray(np.maximum.reduceat(values, self.first))

    def total(self, values: Array) -> Array:
        """Sum of a value over the nodes of each path.

        Parameters
        ----------
        values : ndarray
            One a node [-], shape (nodes,)

        Returns
        -------
        ndarray
            One a path [-], shape (paths,)
        """
        return np.asarray(np.add.reduceat(values, self.first))

    def lengths(self, nodes: Array) -> Array:
        r"""Length of chains that stand for smooth curves.

        .. math:: l = \sum c_i + \sum \frac{c_i^3 (k_i^2 + k_{i+1}^2)}{48}

        Parameters
        ----------
        nodes : ndarray
            All nodes [m], shape (3, nodes)

        Returns
        -------
        ndarray
            Length [m], shape (paths,)

        Notes
        -----
        c is a chord, k the curvature from second differences; the second sum makes up for arcs
        that chords cut. Where a path leaves the surface between two nodes, the turn at the last node
        is a share u of the turn before it; what the arc up to the take-off point needs there is then
        not u squared of the full sum but 1/2 + 4 (u - 1/2)^3 of it.
        """
        step = nodes[:, 1:] - nodes[:, :-1]
        chord = np.sqrt(_dot(step, step))
        bend = step[:, 1:] - step[:, :-1]
        mean = np.maximum(0.5 * (chord[1:] + chord[:-1]), 1e-12)
        mean *= mean
        turned = np.zeros(nodes.shape[1])
        turned[1:-1] = _dot(bend, bend) / (mean * mean)
        turned[self.first], turned[self.last] = turned[self.first + 1], turned[self.last - 1]
        before, here, after = turned[:-2], turned[1:-1], turned[2:]
        full = np.maximum(np.maximum(before, after), here)
        some = np.maximum(full, 1e-300)
        share = np.sqrt(here / some) - 0.5
        free = (1.0 - np.minimum(4.0 * np.minimum(before, after) / some, 1.0)) * self.inner[1:-1]
        made_up = turned.copy()
        made_up[1:-1] += free * (full * (0.5 + 4.0 * share**3) - here)
        chord *= self.joined
        part = np.zeros(nodes.shape[1])
        part[:-1] = chord + chord**3 * (made_up[1:] + made_up[:-1]) / 48.0
        return self.total(part)


@lru_cache(maxsize=64)
def row_of(counts: tuple[int, ...]) -> Row:
    """A row of paths with some numbers of nodes; kept, as the same question comes again and again.

    Parameters
    ----------
    counts : tuple of int
        Nodes of each path [-]

    Returns
    -------
    Row
        Which node is whose

    Examples
    --------
    >>> row_of((3, 4)).first.tolist(), row_of((3, 4)).last.tolist()
    ([0, 3], [2, 6])
    """
    each = np.array(counts, dtype=np.intp)
    last = np.cumsum(each) - 1
    first = last - each + 1
    inner, joined = np.ones(int(each.sum())), np.ones(int(each.sum()) - 1)
    inner[first] = inner[last] = 0.0
    joined[last[:-1]] = 0.0
    path = np.repeat(np.arange(len(each)), each)
    return Row(counts=each, first=first, last=last, path=path, inner=inner, joined=joined)


def strung(parts: Sequence[Array]) -> Array:
    """Nodes of paths in one row.

    Parameters
    ----------
    parts : sequence of ndarray
        Nodes, by groups of paths with as many of them [m], shape (paths, nodes, 3)

    Returns
    -------
    ndarray
        All nodes, coordinates in rows [m], shape (3, nodes)
    """
    return np.ascontiguousarray(np.concatenate([part.reshape(-1, 3) for part in parts]).T)


def path_length(nodes: Array) -> Array:
    r"""Length of chains that stand for smooth curves, see `Row.lengths`.

    .. math:: l = \sum c_i + \sum \frac{c_i^3 (k_i^2 + k_{i+1}^2)}{48}

    Parameters
    ----------
    nodes : ndarray
        Nodes of the chains [m], shape (paths, nodes, 3)

    Returns
    -------
    ndarray
        Length [m], shape (paths,)

    Examples
    --------
    >>> import numpy as np
    >>> turn = np.linspace(0.0, np.pi, 21)
    >>> half = np.stack([np.cos(turn), np.sin(turn), 0 * turn], axis=-1)[None]
    >>> float(path_length(half)[0].round(4))
    3.1416
    """
    return row_of((nodes.shape[1],) * len(nodes)).lengths(strung([nodes]))


def _dot(a: Array, b: Array) -> Array:
    """Products of vectors that stand in columns."""
    return np.asarray(a[0] * b[0] + a[1] * b[1] + a[2] * b[2])
