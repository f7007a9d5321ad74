"""How near the figure comes to the viewer, dot by dot: what hides, where its edge is, how light falls on it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.figure.patches import Grid, Patch
from controlkit.draw.page.scene import Frame, Points

__all__ = ["DOT", "Canvas", "Dots", "Viewer", "covers"]

DOT = 0.005
"""Breadth of a dot [m]."""
_AROUND = np.array([(down, along) for down in (-1, 0, 1) for along in (-1, 0, 1)])  # a dot and its neighbours
_FINE = 0.0040  # points of a patch are no further apart in the picture than this [m]
_UP = np.array([0.0, 1.0, 0.0])
_LIGHT = np.array([-0.45, 0.55, 0.70])  # where light comes from: to the viewer's right, up, towards her [-]


@dataclass(frozen=True, eq=False)
class Viewer:
    """Where the viewer stands.

    Parameters
    ----------
    right, towards : numpy.ndarray
        To the viewer's right, and towards her, inner axes of the mechanics, shape (3,) [-].
    """

    right: Points
    towards: Points

    def flat(self, points: Grid) -> Grid:
        """Points in the picture.

        Parameters
        ----------
        points : numpy.ndarray
            Shape (..., 3) [m].

        Returns
        -------
        numpy.ndarray
            To the viewer's right, and up, shape (..., 2) [m].
        """
        return np.stack([points @ self.right, points[..., 1]], axis=-1)


@dataclass(frozen=True)
class Canvas:
    """A window cut into dots.

    Parameters
    ----------
    left, top : float
        Its corner [m].
    rows, columns : int
        Its dots [-].
    """

    left: float
    top: float
    rows: int
    columns: int

    @classmethod
    def of(cls, frame: Frame, beyond: float = 0.04) -> Canvas:
        """Cut a window and what lies a little beyond it.

        Parameters
        ----------
        frame : Frame
            The window.
        beyond : float
            How far beyond its edges [m].

        Returns
        -------
        Canvas
            With dots of `DOT`.
        """
        left, top = frame.left - beyond, frame.top + beyond
        rows = int(np.ceil((frame.height + 2.0 * beyond) / DOT))
        columns = int(np.ceil((frame.width + 2.0 * beyond) / DOT))
        return cls(left, top, rows, columns)

    def place(self, flat: Grid) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
        """Find the dot in which points lie.

        Parameters
        ----------
        flat : numpy.ndarray
            Shape (points, 2) [m].

        Returns
        -------
        tuple of numpy.ndarray
            Number of the dot, row by row [-], and whether there is one, shape (points,).
        """
        column = np.floor((flat[:, 0] - self.left) / DOT).astype(np.intp)
        row = np.floor((self.top - flat[:, 1]) / DOT).astype(np.intp)
        inside = (column >= 0) & (column < self.columns) & (row >= 0) & (row < self.rows)
        return np.where(inside, row * self.columns + column, 0), inside


@dataclass(frozen=True, eq=False)
class Dots:
    """What a viewer sees in each dot.

    Parameters
    ----------
    depth : numpy.ndarray
        How near the figure comes, minus infinity where it is not, shape (rows, columns) [m].
    tone : numpy.ndarray
        How dark it is there, from 0 to 1, the same shape [-].
    """

    depth: Grid
    tone: Grid

    def over(self, other: Dots) -> Dots:
        """Lay one picture over another; what is nearer is seen."""
        nearer = self.depth >= other.depth
        return Dots(np.where(nearer, self.depth, other.depth), np.where(nearer, self.tone, other.tone))


def covers(patches: Iterable[Patch], eye: Viewer, canvas: Canvas) -> Dots:
    """Set the points of patches into the dots in which they are seen.

    Parameters
    ----------
    patches : iterable of Patch
        Surfaces.
    eye : Viewer
        Where the viewer stands.
    canvas : Canvas
        The dots.

    Returns
    -------
    Dots
        The nearest point of each dot.
    """
    size = canvas.rows * canvas.columns
    depth, tone = np.full(size, -np.inf), np.zeros(size)
    light = _LIGHT[0] * eye.right + np.array([0.0, _LIGHT[1], 0.0]) + _LIGHT[2] * eye.towards
    axes = np.stack([eye.right, _UP, eye.towards], axis=1)
    shine = np.stack([eye.towards, light / np.linalg.norm(light)], axis=1)
    for patch in patches:
        fine = _refined(np.concatenate([patch.points @ axes, patch.normals @ shine], axis=2), patch)
        dots, inside = canvas.place(fine[:2].T)
        keep = inside & (fine[3] > 0.0)
        dots, near, facing, lit = dots[keep], *fine[2:, keep]
        np.maximum.at(depth, dots, near)
        first = depth[dots] <= near
        dark = 0.20 * np.clip(1.0 - 1.25 * lit[first], 0.0, 1.0) + 0.22 * (1.0 - np.minimum(facing[first], 1.0)) ** 2.4
        tone[dots[first]] = dark
    shape = canvas.rows, canvas.columns
    return _filled(depth.reshape(shape), tone.reshape(shape))


def _refined(values: Grid, patch: Patch) -> Grid:
    """Points of a patch as close as dots need them, of those cells that may be seen; shape (values, points)."""
    rows, columns = patch.sound.shape
    number = np.arange(rows * columns).reshape(rows, columns)
    beside = np.roll(number, -1, axis=1)
    wide = columns if patch.whole else columns - 1
    corners = np.stack([number[:-1, :wide], beside[:-1, :wide], number[1:, :wide], beside[1:, :wide]]).reshape(4, -1)
    flat = values.reshape(-1, values.shape[2])
    seen = patch.sound.ravel()[corners].all(axis=0) & (flat[corners, 3] > 0.0).any(axis=0)
    there = flat[corners[:, seen]]
    if not there.size:
        return np.empty((values.shape[2], 0))
    reach = np.abs(there[1:, :, :2] - there[:1, :, :2]).max(axis=(1, 2))
    down, along = (max(1, int(np.ceil(reach[k] / _FINE))) for k in (1, 0))
    return np.asarray((_between(down, along) @ there.reshape(4, -1)).reshape(-1, there.shape[2]).T)


@lru_cache(maxsize=64)
def _between(down: int, along: int) -> Grid:
    """Weights of a cell's corners at points spread evenly over it, shape (points, 4)."""
    y, x = (((np.arange(count) + 0.5) / count) for count in (down, along))
    v, u = (part.ravel() for part in np.meshgrid(y, x, indexing="ij"))
    return np.stack([(1.0 - v) * (1.0 - u), (1.0 - v) * u, v * (1.0 - u), v * u], axis=1)


def _filled(depth: Grid, tone: Grid) -> Dots:
    """Close the few dots that no point fell into."""
    wide = depth.shape[1] + 2
    padded, tones = (np.pad(one, 1, constant_values=empty).ravel() for one, empty in ((depth, -np.inf), (tone, 0.0)))
    full = (padded > -np.inf).astype(np.int8).reshape(-1, wide)
    rows = full[:-2] + full[1:-1] + full[2:]
    around = rows[:, :-2] + rows[:, 1:-1] + rows[:, 2:]
    row, column = np.nonzero((around >= 5) & (full[1:-1, 1:-1] == 0))
    if len(row):
        depth, tone = depth.copy(), tone.copy()
        near = ((row + 1) * wide + column + 1)[:, None] + _AROUND @ np.array([wide, 1])
        there = padded[near]
        known = there > -np.inf
        count = known.sum(axis=1)
        depth[row, column] = np.where(known, there, 0.0).sum(axis=1) / count
        tone[row, column] = np.where(known, tones[near], 0.0).sum(axis=1) / count
    return Dots(depth, tone)
