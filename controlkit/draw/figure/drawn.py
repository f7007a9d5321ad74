"""The person, drawn: tone, landmarks and contours, for any view."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.figure.body import Figure, beyond_skin, figure
from controlkit.draw.figure.contours import Contour, Edge, edges, joined, loops, visible
from controlkit.draw.figure.marks import marks
from controlkit.draw.figure.patches import Grid, Patch
from controlkit.draw.figure.raster import DOT, Canvas, Dots, Viewer, covers
from controlkit.draw.page.scene import Dot, Frame, Item, Line, Points, Region, Shade
from controlkit.draw.words.pull import View
from controlkit.mechanics.body.outline import directions
from controlkit.mechanics.body.placed import to_right

if TYPE_CHECKING:
    from controlkit.mechanics import Pose, Wearer

__all__ = ["body_items", "eye_of", "hides"]

_STEP = 0.06  # in which a window is cut to the figure [m]
_COARSE = 2  # dots of the figure to one of its tone [-]
_CLEAR = 0.008  # what stands nearer by this hides [m]
_AIR = 0.012  # a mark that stands so far before the figure hangs in the air [m]
_WIDE, _FADE = 0.0030, 0.035  # breadth of a fold's line, and the way over which it ends [m]
_SHORT, _SCRATCH = 13, 0.4  # places of a short fold, and the drop at which it is drawn still [-]
_FAINT = 0.25  # least share of that breadth, where one part hardly stands out before another [-]


@lru_cache(maxsize=64)
def eye_of(view: View, amputated: str) -> Viewer:
    """Place the viewer in the inner axes of the mechanics.

    Parameters
    ----------
    view : str or float
        "back", "side" or "front", or how far round the wearer [rad].
    amputated : str
        "left" or "right".

    Returns
    -------
    Viewer
        Where she stands.
    """
    right, towards = (to_right(way, amputated) for way in directions(view, amputated))
    return Viewer(right, towards)


@lru_cache(maxsize=128)
def body_items(
    wearer: Wearer, pose: Pose, view: View, frame: Frame, shaded: bool = True, other: str | None = None
) -> tuple[Item, ...]:
    """Draw a person without what is worn.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.
    view : str or float
        "back", "side" or "front", or how far round the wearer [rad].
    frame : Frame
        The window.
    shaded : bool
        Whether light and shadow lie on the body.
    other : str, optional
        Level of the other arm's amputation, where the pose is one of a wearer with a prosthesis on either arm.

    Returns
    -------
    tuple of Item
        Tone, landmarks, contours.

    Examples
    --------
    >>> from controlkit.mechanics import Pose, Wearer
    >>> drawn = body_items(Wearer.average("male"), Pose(), "back", Frame(-0.4, -0.4, 0.4, 0.35))
    >>> sorted({item.name for item in drawn if item.name} - {"body", "fold", "contour"})[:3]
    ['C7', 'hair', 'scapula']
    """
    body, eye = figure(wearer, pose, other), eye_of(view, wearer.amputated)
    canvas = Canvas.of(_filled(body, eye, frame))
    seen = _moving(body, eye, canvas).over(_still(body.still, eye, canvas))
    found = [*_still_edges(body.still, eye), *(edge for patch in body.moving for edge in edges(patch, eye))]
    contours = visible(found, seen, canvas)
    items: list[Item] = [_tone(seen, canvas, shaded)]
    items.extend(_marks(wearer, pose, body, eye=eye, seen=seen, canvas=canvas))
    items.extend(_fold(line) for line in contours if not line.outer and _stands_out(line))
    items.extend(Line(line, "contour", "contour") for line in joined([one.points for one in contours if one.outer]))
    return tuple(items)


def hides(wearer: Wearer, pose: Pose, points: Points, view: View, *, frame: Frame) -> NDArray[np.bool_]:
    """Tell which points stand behind what only the eye knows: head, hips, sound forearm and hand.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.
    points : numpy.ndarray
        Shape (points, 3), ISB axes [m].
    view : str or float
        "back", "side" or "front", or how far round the wearer [rad].
    frame : Frame
        A window that holds them.

    Returns
    -------
    numpy.ndarray
        Shape (points,) [-].
    """
    extra, eye, canvas = beyond_skin(wearer, pose), eye_of(view, wearer.amputated), Canvas.of(frame)
    return _behind(to_right(points, wearer.amputated), _still(extra, eye, canvas), eye, canvas)


def _behind(points: Grid, seen: Dots, eye: Viewer, canvas: Canvas) -> NDArray[np.bool_]:
    dots, inside = canvas.place(eye.flat(points))
    return np.asarray(inside & (seen.depth.ravel()[dots] > points @ eye.towards + _CLEAR))


def _filled(body: Figure, eye: Viewer, frame: Frame) -> Frame:
    """Cut a window to what the figure fills of it; in steps, so that what stands still is found again."""
    spans = [_still_span(body.still, eye), *(_span(patch, eye) for patch in body.moving)]
    low, high = min(span[0] for span in spans), max(span[1] for span in spans)
    left = min(max(frame.left, _STEP * math.floor(low / _STEP)), frame.right - _STEP)
    return replace(
        frame,
        left=left,
        right=max(min(frame.right, _STEP * math.ceil(high / _STEP)), left + _STEP),
        top=min(frame.top, _STEP * math.ceil(max(span[2] for span in spans) / _STEP)),
    )


def _span(patch: Patch, eye: Viewer) -> tuple[float, float, float]:
    """Left and right end of a patch, and its highest place [m]."""
    across = patch.points @ eye.right
    return float(across.min()), float(across.max()), float(patch.points[..., 1].max())


@lru_cache(maxsize=48)
def _still_span(patches: tuple[Patch, ...], eye: Viewer) -> tuple[float, float, float]:
    spans = [_span(patch, eye) for patch in patches]
    return min(span[0] for span in spans), max(span[1] for span in spans), max(span[2] for span in spans)


def _moving(body: Figure, eye: Viewer, canvas: Canvas) -> Dots:
    return covers(body.moving, eye, canvas)


@lru_cache(maxsize=48)
def _still(patches: tuple[Patch, ...], eye: Viewer, canvas: Canvas) -> Dots:
    return covers(patches, eye, canvas)


@lru_cache(maxsize=48)
def _still_edges(patches: tuple[Patch, ...], eye: Viewer) -> tuple[Edge, ...]:
    return tuple(edge for patch in patches for edge in edges(patch, eye))


def _tone(seen: Dots, canvas: Canvas, shaded: bool) -> Shade:
    """Light and shadow, coarser than the figure's dots and carried a little over its edge."""
    rows, columns = (size - size % _COARSE for size in seen.depth.shape)
    full = np.isfinite(seen.depth[:rows, :columns]).astype(float)
    there = full.reshape(rows // _COARSE, _COARSE, columns // _COARSE, _COARSE).sum(axis=(1, 3))
    tone = (seen.tone[:rows, :columns] * full).reshape(rows // _COARSE, _COARSE, columns // _COARSE, _COARSE)
    sums = tone.sum(axis=(1, 3))
    for _ in range(2):  # blurred, and by that carried over the edge
        sums, there = (_blurred(part) for part in (sums, there))
    dark = sums / np.maximum(there, 1e-9) * float(shaded)
    levels = np.rint(np.where(there > 1e-3, dark, 0.0) * 63.0) * 4.0  # coarse steps pack well
    corner = canvas.left, canvas.top
    return Shade(levels.astype(np.uint8), corner, DOT * _COARSE, tuple(loops(seen, canvas)), name="body")


def _blurred(values: Grid) -> Grid:
    padded = np.pad(values, 1)
    down = (padded[:-2] + 2.0 * padded[1:-1] + padded[2:]) / 4.0
    return np.asarray((down[:, :-2] + 2.0 * down[:, 1:-1] + down[:, 2:]) / 4.0)


def _marks(wearer: Wearer, pose: Pose, body: Figure, *, eye: Viewer, seen: Dots, canvas: Canvas) -> Iterable[Item]:
    """Landmarks and face, where they look towards the viewer and nothing stands before them."""
    found = marks(wearer, pose, body)
    every, facing = (np.concatenate([mark[k] for mark in found]) for k in (2, 3))
    flat = eye.flat(every)
    dots, inside = canvas.place(flat)
    # how far the figure stands before them: much, and it hides them; less than nothing, and they hang in the air
    before = seen.depth.ravel()[dots] - every @ eye.towards
    shown = inside & (facing @ eye.towards > 0.15) & (before <= _CLEAR) & (before > -_AIR)
    start = 0
    for name, style, points, _ in found:
        own = slice(start, start + len(points))
        start = own.stop
        if name == "C7":
            if eye.towards[0] < -0.5:
                x, y = flat[own][0].tolist()
                yield Dot((x, y), 0.006, style, name)
            continue
        for first, last in _runs(shown[own]):
            yield Line(flat[own][first:last], style, name)


def _runs(shown: NDArray[np.bool_]) -> list[tuple[int, int]]:
    turns = np.flatnonzero(np.diff(np.concatenate([[False], shown, [False]]).astype(int)))
    return [(a, b) for a, b in zip(turns[::2].tolist(), turns[1::2].tolist(), strict=True) if b - a > 2]


def _calm(drop: Grid) -> Grid:
    """Even out what dots make jump."""
    return np.convolve(np.pad(drop, 4, mode="edge"), np.full(9, 1.0 / 9.0), mode="valid")


def _stands_out(line: Contour) -> bool:
    """Tell whether an inner contour is more than a scratch: long enough, or well before what lies behind it."""
    return len(line.points) > _SHORT or float(line.drop.mean()) > _SCRATCH


def _fold(line: Contour) -> Region:
    """A pen's stroke: full in the middle, thin where it ends and where what lies behind it is near."""
    points = line.points
    way = np.gradient(points, axis=0)
    aside = np.stack([-way[:, 1], way[:, 0]], axis=1) / np.maximum(np.hypot(*way.T), 1e-9)[:, None]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    reach = min(_FADE, 0.5 * along[-1])
    ends = np.minimum(along, along[-1] - along) / max(reach, 1e-9)
    half = 0.5 * _WIDE * np.clip(0.15 + 0.85 * ends * np.maximum(_calm(line.drop), _FAINT), 0.0, 1.0)[:, None]
    return Region(np.vstack([points + half * aside, (points - half * aside)[::-1]]), "fold", "fold")
