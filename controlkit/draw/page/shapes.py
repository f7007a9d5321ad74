"""Shapes that every ink needs: a line cut where it is hidden, the head of an arrow."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from controlkit.draw.page.scene import Points

__all__ = ["arrow_head", "runs"]


def runs(hidden: np.ndarray) -> list[tuple[int, int, bool]]:
    """Cut a line where it goes behind the body or comes out again.

    Parameters
    ----------
    hidden : numpy.ndarray
        Shape (M,), true where the point is covered [-].

    Returns
    -------
    list of tuple
        (first, last, covered) of each piece; neighbours share a point [-].
    """
    steps = hidden[1:] | hidden[:-1]  # a step is seen only if both its ends are
    turns = np.flatnonzero(steps[1:] != steps[:-1]) + 1
    edges = [0, *turns.tolist(), len(steps)]
    return [(first, last, bool(steps[first])) for first, last in pairwise(edges) if last > first]


def arrow_head(start: tuple[float, float], end: tuple[float, float], size: float) -> tuple[tuple[float, float], Points]:
    """Shape the head of an arrow.

    Parameters
    ----------
    start, end : tuple of float
        The arrow from tail to tip [m].
    size : float
        Length of the head [m].

    Returns
    -------
    tuple
        Where the shaft ends, and the three corners of the head, shape (3, 2) [m].
    """
    tail, tip = np.array(start), np.array(end)
    along = tip - tail
    reach = float(np.hypot(along[0], along[1]))
    if reach == 0.0:
        return end, np.array([end, end, end])
    along = along / reach
    size = min(size, reach)
    base = tip - along * size
    across = np.array([-along[1], along[0]]) * size * 0.36
    corners = np.array([tip, base + across, base - across])
    return (float(base[0]), float(base[1])), corners
