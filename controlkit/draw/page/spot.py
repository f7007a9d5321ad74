"""A place on a drawn part that nothing drawn later covers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.page.labels import dense
from controlkit.draw.page.scene import Frame, Item, Line, Points, Ribbon
from controlkit.draw.page.shapes import shape_of

__all__ = ["spot"]

_FINE = 17  # places looked at along and across a part [-]


def _inside(points: Points, outline: Points) -> NDArray[np.bool_]:
    first, last = outline[:, None, :], np.roll(outline, -1, axis=0)[:, None, :]
    level = points[None, :, 1]
    crossed = (first[..., 1] > level) != (last[..., 1] > level)
    rise = np.where(crossed, last[..., 1] - first[..., 1], 1.0)
    at = first[..., 0] + (level - first[..., 1]) * (last[..., 0] - first[..., 0]) / rise
    return np.asarray((crossed & (at > points[None, :, 0])).sum(axis=0) % 2 == 1)


def spot(items: Sequence[Item], name: str, frame: Frame) -> tuple[float, float]:
    """Find a place on a part that can be seen, as far from its edge as may be.

    Parameters
    ----------
    items : sequence of Item
        What is drawn, the farthest first.
    name : str
        The part.
    frame : Frame
        The window.

    Returns
    -------
    tuple of float
        The place [m].

    Raises
    ------
    LookupError
        If no part of that name can be seen; a picture that names what it does not show is not drawn.

    Examples
    --------
    >>> import numpy as np
    >>> from controlkit.draw import Region
    >>> square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    >>> drawn = [Region(square, "plate", "plate"), Region(square * [0.5, 1.0], "plate", "other")]
    >>> x, y = spot(drawn, "plate", Frame(0.0, 0.0, 1.0, 1.0))
    >>> round(x, 1), round(y, 1)
    (0.7, 0.5)
    """
    window = np.array([[frame.left, frame.bottom], [frame.right, frame.top]])
    shapes = [shape_of(item) for item in items]
    found: list[tuple[float, float, float]] = []
    for number, item in enumerate(items):
        outline = shapes[number]
        if getattr(item, "name", "") != name or getattr(item, "style", "") == "flesh":  # skin seen through a part
            continue
        if outline is None:
            if isinstance(item, Line) and not isinstance(item, Ribbon):
                x, y = item.points[len(item.points) // 2].tolist()
                found.append((0.0, x, y))
            continue
        low, high = np.maximum(outline.min(axis=0), window[0]), np.minimum(outline.max(axis=0), window[1])
        share = (np.arange(_FINE) + 0.5) / _FINE
        grid = np.stack(np.meshgrid(*(low[k] + share * (high[k] - low[k]) for k in (0, 1))), axis=-1).reshape(-1, 2)
        free = grid[_inside(grid, outline)]
        covers = [shape for shape in shapes[number + 1 :] if shape is not None]
        for shape in covers:
            free = free[~_inside(free, shape)]
        if len(free):
            edges = dense([np.vstack([shape, shape[:1]]) for shape in (outline, *covers)], 0.02 * frame.width)
            far = np.sqrt(((free[:, None] - edges) ** 2).sum(axis=2).min(axis=1))
            off = np.hypot(*(free - free.mean(axis=0)).T)  # of places alike, the one in the middle
            best = int(np.argmax(far - 0.001 * off))
            found.append((float(far[best]), *free[best].round(6).tolist()))
    if not found:
        raise LookupError(f'no part "{name}" can be seen in this detail')
    _, x, y = max(found, key=lambda one: one[0])
    return x, y
