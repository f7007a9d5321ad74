"""Surfaces with exact geodesics, told to the path solver in its own terms: value, gradient and Hessian."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.surface import Union
from controlkit.mechanics.surface.field import PAIRS
from controlkit.mechanics.surface.row import row_of, strung
from controlkit.mechanics.surface.strands import Strands
from controlkit.mechanics.surface.taut import SETTLED, Draft, Paths, resample, settle, tighten

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Surface:
    """One surface for every path, given by a function that returns value, gradient and Hessian."""

    shape: Callable[[Array], tuple[Array, Array, Array]]

    def curvature(self, points: Array) -> tuple[Array, Array, Array]:
        value, gradient, hessian = self.shape(points)
        return value, gradient, np.stack([hessian[a, b] for a, b in PAIRS])

    def pick(self, keep: Array) -> Surface:
        return self


def cone(half_angle: float) -> Surface:
    """A cone round the y axis, apex at the origin, opening upward."""
    slant = np.array([np.cos(half_angle), np.sin(half_angle)])

    def shape(points: Array) -> tuple[Array, Array, Array]:
        x, y, z = points
        rho = np.maximum(np.hypot(x, z), 1e-9)
        out = np.stack([x / rho, 0.0 * y, z / rho])
        gradient = slant[0] * out
        gradient[1] -= slant[1]
        round_ = np.stack([-out[2], 0.0 * y, out[0]])
        hessian = slant[0] / rho * round_[:, None] * round_[None]
        return slant[0] * rho - slant[1] * y, gradient, hessian

    return Surface(shape)


def spheroid(equator: float, flattening: float) -> Surface:
    """A spheroid round the y axis; a negative flattening makes it prolate."""
    axes = np.array([[equator], [equator * (1.0 - flattening)], [equator]])

    def shape(points: Array) -> tuple[Array, Array, Array]:
        level = np.sqrt(((points / axes) ** 2).sum(axis=0))
        gradient = points / axes**2 / level
        square = np.zeros((3, 3, points.shape[1]))
        for d in range(3):
            square[d, d] = 1.0 / axes[d] ** 2
        hessian = (square - gradient[:, None] * gradient[None]) / level
        return equator * (level - 1.0), equator * gradient, equator * hessian

    return Surface(shape)


def taut(surface: Surface | Union, corners: Array, nodes: int) -> Paths:
    """Pull one path taut from a rough polyline that already goes round the right way."""
    guess = resample(np.asarray(corners)[None], nodes)
    if isinstance(surface, Union):
        return tighten(surface, [Draft(np.zeros(1, dtype=np.intp), guess)], limit=400)[0]
    strands = settle(Strands(surface, row_of((nodes,)), strung([guess])), 400)
    press = strands.press[None]
    settled = (strands.moved < SETTLED) & ~strands.stiffened
    return Paths(strands.x.T[None], press, settled, strands.iterations)
