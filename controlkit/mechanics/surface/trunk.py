"""Trunks seen from a set of points: what a blended body needs of them, vectorised."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.surface.shapes import Trunks

Array = NDArray[np.float64]
Index = NDArray[np.intp]

_FLOOR = 1e-3**2  # [m^2] rounds the trunk's section at its symmetry planes, so that logarithms exist


class BoundTrunk:
    """The trunks of points: one for all, or one a point.

    Parameters
    ----------
    knots : ndarray
        Heights at which the sections are given [m], shape (knots, trunks)
    curves : ndarray
        Splines over height, as in `Trunks` [-], shape (3, 2 + knots, trunks)
    scale : ndarray
        Share of the logarithm in the value [m], shape (trunks,)
    caps : ndarray
        Rise with height [1/m] and offset [-] of the closing caps, top and bottom, shape (2, 2, trunks)
    """

    def __init__(self, knots: Array, curves: Array, scale: Array, caps: Array) -> None:
        self.knots, self.curves, self.scale, self.caps = knots, curves, scale, caps
        self.level, self.slope, self.powers = curves[:, 0], curves[:, 1], curves[:, 2:]
        begin = -caps[1] / caps[0]
        self.high, self.low = float(begin[0].min(initial=np.inf)), float(begin[1].max(initial=-np.inf))

    @classmethod
    def of(cls, trunks: Trunks, body: Index) -> BoundTrunk:
        """Trunks bound to points; one that all bodies share stands once, and not at every point.

        Parameters
        ----------
        trunks : Trunks
            The trunks
        body : ndarray
            The body that each point belongs to [-], shape (points,)

        Returns
        -------
        BoundTrunk
            As many as there are points, or one
        """
        rows = np.zeros(1, dtype=np.intp) if trunks.alone else body
        return cls(*(np.take(part, rows, axis=-1) for part in trunks.table))

    def pick(self, which: Index) -> BoundTrunk:
        """The trunks of some points.

        Parameters
        ----------
        which : ndarray
            Points [-], shape (picked,)

        Returns
        -------
        BoundTrunk
            Theirs, in that order
        """
        if len(self.scale) == 1:
            return self
        return BoundTrunk(*(np.take(part, which, axis=-1) for part in (self.knots, self.curves, self.scale, self.caps)))

    def value(self, points: Array) -> Array:
        """Value alone.

        Parameters
        ----------
        points : ndarray
            Positions [m], shape (3, points)

        Returns
        -------
        ndarray
            Signed distance-like value [m], shape (points,)
        """
        return np.asarray(self.scale * np.log(self._level(points)[0]))

    def rates(self, points: Array, second: bool) -> tuple[Array, Array, Array]:
        """Value and gradient, and what the Hessian is made of.

        Parameters
        ----------
        points : ndarray
            Positions [m], shape (3, points)
        second : bool
            Whether the Hessian is wanted

        Returns
        -------
        value : ndarray
            As `value` [m], shape (points,)
        gradient : ndarray
            Its gradient [-], shape (3, points)
        bend : ndarray
            Rows xx, yy, zz, yx, zy of the Hessian without what the logarithm itself bends, which is minus the
            gradient's square over `scale`; empty unless wanted [1/m], shape (5, points)
        """
        level, (sections, above, squares, out, grown, closing) = self._level(points)
        value, share = self.scale * np.log(level), self.scale / level
        grown *= share
        rate = _weigh(self.powers, squares)
        rate *= 3.0
        rate += self.slope
        power, widen, more = sections[2], rate[:2], rate[2]
        flat = points[::2]
        inverse = 1.0 / (flat * flat + _FLOOR)
        pull = flat * inverse
        across, along = power * pull, more * out - power * widen
        gradient = np.empty((3, points.shape[1]))
        np.multiply(grown, across, out=gradient[::2])
        np.add.reduce(grown * along, axis=0, out=gradient[1])
        if closing is not None:
            gradient[1] += 4.0 * share * np.add.reduce(self.caps[0] * closing * closing * closing, axis=0)
        if not second:
            return value, gradient, np.empty(0)
        bent = _weigh(self.powers, above)
        bent *= 6.0
        bend = np.empty((5, points.shape[1]))
        np.multiply(grown, across * across + power * inverse * (2.0 * _FLOOR * inverse - 1.0), out=bend[:3:2])
        np.multiply(grown, across * along + more * pull, out=bend[3:])
        along *= along
        along += bent[2] * out - 2.0 * more * widen - power * bent[:2]
        np.add.reduce(grown * along, axis=0, out=bend[1])
        if closing is not None:
            bend[1] += 12.0 * share * np.add.reduce(np.square(self.caps[0] * closing), axis=0)
        return value, gradient, bend

    def _level(self, points: Array) -> tuple[Array, tuple[Array, Array, Array, Array, Array, Array | None]]:
        """What the value is the logarithm of, and what its rates are made of."""
        y, flat = points[1], points[::2]
        above = np.maximum(y - self.knots, 0.0)
        squares = above * above
        sections = _weigh(self.powers, squares * above)
        sections += self.slope * y
        sections += self.level
        out = np.log(flat * flat + _FLOOR)
        out *= 0.5
        out -= sections[:2]
        grown = np.exp(sections[2] * out)
        level = np.add.reduce(grown, axis=0)
        highest, lowest = np.maximum.reduce(y, initial=-np.inf), np.minimum.reduce(y, initial=np.inf)
        if highest <= self.high and lowest >= self.low:  # hardly any strap lies so high or so low
            return level, (sections, above, squares, out, grown, None)
        closing = np.maximum(self.caps[0] * y + self.caps[1], 0.0)
        level += np.add.reduce(np.square(closing * closing), axis=0)
        return level, (sections, above, squares, out, grown, closing)


def _weigh(curves: Array, powers: Array) -> Array:
    """Sum over the knots, for three curves at every point."""
    if curves.shape[2] == 1:
        return np.asarray(curves[:, :, 0] @ powers)
    return np.asarray(np.einsum("ckn,kn->cn", curves, powers))
