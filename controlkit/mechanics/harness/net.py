"""Straps that meet at a ring: the ring settles where straps, skin and back balance.

All stations (poses of one wearer, or of many) are solved at once. A station names the one
before it, because skin that has slipped stays slipped; so every result follows the motion
from donning, whatever the order in which anybody asked for it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..surfaces import Union
from ..taut import Chain, path_length
from .laws import Pull, Webbing
from .loop import loop_pull
from .skin import Skin, hold

Array = NDArray[np.float64]
Index = NDArray[np.intp]

BALANCED = 3e-4  # [N] force left over on a ring that has settled
CALM = 1e-5  # [m] step of a node that has settled; the step after it is its square
SLIP = 1e-6  # [m] a shorter slip of the ring is rounding
RING_STEP = 0.008  # [m] longest step of the ring
OVER, UNDER, FRONT, CONTROL = 0, 1, 2, 3
RUNS = 4
STRAPS = ("axilla loop", "anterior support strap", "control attachment strap")


@dataclass(frozen=True)
class Stations:
    """What the net is asked: bodies in poses, strap laws, and the order of the motion.

    Attributes
    ----------
    union : Union
        Surfaces, one a station
    before : ndarray
        Station that precedes each in the motion, -1 after donning [-], shape (stations,)
    donned : ndarray
        Where the fitter put the ring [m], shape (stations, 3)
    front_end : ndarray
        Lower end of the anterior support strap [m], shape (stations, 3)
    control_end : ndarray
        Where the cable meets the crossbar [m], shape (stations, 3)
    armpit : ndarray
        Where the loop turns under the sound arm [m], shape (stations, 3)
    over, under : Webbing
        Axilla loop: leg over the sound shoulder, leg under the arm
    front : Webbing
        Anterior support strap
    control : Pull
        Control attachment strap, cable and device
    skin : Skin
        How the skin holds
    friction : ndarray
        Friction limit of the ring on the skin [N], shape (stations,)
    ratio : ndarray
        Largest ratio of the tensions of the loop's legs [-], shape (stations,)
    crept : ndarray
        Webbing that had crept round the shoulder before the first station [m], shape (stations,)
    """

    union: Union
    before: Index
    donned: Array
    front_end: Array
    control_end: Array
    armpit: Array
    over: Webbing
    under: Webbing
    front: Webbing
    control: Pull
    skin: Skin
    friction: Array
    ratio: Array
    crept: Array

    def rows(self, which: Index, donned: Array, crept: Array) -> Stations:
        """Some stations by themselves, each starting from its own past.

        Parameters
        ----------
        which : ndarray
            Stations [-], shape (picked,)
        donned : ndarray
            Where the skin would let each ring rest before [m], shape (picked, 3)
        crept : ndarray
            Webbing that had crept before [m], shape (picked,)

        Returns
        -------
        Stations
            Those stations
        """
        return Stations(
            self.union.rows(which),
            np.full(len(which), -1),
            donned,
            self.front_end[which],
            self.control_end[which],
            self.armpit[which],
            self.over.pick(which),
            self.under.pick(which),
            self.front.pick(which),
            self.control.pick(which),
            self.skin,
            self.friction[which],
            self.ratio[which],
            crept,
        )


@dataclass(frozen=True)
class NetState:
    """The settled net.

    Attributes
    ----------
    ring : ndarray
        Ring [m], shape (stations, 3)
    nodes : ndarray
        Strap nodes, from the ring outwards [m], shape (4, stations, nodes, 3)
    length : ndarray
        Lengths [m], shape (4, stations)
    tension : ndarray
        Tensions [N], shape (4, stations)
    skin_force : ndarray
        Force of the skin on the ring [N], shape (stations, 3)
    residual : ndarray
        Force left over on the ring [N], shape (stations,)
    anchor : ndarray
        Where the skin would let the ring rest [m], shape (stations, 3)
    crept : ndarray
        Webbing of the loop that has crept round the shoulder [m], shape (stations,)
    slipped : ndarray
        Whether the ring has slipped on the skin at this station [-], shape (stations,)
    slides : ndarray
        Whether the loop slides round the shoulder at this station [-], shape (stations,)
    settled : ndarray
        Whether straps and ring have converged [-], shape (stations,)
    iterations : int
        Steps taken [-]
    """

    ring: Array
    nodes: Array
    length: Array
    tension: Array
    skin_force: Array
    residual: Array
    anchor: Array
    crept: Array
    slipped: NDArray[np.bool_]
    slides: NDArray[np.bool_]
    settled: NDArray[np.bool_]
    iterations: int


class Solver:
    """One run of the solver: straps and rings take Newton steps together until both are calm."""

    def __init__(self, ask: Stations, ring: Array, nodes: Array, damping: float = 0.0) -> None:
        self.ask = ask
        self.damping = damping
        self.count = len(ring)
        self.ring = ring.copy()
        self.chain = Chain(ask.union, np.tile(np.arange(self.count), RUNS), nodes.reshape(-1, *nodes.shape[2:]))
        self.back = ask.union.at(np.arange(self.count))
        self.levels = levels_of(ask.before)

    def run(self, limit: int) -> NetState:
        """Let straps and rings settle.

        Parameters
        ----------
        limit : int
            Most iterations [-]

        Returns
        -------
        NetState
            The net as it is then
        """
        chain, count = self.chain, self.count
        kept_ring, kept_x, kept_by = self.ring.copy(), chain.x.copy(), np.empty(0)
        kept_residual, kept_step = np.full(count, np.inf), np.zeros((count, 3))
        share = np.ones(count)
        for _ in range(limit):
            shift, by_ring = chain.step(start=True)
            self.length = path_length(chain.x).reshape(RUNS, count)
            rates = self._pull()
            force, stiff = self._balance(shift, by_ring, rates)
            self._hold()
            step = self._ring_step(force + self.skin_force, stiff + self.skin_rate)
            calm = np.abs(shift).max(axis=(1, 2)).reshape(RUNS, count).max(axis=0) < 0.004
            before = self.ask.before
            ready = calm & np.where(before < 0, True, self.residual[before] < 100.0 * BALANCED)
            # a step that made things worse is taken back and tried shorter
            worse = ready & (self.residual > np.maximum(kept_residual, 0.5)) & (share > 1e-3) & (self.damping == 0.0)
            share = np.where(worse, 0.3 * share, 1.0)
            step = np.where((calm & ~worse)[:, None], step, 0.0)
            each = np.tile(worse, RUNS)
            kept_ring[~worse], kept_step[~worse] = self.ring[~worse], step[~worse]
            kept_residual = np.where(worse, kept_residual, np.where(ready, self.residual, np.inf))
            still = chain.x.copy()
            still[:, 1:-1] += shift
            kept_x[~each] = still[~each]
            kept_by = by_ring if not each.any() else np.where(each[:, None, None, None], kept_by, by_ring)
            self._move(shift, by_ring, step)
            if worse.any():
                back = share[:, None] * kept_step
                self.ring[worse] = (kept_ring + back)[worse]
                chain.x[each] = kept_x[each]
                chain.x[each, 1:-1] += np.einsum("pndc,pc->pnd", kept_by, np.tile(back, (RUNS, 1)))[each]
                chain.x[:, 0] = np.tile(self.ring, (RUNS, 1))
            if not worse.any() and self.residual.max() < BALANCED and chain.moved.max() < CALM:
                break
        return self._state()

    def _ring_step(self, total: Array, stiff: Array) -> Array:
        """Newton step of the rings in the back's tangent plane, and back onto the skin."""
        value, gradient, hessian = self.back.curvature(np.ascontiguousarray(self.ring.T))
        size = np.sqrt((gradient * gradient).sum(axis=0))
        normal = (gradient / size).T
        pressing = np.maximum(-(total * normal).sum(axis=1), 0.0)
        across = normal[:, :, None] * normal[:, None, :]
        flat = np.eye(3) - across
        matrix = flat @ (stiff - (pressing / size)[:, None, None] * hessian.transpose(2, 0, 1)) @ flat
        along = np.einsum("sij,sj->si", flat, total)
        self.residual = np.sqrt((along * along).sum(axis=1))
        step = np.linalg.solve(matrix + across * 1e5 + (1.0 + self.damping) * np.eye(3), along[..., None])[..., 0]
        big = np.sqrt((step * step).sum(axis=1))
        step *= np.minimum(1.0, RING_STEP / np.maximum(big, 1e-12))[:, None]
        return np.asarray(step - np.clip(value / size, -0.01, 0.01)[:, None] * normal)

    def _pull(self) -> Array:
        """Tensions of all runs, and how they change with the runs' lengths."""
        ask, count = self.ask, self.count
        self.tension = np.empty((RUNS, count))
        rates = np.zeros((RUNS, RUNS, count))
        whole = loop_pull(ask.over, ask.under, self.length[:2], ask.crept, ask.ratio)
        crept, self.slides = whole.crept, whole.slips
        self.tension[:2], rates[:2, :2] = whole.tension, whole.rate
        for level in self._from_first(whole.slips):  # only what slides has a history
            before = ask.before[level]
            start = np.where(before < 0, ask.crept[level], crept[before])
            loop = loop_pull(
                ask.over.pick(level), ask.under.pick(level), self.length[:2, level], start, ask.ratio[level]
            )
            self.tension[:2, level], crept[level], self.slides[level] = loop.tension, loop.crept, loop.slips
            rates[:2, :2, level] = loop.rate
        self.crept = crept
        self.tension[FRONT], rates[FRONT, FRONT] = ask.front.pull(self.length[FRONT])
        self.tension[CONTROL], rates[CONTROL, CONTROL] = ask.control.pull(self.length[CONTROL])
        return rates

    def _from_first(self, moved: NDArray[np.bool_]) -> list[Index]:
        """Groups of stations from the first in which something has moved."""
        for k, level in enumerate(self.levels):
            if moved[level].any():
                return self.levels[k:]
        return []

    def _balance(self, shift: Array, by_ring: Array, rates: Array) -> tuple[Array, Array]:
        """Force on the ring and its stiffness, once the straps have taken their step."""
        chain, count = self.chain, self.count
        first = chain.x[:, 1].reshape(RUNS, count, 3) + shift[:, 0].reshape(RUNS, count, 3)
        heading = first - self.ring
        heading /= np.sqrt((heading * heading).sum(axis=2, keepdims=True))
        tight = chain.scale * (np.eye(3) - by_ring[:, 0].reshape(RUNS, count, 3, 3))
        outer = heading[..., :, None] * heading[..., None, :]
        force = (self.tension[..., None] * heading).sum(axis=0)
        stiff = ((self.tension / self.length)[..., None, None] * (tight - outer)).sum(axis=0)
        stiff += np.einsum("isa,ijs,jsb->sab", heading, rates, heading)
        return force, stiff

    def _hold(self) -> None:
        """What the skin does, station after station along the motion."""
        ask, count = self.ask, self.count
        hard = np.full(count, ask.skin.stiffness)
        self.skin_force, self.skin_rate, anchors = hold(ask.donned, self.ring, hard, ask.friction)
        self.anchor, self.slipped = anchors, np.abs(anchors - ask.donned).max(axis=1) > SLIP
        for level in self._from_first(self.slipped):  # only what slips has a history
            before = ask.before[level]
            start = np.where((before < 0)[:, None], ask.donned[level], anchors[before])
            pulled, rate, anchors[level] = hold(start, self.ring[level], hard[level], ask.friction[level])
            self.skin_force[level], self.skin_rate[level] = pulled, rate
            self.slipped[level] = np.abs(anchors[level] - start).max(axis=1) > SLIP

    def _move(self, shift: Array, by_ring: Array, step: Array) -> None:
        chain = self.chain
        tiled = np.tile(step, (RUNS, 1))
        chain.move(shift + np.einsum("pndc,pc->pnd", by_ring, tiled))
        self.ring = self.ring + step
        chain.x[:, 0] = np.tile(self.ring, (RUNS, 1))

    def _state(self) -> NetState:
        chain, count = self.chain, self.count
        nodes = chain.x.reshape(RUNS, count, chain.count, 3).copy()
        moved = chain.moved.reshape(RUNS, count).max(axis=0)
        return NetState(
            self.ring.copy(),
            nodes,
            self.length,
            self.tension,
            self.skin_force,
            self.residual,
            self.anchor,
            self.crept,
            self.slipped,
            self.slides,
            (self.residual < 1e-3) & (moved < 2.0 * CALM),
            chain.iterations,
        )


