"""Smooth lines through a few corners."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from controlkit.draw.page.scene import Points

__all__ = ["monotone", "smooth", "through"]


@lru_cache(maxsize=64)
def _weights(count: int, closed: bool, steps: int) -> Points:
    """Tabulate the spline of Catmull and Rom as a matrix from corners to points."""
    around = list(range(-1, count + 2)) if closed else list(range(-1, count + 1))
    rows = np.zeros((len(around), count))
    for row, index in enumerate(around):
        if closed:
            rows[row, index % count] = 1.0
        elif index < 0:
            rows[row, [0, 1]] = 2.0, -1.0
        elif index >= count:
            rows[row, [-1, -2]] = 2.0, -1.0
        else:
            rows[row, index] = 1.0
    pieces = count if closed else count - 1
    out: list[Points] = []
    for piece in range(pieces):
        a, b, c, d = rows[piece : piece + 4]
        out.extend(
            0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3)
            for t in np.linspace(0.0, 1.0, steps, endpoint=False)
        )
    if not closed:
        out.append(rows[count])
    return np.array(out)


def through(corners: Points, closed: bool = False, steps: int = 4) -> Points:
    """Round a line through its corners.

    Parameters
    ----------
    corners : numpy.ndarray
        Shape (K, dimensions), K at least 2 [m].
    closed : bool
        Whether the last corner joins the first.
    steps : int
        Points a corner [-].

    Returns
    -------
    numpy.ndarray
        Shape (M, dimensions), passing through every corner [m].

    Examples
    --------
    >>> import numpy as np
    >>> through(np.array([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]]), steps=2)[:, 0].tolist()
    [0.0, 0.5, 1.0, 1.5, 2.0]
    """
    return _weights(len(corners), closed, steps) @ corners


def monotone(x: Points, y: Points, fine: Points) -> Points:
    """Join points by a cubic that has no bump of its own.

    Parameters
    ----------
    x : numpy.ndarray
        Shape (K,), rising, K at least 3 [-].
    y : numpy.ndarray
        Shape (K,) [unit].
    fine : numpy.ndarray
        Shape (M,), within x, where the line is wanted [-].

    Returns
    -------
    numpy.ndarray
        Shape (M,), passing through every point [unit].

    Notes
    -----
    Cubic Hermite pieces; a slope is the weighted harmonic mean of the two beside it, and zero at a turn
    (Fritsch and Butland 1984, from memory).

    Examples
    --------
    >>> import numpy as np
    >>> x = np.array([0.0, 1.0, 2.0])
    >>> monotone(x, x, np.array([0.5, 1.0])).tolist()
    [0.5, 1.0]
    """
    gap, rise = np.diff(x), np.diff(y) / np.diff(x)
    before, after = rise[:-1], rise[1:]
    weight = np.stack([2.0 * gap[1:] + gap[:-1], gap[1:] + 2.0 * gap[:-1]])
    same = before * after > 0.0
    safe = np.where(same, before, 1.0), np.where(same, after, 1.0)
    inner = np.where(same, weight.sum(axis=0) / (weight[0] / safe[0] + weight[1] / safe[1]), 0.0)
    slope = np.concatenate([rise[:1], inner, rise[-1:]])
    k = np.clip(np.searchsorted(x, fine, side="right") - 1, 0, len(gap) - 1)
    t = (fine - x[k]) / gap[k]
    low, high = y[k] + gap[k] * slope[k] * t * (1 - t) ** 2, gap[k] * slope[k + 1] * t**2 * (t - 1)
    return np.asarray(low + high + (y[k + 1] - y[k]) * t**2 * (3 - 2 * t))


def smooth(x: Points, curves: Sequence[Points], step: float) -> tuple[Points, tuple[Points, ...]]:
    """Join computed points by smooth lines that pass through each and add no bump of their own.

    Parameters
    ----------
    x : numpy.ndarray
        Shape (K,), rising [-].
    curves : sequence of numpy.ndarray
        Shape (K,) each [unit].
    step : float
        How far apart points of the lines may lie [-].

    Returns
    -------
    tuple
        The finer x, shape (M,) [-], and as many curves, shape (M,) each [unit]; two points stay two points.

    Examples
    --------
    >>> import numpy as np
    >>> x = np.array([0.0, 1.0, 2.0])
    >>> smooth(x, (x,), 0.5)[1][0].tolist()
    [0.0, 0.5, 1.0, 1.5, 2.0]
    """
    if len(x) < 3:
        return x, tuple(curves)
    fine = np.union1d(np.arange(x[0], x[-1], step), x)
    return fine, tuple(monotone(x, curve, fine) for curve in curves)
