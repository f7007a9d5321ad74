"""Shortest taut paths over smooth surfaces, bridging hollows, many at once: guesses in, paths out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.surface.row import path_length, strung
from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.strands import Strands

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Mask = NDArray[np.bool_]

SETTLED = 1e-6  # [m] a path whose nodes moved less has settled: what is left is its square
FASTER, SLOW = 0.3, 0.02  # unless its steps shrink less than to this share [-]; then this share of that [-]
ASIDE = 0.25  # share of the paths that stand aside together [-]


@dataclass(frozen=True)
class Paths:
    """Taut paths, one a row.

    Attributes
    ----------
    nodes : ndarray
        Positions [m], shape (paths, nodes, 3)
    press : ndarray
        Pressing multiplier of each node, zero where the path is free [m], shape (paths, nodes)
    settled : ndarray
        Whether the path has converged [-], shape (paths,)
    iterations : int
        Steps taken for the batch [-]
    """

    nodes: Array
    press: Array
    settled: Mask
    iterations: int

    @cached_property
    def length(self) -> Array:
        """Length of each path [m], shape (paths,)."""
        return path_length(self.nodes)

    def rows(self, which: Index) -> Paths:
        """Some of these paths.

        Parameters
        ----------
        which : ndarray
            Indices [-], shape (picked,)

        Returns
        -------
        Paths
            Those paths
        """
        return Paths(self.nodes[which], self.press[which], self.settled[which], self.iterations)

    def replaced(self, which: Index, by: Paths) -> Paths:
        """The same with others in some places.

        Parameters
        ----------
        which : ndarray
            Their places [-], shape (picked,)
        by : Paths
            The others

        Returns
        -------
        Paths
            As many as before
        """
        nodes, press, settled = self.nodes.copy(), self.press.copy(), self.settled.copy()
        nodes[which], press[which], settled[which] = by.nodes, by.press, by.settled
        return Paths(nodes, press, settled, by.iterations)


@dataclass(frozen=True)
class Draft:
    """Where to look for some taut paths.

    Attributes
    ----------
    body : ndarray
        Body of each path [-], shape (paths,)
    nodes : ndarray
        First guess [m], shape (paths, nodes, 3)
    ends : tuple of ndarray, optional
        Where first and last nodes are to be if elsewhere: taut paths of a similar question follow there [m],
        shape (paths, 3)
    """

    body: Index
    nodes: Array
    ends: tuple[Array, Array] | None = None


def resample(points: Array, count: int) -> Array:
    """Spread nodes evenly along polylines.

    Parameters
    ----------
    points : ndarray
        Corners [m], shape (paths, corners, 3)
    count : int
        Nodes wanted [-]

    Returns
    -------
    ndarray
        Nodes [m], shape (paths, count, 3)

    Examples
    --------
    >>> import numpy as np
    >>> resample(np.array([[[0.0, 0, 0], [1.0, 0, 0]]]), 3)[0, :, 0].tolist()
    [0.0, 0.5, 1.0]
    """
    chord = np.linalg.norm(np.diff(points, axis=1), axis=2)
    along = np.concatenate([np.zeros((len(points), 1)), np.cumsum(chord, axis=1)], axis=1)
    out = np.empty((len(points), count, 3))
    for k, (path, run) in enumerate(zip(points, along, strict=True)):
        wanted = np.linspace(0.0, run[-1], count)
        for d in range(3):
            out[k, :, d] = np.interp(wanted, run, path[:, d])
    return out


def cut(near: Array, far: Array, length: float) -> tuple[Array, Array, Array]:
    """Divide polylines in two parts elsewhere, at a distance from their start.

    Parameters
    ----------
    near, far : ndarray
        Both parts as they are, the second beginning where the first ends [m], shape (paths, nodes, 3)
    length : float
        Length of the first part then; nine tenths of the whole at most [m]

    Returns
    -------
    place : ndarray
        Where they are divided then [m], shape (paths, 3)
    near, far : ndarray
        Both parts, with as many nodes as before [m], shape (paths, nodes, 3)

    Examples
    --------
    >>> import numpy as np
    >>> near, far = (np.linspace(at, at + [1.0, 0, 0], 3)[None] for at in np.eye(3)[[0, 0]] * [[0], [1]])
    >>> cut(near, far, 1.5)[0].tolist()
    [[1.5, 0.0, 0.0]]
    """
    whole = np.concatenate([near, far[:, 1:]], axis=1)
    chord = np.linalg.norm(np.diff(whole, axis=1), axis=2)
    along = np.concatenate([np.zeros((len(whole), 1)), np.cumsum(chord, axis=1)], axis=1)
    places, inner, outer = [], [], []
    for path, run in zip(whole, along, strict=True):
        wanted = min(length, 0.9 * run[-1])
        place = np.array([[np.interp(wanted, run, path[:, d]) for d in range(3)]])
        behind = int(np.searchsorted(run, wanted))
        places.append(place[0])
        inner.append(resample(np.concatenate([path[:behind], place])[None], near.shape[1])[0])
        outer.append(resample(np.concatenate([place, path[behind:]])[None], far.shape[1])[0])
    return np.stack(places), np.stack(inner), np.stack(outer)


def tighten(union: Union, guesses: Sequence[Draft], *, limit: int = 80, calm: float = SETTLED) -> tuple[Paths, ...]:
    """Pull paths taut over their bodies, both ends held.

    Parameters
    ----------
    union : Union
        The bodies
    guesses : sequence of Draft
        Groups of paths, each group with as many nodes a path
    limit : int
        Most iterations [-]
    calm : float
        Paths whose nodes would move less are left as they are [m]

    Returns
    -------
    tuple of Paths
        Taut paths of each group; `settled` says which converged

    Notes
    -----
    Newton's method on half the sum of squared chords, nodes told to press or not by the primal-dual active set strategy
    (M. Hintermueller, K. Ito and K. Kunisch, SIAM Journal on Optimization 13, 865-888, 2002), steps by LAPACK's banded
    Cholesky factorisation (E. Anderson et al., LAPACK Users' Guide, 3rd ed. 1999); cited from memory. A step costs
    O(paths x nodes) for the factorisation and O(paths x nodes x parts of a body) for the surface; paths that have
    settled stand aside. A path whose curvature had to be kept out of the last step, as on a ridge, is not settled.

    Examples
    --------
    A quarter of a great circle between two tangents:

    >>> import numpy as np
    >>> from controlkit.mechanics.surface.shapes import sphere
    >>> start, end = [-0.1, -0.1, 0.0], [0.1, 0.1, 0.0]
    >>> guess = resample(np.array([[start, [-0.1, 0.1, 0.0], end]]), 41)
    >>> (taut,) = tighten(sphere((0.0, 0.0, 0.0), 0.1), [Draft(np.zeros(1, dtype=int), guess)])
    >>> float(taut.length[0].round(4))
    0.3571
    """
    nodes = [guess.nodes for guess in guesses]
    strands = Strands.over(union, np.concatenate([guess.body for guess in guesses]), nodes)
    if any(guess.ends is not None for guess in guesses):
        strands.to(strung([_at_ends(guess) for guess in guesses]))
    strands = settle(strands, limit, calm)
    settled = np.split((strands.moved < calm) & ~strands.stiffened, np.cumsum([len(part) for part in nodes])[:-1])
    found = strands.parts(strands.x, nodes), strands.parts(strands.press, nodes), settled
    return tuple(Paths(*each, strands.iterations) for each in zip(*found, strict=True))


def settle(strands: Strands, limit: int, calm: float = SETTLED) -> Strands:
    """Step until every path has settled, both ends held; paths that have settled stand aside.

    Parameters
    ----------
    strands : Strands
        The paths
    limit : int
        Most iterations [-]
    calm : float
        Paths whose nodes would move less are left as they are [m]

    Returns
    -------
    Strands
        The same paths
    """
    moving = np.ones(len(strands.row.counts), dtype=bool)
    some = strands
    for _ in range(limit):
        last = some.moved
        some.move(some.step())
        # one that peels off the skin node by node takes steps that hardly shrink: much is left then
        still = (some.moved < calm * np.where(some.moved < FASTER * last, 1.0, SLOW)) & ~some.stiffened
        if still.all():
            break
        if np.count_nonzero(still) > ASIDE * len(still):
            if some is not strands:
                strands.put(moving, some)
            moving[moving] = ~still
            some = strands.some(moving)
    if some is not strands:
        strands.put(moving, some)
    return strands


def _at_ends(guess: Draft) -> Array:
    """A guess's nodes, the ends where they are to be."""
    if guess.ends is None:
        return guess.nodes
    out = guess.nodes.copy()
    out[:, 0], out[:, -1] = guess.ends
    return out
