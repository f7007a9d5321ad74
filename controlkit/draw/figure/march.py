"""Lines on a grid along which a value is zero, as places between its points."""

from __future__ import annotations

from collections import defaultdict

import numpy as np
from numpy.typing import NDArray

__all__ = ["lerp", "zero_lines"]

Grid = NDArray[np.float64]
Crossings = tuple[NDArray[np.intp], NDArray[np.intp], Grid]


def zero_lines(values: Grid, valid: NDArray[np.bool_], whole: bool) -> list[Crossings]:
    """Follow a value's zero through the cells of a grid.

    Parameters
    ----------
    values : numpy.ndarray
        Shape (rows, columns) [any unit].
    valid : numpy.ndarray
        Which points count; a cell with one that does not is left out, shape (rows, columns).
    whole : bool
        Whether the last column is followed by the first.

    Returns
    -------
    list of tuple
        One a line: numbers of the two grid points between which each of its places lies, counted row by row, and the
        share of the way from the first to the second [-]; a closed line ends where it begins.

    Notes
    -----
    Marching squares; of a saddle's two ways one is taken, always the same.

    Examples
    --------
    >>> values = np.array([[1.0, 1.0, 1.0], [1.0, -1.0, 1.0], [1.0, 1.0, 1.0]])
    >>> (first, second, share), = zero_lines(values, values < 9.0, whole=False)
    >>> len(first), share.tolist()
    (5, [0.5, 0.5, 0.5, 0.5, 0.5])
    """
    rows, columns = values.shape
    up = values > 0.0
    if whole:
        up, valid = (np.concatenate([part, part[:, :1]], axis=1) for part in (up, valid))
    count = up[:-1, :-1].astype(np.int8) + up[:-1, 1:] + up[1:, :-1] + up[1:, 1:]
    sound = valid[:-1, :-1] & valid[:-1, 1:] & valid[1:, :-1] & valid[1:, 1:]
    row, column = np.nonzero((count > 0) & (count < 4) & sound)
    beside = (column + 1) % columns
    corners = np.stack([row * columns + column, row * columns + beside])
    corners = np.concatenate([corners, corners[::-1] + columns])
    over = values.ravel()[corners] > 0.0
    crossed = over != np.roll(over, -1, axis=0)
    following = np.roll(corners, -1, axis=0)
    low, high = np.minimum(corners, following), np.maximum(corners, following)
    edge = low * (rows * columns) + high
    links: dict[int, list[int]] = defaultdict(list)
    for cell in range(edge.shape[1]):
        hit = edge[crossed[:, cell], cell].tolist()
        for one, two in zip(hit[::2], hit[1::2], strict=True):
            links[one].append(two)
            links[two].append(one)
    value = values.ravel()
    lines = []
    for chain in _chains(links):
        first, second = np.divmod(np.array(chain), rows * columns)
        share = value[first] / (value[first] - value[second])
        lines.append((first, second, share))
    return lines


def _chains(links: dict[int, list[int]]) -> list[list[int]]:
    """Join links to lines; open ones first, from an end."""
    left = dict(links)
    chains = []
    for ends in (True, False):
        for start in [key for key, beside in links.items() if (len(beside) == 1) is ends]:
            if start not in left:
                continue
            chain = [start]
            beside = left.pop(start)
            while True:
                following = next((key for key in beside if key in left), None)
                if following is None:
                    break
                chain.append(following)
                beside = left.pop(following)
            if not ends and len(chain) > 2:
                chain.append(start)
            if len(chain) > 1:
                chains.append(chain)
    return chains


def lerp(values: Grid, crossings: Crossings) -> Grid:
    """Take what belongs to the points of a grid at the places of a line.

    Parameters
    ----------
    values : numpy.ndarray
        Shape (rows, columns, ...) [any unit].
    crossings : tuple
        A line, as `zero_lines` gives it.

    Returns
    -------
    numpy.ndarray
        Shape (places, ...) [same unit].

    Examples
    --------
    >>> lerp(np.array([[0.0, 2.0]]), (np.array([0]), np.array([1]), np.array([0.25]))).tolist()
    [0.5]
    """
    first, second, share = crossings
    flat = values.reshape(values.shape[0] * values.shape[1], -1)
    there = flat[first] + share[:, None] * (flat[second] - flat[first])
    return np.asarray(there.reshape(len(first), *values.shape[2:]))
