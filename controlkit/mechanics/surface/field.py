"""A blended body seen from a set of points: distance, gradient and curvature, vectorised."""

from __future__ import annotations

from collections import OrderedDict
from functools import cache, cached_property
from threading import Lock

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.trunk import BoundTrunk

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Mask = NDArray[np.bool_]

PAIRS = ((0, 0), (1, 1), (2, 2), (1, 0), (2, 1), (2, 0))
"""Which second derivative each row of a Hessian holds: xx, yy, zz, yx, zy, zx."""
SQUARE = np.array([[0, 3, 5], [3, 1, 4], [5, 4, 2]])
"""Where each second derivative stands among them: `hessian[SQUARE]` has shape (3, 3, points)."""
KEPT = 60_000
"""Points for which bound fields are kept at most [-]: some 45 MB."""

_NEAREST = 1e-9**2  # [m^2] least square of the distance from a capsule's axis


class Field:
    r"""Bodies bound to points, once for many evaluations.

    .. math:: f = -h \ln \sum_k e^{-f_k / h}

    Parameters
    ----------
    union : Union
        The bodies
    body : ndarray
        The body that each point belongs to [-], shape (points,), or (1,) where one serves all

    Notes
    -----
    Parts are blended by the Kreisselmeier-Steinhauser function (G. Kreisselmeier and R. Steinhauser, Systematic control
    design by optimizing a vector performance index, IFAC 1979; cited from memory). One evaluation costs
    O(points x parts).

    Examples
    --------
    >>> from controlkit.mechanics.surface.shapes import sphere
    >>> ball = Field(sphere((0.0, 0.0, 0.0), 0.1), np.zeros(1, dtype=np.intp))
    >>> float(ball.value(np.array([[0.0], [0.0], [0.3]]))[0].round(9))
    0.2
    """

    def __init__(self, union: Union, body: Index) -> None:
        _keep_freed_memory()
        table, every, long = union.table
        trunk = None if union.trunks is None else BoundTrunk.of(union.trunks, body)
        self._bind(np.take(table, body, axis=1), (every, long), union.blend, trunk)

    def _bind(self, rows: Array, parts: tuple[int, int], blend: float, trunk: BoundTrunk | None) -> None:
        """Hold what every point needs to know: starts, axes, lengths and radii of its capsules, row after row."""
        self.rows, self.parts, self.blend, self.trunk = rows, parts, blend, trunk
        every, long = parts
        points, axes, lengths = rows.shape[1], 3 * every, 3 * (every + long)
        self.start = rows[:axes].reshape(3, every, points)
        self.axis = rows[axes:lengths].reshape(3, long, points)
        self.length, self.radius = rows[lengths : lengths + long], rows[lengths + long :]

    @cached_property
    def products(self) -> Array:
        """Products of the axes' components in the order of `PAIRS` [-], shape (6, capsules, points)."""
        products = np.empty((len(PAIRS), *self.axis.shape[1:]))
        return _squares(self.axis, products)

    def pick(self, keep: Index | Mask) -> Field:
        """The field bound to some of its points.

        Parameters
        ----------
        keep : ndarray
            Points to keep, as a mask or as indices [-], shape (points,) or (picked,)

        Returns
        -------
        Field
            Bound to those points, in that order

        Examples
        --------
        >>> from controlkit.mechanics.surface.shapes import sphere
        >>> balls = Field(sphere((0.0, 0.0, 0.0), 0.1), np.zeros(5, dtype=np.intp))
        >>> balls.pick(np.array([0, 3])).value(np.full((3, 2), 0.1)).round(4).tolist()
        [0.0732, 0.0732]
        """
        if self.rows.shape[1] == 1:  # one body serves all
            return self
        which: Index = np.arange(self.rows.shape[1])[keep]
        part = object.__new__(Field)
        trunk = None if self.trunk is None else self.trunk.pick(which)
        part._bind(np.take(self.rows, which, axis=1), self.parts, self.blend, trunk)
        return part

    def value(self, points: Array) -> Array:
        """Signed distance-like value, positive outside.

        Parameters
        ----------
        points : ndarray
            Positions [m], shape (3, points)

        Returns
        -------
        ndarray
            Near the surface the distance from it [m], shape (points,)
        """
        parts = self._capsules(points)[0]
        if self.trunk is not None:
            parts[-1] = self.trunk.value(points)
        return self._blended(parts)[0]

    def slope(self, points: Array) -> tuple[Array, Array]:
        """Value and gradient.

        Parameters
        ----------
        points : ndarray
            Positions [m], shape (3, points)

        Returns
        -------
        value : ndarray
            As `value` [m], shape (points,)
        gradient : ndarray
            Outward, length about one [-], shape (3, points)
        """
        parts, away, distance, _ = self._capsules(points)
        if self.trunk is not None:
            parts[-1], away[:, -1], _ = self.trunk.rates(points, second=False)
        value, weight, total = self._blended(parts)
        weight /= distance
        gradient = np.einsum("kn,akn->an", weight, away)
        gradient /= total
        return value, gradient

    def curvature(self, points: Array) -> tuple[Array, Array, Array]:
        """Value, gradient and Hessian.

        Parameters
        ----------
        points : ndarray
            Positions [m], shape (3, points)

        Returns
        -------
        value : ndarray
            As `value` [m], shape (points,)
        gradient : ndarray
            As `slope` [-], shape (3, points)
        hessian : ndarray
            Second derivatives in the order of `PAIRS` [1/m], shape (6, points)
        """
        every, long = self.parts
        parts, away, distance, side = self._capsules(points)
        if self.trunk is not None:
            parts[-1], away[:, -1], trunk_bend = self.trunk.rates(points, second=True)
        value, weight, total = self._blended(parts)
        np.divide(1.0, distance, out=distance)
        bend = weight * distance
        gradient = np.einsum("kn,akn->an", bend, away)
        sharp = np.subtract(-1.0 / self.blend, distance)
        sharp *= distance
        sharp *= bend
        if self.trunk is not None:  # a logarithm bends by its own slope, as the blend does
            sharp[-1] = weight[-1] * (-1.0 / self.blend - 1.0 / self.trunk.scale)
        sharp = sharp * away
        hessian = np.empty((len(PAIRS), points.shape[1]))
        np.einsum("akn,akn->an", sharp, away, out=hessian[:3])
        np.einsum("akn,akn->an", sharp[1:], away[:2], out=hessian[3:5])
        np.einsum("kn,kn->n", sharp[2], away[0], out=hessian[5])
        hessian -= np.einsum("kn,ckn->cn", side * bend[:long], self.products)
        hessian[:3] += np.add.reduce(bend[:every], axis=0)
        if self.trunk is not None:
            trunk_bend *= weight[-1]
            hessian[:5] += trunk_bend
        total = 1.0 / total
        gradient *= total
        hessian *= total
        own = _squares(gradient, np.empty_like(hessian))
        own *= 1.0 / self.blend
        hessian += own
        return value, gradient, hessian

    def onto(
        self, points: Array, steps: int, *, along: Array | None = None, least: float = -np.inf, gap: float | None = None
    ) -> Array:
        r"""Points near the surface moved onto it by Newton's method.

        .. math:: x \leftarrow x - \frac{f}{\nabla f \cdot d}\,d

        Parameters
        ----------
        points : ndarray
            Positions [m], shape (3, points)
        steps : int
            Newton steps [-]; what is left after one is of the order of its square
        along : ndarray, optional
            Directions d in which to move, outward; otherwise each point follows its gradient [-], shape (3, points)
        least : float
            Rate at which points come out along them at least: on steeper skin steps shorten [-]
        gap : float, optional
            Move out only, to so far off the surface, what is nearer or inside [m]

        Returns
        -------
        ndarray
            Points on the surface [m], shape (3, points)
        """
        for _ in range(steps):
            value, gradient = self.slope(points)
            miss = value if gap is None else np.minimum(value - gap, 0.0)
            if along is None:
                points = points - miss / (gradient * gradient).sum(axis=0) * gradient
            else:
                points = points - miss / np.maximum((gradient * along).sum(axis=0), least) * along
        return points

    def _capsules(self, points: Array) -> tuple[Array, Array, Array, Mask]:
        """Values, ways out from the axes, their lengths, and where points lie beside an axis.

        Where there is a trunk, the last part is left to it, with a length of one.
        """
        every, long = self.parts
        room = every + int(self.trunk is not None)
        value, distance = np.empty((room, points.shape[1])), np.empty((room, points.shape[1]))
        away = np.empty((3, room, points.shape[1]))
        out, beside, reach = away[:, :every], away[:, :long], distance[:every]
        np.subtract(points[:, None, :], self.start, out=out)
        along = np.einsum("dkn,dkn->kn", beside, self.axis)
        clipped = np.maximum(along, 0.0)
        np.minimum(clipped, self.length, out=clipped)
        beside -= clipped * self.axis
        np.einsum("dkn,dkn->kn", out, out, out=reach)
        reach += _NEAREST
        np.sqrt(reach, out=reach)
        distance[every:] = 1.0
        np.subtract(reach, self.radius, out=value[:every])
        return value, away, distance, clipped == along

    def _blended(self, parts: Array) -> tuple[Array, Array, Array]:
        """Value, what each part weighs, and the sum of that; the weights take the parts' place."""
        low = np.minimum.reduce(parts, axis=0)
        np.subtract(low, parts, out=parts)
        parts *= 1.0 / self.blend
        np.exp(parts, out=parts)
        total = np.add.reduce(parts, axis=0)
        return np.asarray(low - self.blend * np.log(total)), parts, total


