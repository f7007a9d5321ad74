"""Contours of the figure: where its surface turns away from the viewer, as far as nothing stands before it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.figure.march import lerp, zero_lines
from controlkit.draw.figure.patches import Grid, Patch
from controlkit.draw.figure.raster import DOT, Canvas, Dots, Viewer
from controlkit.draw.page.scene import Points

__all__ = ["Contour", "Edge", "edges", "joined", "loops", "visible"]

_STEP = 0.004  # between places of an edge [m]
_BESIDE = 1.2 * DOT  # beside a contour the figure behind it is looked at [m]
_CLEAR = 0.010  # what stands nearer than a contour by this covers it [m]
_OVERLAP = 1  # places by which pieces run on [-]
_HOLE = 5e-4  # no smaller gap is left open [m2]
_LEAST = 4  # places of the shortest contour drawn [-]
_FOLD = 8  # of the shortest inner one: where two parts meet, each runs on a little under the other [-]
_INSIDE = (
    0.74  # share of the dots about a place that are filled, on the line round them: a dot is filled from its edge on
)
_DROP = 0.05  # from a contour to what lies behind it, from which on its line is drawn in full [m]
_MEET, _NEAR = 0.016, 0.050  # between two outer contours that are one line to the eye, and between their ends [m]
_EASED = 2  # places by which a step between two is eased on either side [-]
_TAIL = 11  # places by which one may run on past where they meet [-]


@dataclass(frozen=True, eq=False)
class Edge:
    """A line along which one patch turns away from the viewer, seen or not.

    Parameters
    ----------
    flat : numpy.ndarray
        In the picture, shape (M, 2) [m].
    depth : numpy.ndarray
        Towards the viewer, shape (M,) [m].
    out : numpy.ndarray
        Away from the patch in the picture, shape (M, 2) [-].
    """

    flat: Points
    depth: Grid
    out: Points


@dataclass(frozen=True, eq=False)
class Contour:
    """A piece of an edge that is seen.

    Parameters
    ----------
    points : numpy.ndarray
        In the picture, shape (M, 2) [m].
    outer : bool
        Whether nothing of the figure lies behind it.
    drop : numpy.ndarray
        How far what lies behind it is, over what is far, from 0 to 1, shape (M,) [-].
    """

    points: Points
    outer: bool
    drop: Grid


def edges(patch: Patch, eye: Viewer) -> list[Edge]:
    """Find the lines along which a patch turns away.

    Parameters
    ----------
    patch : Patch
        The surface.
    eye : Viewer
        Where the viewer stands.

    Returns
    -------
    list of Edge
        In no order.
    """
    found = []
    for crossing in zero_lines(patch.normals @ eye.towards, patch.sound, patch.whole):
        if len(crossing[0]) < _LEAST:
            continue
        fine = _evenly(np.concatenate([lerp(patch.points, crossing), lerp(patch.normals, crossing)], axis=1))
        outward = eye.flat(fine[:, 3:])
        size = np.linalg.norm(outward, axis=1, keepdims=True)
        found.append(Edge(eye.flat(fine[:, :3]), fine[:, :3] @ eye.towards, outward / np.maximum(size, 1e-9)))
    return found


def _evenly(rows: Grid) -> Grid:
    """Set places along a line at even steps; its first three columns are where it runs."""
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(rows[:, :3], axis=0), axis=1))])
    at = np.linspace(0.0, along[-1], max(int(along[-1] / _STEP), 4) + 1)
    return np.stack([np.interp(at, along, column) for column in rows.T], axis=1)


def visible(found: list[Edge], seen: Dots, canvas: Canvas) -> list[Contour]:
    """Cut edges where something covers them, and tell outer from inner ones.

    Parameters
    ----------
    found : list of Edge
        Edges of all patches.
    seen : Dots
        The whole figure.
    canvas : Canvas
        Its dots.

    Returns
    -------
    list of Contour
        Each drawn once.
    """
    if not found:
        return []
    flat, depth, out = (np.concatenate([getattr(edge, name) for edge in found]) for name in ("flat", "depth", "out"))
    dots, inside = canvas.place(flat + _BESIDE * out)
    beside = np.where(inside, seen.depth.ravel()[dots], -np.inf)
    open_ = inside & (beside < depth + _CLEAR)
    outer = open_ & ~np.isfinite(beside)
    kind = np.where(outer, 2, np.where(open_, 1, 0))
    drop = np.clip((depth - beside) / _DROP, 0.0, 1.0)
    contours, start = [], 0
    for edge in found:
        here = slice(start, start + len(edge.flat))
        start = here.stop
        own, falls = _steadied(kind[here]), drop[here]
        turns = np.flatnonzero(np.diff(own)) + 1
        for first, last in zip([0, *turns.tolist()], [*turns.tolist(), len(own)], strict=True):
            if own[first] and last - first >= (_LEAST if own[first] == 2 else _FOLD):
                meet = slice(max(first - _OVERLAP, 0), last + _OVERLAP)  # where one part ends another begins
                contours.append(Contour(edge.flat[meet], bool(own[first] == 2), falls[meet]))
    return contours


def joined(lines: list[Points]) -> list[Points]:
    """Make one line of those that meet, so that none runs on past the other into the air.

    Parameters
    ----------
    lines : list of numpy.ndarray
        Outer contours, shape (M, 2) each [m].

    Returns
    -------
    list of numpy.ndarray
        Fewer and longer ones, shape (M, 2) each [m].

    Examples
    --------
    >>> one = np.stack([np.linspace(0.0, 0.1, 26), np.zeros(26)], axis=1)
    >>> other = np.stack([np.full(26, 0.092), np.linspace(0.008, -0.092, 26)], axis=1)
    >>> [len(line) for line in joined([one, other, one + 1.0])]
    [48, 26]
    """
    if len(lines) < 2:
        return lines
    met = _met(lines)
    cut = [
        line[met[2 * k][1] if 2 * k in met else 0 : len(line) - (met[2 * k + 1][1] if 2 * k + 1 in met else 0)]
        for k, line in enumerate(lines)
    ]
    found: list[Points] = []
    left = set(range(len(lines)))
    for start in [*(end for end in range(2 * len(lines)) if end not in met), *range(2 * len(lines))]:
        chain: list[Points] = []
        end = start
        while end // 2 in left:
            left.discard(end // 2)
            chain.append(cut[end // 2][:: -1 if end % 2 else 1])
            end = met[end ^ 1][0] if end ^ 1 in met else -2
        if chain:
            found.append(np.vstack([*chain, *([chain[0][:1]] if end == start else [])]))
    return found


def _met(lines: list[Points]) -> dict[int, tuple[int, int]]:
    """For ends that meet another, which and how many places before the end; line k has the ends 2 k and 2 k + 1."""
    tails = [line[:: -1 if end else 1][: max(min(_TAIL, len(line) // 2), 2)] for line in lines for end in (0, 1)]
    ends = np.array([tail[0] for tail in tails])
    apart = np.hypot(*(ends[:, None] - ends).transpose(2, 0, 1))
    close = []
    for one, other in np.argwhere(np.triu(apart < _NEAR, 1)).tolist():
        if one // 2 == other // 2 or (tails[one][-1] - tails[one][0]) @ (tails[other][-1] - tails[other][0]) > 0.0:
            continue  # two that go the same way lie beside each other
        gap = np.hypot(*(tails[one][:, None] - tails[other]).transpose(2, 0, 1))
        here, there = divmod(int(gap.argmin()), gap.shape[1])
        close.append((float(gap[here, there]), one, other, here, there))
    met: dict[int, tuple[int, int]] = {}
    for wide, one, other, here, there in sorted(close):
        if wide < _MEET and one not in met and other not in met:
            eased = _EASED if wide > _STEP else 0  # a corner is rounded
            met[one] = other, min(here + eased, len(tails[one]) - 1)
            met[other] = one, min(there + eased, len(tails[other]) - 1)
    return met


def _steadied(kind: NDArray[np.intp]) -> NDArray[np.intp]:
    """Let single places follow their neighbours: dots are coarse."""
    steady = kind.copy()
    for _ in range(2):
        lone = (steady[1:-1] != steady[:-2]) & (steady[:-2] == steady[2:])
        steady[1:-1][lone] = steady[:-2][lone]
    return steady


def loops(seen: Dots, canvas: Canvas) -> list[Points]:
    """Close lines round all that the figure covers.

    Parameters
    ----------
    seen : Dots
        The whole figure.
    canvas : Canvas
        Its dots.

    Returns
    -------
    list of numpy.ndarray
        Closed lines, holes too, shape (M, 2) each [m].
    """
    mask = np.pad(np.isfinite(seen.depth), 2).astype(float)
    soft = mask
    for axis in (0, 1):
        soft = (np.roll(soft, 1, axis) + 2.0 * soft + np.roll(soft, -1, axis)) / 4.0
    rows, columns = soft.shape
    x = canvas.left + (np.arange(columns) - 1.5) * DOT
    y = canvas.top - (np.arange(rows) - 1.5) * DOT
    places = np.stack(np.meshgrid(x, y), axis=2)
    lines = [lerp(places, crossing) for crossing in zero_lines(soft - _INSIDE, soft >= 0.0, whole=False)]
    return [_rounded(line) for line in lines if _area(line) > _HOLE]


def _area(line: Points) -> float:
    """What a closed line goes round [m2]."""
    x, y = line.T
    return float(abs(np.dot(x[:-1], y[1:]) - np.dot(x[1:], y[:-1]))) / 2.0


def _rounded(line: Points) -> Points:
    """Even out a closed line and leave out every other place."""
    ring = line[:-1]
    even = (np.roll(ring, 1, axis=0) + 2.0 * ring + np.roll(ring, -1, axis=0)) / 4.0
    return np.asarray(even[::2])
