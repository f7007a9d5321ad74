"""Shape of a springy rod of given length, clamped at both ends: what a housing does between its retainers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.polynomial import legendre
from numpy.typing import NDArray

Array = NDArray[np.float64]

SHAPES = 24
"""Polynomials that describe the slope of a rod [-]."""
NODES = 97
"""Points of a rod that are handed out [-]."""
LAYER = 0.03
"""Shortest bend at an end that is resolved, over the rod's length [-]. A rod pulled tighter keeps this shape."""
_STEPS = 60


@dataclass(frozen=True, kw_only=True)
class Elastica:
    """Rods of length 1, each clamped at the origin along x.

    Attributes
    ----------
    angle : ndarray
        Direction at equal steps along each rod [rad], shape (rods, nodes)
    points : ndarray
        The same points, over the length [-], shape (rods, nodes, 2)
    bend : ndarray
        Integral of the size of the curvature [rad], shape (rods,)
    tightest : ndarray
        Smallest radius of curvature, over the length [-], shape (rods,)
    energy : ndarray
        Bending energy times length over bending stiffness [-], shape (rods,)
    residual : ndarray
        What is left of the equations, small where the shape is right [-], shape (rods,)
    """

    angle: Array
    points: Array
    bend: Array
    tightest: Array
    energy: Array
    residual: Array


def clamped(turn: Array, along: Array, across: Array) -> Elastica:
    r"""Shapes of inextensible rods of length 1 with both ends clamped.

    .. math:: \min_\theta \tfrac12 \int_0^1 \theta'^2\,ds, \quad
              \int_0^1 (\cos\theta, \sin\theta)\,ds = (x, y), \quad \theta(0) = 0,\ \theta(1) = turn

    Parameters
    ----------
    turn : ndarray
        Direction of the far end against the near one [rad], shape (rods,)
    along : ndarray
        Far end in the direction of the near clamp, over the length [-], shape (rods,)
    across : ndarray
        Far end across it, towards the turn, over the length [-], shape (rods,)

    Returns
    -------
    Elastica
        Shapes, each bowing to the outside of its turn

    Notes
    -----
    Planar, no gravity, no torsion, free of everything it might touch. The slope is a sum of integrated Legendre
    polynomials, in which the energy is a sum of squares; Newton's method with two multipliers solves all rods
    at once. The problem is Euler's (Methodus inveniendi lineas curvas, 1744, additamentum I), the sum of shapes that
    of W. Ritz (J. reine angew. Math. 135, 1909, 1-61), the step that of J. Nocedal and S. J. Wright (Numerical
    Optimization, 2nd ed., 2006, chapter 18). Each step solves one system of `SHAPES` + 2 unknowns a rod: cost grows
    with the number of rods.

    A rod as long as the distance of its ends is straight but for a bend of `LAYER` at clamps that point
    elsewhere. Of two shapes the one that bows outwards is taken: the stable one of a housing behind an elbow.

    Examples
    --------
    >>> quarter = clamped(np.array([np.pi / 2]), np.array([2 / np.pi]), np.array([2 / np.pi]))
    >>> round(float(quarter.bend[0]), 4), round(float(quarter.tightest[0]), 4)
    (1.5708, 0.6366)
    """
    turn, along, across = (np.atleast_1d(np.asarray(v, dtype=float)) for v in (turn, along, across))
    away = np.arctan2(across, along)
    reach = np.hypot(along, across)
    taut = 1.0 - 0.25 * LAYER * (away**2 + (turn - away) ** 2)
    pulled = np.where(reach > taut, taut / np.maximum(reach, 1e-12), 1.0)
    goal = np.stack([along * pulled, across * pulled], axis=1)
    _, _, fine, rate = _shapes()
    shape = _first_guess(turn, np.hypot(goal[:, 0], goal[:, 1]))
    straight = np.hypot(shape[:, 1], turn) < 1e-5
    residual = np.zeros_like(turn)
    if not straight.all():
        bent = ~straight
        shape[bent], residual[bent] = _newton(turn[bent], goal[bent], shape[bent])
        lost = residual > 1e-8  # nearly taut: tighten in steps from a slacker shape
        for share in (0.97, 0.985, 0.992, 0.996, 0.998, 0.999, 1.0) if lost.any() else ():
            far = np.minimum(np.hypot(goal[lost, 0], goal[lost, 1]), 1.0) * share
            first = _first_guess(turn[lost], far) if share == 0.97 else shape[lost]
            shape[lost], residual[lost] = _newton(turn[lost], goal[lost] * share, first)
    s = np.linspace(0.0, 1.0, len(fine))
    angle = turn[:, None] * s + shape @ fine.T
    curvature = turn[:, None] + shape @ rate.T
    bend = np.abs(np.diff(angle, axis=1)).sum(axis=1)
    way = np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    four = way[:, :-1:4] + 4.0 * way[:, 1::4] + 2.0 * way[:, 2::4] + 4.0 * way[:, 3::4] + way[:, 4::4]  # Simpson's rule
    points = np.cumsum(four, axis=1) / (3.0 * (len(fine) - 1))
    points = np.concatenate([np.zeros((len(turn), 1, 2)), points], axis=1)
    tightest = 1.0 / np.maximum(np.abs(curvature).max(axis=1), 1e-9)
    energy = 0.5 * (turn**2 + (shape**2).sum(axis=1))
    return Elastica(angle=angle[:, ::4], points=points, bend=bend, tightest=tightest, energy=energy, residual=residual)


