"""Shortest taut paths over smooth surfaces, bridging hollows, many at once.

A path is a chain of nodes with a fixed start and end. It minimises the sum of squared
chords (so that nodes space evenly along the shortest path) and stays outside the surface:
nodes that press on it are found by an active set and slide in its tangent plane. One banded
Cholesky factorisation serves every path of the batch; three extra right-hand sides give the
answer to a shift of each end.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import LinAlgError, cho_solve_banded
from scipy.linalg.lapack import dpbtrf

from controlkit.mechanics.surface.field import SQUARE, bound
from controlkit.mechanics.surface.shapes import Union

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

STEP = 0.010  # [m] longest step of a node: longer ones let a strap tunnel through the armpit
SETTLED = 2e-7  # [m] a path whose nodes moved less has settled: what is left is its square
_BAND = 6


@dataclass(frozen=True)
class Paths:
    """Taut paths, one a row.

    Attributes
    ----------
    nodes : ndarray
        Positions [m], shape (paths, nodes, 3)
    press : ndarray
        Pressing multiplier of each node, zero where the path is free [m], shape (paths, nodes)
    settled : ndarray
        Whether the path has converged [-], shape (paths,)
    iterations : int
        Steps taken for the batch [-]
    """

    nodes: Array
    press: Array
    settled: Mask
    iterations: int

    @cached_property
    def length(self) -> Array:
        """Length of each path [m], shape (paths,)."""
        return path_length(self.nodes)


def path_length(nodes: Array) -> Array:
    r"""Length of a chain that stands for a smooth curve.

    .. math:: l = \sum c_i + \sum \frac{c_i^3 (k_i^2 + k_{i+1}^2)}{48}

    Parameters
    ----------
    nodes : ndarray
        Nodes of the chains [m], shape (paths, nodes, 3)

    Returns
    -------
    ndarray
        Length [m], shape (paths,)

    Notes
    -----
    c is a chord, k the curvature from second differences; the second sum makes up for arcs
    that chords cut. Where a path leaves the surface between two nodes, the turn at the last node
    is a share u of the turn before it; what the arc up to the take-off point needs there is then
    not u squared of the full sum but 1/2 + 4 (u - 1/2)^3 of it.

    Examples
    --------
    >>> import numpy as np
    >>> turn = np.linspace(0.0, np.pi, 21)
    >>> half = np.stack([np.cos(turn), np.sin(turn), 0 * turn], axis=-1)[None]
    >>> float(path_length(half)[0].round(4))
    3.1416
    """
    step = np.diff(nodes, axis=1)
    chord = np.sqrt((step * step).sum(axis=2))
    mean = np.maximum(0.5 * (chord[:, 1:] + chord[:, :-1]), 1e-12)
    bend2 = (np.diff(step, axis=1) ** 2).sum(axis=2) / mean**4
    bend2 = np.concatenate([bend2[:, :1], bend2, bend2[:, -1:]], axis=1)
    before, here, after = bend2[:, :-2], bend2[:, 1:-1], bend2[:, 2:]
    full = np.maximum(np.maximum(before, after), here)
    share = np.sqrt(here / np.maximum(full, 1e-300)) - 0.5
    free = 1.0 - np.minimum(4.0 * np.minimum(before, after) / np.maximum(full, 1e-300), 1.0)
    bend2[:, 1:-1] = here + free * (full * (0.5 + 4.0 * share**3) - here)
    return np.asarray(chord.sum(axis=1) + (chord**3 * (bend2[:, 1:] + bend2[:, :-1])).sum(axis=1) / 48.0)


def resample(points: Array, count: int) -> Array:
    """Spread nodes evenly along polylines.

    Parameters
    ----------
    points : ndarray
        Corners [m], shape (paths, corners, 3)
    count : int
        Nodes wanted [-]

    Returns
    -------
    ndarray
        Nodes [m], shape (paths, count, 3)

    Examples
    --------
    >>> import numpy as np
    >>> resample(np.array([[[0.0, 0, 0], [1.0, 0, 0]]]), 3)[0, :, 0].tolist()
    [0.0, 0.5, 1.0]
    """
    chord = np.linalg.norm(np.diff(points, axis=1), axis=2)
    along = np.concatenate([np.zeros((len(points), 1)), np.cumsum(chord, axis=1)], axis=1)
    out = np.empty((len(points), count, 3))
    for k, (path, run) in enumerate(zip(points, along, strict=True)):
        wanted = np.linspace(0.0, run[-1], count)
        for d in range(3):
            out[k, :, d] = np.interp(wanted, run, path[:, d])
    return out


def _cross(a: Array, b: Array) -> Array:
    """Cross product of vectors that stand in columns."""
    return np.stack([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


@dataclass(frozen=True, kw_only=True)
class _Equations:
    """One Newton step's equations, each node in a frame of its own; the arrays are filled in place."""

    fixed: Mask
    press: Array
    frame: Array
    block: Array
    right: Array


