"""A blended body seen from a set of points: distance, gradient and curvature, vectorised."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.surface.shapes import Union

Array = NDArray[np.float64]
Index = NDArray[np.intp]

_FLOOR = 1e-3  # [m] rounds the trunk's section at its symmetry planes, so that logarithms exist


PAIRS = ((0, 0), (1, 1), (2, 2), (1, 0), (2, 1), (2, 0))


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
        caps = union.capsules
        self.blend = union.blend
        start = caps.start.transpose(2, 1, 0)
        axis = caps.end.transpose(2, 1, 0) - start
        length = np.sqrt(np.einsum("dkn,dkn->kn", axis, axis))
        axis = axis / np.where(length > 0.0, length, 1.0)
        self.start, self.axis, self.length = (np.take(part, body, axis=-1) for part in (start, axis, length))
        self.radius = np.ascontiguousarray(caps.radius[body].T)
        self.trunk: tuple[Array, ...] | None = None
        if union.trunks is not None:
            t = union.trunks
            # bodies of one wearer share one trunk: its numbers then stand once and not at every point
            alone = bool((t.curves == t.curves[:, :1]).all() and (t.knots == t.knots[:1]).all())
            rows = np.zeros(1, dtype=np.intp) if alone else body
            self.trunk = (
                np.ascontiguousarray(t.knots[rows].T),
                np.ascontiguousarray(t.curves[:, rows].transpose(0, 2, 1)),
                t.scale[rows],
                t.top[rows].T,
                t.bottom[rows].T,
            )

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
            parts = np.concatenate([parts, self._trunk(points, order=0)[0][None]])
        low = parts.min(axis=0)
        total = np.exp((low - parts) / self.blend).sum(axis=0)
        return np.asarray(low - self.blend * np.log(total))

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
        value, gradient, _ = self._evaluate(points, order=1)
        return value, gradient

    def pick(self, keep):
        part = object.__new__(Field)
        part.__dict__.update(self.__dict__)
        part.start, part.axis, part.length, part.radius = (
            self.start[..., keep],
            self.axis[..., keep],
            self.length[..., keep],
            self.radius[..., keep],
        )
        if self.trunk is not None:
            k, c, s, t, b = self.trunk
            if c.shape[2] > 1:
                k, c, s, t, b = k[:, keep], c[..., keep], s[keep], t[:, keep], b[:, keep]
            part.trunk = (k, c, s, t, b)
        return part

    def curvature(self, points):
        v, g, h = self._evaluate(points, order=2)
        return v, g, np.stack([h[0, 0], h[1, 1], h[2, 2], h[1, 0], h[2, 1], h[2, 0]])

    def curvature3(self, points: Array) -> tuple[Array, Array, Array]:
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
            Second derivatives [1/m], shape (3, 3, points)
        """
        return self._evaluate(points, order=2)

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

    def _capsules(self, points: Array, room: int = 0) -> tuple[Array, Array, Array, NDArray[np.bool_]]:
        """Values, normals and distances from the axes; `room` leaves places for more parts after them."""
        count = self.radius.shape[0]
        value, normal = np.empty((count + room, points.shape[1])), np.empty((3, count + room, points.shape[1]))
        offset = normal[:, :count]
        np.subtract(points[:, None, :], self.start, out=offset)
        along = np.einsum("dkn,dkn->kn", offset, self.axis)
        clipped = np.minimum(np.maximum(along, 0.0), self.length)
        offset -= clipped * self.axis
        distance = np.einsum("dkn,dkn->kn", offset, offset)
        np.sqrt(distance, out=distance)
        np.maximum(distance, 1e-9, out=distance)
        np.subtract(distance, self.radius, out=value[:count])
        offset /= distance
        return value, normal, distance, clipped == along

    def _evaluate(self, points: Array, order: int) -> tuple[Array, Array, Array]:
        """Value and gradient, and the Hessian from order 2 on, parts blended by their weights."""
        parts, gradients, distance, middle = self._capsules(points, room=int(self.trunk is not None))
        if self.trunk is not None:
            parts[-1], gradients[:, -1], trunk_hessian = self._trunk(points, order)
        low = parts.min(axis=0)
        weight = np.exp((low - parts) / self.blend)
        total = weight.sum(axis=0)
        value = low - self.blend * np.log(total)
        weight /= total
        weighted = weight * gradients
        gradient = weighted.sum(axis=1)
        if order < 2:
            return value, gradient, np.empty(0)
        count = distance.shape[0]
        bend = weight[:count] / distance
        sharp = weight / -self.blend
        sharp[:count] -= bend
        np.multiply(sharp, gradients, out=weighted)
        hessian = np.einsum("akn,bkn->abn", weighted, gradients)
        hessian -= np.einsum("akn,bkn->abn", (middle * bend) * self.axis, self.axis)
        hessian += gradient[:, None] * (gradient / self.blend)
        spread = bend.sum(axis=0)
        for d in range(3):
            hessian[d, d] += spread
        if self.trunk is not None:
            hessian += weight[-1] * trunk_hessian
        return value, gradient, hessian

    def _trunk(self, points: Array, order: int) -> tuple[Array, Array, Array]:
        """Value, gradient and Hessian of the trunk alone, up to the order asked for."""
        assert self.trunk is not None
        knots, curves, scale, top, bottom = self.trunk
        x, y, z = points
        above = np.maximum(y - knots, 0.0)
        squares = above * above
        free, rest = curves[:, :2], curves[:, 2:]
        ln_a, ln_b, n = free[:, 0] + free[:, 1] * y + _weigh(rest, squares * above)
        x2, z2 = x * x + _FLOOR**2, z * z + _FLOOR**2
        u, v = 0.5 * np.log(x2) - ln_a, 0.5 * np.log(z2) - ln_b
        ex, ez = np.exp(n * u), np.exp(n * v)
        up, down = np.maximum(y - top[0], 0.0) / top[1], np.maximum(bottom[0] - y, 0.0) / bottom[1]
        up3, down3 = up * up * up, down * down * down
        level = ex + ez + up3 * up + down3 * down
        value = scale / 3.0 * np.log(level)
        if order == 0:
            return value, np.empty(0), np.empty(0)
        d_a, d_b, d_n = free[:, 1] + 3.0 * _weigh(rest, squares)
        px, py = n * x / x2, d_n * u - n * d_a
        qz, qy = n * z / z2, d_n * v - n * d_b
        gy = ex * py + ez * qy + 4.0 * up3 / top[1] - 4.0 * down3 / bottom[1]
        gradient = np.stack([ex * px, gy, ez * qz]) / level
        if order == 1:
            return value, gradient * (scale / 3.0), np.empty(0)
        dd_a, dd_b, dd_n = 6.0 * _weigh(rest, above)
        pxx, pxy = n * (_FLOOR**2 - x * x) / x2**2, d_n * x / x2
        qzz, qzy = n * (_FLOOR**2 - z * z) / z2**2, d_n * z / z2
        pyy = dd_n * u - 2.0 * d_n * d_a - n * dd_a
        qyy = dd_n * v - 2.0 * d_n * d_b - n * dd_b
        hessian = np.empty((3, 3, x.size))
        hessian[0, 0] = ex * (px * px + pxx)
        hessian[2, 2] = ez * (qz * qz + qzz)
        hessian[0, 1] = hessian[1, 0] = ex * (px * py + pxy)
        hessian[2, 1] = hessian[1, 2] = ez * (qz * qy + qzy)
        hessian[0, 2] = hessian[2, 0] = 0.0
        hessian[1, 1] = ex * (py * py + pyy) + ez * (qy * qy + qyy)
        hessian[1, 1] += 12.0 * (up / top[1]) ** 2 + 12.0 * (down / bottom[1]) ** 2
        hessian /= level
        hessian -= gradient[:, None] * gradient[None]
        return value, gradient * (scale / 3.0), hessian * (scale / 3.0)


@cache
def _keep_freed_memory() -> None:
    """Once a process: let the C library of Linux keep what arrays free, instead of taking it page by page again."""
    # freeing one large block, which is never touched, raises what is kept to twice its size: a tenth of the time saved
    np.empty(30 << 20, dtype=np.uint8)


def _weigh(curves: Array, powers: Array) -> Array:
    """Sum over the knots, for three curves at every point."""
    if curves.shape[2] == 1:
        return np.asarray(curves[:, :, 0] @ powers)
    return np.asarray(np.einsum("ckn,kn->cn", curves, powers))


_KEPT = {}


def bound(union, body):
    key = (id(union), body.tobytes())
    if key not in _KEPT:
        if len(_KEPT) > 24:
            _KEPT.clear()
        _KEPT[key] = (union, Field(union, body))
    return _KEPT[key][1]