def levels_of(before: Index) -> list[Index]:
    """Stations in groups that can be answered together: each group follows the one before it.

    Parameters
    ----------
    before : ndarray
        Station before each, -1 after donning [-], shape (stations,)

    Returns
    -------
    list of ndarray
        Stations of each group [-], shape (stations in the group,)

    Examples
    --------
    >>> [group.tolist() for group in levels_of(np.array([-1, 0, 0, 1]))]
    [[0], [1, 2], [3]]
    """
    depth = np.zeros(len(before), dtype=int)
    for k, b in enumerate(before):
        depth[k] = 0 if b < 0 else depth[b] + 1
    return [np.flatnonzero(depth == level) for level in range(int(depth.max()) + 1)]


def turning(nodes: Array, reach: float | None = None) -> Array:
    """How far runs turn in all, or over a first stretch of them.

    Parameters
    ----------
    nodes : ndarray
        Runs [m], shape (runs, nodes, 3)
    reach : float, optional
        Length of the stretch from the first node [m]

    Returns
    -------
    ndarray
        Sum of the turns, without sign [rad], shape (runs,)

    Examples
    --------
    >>> float(turning(np.array([[[0.0, 0, 0], [1, 0, 0], [1, 1, 0]]]))[0].round(4))
    1.5708
    """
    way = np.diff(nodes, axis=1)
    chord = np.sqrt((way * way).sum(axis=2, keepdims=True))
    way = way / np.maximum(chord, 1e-12)
    turn = np.arccos(np.clip((way[:, 1:] * way[:, :-1]).sum(axis=2), -1.0, 1.0))
    if reach is not None:
        turn = turn * np.clip(reach / chord[:, :-1, 0] - np.arange(turn.shape[1]) - 0.5, 0.0, 1.0)
    return np.asarray(turn.sum(axis=1))
