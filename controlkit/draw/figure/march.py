"""Lines on a grid along which a value is zero, as places between its points."""

from __future__ import annotations

from functools import lru_cache
from typing import cast

import numpy as np
from contourpy import FillType, LineType, SerialContourGenerator, ZInterp
from numpy.typing import NDArray

__all__ = ["lerp", "zero_lines"]

Grid = NDArray[np.float64]
Crossings = tuple[NDArray[np.intp], NDArray[np.intp], Grid]


def zero_lines(values: Grid, valid: NDArray[np.bool_], whole: bool) -> list[Crossings]:
    """Follow a value's zero through the cells of a grid.

    Parameters
    ----------
    values : numpy.ndarray
        Shape (rows, columns) [-].
    valid : numpy.ndarray
        Which points count; a cell with one that does not is left out, shape (rows, columns) [-].
    whole : bool
        Whether the last column is followed by the first.

    Returns
    -------
    list of tuple
        One a line: numbers of the two grid points between which each of its places lies, counted row by row, and the
        share of the way from the first to the second [-]; a closed line ends where it begins.

    Notes
    -----
    Marching squares, as the library contourpy does them.

    Examples
    --------
    >>> values = np.array([[1.0, 1.0, 1.0], [1.0, -1.0, 1.0], [1.0, 1.0, 1.0]])
    >>> (first, second, share), = zero_lines(values, values < 9.0, whole=False)
    >>> len(first), share.tolist()
    (5, [0.5, 0.5, 0.5, 0.5, 0.5])
    """
    columns = values.shape[1]
    if whole:
        values, valid = (np.concatenate([part, part[:, :1]], axis=1) for part in (values, valid))
    lines = []
    # contourpy's own factory looks for infinite values first, which takes longer than the lines
    cells = SerialContourGenerator(
        *_places(*values.shape),
        values,
        ~valid,
        corner_mask=False,
        line_type=LineType.Separate,
        fill_type=FillType.OuterOffset,
        quad_as_tri=False,
        z_interp=ZInterp.Linear,
    )
    for line in cast(list[Grid], cells.lines(0.0)):
        places = np.round(line, 9)
        first = np.floor(places)  # column and row; one of both is whole
        share = (places - first).sum(axis=1)
        one, other = (at.astype(np.intp) for at in (first, np.ceil(places)))
        lines.append((one[:, 1] * columns + one[:, 0] % columns, other[:, 1] * columns + other[:, 0] % columns, share))
    return lines


@lru_cache(maxsize=32)
def _places(rows: int, columns: int) -> tuple[Grid, Grid]:
    """Column and row of the points of a grid."""
    row, column = np.indices((rows, columns), dtype=float)
    return column, row


def lerp(values: Grid, crossings: Crossings) -> Grid:
    """Take what belongs to the points of a grid at the places of a line.

    Parameters
    ----------
    values : numpy.ndarray
        Shape (rows, columns, ...), in any unit [-].
    crossings : tuple
        A line, as `zero_lines` gives it.

    Returns
    -------
    numpy.ndarray
        Shape (places, ...), in the same [-].

    Examples
    --------
    >>> lerp(np.array([[0.0, 2.0]]), (np.array([0]), np.array([1]), np.array([0.25]))).tolist()
    [0.5]
    """
    first, second, share = crossings
    flat = values.reshape(values.shape[0] * values.shape[1], -1)
    there = flat[first] + share[:, None] * (flat[second] - flat[first])
    return np.asarray(there.reshape(len(first), *values.shape[2:]))
