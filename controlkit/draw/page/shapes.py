"""Shapes that every ink needs: a line cut where it is hidden, the head of an arrow, what an item covers."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from controlkit.draw.page.scene import Dot, Item, Line, Points, Region, Ribbon
from controlkit.draw.page.style import STYLES

__all__ = ["arrow_head", "runs", "shape_of"]


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


def shape_of(item: Item) -> Points | None:
    """Tell which part of a picture an item covers.

    Parameters
    ----------
    item : Item
        What is drawn.

    Returns
    -------
    numpy.ndarray or None
        Its closed outline, shape (M, 2) [m]; nothing for what is only a thin line or words.

    Examples
    --------
    >>> from controlkit.draw.page.scene import Dot
    >>> len(shape_of(Dot((0.0, 0.0), 0.01)))
    16
    """
    if isinstance(item, Ribbon):
        first, last = 0, len(item.points) - 1
        if item.hidden is not None and item.hidden.any():
            seen = [(b - a, a, b) for a, b, under in runs(item.hidden) if not under]
            if not seen:
                return None
            _, first, last = max(seen)
        middle, across = item.points[first : last + 1], item.across[first : last + 1]
        return np.vstack([middle + across, (middle - across)[::-1]])
    if isinstance(item, Region):
        return item.points if STYLES[item.style].fill else None
    if isinstance(item, Dot):
        turn = np.linspace(0.0, 2.0 * np.pi, 17)[:-1]
        return np.asarray(item.at + item.radius * np.stack([np.cos(turn), np.sin(turn)], axis=1))
    if isinstance(item, Line) and STYLES[item.style].webbing:
        points = np.vstack([item.points, item.points[:1]]) if item.closed else item.points
        way = np.gradient(points, axis=0)
        side = np.stack([-way[:, 1], way[:, 0]], axis=1) / np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-9)[:, None]
        half = 0.5 * STYLES[item.style].webbing * side
        return np.vstack([points + half, (points - half)[::-1]])
    return None