class Curved(Protocol):
    """What a path may lie on: points bound to their bodies, as `Field` binds them."""

    def curvature(self, points: Array) -> tuple[Array, Array, Array]:
        """Value, gradient and Hessian.

        Parameters
        ----------
        points : ndarray
            Positions [m], shape (3, points)

        Returns
        -------
        tuple of ndarray
            As `Field.curvature` gives them: value [m], shape (points,), gradient [-], shape (3, points), and
            Hessian [1/m], shape (6, points)
        """


class PathSolver:
    """A batch of paths on their way to being taut; `step` improves all of them at once.

    Parameters
    ----------
    field : Curved
        The surface, bound to the inner nodes of all paths, path after path
    nodes : ndarray
        First guess; its first and last nodes are the ends [m], shape (paths, nodes, 3)
    """

    def __init__(self, field: Curved, nodes: Array) -> None:
        self.x = np.array(nodes, dtype=float)
        self.paths, self.count = self.x.shape[:2]
        self.inner = self.count - 2
        self.scale = float(self.count - 1)
        self.field = field
        self.wait = np.zeros(self.paths, dtype=int)  # steps for which a path's curvature is kept out of the Hessian
        self.press = np.zeros((self.paths, self.inner))
        self.normal = np.zeros((self.paths, self.inner, 3))
        self.moved = np.full(self.paths, np.inf)
        self.last = np.zeros((self.paths, self.inner, 3))
        self.pace = self.last_pace = np.ones(self.paths)
        self.creep = np.zeros(self.paths, dtype=int)  # steps in a row that went on the same way
        self.need = np.ones(self.paths, dtype=int)  # such steps before longer ones: one more once it has turned back
        self.iterations = 0

    @classmethod
    def over(cls, union: Union, body: NDArray[np.intp], nodes: Array) -> PathSolver:
        """Paths over bodies, each path over one.

        Parameters
        ----------
        union : Union
            The bodies
        body : ndarray
            Body of each path [-], shape (paths,)
        nodes : ndarray
            First guess [m], shape (paths, nodes, 3)

        Returns
        -------
        PathSolver
            The paths, before any step
        """
        return cls(bound(union, np.repeat(body, nodes.shape[1] - 2)), nodes)

    def step(self, start: bool = False, end: slice = slice(0, 0)) -> tuple[Array, Array, Array]:
        """Compute one Newton step with both ends held; nothing is moved yet.

        Parameters
        ----------
        start : bool
            Whether the answer to a shift of the start is wanted
        end : slice
            Paths for which the answer to a shift of the end is wanted

        Returns
        -------
        shift : ndarray
            Step of the inner nodes [m], shape (paths, inner, 3)
        by_start : ndarray
            Shift of inner nodes for a unit shift of the start [-], shape (paths, inner, 3, 3);
            empty where not wanted
        by_end : ndarray
            Shift of inner nodes for a unit shift of the end [-], shape (chosen paths, inner, 3, 3)
        """
        x, inner, paths = self.x, self.inner, self.paths
        flat = np.ascontiguousarray(x[:, 1:-1].reshape(-1, 3).T)
        pull = np.ascontiguousarray((2.0 * x[:, 1:-1] - x[:, :-2] - x[:, 2:]).reshape(-1, 3).T)
        value, gradient, hessian = self.field.curvature(flat)
        size2 = (gradient * gradient).sum(axis=0)
        multiplier = (pull * gradient).sum(axis=0) / size2
        fixed = multiplier > value
        press = np.where(fixed, multiplier, 0.0)
        frame, block = np.zeros((3, 3, value.size)), np.zeros((3, 3, value.size))
        for d in range(3):
            frame[d, d], block[d, d] = 1.0, 2.0
        step = _Equations(fixed=fixed, press=press, frame=frame, block=block, right=-pull)
        near = np.flatnonzero(fixed)
        if near.size:
            self._constrain(step, near, value=value[near], gradient=gradient[:, near], hessian=hessian[:, near][SQUARE])
        self.press = press.reshape(paths, inner)
        self.normal = np.where(fixed, frame[:, 2], 0.0).T.reshape(paths, inner, 3)
        return self._solve(step, start, end)

    def _constrain(
        self, step: _Equations, near: NDArray[np.intp], *, value: Array, gradient: Array, hessian: Array
    ) -> None:
        """Turn the equations of nodes that press on the surface into its normal and tangents there."""
        frame, block, right = step.frame, step.block, step.right
        size = np.sqrt((gradient * gradient).sum(axis=0))
        normal = gradient / size
        pick = np.abs(normal[1]) < 0.7
        helper = np.where(pick, np.array([[0.0], [1.0], [0.0]]), np.array([[1.0], [0.0], [0.0]]))
        first = _cross(helper, normal)
        first /= np.sqrt((first * first).sum(axis=0))
        second = _cross(normal, first)
        frame[:, 0, near], frame[:, 1, near], frame[:, 2, near] = first, second, normal
        use = step.press[near]

        def sag(u: Array, v: Array) -> Array:
            return np.asarray(-((hessian * v).sum(axis=1) * u).sum(axis=0) * use)

        full = self.wait[near // self.inner] == 0
        part = self._safe(sag(first, first), sag(first, second), sag(second, second), full)
        block[0, 0, near] += part[0]
        block[0, 1, near] += part[1]
        block[1, 0, near] += part[1]
        block[1, 1, near] += part[2]
        along_1, along_2 = (first * right[:, near]).sum(axis=0), (second * right[:, near]).sum(axis=0)
        slide = np.clip(-value / size, -STEP, STEP)
        bent = (hessian * normal).sum(axis=1) * (use * slide)
        right[0, near] = along_1 + (bent * first).sum(axis=0)
        right[1, near] = along_2 + (bent * second).sum(axis=0)
        right[2, near] = slide

    @staticmethod
    def _safe(a: Array, b: Array, c: Array, full: Mask) -> tuple[Array, Array, Array]:
        """Tangential curvature terms; where not `full`, only what stiffens (hollows) is kept."""
        mean, half = 0.5 * (a + c), 0.5 * (a - c)
        root = np.sqrt(half * half + b * b)
        high, low = np.maximum(mean + root, 0.0), np.maximum(mean - root, 0.0)
        centre, swing = 0.5 * (high + low), 0.5 * (high - low) / np.maximum(root, 1e-15)
        return (
            np.where(full, a, centre + swing * half),
            np.where(full, b, swing * b),
            np.where(full, c, centre - swing * half),
        )

    def _solve(self, step: _Equations, start: bool, end: slice) -> tuple[Array, Array, Array]:
        """Solve all paths' equations at once, as `step` returns them."""
        frame, block, right, fixed = step.frame, step.block, step.right, step.fixed
        paths, inner = self.paths, self.inner
        total = frame.shape[2]
        # coupling of node i (rows, via its frame) with node i + 1 (columns)
        link = -(frame[:, :, None, :-1] * frame[:, None, :, 1:]).sum(axis=0)
        link[:, :, inner - 1 :: inner] = 0.0
        held, held_next, held_this = fixed, fixed[1:], fixed[:-1]
        slide = np.where(held, right[2], 0.0)
        # move the known normal components to the right-hand side
        for a in range(3):
            ahead, behind = link[a, 2] * slide[1:], link[2, a] * slide[:-1]
            right[a, :-1] -= np.where(held_this, 0.0, ahead) if a == 2 else ahead
            right[a, 1:] -= np.where(held_next, 0.0, behind) if a == 2 else behind
        link[2] *= ~held_this
        link[:, 2] *= ~held_next
        block[:2, 2] *= ~held
        block[2, :2] *= ~held
        block[2, 2, held] = 1.0
        band = np.zeros((_BAND, 3, total))
        for a in range(3):
            for b in range(a + 1):
                band[a - b, b] = block[a, b]
            for b in range(3):
                band[3 + b - a, a, :-1] = link[a, b]
        packed = np.zeros((total, 3, 4 if start else 1))
        packed[:, :, 0] = right.T
        if start:
            packed[::inner, :, 1:] = frame[:, :, ::inner].transpose(2, 1, 0)
            packed[held, 2, 1:] = 0.0
        factor = self._factor(band.transpose(0, 2, 1).reshape(_BAND, -1))
        solved = cho_solve_banded((factor, True), packed.reshape(3 * total, -1), check_finite=False)
        local = solved.reshape(total, 3, -1)
        turned = frame.transpose(2, 0, 1)
        world = np.matmul(turned, local).reshape(paths, inner, 3, -1)
        chosen = range(paths)[end]
        nodes = slice(chosen.start * inner, chosen.stop * inner)
        ends = np.zeros((len(chosen) * inner, 3, 3))
        if len(chosen):
            ends[inner - 1 :: inner] = frame[:, :, nodes][:, :, inner - 1 :: inner].transpose(2, 1, 0)
            ends[held[nodes], 2] = 0.0
            part = np.ascontiguousarray(factor[:, 3 * nodes.start : 3 * nodes.stop])  # paths do not touch each other
            ends = cho_solve_banded((part, True), ends.reshape(-1, 3), check_finite=False).reshape(-1, 3, 3)
            ends = np.matmul(turned[nodes], ends)
        return world[..., 0], world[..., 1:], ends.reshape(len(chosen), inner, 3, 3)

    def _factor(self, band: Array) -> Array:
        """Factor; where a path's curvature makes it indefinite, stiffen that path alone."""
        size = 3 * self.inner
        for _ in range(self.paths + 1):
            factor, order = dpbtrf(band, lower=1)  # order of the leading minor that is not positive, 0 where all are
            if order == 0:
                return np.asarray(factor)
            bad = (order - 1) // size
            self.wait[bad] = 4
            band[0, bad * size : (bad + 1) * size] += 1.0
        raise LinAlgError("no path of the batch could be made definite")

    def move(self, shift: Array) -> None:
        """Apply a step, each node by at most the longest allowed.

        Parameters
        ----------
        shift : ndarray
            Step of the inner nodes [m], shape (paths, inner, 3)
        """
        out = (shift * self.normal).sum(axis=2, keepdims=True) * self.normal
        slide = shift - out
        size = np.sqrt((slide * slide).sum(axis=2)).max(axis=1)
        # a path that jumps to and fro in a sharp hollow takes shorter steps until it calms;
        # one that creeps steadily, as off a ridge, takes longer ones
        past = (self.last * self.last).sum(axis=(1, 2))
        same = (shift * self.last).sum(axis=(1, 2)) / np.maximum(past, 1e-30)
        calm = np.where(self.pace < 1.0, np.minimum(1.5 * self.pace, 1.0), 1.0)
        self.pace = np.where(same < -0.7, np.maximum(0.5 * self.pace, 0.05), calm)
        self.creep = np.where(same > 0.7, self.creep + 1, 0)
        self.need = np.where(same < -0.7, 2, self.need)
        self.pace = np.where(
            self.creep >= self.need, np.minimum(1.5 * np.maximum(self.last_pace, 1.0), 20.0), self.pace
        )
        self.last, self.last_pace = shift, self.pace
        along = np.minimum(self.pace, STEP / np.maximum(size, 1e-12))
        outward = np.minimum(self.pace, 1.0)
        self.x[:, 1:-1] += outward[:, None, None] * out + along[:, None, None] * slide
        self.moved = np.maximum(size, np.abs(out).max(axis=(1, 2)))
        self.wait = np.maximum(self.wait - 1, 0)
        self.iterations += 1

    def run(self, limit: int) -> Paths:
        """Step until every path has settled, both ends held.

        Parameters
        ----------
        limit : int
            Most iterations [-]

        Returns
        -------
        Paths
            Nodes, pressing, and which paths have settled
        """
        for _ in range(limit):
            self.move(self.step()[0])
            if self.moved.max() < SETTLED:
                break
        press = np.zeros((self.paths, self.count))
        press[:, 1:-1] = self.press
        return Paths(self.x.copy(), press, self.moved < 50.0 * SETTLED, self.iterations)


def tighten(union: Union, body: NDArray[np.intp], nodes: Array, limit: int = 80) -> Paths:
    """Pull paths taut over their bodies, both ends held.

    Parameters
    ----------
    union : Union
        The bodies
    body : ndarray
        Body of each path [-], shape (paths,)
    nodes : ndarray
        First guess; its first and last nodes are the ends [m], shape (paths, nodes, 3)
    limit : int
        Most iterations [-]

    Returns
    -------
    Paths
        Taut paths; `settled` says which converged

    Notes
    -----
    Newton's method on half the sum of squared chords, nodes told to press or not by the primal-dual active set strategy
    (M. Hintermueller, K. Ito and K. Kunisch, SIAM Journal on Optimization 13, 865-888, 2002), steps by LAPACK's banded
    Cholesky factorisation (E. Anderson et al., LAPACK Users' Guide, 3rd ed. 1999); cited from memory. A step costs
    O(paths x nodes) for the factorisation and O(paths x nodes x parts of a body) for the surface; donning
    40 random wearers took up to 29 steps a batch.

    Examples
    --------
    A quarter of a great circle between two tangents over a ball:

    >>> import numpy as np
    >>> from controlkit.mechanics.surface.shapes import sphere
    >>> start, end = [-0.1, -0.1, 0.0], [0.1, -0.1, 0.0]
    >>> guess = resample(np.array([[start, [0.0, 0.15, 0.0], end]]), 41)
    >>> taut = tighten(sphere((0.0, 0.0, 0.0), 0.1), np.zeros(1, dtype=int), guess)
    >>> float(taut.length[0].round(4))
    0.5142
    """
    return PathSolver.over(union, body, nodes).run(limit)
