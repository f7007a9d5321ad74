"""Webbing as a ribbon in space: its width lies across the skin's normal; folds, stitches and buckles lie on it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.gear.sight import Sight, unit
from controlkit.draw.page.scene import Item, Line, Points, Region, Ribbon

__all__ = ["Web", "buckle", "cross_stitched", "folded", "ribbon", "sewn_end", "web"]

_THIN = 0.0008  # half of what is seen of webbing edge on [m]
_OVER = 0.0012  # that a layer stands out beyond the one below it [m]
_FOLD = 0.034  # from a ring or bar to the end of the webbing that is folded back round it [m]
_ROW = 0.72  # of half the width, where a row of stitches runs [-]
_WIRE = 0.0045  # that a buckle's frame is wider than the webbing, each side [m]
_LONG = 0.0125  # half the length of a four-bar buckle [m]


@dataclass(frozen=True, eq=False)
class Web:
    """One length of webbing.

    Parameters
    ----------
    space : numpy.ndarray
        Its middle line, ISB axes, shape (M, 3) [m].
    across : numpy.ndarray
        From the middle to one edge, shape (M, 3) [m].
    hidden : numpy.ndarray
        Shape (M,), true where something hides the middle [-].
    """

    space: Points
    across: Points
    hidden: NDArray[np.bool_]

    @cached_property
    def along(self) -> Points:
        """How far along it each point is, shape (M,) [m]."""
        step = self.space[1:] - self.space[:-1]
        return np.concatenate([[0.0], np.cumsum(np.sqrt((step * step).sum(axis=1)))])

    def cut(self, start: float, end: float) -> Web:
        """Take the piece between two places along it [m]; its ends lie there exactly."""
        at = self.along
        start, end = max(start, 0.0), min(end, float(at[-1]))
        first, last = np.searchsorted(at, (start + 1e-6, end - 1e-6)).tolist()
        ends = [self._between(place) for place in (start, end)]
        space, across = (
            np.concatenate([ends[0][k], line[first:last], ends[1][k]])
            for k, line in enumerate((self.space, self.across))
        )
        near = np.clip(np.searchsorted(at, (start, *at[first:last].tolist(), end)), 0, len(at) - 1)
        return Web(space, across, self.hidden[near])

    def _between(self, place: float) -> tuple[Points, Points]:
        """Point and half width at a place along it [m], shape (1, 3) each [m]."""
        at = self.along
        k = min(max(int(np.searchsorted(at, place)), 1), len(at) - 1)
        share = (place - at[k - 1]) / max(at[k] - at[k - 1], 1e-12)
        one, other = (
            line[k - 1 : k] + share * (line[k : k + 1] - line[k - 1 : k]) for line in (self.space, self.across)
        )
        return one, other

    def turned(self) -> Web:
        """The same webbing from its other end."""
        return Web(self.space[::-1], self.across[::-1], self.hidden[::-1])

    def at(self, place: float) -> tuple[Points, Points, Points, bool]:
        """Point, direction along, half the width across, and whether it is hidden, at one place along it [m]."""
        at = self.along
        near = int(np.clip(np.searchsorted(at, place), 1, len(at) - 1))
        share = float(np.clip((place - at[near - 1]) / max(at[near] - at[near - 1], 1e-9), 0.0, 1.0))
        point = self.space[near - 1] + share * (self.space[near] - self.space[near - 1])
        heading = unit(self.space[near] - self.space[near - 1])
        return point, heading, self.across[near], bool(self.hidden[near - 1] or self.hidden[near])


def web(points: Points, normals: Points, half: float, hidden: NDArray[np.bool_]) -> Web:
    """Lay webbing along a line, its face the way the skin faces.

    Parameters
    ----------
    points : numpy.ndarray
        Its middle line, ISB axes, shape (M, 3) [m].
    normals : numpy.ndarray
        The way its face looks, shape (M, 3) [-].
    half : float
        Half its width [m].
    hidden : numpy.ndarray
        Shape (M,), true where something hides the point [-].

    Returns
    -------
    Web
        Its edges stand straight across it.

    Examples
    --------
    >>> line = np.linspace([0.0, 0.0, 0.0], [0.0, 0.3, 0.0], 4)
    >>> laid = web(line, np.tile([-1.0, 0.0, 0.0], (4, 1)), 0.0127, np.zeros(4, dtype=bool))
    >>> np.linalg.norm(laid.across, axis=1).round(4).tolist()
    [0.0127, 0.0127, 0.0127, 0.0127]
    """
    side = np.cross(np.gradient(points, axis=0), normals)
    side[1:-1] = 0.25 * side[:-2] + 0.5 * side[1:-1] + 0.25 * side[2:]
    return Web(points, half * unit(side), hidden)


def _seen(laid: Web, sight: Sight) -> tuple[Points, Points]:
    """Middle line and half width in the picture, never thinner than webbing is thick."""
    middle, across = sight.flat(laid.space), sight.flat(laid.across)
    size = np.hypot(across[:, 0], across[:, 1])
    thin = size < _THIN
    if thin.any():
        way = np.gradient(middle, axis=0)
        side = np.stack([-way[:, 1], way[:, 0]], axis=1) / np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-9)[:, None]
        side *= np.where((side * across).sum(axis=1) < 0.0, -1.0, 1.0)[:, None]
        across = np.where(thin[:, None], _THIN * side, across)
    return middle, across


def ribbon(laid: Web, sight: Sight, style: str, name: str) -> Ribbon:
    """Draw webbing as the viewer sees it."""
    middle, across = _seen(laid, sight)
    return Ribbon(middle, style, name, hidden=laid.hidden, across=across)


def _layer(laid: Web, sight: Sight, grow: float = 1.0) -> Points:
    middle, across = _seen(laid, sight)
    return np.vstack([middle + grow * across, (middle - grow * across)[::-1]])


def cross_stitched(laid: Web, sight: Sight, name: str) -> list[Item]:
    """Sew a piece of webbing down: a box of stitches with a cross in it."""
    if laid.hidden.any():
        return []
    middle, across = _seen(laid, sight)
    one, other = middle + _ROW * across, middle - _ROW * across
    box = np.vstack([one, other[::-1]])
    cross = np.array([one[0], other[-1], one[-1], other[0]])
    return [Line(box, "stitch", name, closed=True), Line(cross, "stitch", name)]


def folded(laid: Web, sight: Sight, style: str, name: str) -> list[Item]:
    """Draw the end of a strap that is led round a ring or bar, folded back on itself and sewn; it begins at the bar."""
    back = laid.cut(0.0, _FOLD)
    if back.hidden.mean() > 0.3:
        return []
    layer = _layer(back, sight, 1.0 + _OVER / 0.0127)
    seam = laid.cut(0.013, _FOLD - 0.003)
    return [Region(layer, f"{style} fold", f"folded end of the {name}"), *cross_stitched(seam, sight, "stitches")]


def sewn_end(laid: Web, sight: Sight, style: str, name: str, *, long: float = 0.030) -> list[Item]:
    """Draw the sewn end of a strap that lies on what it is sewn to; it begins at its end."""
    back = laid.cut(0.0, long)
    if back.hidden.mean() > 0.3:
        return []
    seam = laid.cut(0.004, long - 0.004)
    layer = Region(_layer(back, sight, 1.03), f"{style} fold", f"sewn end of the {name}")
    return [layer, *cross_stitched(seam, sight, "stitches")]


def buckle(laid: Web, place: float, sight: Sight, *, style: str, name: str) -> list[Item]:
    """Draw a four-bar buckle on a strap, with the tail of webbing that is led back through it.

    Parameters
    ----------
    laid : Web
        The strap.
    place : float
        Where along it the buckle is [m].
    sight : Sight
        The view.
    style : str
        The strap's style.
    name : str
        The strap.

    Returns
    -------
    list
        Nothing where it is hidden.
    """
    point, heading, across, out_of_sight = laid.at(place)
    if out_of_sight:
        return []
    half = float(np.linalg.norm(across))
    side, face = across / half, unit(np.cross(across, heading))
    wide = half + _WIRE
    lift = 0.003 * face * np.sign(float(face @ sight.towards) or 1.0)

    def plate(first: float, last: float, broad: float) -> Points:
        corners = ((first, broad), (last, broad), (last, -broad), (first, -broad))
        return sight.flat(np.array([point + lift + x * heading + y * side for x, y in corners]))

    items: list[Item] = []
    tail = laid.cut(place, place + 0.055)
    if not tail.hidden.any():
        items.append(Region(_layer(tail, sight, 1.06), f"{style} fold", f"tail of the {name}"))
        items.extend(_end_row(tail, sight))
    items.append(Region(plate(-_LONG, _LONG, wide), "buckle", f"buckle of the {name}"))
    items.append(Region(plate(-0.66 * _LONG, 0.66 * _LONG, half), f"{style} fold", "webbing over the bars"))
    bars = (-0.36 * _LONG, 0.36 * _LONG)
    items.extend(Line(plate(bar, bar, wide)[1:3], "bar", "bar of the buckle") for bar in bars)
    return items


def _end_row(tail: Web, sight: Sight) -> list[Item]:
    """The hem of a loose tail."""
    point, _, across, _ = tail.at(float(tail.along[-1]) - 0.005)
    return [Line(sight.flat(np.array([point + _ROW * across, point - _ROW * across])), "stitch", "stitches")]
