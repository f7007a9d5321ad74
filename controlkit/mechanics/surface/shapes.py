"""Smooth surfaces that a strap can lie on: distance, gradient, curvature.

One posed body is a *union*: a trunk (a stack of rounded cross-sections) and a few
capsules (shoulders, arms), blended over some millimetres. Everything is
vectorised over points; every point names the body that it belongs to.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

BLEND = 0.010
"""Radius of blending where parts of a body meet [m]."""

Array = NDArray[np.float64]
Index = NDArray[np.intp]


@dataclass(frozen=True, kw_only=True)
class Trunks:
    r"""Closed trunks, one a body: cross-sections that change smoothly with height.

    .. math:: f = \frac{s}{3} \ln\left(\left|\frac{x}{a(y)}\right|^{n(y)}
              + \left|\frac{z}{b(y)}\right|^{n(y)} + q(y)\right)

    Attributes
    ----------
    knots : ndarray
        Heights at which the sections are given [m], shape (bodies, knots)
    curves : ndarray
        Natural cubic splines of ln a, ln b and n over height, as coefficients of
        1, y and the cubes above each knot [-], shape (3, bodies, 2 + knots)
    scale : ndarray
        Length s that makes the slope about one on the back [m], shape (bodies,)
    top : ndarray
        Height where the closing cap begins and its height [m], shape (bodies, 2)
    bottom : ndarray
        The same below [m], shape (bodies, 2)
    """

    knots: Array
    curves: Array
    scale: Array
    top: Array
    bottom: Array

    @cached_property
    def alone(self) -> bool:
        """Whether all bodies have the same trunk, as those of one wearer have."""
        return bool((self.curves == self.curves[:, :1]).all() and (self.knots == self.knots[:1]).all())

    @cached_property
    def table(self) -> tuple[Array, Array, Array, Array]:
        """What `BoundTrunk` holds of every trunk, a trunk a column.

        Knots [m], curves [-], share of the logarithm [m], and rise [1/m] and offset [-] of the closing caps.
        """
        (up, high), (down, deep) = self.top.T, self.bottom.T
        caps = np.stack([np.stack([1.0 / high, -1.0 / deep]), np.stack([-up / high, down / deep])])
        return (
            np.ascontiguousarray(self.knots.T),
            np.ascontiguousarray(self.curves.transpose(0, 2, 1)),
            self.scale / 3.0,
            caps,
        )

    def rows(self, which: Index) -> Trunks:
        """Some of these trunks.

        Parameters
        ----------
        which : ndarray
            Indices of the bodies [-], shape (picked,)

        Returns
        -------
        Trunks
            Those trunks, in that order
        """
        return Trunks(
            knots=self.knots[which],
            curves=self.curves[:, which],
            scale=self.scale[which],
            top=self.top[which],
            bottom=self.bottom[which],
        )


@dataclass(frozen=True)
class Capsules:
    """Rounded cylinders (a sphere where both ends agree), the same number for every body.

    Attributes
    ----------
    start : ndarray
        One end of each axis [m], shape (bodies, capsules, 3)
    end : ndarray
        The other end [m], shape (bodies, capsules, 3)
    radius : ndarray
        Radii [m], shape (bodies, capsules)
    """

    start: Array
    end: Array
    radius: Array


@dataclass(frozen=True)
class Union:
    """Bodies made of a trunk and capsules, blended smoothly.

    Attributes
    ----------
    trunks : Trunks or None
        The trunks; none for bodies that are capsules alone
    capsules : Capsules
        The capsules
    blend : float
        Radius of blending where parts meet [m]
    """

    trunks: Trunks | None
    capsules: Capsules
    blend: float = BLEND

    @property
    def count(self) -> int:
        """Number of bodies [-]."""
        return int(self.capsules.start.shape[0])

    @cached_property
    def table(self) -> tuple[Array, int, int]:
        """Starts, axes, lengths and radii of the capsules, a body a column [m], and how many have them and have axes.

        Axes have length one. Balls stand last and have none.
        """
        caps = self.capsules
        start = caps.start.transpose(2, 1, 0)
        axis = caps.end.transpose(2, 1, 0) - start
        length = np.sqrt(np.einsum("dkn,dkn->kn", axis, axis))
        axis /= np.where(length > 0.0, length, 1.0)
        balls = ~(length > 0.0).any(axis=1)
        order = np.argsort(balls, kind="stable")
        every, long = len(order), len(order) - int(balls.sum())
        parts = (start[:, order], axis[:, order[:long]], length[order[:long]], caps.radius.T[order])
        return np.concatenate([part.reshape(-1, self.count) for part in parts]), every, long

    def rows(self, which: Index) -> Union:
        """Some of these bodies.

        Parameters
        ----------
        which : ndarray
            Indices of the bodies [-], shape (picked,)

        Returns
        -------
        Union
            Those bodies, in that order
        """
        caps, trunks = self.capsules, None if self.trunks is None else self.trunks.rows(which)
        return Union(trunks, Capsules(caps.start[which], caps.end[which], caps.radius[which]), self.blend)


def natural_spline(knots: Array, values: Array) -> Array:
    """Coefficients of natural cubic splines in the basis 1, y, cubes above each knot.

    Parameters
    ----------
    knots : ndarray
        Rising knots [m], shape (bodies, knots)
    values : ndarray
        Values there [-], shape (curves, bodies, knots)

    Returns
    -------
    ndarray
        Coefficients [-], shape (curves, bodies, 2 + knots)

    Notes
    -----
    Truncated powers (C. de Boor, A Practical Guide to Splines, 1978; cited from memory), well enough conditioned for a
    handful of knots. Costs O(bodies x knots^3).

    Examples
    --------
    >>> import numpy as np
    >>> natural_spline(np.array([[0.0, 1.0, 2.0]]), np.array([[[0.0, 1.0, 2.0]]])).round(9)[0, 0, :2].tolist()
    [0.0, 1.0]
    """
    bodies, count = knots.shape
    gap = knots[:, :, None] - knots[:, None, :]
    cubes = np.where(gap > 0.0, gap, 0.0) ** 3
    system = np.zeros((bodies, count + 2, count + 2))
    system[:, :count, 0] = 1.0
    system[:, :count, 1] = knots
    system[:, :count, 2:] = cubes
    system[:, count, 2:] = 1.0
    system[:, count + 1, 2:] = knots
    right = np.zeros((values.shape[0], bodies, count + 2))
    right[:, :, :count] = values
    solved = np.linalg.solve(system[None], right[..., None])[..., 0]
    return np.asarray(solved, dtype=np.float64)


def sphere(centre: tuple[float, float, float], radius: float) -> Union:
    """One ball as a body, for checks against exact geometry.

    Parameters
    ----------
    centre : tuple of float
        Centre [m]
    radius : float
        Radius [m]

    Returns
    -------
    Union
        A union of one capsule without length

    Examples
    --------
    >>> sphere((0.0, 0.0, 0.0), 0.1).count
    1
    """
    return capsule(centre, centre, radius)


def capsule(start: tuple[float, float, float], end: tuple[float, float, float], radius: float) -> Union:
    """One capsule as a body, for checks against exact geometry.

    Parameters
    ----------
    start, end : tuple of float
        Ends of the axis [m]
    radius : float
        Radius [m]

    Returns
    -------
    Union
        A union of one capsule

    Examples
    --------
    >>> capsule((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 0.1).count
    1
    """
    ends = np.array([[start]], dtype=float), np.array([[end]], dtype=float)
    return Union(None, Capsules(*ends, np.array([[radius]])), blend=0.006)
