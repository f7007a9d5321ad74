"""Taut paths on their way to being taut: Newton steps for all paths of a question at once, in one row of nodes.

A path minimises the sum of squared chords (so that nodes space evenly along the shortest path) and stays outside
the surface: nodes that press on it are found by an active set and held in its tangent plane by their projector. Ends
are nodes whose place is known. One banded Cholesky factorisation serves every path; what follows when ends move is one
more back-substitution, and how stiffly a path feels its last node stands in the last block of its factor.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol, Self

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import LinAlgError
from scipy.linalg.lapack import dpbtrf, dpbtrs

from controlkit.mechanics.surface.field import PAIRS, SQUARE, bound
from controlkit.mechanics.surface.row import Row, row_of, strung
from controlkit.mechanics.surface.shapes import Union

Array = NDArray[np.float64]
Index = NDArray[np.intp]
Mask = NDArray[np.bool_]

STEP = 0.020  # [m] longest step of a node: with 50 mm a strap tunnels through the armpit
WHOLE = 2e-5  # [m] steps to the last digits are taken whole
_WAIT = 4  # steps for which the curvature of a path that was not definite is kept out
_STIFFEST = 2.0**20  # beyond which a path is not stiffened: it holds what is no number [-]
_PACING = ("_wait", "_past", "_pace", "_last_pace", "_creep", "_need")  # what each path knows of its steps


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
            As `Field.curvature` gives them: value [m], shape (points,), gradient [-], shape (3, points), and the
            Hessian's entries xx, yy, zz, yx, zy, zx [1/m], shape (6, points)
        """

    def pick(self, keep: Mask) -> Self:
        """The same for some of the points.

        Parameters
        ----------
        keep : ndarray
            Which [-], shape (points,)

        Returns
        -------
        Curved
            Bound to those points
        """


