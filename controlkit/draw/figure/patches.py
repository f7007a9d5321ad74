"""Surfaces of the figure as grids of points: rings one after the other, each round its own middle."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.page.scene import Points

__all__ = ["Patch", "closed", "normals", "rings", "tube"]

Grid = NDArray[np.float64]

_FORWARD = 0.9  # a line this much along the way ahead has no ring that begins there [-]


@dataclass(frozen=True, eq=False)
class Patch:
    """One surface of the figure.

    Parameters
    ----------
    name : str
        What it is, as a reader would call it.
    points : numpy.ndarray
        Shape (rings, around, 3), inner axes of the mechanics [m].
    normals : numpy.ndarray
        Outward, length one, the same shape [-].
    sound : numpy.ndarray
        Shape (rings, around), whether a point lies on the skin; others are inside another part [-].
    whole : bool
        Whether its rings close.
    """

    name: str
    points: Grid
    normals: Grid
    sound: NDArray[np.bool_]
    whole: bool = True

    def cut(self, columns: NDArray[np.intp]) -> Patch:
        """Cut out some neighbouring columns.

        Parameters
        ----------
        columns : numpy.ndarray
            Which, in their order, shape (picked,) [-].

        Returns
        -------
        Patch
            An open one.
        """
        return Patch(self.name, self.points[:, columns], self.normals[:, columns], self.sound[:, columns], whole=False)


def normals(points: Grid, whole: bool = True) -> Grid:
    """Find the outward normals of a grid whose rings run round it.

    Parameters
    ----------
    points : numpy.ndarray
        Shape (rings, around, 3) [m].
    whole : bool
        Whether the rings close.

    Returns
    -------
    numpy.ndarray
        Length one, the same shape [-].

    Examples
    --------
    >>> ends = np.array([[0.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
    >>> (normals(tube(ends, np.array([0.1, 0.1]), 8))[0, 0].round(6) + 0.0).tolist()
    [1.0, 0.0, 0.0]
    """
    along = np.gradient(points, axis=0)
    around = np.roll(points, -1, axis=1) - np.roll(points, 1, axis=1) if whole else np.gradient(points, axis=1)
    across = np.cross(along, around)
    size = np.linalg.norm(across, axis=2, keepdims=True)
    across /= np.where(size > 0.0, size, 1.0)
    middle = np.array([0.0, 1.0, 0.0]) * points if not whole else points.mean(axis=1, keepdims=True)
    return across if np.einsum("lad,lad->", across, points - middle) >= 0.0 else -across


def rings(centres: Grid, first: Grid, second: Grid, around: int) -> Grid:
    """Set ellipses round middles.

    Parameters
    ----------
    centres : numpy.ndarray
        Shape (rings, 3) [m].
    first, second : numpy.ndarray
        Half axes of each ellipse, shape (rings, 3) [m].
    around : int
        Points of a ring [-].

    Returns
    -------
    numpy.ndarray
        Shape (rings, around, 3), from the first half axis on [m].

    Examples
    --------
    >>> one = rings(np.zeros((1, 3)), np.array([[0.2, 0.0, 0.0]]), np.array([[0.0, 0.0, 0.1]]), 4)
    >>> (one[0].round(6) + 0.0).tolist()
    [[0.2, 0.0, 0.0], [0.0, 0.0, 0.1], [-0.2, 0.0, 0.0], [0.0, 0.0, -0.1]]
    """
    turn = np.linspace(0.0, 2.0 * np.pi, around, endpoint=False)
    cos, sin = np.cos(turn)[None, :, None], np.sin(turn)[None, :, None]
    return np.asarray(centres[:, None] + cos * first[:, None] + sin * second[:, None])


def tube(line: Points, radius: Grid, around: int, *, flat: float | Grid = 1.0, front: Points | None = None) -> Grid:
    """Lay a tube with round ends along a line.

    Parameters
    ----------
    line : numpy.ndarray
        Shape (M, 3) [m].
    radius : numpy.ndarray
        At each point of the line, shape (M,) [m].
    around : int
        Points of a ring [-].
    flat : float or numpy.ndarray
        Thickness over breadth, one for all or one a point, shape (M,) [-].
    front : numpy.ndarray, optional
        Which way it is thin, shape (3,); forward unless given, upward where the line itself runs forward [-].

    Returns
    -------
    numpy.ndarray
        Shape (M, around, 3), the first half axis to the front [m].

    Examples
    --------
    >>> tube(np.array([[0.0, 0.0, 0.0], [0.0, 1.0, 0.0]]), np.array([0.1, 0.1]), 12).shape
    (2, 12, 3)
    """
    along = np.gradient(line, axis=0)
    along /= np.linalg.norm(along, axis=1, keepdims=True)
    ahead = np.array([1.0, 0.0, 0.0]) if front is None else front
    if front is None and np.abs(along @ ahead).max() > _FORWARD:
        ahead = np.array([0.0, 1.0, 0.0])
    one = ahead - (along @ ahead)[:, None] * along
    one /= np.linalg.norm(one, axis=1, keepdims=True)
    two = np.cross(along, one)
    return rings(line, (flat * radius)[:, None] * one, radius[:, None] * two, around)


def closed(line: Points, radius: Grid, steps: int = 4) -> tuple[Points, Grid]:
    """Round off both ends of a tube.

    Parameters
    ----------
    line : numpy.ndarray
        Shape (M, 3) [m].
    radius : numpy.ndarray
        At each point of the line, shape (M,) [m].
    steps : int
        Rings of each round end [-].

    Returns
    -------
    tuple of numpy.ndarray
        Line and radii with the ends drawn on, shape (M + 2 steps, 3) and (M + 2 steps,) [m].

    Examples
    --------
    >>> line, radius = closed(np.array([[0.0, 0.0, 0.0], [0.0, 1.0, 0.0]]), np.array([0.1, 0.1]))
    >>> round(float(line[0, 1]), 3), round(float(radius[-1]), 3)
    (-0.1, 0.002)
    """
    turn = np.linspace(0.0, 0.5 * np.pi, steps + 1)[1:]
    out = []
    for end, inner in ((0, 1), (-1, -2)):
        away = line[end] - line[inner]
        away = away / np.linalg.norm(away)
        reach = np.sin(turn) * radius[end]
        round_ = np.maximum(np.cos(turn), 0.02) * radius[end]
        out.append((line[end] + reach[:, None] * away, round_))
    (top, first), (bottom, last) = out
    return np.vstack([top[::-1], line, bottom]), np.concatenate([first[::-1], radius, last])
