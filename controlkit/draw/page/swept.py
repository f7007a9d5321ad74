"""Outlines in a picture: what discs along a line cover, the shortest line round points, the seen sides of a plate."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.page.scene import Points

__all__ = ["ROUND", "around_discs", "lit", "reaches", "strips", "swept"]

ROUND = np.linspace(0.0, 2.0 * np.pi, 29)[:-1]
"""Turns at the points of a drawn circle [rad]."""
_AROUND = np.stack([np.cos(ROUND + 0.01), np.sin(ROUND + 0.01)], axis=1)
_CAP = np.linspace(0.5 * np.pi, -0.5 * np.pi, 8)[1:-1]
_QUARTER = np.array([-1.0, 1.0])  # turns (y, x) by a right angle to the left of (x, y)
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
    turns, begun, heading = [0], 0, (0.0, 0.0)
    places, least = flat.tolist(), (_STEP * radius).tolist()  # plain numbers are faster one by one
    for k in range(1, len(places)):
        x, y = places[k][0] - places[begun][0], places[k][1] - places[begun][1]
        if x * x + y * y < least[k] * least[k]:
            continue
        if heading[0] * x + heading[1] * y < 0.0:
            turns.append(begun)
        begun, heading = k, (x, y)
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
    (last_x, last_y), *places = flat.tolist()
    for k, ((x, y), least) in enumerate(zip(places, (_STEP * radius[1:]).tolist(), strict=True), 1):
        if (x - last_x) ** 2 + (y - last_y) ** 2 >= least * least:
            kept.append(k)
            last_x, last_y = x, y
    if len(kept) == 1:
        widest = int(np.argmax(radius))
        return np.asarray(flat[widest] + radius[widest] * np.stack([np.cos(ROUND), np.sin(ROUND)], axis=1))
    kept[-1] = len(flat) - 1
    middle, wide = flat[kept], radius[kept]
    ahead = _ahead(middle)
    left = ahead[:, ::-1] * _QUARTER
    sides = middle + wide[:, None] * left, middle - wide[:, None] * left
    if cut:
        ring = np.vstack([sides[0], sides[1][::-1]])
    else:
        end = middle[-1] + wide[-1] * (np.cos(_CAP)[:, None] * ahead[-1] + np.sin(_CAP)[:, None] * left[-1])
        start = middle[0] - wide[0] * (np.cos(_CAP)[:, None] * ahead[0] + np.sin(_CAP)[:, None] * left[0])
        ring = np.vstack([sides[0], end, sides[1][::-1], start])
    inner = slice(1, -1) if cut else slice(None)  # the square ends of a cut tube hide nothing of its sides
    if len(middle[inner]):
        gap = ring[:, None] - middle[inner]
        clear = (gap * gap).sum(axis=2) > (0.985 * wide[inner]) ** 2
        ring = ring[clear.all(axis=1)]
    return np.asarray(ring)


def _ahead(line: Points) -> Points:
    """Unit vectors along a line at its points."""
    step = line[1:] - line[:-1]
    ahead = np.vstack([step[:1], step[1:] + step[:-1], step[-1:]])
    size = np.sqrt((ahead * ahead).sum(axis=1))
    return np.asarray(ahead / np.where(size > 0.0, size, 1.0)[:, None])


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
    left = _ahead(flat)[:, ::-1] * _QUARTER
    way = 1.0 if float((left @ _LIGHT).sum()) >= 0.0 else -1.0
    lit_line = np.asarray(flat + 0.38 * way * radius[:, None] * left)
    return lit_line[1:-1] if len(flat) > 3 else lit_line


def around_discs(middle: Points, radius: Points, axes: tuple[Points, Points]) -> Points:
    """Enclose discs, all seen under the same slant, by the shortest closed line.

    Parameters
    ----------
    middle : numpy.ndarray
        Their centres in the picture, shape (M, 2) [m].
    radius : numpy.ndarray
        Their radius, shape (M,) [m].
    axes : tuple of numpy.ndarray
        Half the long and half the short axis of the picture of a disc of radius 1, shape (2,) each [-].

    Returns
    -------
    numpy.ndarray
        The line, counter-clockwise, shape (K, 2) [m].

    Examples
    --------
    >>> import numpy as np
    >>> axes = np.array([1.0, 0.0]), np.array([0.0, 1.0])
    >>> around_discs(np.array([[0.0, 0.0], [1.0, 0.0]]), np.array([0.1, 0.2]), axes).max(axis=0).round(3).tolist()
    [1.2, 0.2]
    """
    long, short = _AROUND @ axes[0], _AROUND @ axes[1]
    reach = np.maximum(np.sqrt(long * long + short * short), 1e-9)
    furthest = np.argmax(_AROUND @ middle.T + reach[:, None] * radius, axis=1)
    edge = (long[:, None] * axes[0] + short[:, None] * axes[1]) / reach[:, None]
    return np.asarray(middle[furthest] + radius[furthest, None] * edge)


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