@cache
def _keep_freed_memory() -> None:
    """Once a process: let the C library of Linux keep what arrays free, instead of taking it page by page again."""
    # freeing one large block, which is never touched, raises what is kept to twice its size: a tenth of the time saved
    np.empty(30 << 20, dtype=np.uint8)


def _squares(of: Array, into: Array) -> Array:
    """Products of a vector's components in the order of `PAIRS`."""
    np.multiply(of, of, out=into[:3])
    np.multiply(of[1:], of[:2], out=into[3:5])
    np.multiply(of[2], of[0], out=into[5])
    return into


_BOUND: OrderedDict[tuple[int, bytes], tuple[Union, Field]] = OrderedDict()
_LOCK = Lock()


def bound(union: Union, body: Index) -> Field:
    """The bodies bound to points, kept for the next question: straps move more often than bodies.

    Parameters
    ----------
    union : Union
        The bodies; the same object has the same field
    body : ndarray
        The body that each point belongs to [-], shape (points,), or (1,) where one serves all

    Returns
    -------
    Field
        As `Field` makes it; those asked for last are kept, for up to `KEPT` points in all

    Examples
    --------
    >>> from controlkit.mechanics.surface.shapes import sphere
    >>> ball, body = sphere((0.0, 0.0, 0.0), 0.1), np.zeros(3, dtype=np.intp)
    >>> bound(ball, body) is bound(ball, body)
    True
    """
    key = id(union), body.tobytes()  # the union is held with its field, so no other object has its number meanwhile
    with _LOCK:
        if key in _BOUND:
            _BOUND.move_to_end(key)
            return _BOUND[key][1]
    field = Field(union, body)
    if len(body) > KEPT:
        return field
    with _LOCK:
        _BOUND[key] = union, field
        while sum(each.rows.shape[1] for _, each in _BOUND.values()) > KEPT:
            _BOUND.popitem(last=False)
    return field
