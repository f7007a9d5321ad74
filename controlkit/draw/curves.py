"""Smooth lines through a few corners."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from controlkit.draw.scene import Points

__all__ = ["through"]


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
