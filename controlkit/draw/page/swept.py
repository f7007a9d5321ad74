"""Outlines in a picture: what discs along a line cover, the shortest line round points, the seen sides of a plate."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.page.scene import Points

__all__ = ["ROUND", "hull", "lit", "reaches", "strips", "swept"]

ROUND = np.linspace(0.0, 2.0 * np.pi, 29)[:-1]
"""Turns at the points of a drawn circle [rad]."""
_CAP = np.linspace(0.5 * np.pi, -0.5 * np.pi, 8)[1:-1]
_STEP = 0.30  # stations nearer to each other in the picture than this share of the radius count once [-]
_LIGHT = np.array([-0.55, 0.835])  # where light comes from in a picture: from the left and above


def reaches(flat: Points, radius: Points) -> list[tuple[int, int]]:
    """Cut a tube where it turns back upon itself in the picture: there its own nearer part hides the other.

    Parameters
    ----------
    flat : numpy.ndarray
        Its middle line in the picture, shape (M, 2) [m].
    radius : numpy.ndarray
        Its radius at each point, shape (M,) [m].

    Returns
    -------
    list of tuple
        First and last point of each part; neighbours share a point [-].

    Examples
    --------
    >>> import numpy as np
    >>> reaches(np.array([[0.0, 0.0], [1.0, 0.0], [0.2, 0.1]]), np.full(3, 0.1))
    [(0, 1), (1, 2)]
    """
    turns, begun, heading = [0], 0, None
    for k in range(1, len(flat)):
        step = flat[k] - flat[begun]
        if float(step @ step) < (_STEP * radius[k]) ** 2:
            continue
        if heading is not None and float(heading @ step) < 0.0:
            turns.append(begun)
        begun, heading = k, step
    ends = [*turns[1:], len(flat) - 1]
    return list(zip(turns, ends, strict=True))


def swept(flat: Points, radius: Points, cut: bool) -> Points:
    """Outline of all the discs along a line.

    Parameters
    ----------
    flat : numpy.ndarray
        The line in the picture, shape (M, 2) [m].
    radius : numpy.ndarray
        Of the disc at each point, shape (M,) [m].
    cut : bool
        Whether the ends are square and not round.

    Returns
    -------
    numpy.ndarray
        The outline, closed, shape (K, 2) [m].

    Examples
    --------
    >>> import numpy as np
    >>> swept(np.array([[0.0, 0.0], [1.0, 0.0]]), np.full(2, 0.1), True).tolist()
    [[0.0, 0.1], [1.0, 0.1], [1.0, -0.1], [0.0, -0.1]]
    """
    kept = [0]
    for k in range(1, len(flat)):
        step = flat[k] - flat[kept[-1]]
        if float(step @ step) >= (_STEP * radius[k]) ** 2:
            kept.append(k)
    if len(kept) == 1:
        widest = int(np.argmax(radius))
        return np.asarray(flat[widest] + radius[widest] * np.stack([np.cos(ROUND), np.sin(ROUND)], axis=1))
    kept[-1] = len(flat) - 1
    middle, wide = flat[kept], radius[kept]
    ahead = np.gradient(middle, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1)[:, None]
    left = np.stack([-ahead[:, 1], ahead[:, 0]], axis=1)
    sides = middle + wide[:, None] * left, middle - wide[:, None] * left
    if cut:
        ring = np.vstack([sides[0], sides[1][::-1]])
    else:
        end = middle[-1] + wide[-1] * (np.cos(_CAP)[:, None] * ahead[-1] + np.sin(_CAP)[:, None] * left[-1])
        start = middle[0] - wide[0] * (np.cos(_CAP)[:, None] * ahead[0] + np.sin(_CAP)[:, None] * left[0])
        ring = np.vstack([sides[0], end, sides[1][::-1], start])
    inner = slice(1, -1) if cut else slice(None)  # the square ends of a cut tube hide nothing of its sides
    if len(middle[inner]):
        clear = np.linalg.norm(ring[:, None] - middle[inner], axis=2) > 0.985 * wide[inner]
        ring = ring[clear.all(axis=1)]
    return np.asarray(ring)


def lit(flat: Points, radius: Points) -> Points:
    """Draw a line of light along a tube, a little towards where light comes from.

    Parameters
    ----------
    flat : numpy.ndarray
        Its middle line in the picture, shape (M, 2) [m].
    radius : numpy.ndarray
        Its radius at each point, shape (M,) [m].

    Returns
    -------
    numpy.ndarray
        The line, shape (K, 2) [m].

    Examples
    --------
    >>> import numpy as np
    >>> lit(np.array([[0.0, 0.0], [1.0, 0.0]]), np.full(2, 0.1)).round(3).tolist()
    [[0.0, 0.038], [1.0, 0.038]]
    """
    ahead = np.gradient(flat, axis=0)
    size = np.linalg.norm(ahead, axis=1)
    left = np.stack([-ahead[:, 1], ahead[:, 0]], axis=1) / np.where(size > 0.0, size, 1.0)[:, None]
    way = 1.0 if float((left @ _LIGHT).sum()) >= 0.0 else -1.0
    lit_line = np.asarray(flat + 0.38 * way * radius[:, None] * left)
    return lit_line[1:-1] if len(flat) > 3 else lit_line


def hull(points: Points) -> Points:
    """Enclose points in a picture by the shortest closed line.

    Parameters
    ----------
    points : numpy.ndarray
        Shape (M, 2) [m].

    Returns
    -------
    numpy.ndarray
        The corners in turn, counter-clockwise, shape (K, 2) [m].

    Examples
    --------
    >>> import numpy as np
    >>> hull(np.array([[0.0, 0.0], [1.0, 0.0], [0.5, 0.2], [1.0, 1.0], [0.0, 1.0]])).tolist()
    [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]]
    """
    ordered = sorted({(x, y) for x, y in points.tolist()})

    def half(run: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
        kept: list[tuple[float, float]] = []
        for x, y in run:
            while len(kept) > 1:
                (ax, ay), (bx, by) = kept[-2], kept[-1]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0.0:
                    break
                kept.pop()
            kept.append((x, y))
        return kept[:-1]

    return np.array([*half(ordered), *half(ordered[::-1])])


def strips(face: Points, back: Points, visible: NDArray[np.bool_]) -> list[Points]:
    """Join neighbouring sides of a plate that the viewer sees.

    Parameters
    ----------
    face, back : numpy.ndarray
        Corners of its near and of its far face, in turn, shape (M, 2) [m].
    visible : numpy.ndarray
        Whether the side from each corner to the next is seen, shape (M,) [-].

    Returns
    -------
    list of numpy.ndarray
        A closed outline for each run of sides, shape (K, 2) [m].

    Examples
    --------
    >>> import numpy as np
    >>> square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    >>> strips(square, square + [0.1, 0.0], np.array([False, True, False, False]))[0].tolist()
    [[1.0, 0.0], [1.0, 1.0], [1.1, 1.0], [1.1, 0.0]]
    """
    many = len(face)
    if visible.all():
        return [back]
    joined = []
    for begin in (k for k in range(many) if visible[k] and not visible[k - 1]):
        run = [begin]
        while visible[run[-1]]:
            run.append((run[-1] + 1) % many)
        joined.append(np.vstack([face[run], back[run][::-1]]))
    return joined