@lru_cache(maxsize=1)
def _shapes() -> tuple[Array, Array, Array, Array]:
    """Quadrature weights and the shapes at its points, at equal steps, and their rates there."""
    x, w = legendre.leggauss(2 * SHAPES)
    equal = np.linspace(-1.0, 1.0, 4 * (NODES - 1) + 1)  # four steps from node to node
    basis, fine, rate = [], [], []
    for k in range(1, SHAPES + 1):
        slope = np.zeros(k + 1)
        slope[k] = np.sqrt(2.0 * k + 1.0)  # unit energy over s = 0..1
        whole = 0.5 * legendre.legint(slope, lbnd=-1)
        basis.append(legendre.legval(x, whole))
        fine.append(legendre.legval(equal, whole))
        rate.append(legendre.legval(equal, slope))
    return 0.5 * w, np.stack(basis, axis=1), np.stack(fine, axis=1), np.stack(rate, axis=1)


def _first_guess(turn: Array, reach: Array) -> Array:
    """Bow each rod evenly until its ends are as far apart as they should be."""
    weights, basis, _, _ = _shapes()
    s = _middle()
    bow = np.linspace(-7.0, 5.0, 97)
    apart = np.cos(turn[:, None, None] * (s - 0.5) + bow[:, None] * basis[:, 1]) @ weights
    top = apart.argmax(axis=1)
    shape = np.zeros((len(turn), SHAPES))
    for k, peak in enumerate(top):
        drop = np.sqrt(np.maximum(apart[k, peak] - apart[k, : peak + 1], 0.0))[::-1]
        first = int(np.argmax(np.diff(drop) <= 0.0)) if (np.diff(drop) <= 0.0).any() else len(drop) - 1
        wanted = np.sqrt(max(apart[k, peak] - reach[k], 0.0))
        shape[k, 1] = np.interp(wanted, drop[: first + 1], bow[peak - first : peak + 1][::-1])
    return shape


@lru_cache(maxsize=1)
def _middle() -> Array:
    return np.asarray(0.5 * (legendre.leggauss(2 * SHAPES)[0] + 1.0))


def _newton(turn: Array, goal: Array, shape: Array) -> tuple[Array, Array]:
    """Energy at rest against every shape that keeps both ends in place; a rod that is done drops out."""
    basis = _shapes()[1]
    slope = _pull(turn, shape)[2]
    normal = slope @ slope.transpose(0, 2, 1) + 1e-12 * np.eye(2)
    force = np.asarray(-np.linalg.solve(normal, slope @ shape[:, :, None])[:, :, 0])
    shape, residual, busy = shape.copy(), np.full(len(turn), np.inf), np.arange(len(turn))
    for _ in range(_STEPS):
        cos, sin, slope = _pull(turn[busy], shape[busy])
        off = np.stack([cos.sum(axis=1), sin.sum(axis=1)], axis=1) - goal[busy]
        rest = shape[busy] + (force[busy, None] @ slope)[:, 0]
        residual[busy] = np.maximum(np.abs(rest).max(axis=1), np.abs(off).max(axis=1))
        going = residual[busy] > 1e-10
        if not going.any():
            break
        busy = busy[going]
        cos, sin, slope, rest, off = (v[going] for v in (cos, sin, slope, rest, off))
        system = np.zeros((len(busy), SHAPES + 2, SHAPES + 2))
        pull = -(force[busy, :1] * cos + force[busy, 1:] * sin)
        system[:, :SHAPES, :SHAPES] = np.eye(SHAPES) + (basis.T * pull[:, None]) @ basis
        system[:, :SHAPES, SHAPES:], system[:, SHAPES:, :SHAPES] = slope.transpose(0, 2, 1), slope
        step = np.linalg.solve(system, -np.concatenate([rest, off], axis=1)[:, :, None])[:, :, 0]
        step *= np.minimum(1.0, 1.0 / np.maximum(np.abs(step[:, :SHAPES]).max(axis=1), 1e-12))[:, None]
        shape[busy] += step[:, :SHAPES]
        force[busy] += step[:, SHAPES:]
    return shape, residual


def _pull(turn: Array, shape: Array) -> tuple[Array, Array, Array]:
    """Weighted cosine and sine along each rod, and how its far end answers to each shape."""
    weights, basis, _, _ = _shapes()
    angle = turn[:, None] * _middle() + shape @ basis.T
    cos, sin = weights * np.cos(angle), weights * np.sin(angle)
    return cos, sin, np.stack([-sin @ basis, cos @ basis], axis=1)