class Strands:
    """Paths of any numbers of nodes on their way to being taut; `step` and `move` improve all of them at once.

    Parameters
    ----------
    field : Curved
        The surface, bound to all nodes, path after path
    row : Row
        Which node is whose
    nodes : ndarray
        First guess [m], shape (3, nodes)
    """

    def __init__(self, field: Curved, row: Row, nodes: Array) -> None:
        self.field, self.row, self.x = field, row, np.array(nodes, dtype=float)
        paths = len(row.counts)
        self.press = np.zeros(row.nodes)
        self.moved = np.full(paths, np.inf)
        self.stiffened = np.zeros(paths, dtype=bool)  # at the last step: then nobody knows whether a path is settled
        self.iterations = 0
        self._ahead: Array | None = None  # known shift of ends that the next step answers to
        self._wait = np.zeros(paths, dtype=np.intp)
        self._last, self._past = np.zeros(self.x.shape), np.zeros(paths)
        self._pace = self._last_pace = np.ones(paths)
        self._creep = np.zeros(paths, dtype=np.intp)  # steps in a row that went on the same way
        self._need = np.ones(paths, dtype=np.intp)  # such steps before longer ones: one more once it has turned back

    @classmethod
    def over(cls, union: Union, body: Index, parts: Sequence[Array]) -> Strands:
        """Paths over bodies, each path over one.

        Parameters
        ----------
        union : Union
            The bodies
        body : ndarray
            Body of each path [-], shape (paths,)
        parts : sequence of ndarray
            First guess, by groups of paths with as many nodes [m], shape (paths, nodes, 3)

        Returns
        -------
        Strands
            The paths, before any step
        """
        counts = tuple(part.shape[1] for part in parts for _ in part)
        row = row_of(counts)
        return cls(bound(union, np.repeat(body, row.counts)), row, strung(parts))

    def parts(self, values: Array, like: Sequence[Array]) -> list[Array]:
        """What belongs to nodes, by groups of paths again.

        Parameters
        ----------
        values : ndarray
            One or three a node [-], shape (nodes,) or (3, nodes)
        like : sequence of ndarray
            Arrays with the shapes of the groups [-], shape (paths, nodes, 3)

        Returns
        -------
        list of ndarray
            Values [-], shape (paths, nodes) or (paths, nodes, 3)
        """
        ends = np.cumsum([part.shape[0] * part.shape[1] for part in like])[:-1]
        split = np.split(values, ends, axis=-1)
        shapes = [part.shape[: 1 + values.ndim] for part in like]
        return [np.ascontiguousarray(one.T).reshape(shape) for one, shape in zip(split, shapes, strict=True)]

    def to(self, ends: Array) -> None:
        """Let ends go elsewhere: the paths follow them in the next step, pressing where they press now.

        Parameters
        ----------
        ends : ndarray
            All nodes, of which only the ends are read [m], shape (3, nodes)
        """
        self._ahead = (ends - self.x) * (1.0 - self.row.inner)

    @property
    def carried(self) -> float:
        """How far the next step carries an end at most [m]."""
        return 0.0 if self._ahead is None else float(np.abs(self._ahead).max())

    def step(self) -> Array:
        """Compute one Newton step; nothing is moved yet.

        Returns
        -------
        ndarray
            Shift of all nodes, that of the ends as told by `to` [m], shape (3, nodes)
        """
        x, inner = self.x, self.row.inner
        value, gradient, hessian = self.field.curvature(x)
        size2 = gradient[0] * gradient[0] + gradient[1] * gradient[1] + gradient[2] * gradient[2]
        pull = self._pull(x)
        multiplier = (pull[0] * gradient[0] + pull[1] * gradient[1] + pull[2] * gradient[2]) / size2
        fixed = (multiplier > value) & (inner > 0.0)
        size = np.sqrt(size2)
        self.normal = normal = gradient * np.where(fixed, 1.0 / size, 0.0)
        self.press = press = np.where(fixed, multiplier, 0.0)
        slide = np.minimum(np.maximum(value / -size, -STEP), STEP) * fixed
        self._onto = normal * slide
        bent = _times(hessian, normal)
        self._bent = bent * (press * slide)
        hessian *= press
        if self._wait.any():
            self._soften(hessian, normal, (self._wait[self.row.path] > 0) & fixed)
            bent = _times(hessian, normal)
        else:
            bent *= press
        self._factor(self._band(hessian, bent, normal))
        return self.answer()

    def answer(self, ends: Array | None = None) -> Array:
        """The step computed last, were ends to move as well.

        Parameters
        ----------
        ends : ndarray, optional
            Shifts of all nodes, nought but at ends [m], shape (3, nodes)

        Returns
        -------
        ndarray
            Shift of all nodes [m], shape (3, nodes)
        """
        known = self._onto if ends is None else self._onto + ends
        if self._ahead is not None:
            known = known + self._ahead
        # known shifts act through the same second difference as the nodes themselves
        right = self._bent - self._pull(self.x + known)
        held = _times(self._projector, right).T.reshape(-1, 1)
        return np.asarray(dpbtrs(self._lower, held, lower=1)[0].reshape(-1, 3).T + known)

    def by_last(self) -> Array:
        """Shift of each path's last inner node for a unit shift of its last node.

        Returns
        -------
        ndarray
            By the factor of the step computed last [-], shape (paths, 3, 3)
        """
        node = self.row.last - 1
        columns = self._lower.T.reshape(-1, 3, 6)[node]
        a, b, c = columns[:, 0, 0], columns[:, 1, 0], columns[:, 2, 0]
        low = np.zeros((len(node), 3, 3))  # the inverse of a lower triangle
        low[:, 0, 0], low[:, 1, 1], low[:, 2, 2] = 1.0 / a, 1.0 / b, 1.0 / c
        low[:, 1, 0] = -columns[:, 0, 1] / (a * b)
        low[:, 2, 1] = -columns[:, 1, 1] / (b * c)
        low[:, 2, 0] = (columns[:, 0, 1] * columns[:, 1, 1] - columns[:, 0, 2] * b) / (a * b * c)
        return np.asarray(low.transpose(0, 2, 1) @ low @ self._projectors(node))

    def by_first(self, paths: slice, directions: Array) -> tuple[Array, Array]:
        """Shift of the first and the last inner node of neighbouring paths for shifts of their first nodes.

        Parameters
        ----------
        paths : slice
            Paths with as many nodes each
        directions : ndarray
            Shifts of their first nodes, in columns [-], shape (paths, 3, directions)

        Returns
        -------
        tuple of ndarray
            By the factor of the step computed last [-], shape (paths, 3, directions)
        """
        begin, end, count = self.row.first[paths][0], self.row.last[paths][-1] + 1, self.row.counts[paths][0]
        one = np.arange(len(directions)) * count + 1
        right = np.zeros((end - begin, 3, directions.shape[2]))
        right[one] = self._projectors(begin + one) @ directions
        solved = dpbtrs(self._lower[:, 3 * begin : 3 * end], right.reshape(3 * (end - begin), -1), lower=1)[0]
        solved = solved.reshape(right.shape)
        return solved[one], solved[one + count - 3]

    def move(self, own: Array, follow: Array | None = None) -> None:
        """Take a step, each node by at most the longest allowed.

        Parameters
        ----------
        own : ndarray
            The paths' own step, shortened or lengthened as it goes on [m], shape (3, nodes)
        follow : ndarray, optional
            How they follow their ends besides, taken whole [m], shape (3, nodes)
        """
        row, normal = self.row, self.normal
        out = (own[0] * normal[0] + own[1] * normal[1] + own[2] * normal[2]) * normal
        slide = own - out
        size = np.sqrt(row.largest(slide[0] * slide[0] + slide[1] * slide[1] + slide[2] * slide[2]))
        self._find_pace(own, size)
        along, outward = np.minimum(self._pace, STEP / np.maximum(size, 1e-12)), np.minimum(self._pace, 1.0)
        if (along == 1.0).all():
            self.x = self.x + own
        else:
            lag = np.where(row.inner > 0.0, along[row.path], 1.0)
            self.x = self.x + outward[row.path] * out + lag * slide
        if follow is not None:
            self.x += follow
        self.moved = np.maximum(size, row.largest(np.abs(out).max(axis=0)))
        self._wait = np.maximum(self._wait - 1, 0)
        self._ahead = None
        self.iterations += 1

    def some(self, paths: Mask) -> Strands:
        """Some of the paths by themselves, with all that is known of them.

        Parameters
        ----------
        paths : ndarray
            Which [-], shape (paths,)

        Returns
        -------
        Strands
            Those paths
        """
        keep = paths[self.row.path]
        part = Strands(self.field.pick(keep), row_of(tuple(self.row.counts[paths].tolist())), self.x[:, keep])
        part._last, part.press, part.iterations = self._last[:, keep], self.press[keep], self.iterations
        for name in ("moved", "stiffened", *_PACING):
            setattr(part, name, getattr(self, name)[paths])
        return part

    def put(self, paths: Mask, part: Strands) -> None:
        """Take over where some of the paths have got to.

        Parameters
        ----------
        paths : ndarray
            Which they are here [-], shape (paths,)
        part : Strands
            Those paths by themselves
        """
        keep = paths[self.row.path]
        self.x[:, keep], self.press[keep] = part.x, part.press
        for name in ("moved", "stiffened", *_PACING):
            getattr(self, name)[paths] = getattr(part, name)
        self.iterations = max(self.iterations, part.iterations)

    def _find_pace(self, own: Array, size: Array) -> None:
        """How much of its own step each path takes.

        One that jumps to and fro in a sharp hollow takes shorter steps until it calms; one that creeps steadily, as off
        a ridge, takes longer ones.
        """
        last = self._last
        same = self.row.total(own[0] * last[0] + own[1] * last[1] + own[2] * last[2]) / np.maximum(self._past, 1e-30)
        back, on = same < -0.7, same > 0.7
        pace = np.where(self._pace < 1.0, np.minimum(1.5 * self._pace, 1.0), 1.0)
        pace = np.where(back, np.maximum(0.5 * self._pace, 0.05), pace)
        self._creep = np.where(on, self._creep + 1, 0)
        self._need = np.where(back, 2, self._need)
        longer = np.minimum(1.5 * np.maximum(self._last_pace, 1.0), 20.0)
        pace = np.where(self._creep >= self._need, longer, pace)
        self._pace = np.where(size > WHOLE, pace, 1.0)
        self._last, self._last_pace = own, self._pace
        self._past = self.row.total(own[0] * own[0] + own[1] * own[1] + own[2] * own[2])

    def _pull(self, x: Array) -> Array:
        """Second difference of a row, nought at the ends of its paths: what neighbours pull on a node."""
        step = x[:, 1:] - x[:, :-1]
        pull = np.zeros_like(x)
        np.subtract(step[:, :-1], step[:, 1:], out=pull[:, 1:-1])
        pull *= self.row.inner
        return pull

    def _band(self, sag: Array, bent: Array, normal: Array) -> Array:
        """Band of the equations, a node's three unknowns after those of the node before, shape (nodes, 3, 6).

        Blocks are P (2 - H) P + (I - P) with P = I - n n' and H weighed by the pressing; P at an end is nought. Links
        are -P of this node times P of the next.
        """
        n0, n1, n2 = normal
        out = np.empty((6, self.row.nodes))
        np.multiply(normal, normal, out=out[:3])
        np.multiply(n1, n0, out=out[3])
        np.multiply(n2, n1, out=out[4])
        np.multiply(n2, n0, out=out[5])
        self._projector = free = -out
        free[:3] += self.row.inner
        out *= n0 * bent[0] + n1 * bent[1] + n2 * bent[2]
        block = free - sag
        block -= out
        block[:3] += 1.0
        block[:3] += 2.0 * normal * bent
        block[3] += n1 * bent[0] + n0 * bent[1]
        block[4] += n2 * bent[1] + n1 * bent[2]
        block[5] += n2 * bent[0] + n0 * bent[2]
        band = np.empty((self.row.nodes, 3, 6))
        for at in range(3):
            for down in range(3 - at):
                band[:, at, down] = block[SQUARE[at + down, at]]
        band[:, 1, 5] = band[:, 2, 4] = band[:, 2, 5] = 0.0
        band[-1, 0, 3:] = band[-1, 1, 2:] = band[-1, 2, 1:] = 0.0
        here, there = free[:, :-1], -free[:, 1:]
        for b in range(3):
            one, two, three = (here[k] for k in SQUARE[b])
            for a in range(3):  # how b of this node pulls on a of the next
                p, q, r = SQUARE[:, a]
                band[:-1, b, 3 + a - b] = one * there[p] + two * there[q] + three * there[r]
        return band

    def _factor(self, band: Array) -> None:
        """Factor; where a path's curvature makes it indefinite, stiffen that path alone, the more the longer it is."""
        row = self.row
        self.stiffened = self._wait > 0
        added = np.zeros(len(row.counts))
        while True:
            self._lower, order = dpbtrf(band.reshape(-1, 6).T, lower=1)
            if order == 0:
                return
            bad = row.path[(order - 1) // 3]  # the path of the leading minor that is not positive
            more = max(float(added[bad]), 1.0)
            if more > _STIFFEST:
                raise LinAlgError("no path of the row could be made definite")
            added[bad] += more
            self._wait[bad], self.stiffened[bad] = _WAIT, True
            band[row.first[bad] : row.last[bad] + 1, :, 0] += more

    def _soften(self, sag: Array, normal: Array, which: Mask) -> None:
        """Keep of some nodes' curvature, in place, only what stiffens (hollows), in their tangent planes."""
        nodes = np.flatnonzero(which)
        if not nodes.size:
            return
        n = normal[:, nodes].T
        flat = np.eye(3) - n[:, :, None] * n[:, None, :]
        bend, way = np.linalg.eigh(-(flat @ sag[SQUARE][:, :, nodes].transpose(2, 0, 1) @ flat))
        kept = (way * np.maximum(bend, 0.0)[:, None, :]) @ way.transpose(0, 2, 1)
        for k, (a, b) in enumerate(PAIRS):
            sag[k, nodes] = -kept[:, a, b]

    def _projectors(self, nodes: Index) -> Array:
        """Projectors of some nodes, shape (nodes, 3, 3)."""
        return np.asarray(self._projector[:, nodes][SQUARE].transpose(2, 0, 1))


def _times(matrix: Array, vector: Array) -> Array:
    """Symmetric matrices in six rows times vectors in three, shape (3, nodes)."""
    out = np.empty_like(vector)
    for k in range(3):
        a, b, c = SQUARE[k]
        out[k] = matrix[a] * vector[0] + matrix[b] * vector[1] + matrix[c] * vector[2]
    return out
