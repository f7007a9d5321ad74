"""From where worn things are seen, and how a sheet in space shows itself: the pieces of it that nothing hides."""

from __future__ import annotations

from collections.abc import Callable, Generator
from contextlib import suppress
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.page.scene import Line, Points, Region
from controlkit.draw.page.shapes import runs

__all__ = ["Asks", "Panel", "Sight", "at_once", "disc", "hull", "unit"]

Mask = NDArray[np.bool_]
Asks = Generator[Points, Mask, None]
"""A part being drawn: it hands over points, and goes on when told which of them are hidden."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Sight:
    """One view of a posed body.

    Parameters
    ----------
    right, towards : numpy.ndarray
        To the viewer's right, and towards the viewer, ISB axes, shape (3,) [-].
    hides : callable
        Which points, shape (M, 3) [m], are hidden from the viewer.
    """

    right: Points
    towards: Points
    hides: Callable[[Points], Mask]

    def flat(self, points: Points) -> Points:
        """Where points lie in the picture, shape (..., 2) [m]."""
        return np.stack([points @ self.right, points[..., 1]], axis=-1)


def at_once(sight: Sight, *parts: Asks) -> None:
    """Draw parts with a single question about what hides them, which is dear and hardly dearer for many points.

    Parameters
    ----------
    sight : Sight
        The view.
    *parts : Asks
        Each asks once.

    Examples
    --------
    >>> told = []
    >>> def part(height):
    ...     told.append((yield np.array([[0.0, height, 0.0]])).tolist())
    >>> view = Sight(right=np.eye(3)[2], towards=np.eye(3)[0], hides=lambda points: points[:, 1] > 0.5)
    >>> at_once(view, part(0.0), part(1.0))
    >>> told
    [[False], [True]]
    """
    asked = [next(part) for part in parts]
    ends = np.cumsum([len(points) for points in asked])
    for part, hidden in zip(parts, np.split(sight.hides(np.vstack(asked)), ends[:-1]), strict=True):
        with suppress(StopIteration):
            part.send(hidden)


@dataclass(frozen=True, eq=False)
class Panel:
    """A bent sheet as the viewer sees it.

    Parameters
    ----------
    flat : numpy.ndarray
        Its points in the picture, shape (columns, rows, 2) [m].
    hidden : numpy.ndarray
        Shape (columns, rows), true where something hides the point [-].
    """

    flat: Points
    hidden: Mask

    def regions(self, style: str, name: str) -> list[Region]:
        """Fill the pieces that can be seen; their edges are drawn by `edges`.

        Parameters
        ----------
        style, name : str
            Of the regions.

        Returns
        -------
        list of Region
            One a piece.
        """
        found: list[Region] = []
        seen = ~self.hidden
        shown = seen.sum(axis=1) > 1
        turns = np.flatnonzero(np.diff(np.concatenate([[False], shown, [False]]).astype(int)))
        first = seen.argmax(axis=1)
        last = seen.shape[1] - 1 - seen[:, ::-1].argmax(axis=1)
        for a, b in zip(turns[::2], turns[1::2], strict=True):
            if b - a < 2:
                continue
            low = [self.flat[k, first[k]] for k in range(a, b)]
            high = [self.flat[k, last[k]] for k in range(a, b)]
            begin = self.flat[a, first[a] + 1 : last[a]]
            end = self.flat[b - 1, first[b - 1] + 1 : last[b - 1]]
            found.append(Region(np.vstack([*low, end, *high[::-1], begin[::-1]]), style, name))
        return found

    def within(self, share: float) -> Panel:
        """The same sheet without a rim, as a row of stitches runs round it.

        Parameters
        ----------
        share : float
            How broad the rim is, as a share of half the sheet [-].

        Returns
        -------
        Panel
            What is left.
        """
        columns = len(self.hidden)
        middle = 0.5 * (self.flat[:, :1] + self.flat[:, -1:])
        inner = middle + (1.0 - share) * (self.flat - middle)
        cut = max(round(0.5 * share * columns), 1)
        return Panel(inner[cut : columns - cut], self.hidden[cut : columns - cut])

    def edges(self, style: str, name: str, *, sides: str = "abcd", dashed: bool = True) -> list[Line]:
        """Draw its edges.

        Parameters
        ----------
        style, name : str
            Of the lines.
        sides : str
            Which: a and b at the first and last column, c and d at the first and last row.
        dashed : bool
            Whether what is hidden of them is drawn dashed, or left out.

        Returns
        -------
        list of Line
            The edges.
        """
        cuts = {"a": (0, 0), "b": (0, -1), "c": (1, 0), "d": (1, -1)}
        lines: list[Line] = []
        for side in sides:
            axis, at = cuts[side]
            flat, hidden = np.take(self.flat, at, axis=axis), np.take(self.hidden, at, axis=axis)
            if dashed:
                lines.append(Line(flat, style, name, hidden=hidden))
            else:
                lines += [Line(flat[a : b + 1], style, name) for a, b, under in runs(hidden) if not under]
        return lines


def unit(vector: Points) -> Points:
    """Scale a vector to length one.

    Parameters
    ----------
    vector : numpy.ndarray
        Shape (..., 3), any length [m].

    Returns
    -------
    numpy.ndarray
        Its direction, shape (..., 3) [-].

    Examples
    --------
    >>> unit(np.array([0.0, 3.0, 4.0])).tolist()
    [0.0, 0.6, 0.8]
    """
    return np.asarray(vector / np.maximum(np.linalg.norm(vector, axis=-1, keepdims=True), 1e-12))


def disc(centre: Points, normal: Points, radius: float, count: int = 24) -> Points:
    """Set points round a circle in space.

    Parameters
    ----------
    centre, normal : numpy.ndarray
        Its middle [m] and the way it faces [-], shape (3,) each.
    radius : float
        Its radius [m].
    count : int
        How many points [-].

    Returns
    -------
    numpy.ndarray
        Shape (count, 3) [m].

    Examples
    --------
    >>> disc(np.zeros(3), np.array([0.0, 0.0, 1.0]), 2.0, 4).round(6).shape
    (4, 3)
    """
    level = np.array([0.0, 1.0, 0.0]) if abs(float(normal[1])) < 0.9 else np.array([1.0, 0.0, 0.0])
    first = unit(np.cross(level, normal))
    second = np.cross(unit(normal), first)
    turn = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False)[:, None]
    return np.asarray(centre + radius * (np.cos(turn) * first + np.sin(turn) * second))


def hull(points: Points) -> Points:
    """Draw the shortest line round points of a picture.

    Parameters
    ----------
    points : numpy.ndarray
        Shape (M, 2) [m].

    Returns
    -------
    numpy.ndarray
        Its corners in turn, shape (K, 2) [m].

    Examples
    --------
    >>> hull(np.array([[0.0, 0.0], [1.0, 0.0], [0.4, 0.3], [1.0, 1.0], [0.0, 1.0]])).tolist()
    [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]
    """
    ordered = points[np.lexsort((points[:, 1], points[:, 0]))].tolist()

    def half(row: list[list[float]]) -> list[list[float]]:
        kept: list[list[float]] = []
        for x, y in row:
            while len(kept) > 1:
                (ax, ay), (bx, by) = kept[-2:]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0.0:
                    break
                kept.pop()
            kept.append([x, y])
        return kept[:-1]

    return np.array(half(ordered) + half(ordered[::-1]))
