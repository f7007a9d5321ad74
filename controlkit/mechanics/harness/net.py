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

BALANCED = 1e-4  # [N] force left over on a ring that has settled
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
    slipped : ndarray
        Whether the ring has slipped on the skin at this station [-], shape (stations,)
    crept : ndarray
        Whether the loop has crept round the shoulder at this station [-], shape (stations,)
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
    slipped: NDArray[np.bool_]
    crept: NDArray[np.bool_]
    settled: NDArray[np.bool_]
    iterations: int


class _Solver:
    """One run of the solver: straps and rings take Newton steps together until both are calm."""

    def __init__(self, ask: Stations, ring: Array, nodes: Array) -> None:
        self.ask = ask
        self.count = len(ring)
        self.ring = ring.copy()
        self.chain = Chain(ask.union, np.tile(np.arange(self.count), RUNS), nodes.reshape(-1, *nodes.shape[2:]))
        self.back = ask.union.at(np.arange(self.count))
        self.levels = _levels(ask.before)
        self.friction: Array | None = None

    def run(self, limit: int) -> NetState:
        chain, count = self.chain, self.count
        trust, before = np.full(count, RING_STEP), np.full(count, np.inf)
        for _ in range(limit):
            shift, by_ring, _ = chain.step(ends=True)
            self.length = path_length(chain.x).reshape(RUNS, count)
            rates = self._pull()
            force, stiff = self._balance(shift, by_ring, rates)
            value, gradient, hessian = self.back.curvature(np.ascontiguousarray(self.ring.T))
            size = np.sqrt((gradient * gradient).sum(axis=0))
            normal = (gradient / size).T
            self._hold(force, normal)
            total = force + self.skin_force
            pressing = np.maximum(-(total * normal).sum(axis=1), 0.0)
            across = normal[:, :, None] * normal[:, None, :]
            flat = np.eye(3) - across
            matrix = flat @ (stiff + self.skin_rate - (pressing / size)[:, None, None] * hessian.transpose(2, 0, 1)) @ flat
            along = np.einsum("sij,sj->si", flat, total)
            self.residual = np.sqrt((along * along).sum(axis=1))
            step = np.linalg.solve(matrix + across * 1e5 + np.eye(3), along[..., None])[..., 0]
            worse = self.residual > before
            trust = np.where(worse, np.maximum(0.4 * trust, 2e-5), np.minimum(2.0 * trust, RING_STEP))
            before = self.residual
            big = np.linalg.norm(step, axis=1)
            calm = np.abs(shift).max(axis=(1, 2)).reshape(RUNS, count).max(axis=0) < 0.004
            step *= (calm * np.minimum(1.0, trust / np.maximum(big, 1e-12)))[:, None]
            step -= np.clip(value / size, -0.01, 0.01)[:, None] * normal
            self._move(shift, by_ring, step)
            if self.residual.max() < BALANCED and chain.moved.max() < 1e-6:
                break
        return self._state()

    def _pull(self) -> Array:
        """Tensions of all runs, and how they change with the runs' lengths."""
        ask, chain, count = self.ask, self.chain, self.count
        x = chain.x.reshape(RUNS, count, chain.count, 3)
        way = np.diff(x[:2], axis=2)
        way /= np.sqrt((way * way).sum(axis=3, keepdims=True))
        turn = np.arccos(np.clip((way[:, :, 1:] * way[:, :, :-1]).sum(axis=3), -1.0, 1.0)).sum(axis=(0, 2))
        corner = np.arccos(np.clip(-(way[0, :, -1] * way[1, :, -1]).sum(axis=1), -1.0, 1.0))
        ratio = np.exp(ask.skin.loop_friction * (turn + corner))
        self.tension = np.empty((RUNS, count))
        rates = np.zeros((RUNS, RUNS, count))
        crept, self.crept = np.zeros(count), np.zeros(count, dtype=bool)
        for level in self.levels:
            before = ask.before[level]
            start = np.where(before < 0, 0.0, crept[before])
            loop = loop_pull(
                ask.over.pick(level), ask.under.pick(level), self.length[:2, level], start, ratio[level]
            )
            self.tension[:2, level], crept[level], self.crept[level] = loop.tension, loop.crept, loop.slips
            for i in (OVER, UNDER):
                for j in (OVER, UNDER):
                    rates[i, j, level] = loop.rate[i, j]
        self.tension[FRONT], rates[FRONT, FRONT] = ask.front.pull(self.length[FRONT])
        self.tension[CONTROL], rates[CONTROL, CONTROL] = ask.control.pull(self.length[CONTROL])
        return rates

    def _balance(self, shift: Array, by_ring: Array, rates: Array) -> tuple[Array, Array]:
        """Force on the ring and its stiffness, once the straps have taken their step."""
        chain, count = self.chain, self.count
        first = chain.x[:, 1].reshape(RUNS, count, 3) + shift[:, 0].reshape(RUNS, count, 3)
        length = self.length[..., None]
        heading = chain.scale * (first - self.ring) / length
        tight = chain.scale * (np.eye(3) - by_ring[:, 0].reshape(RUNS, count, 3, 3))
        outer = heading[..., :, None] * heading[..., None, :]
        force = (self.tension[..., None] * heading).sum(axis=0)
        stiff = ((self.tension / self.length)[..., None, None] * (tight - outer)).sum(axis=0)
        stiff += np.einsum("isa,ijs,jsb->sab", heading, rates, heading)
        return force, stiff

    def _hold(self, force: Array, normal: Array) -> None:
        """What the skin does, station after station along the motion."""
        ask, count = self.ask, self.count
        fresh = self._limit(force, normal)
        self.friction = fresh if self.friction is None else 0.5 * (self.friction + fresh)
        hard = np.full(count, ask.skin.stiffness)
        self.skin_force, self.skin_rate = np.zeros((count, 3)), np.zeros((count, 3, 3))
        anchors, self.slipped = ask.donned.copy(), np.zeros(count, dtype=bool)
        for level in self.levels:
            before = ask.before[level]
            start = np.where((before < 0)[:, None], ask.donned[level], anchors[before])
            pulled, rate, anchors[level] = hold(start, self.ring[level], hard[level], self.friction[level])
            self.skin_force[level], self.skin_rate[level] = pulled, rate
            self.slipped[level] = np.abs(anchors[level] - start).max(axis=1) > 1e-6

    def _limit(self, force: Array, normal: Array) -> Array:
        """Friction limit from what presses the ring and its straps on the back."""
        chain, skin, count = self.chain, self.ask.skin, self.count
        press = chain.press.reshape(RUNS, count, chain.inner)
        chord = (self.length / chain.scale)[..., None]
        x = chain.x.reshape(RUNS, count, chain.count, 3)
        second = 2.0 * x[:, :, 1:-1] - x[:, :, :-2] - x[:, :, 2:]
        bend = np.sqrt((second * second).sum(axis=3)) / chord
        near = np.clip(skin.reach / chord - np.arange(1, chain.inner + 1) + 0.5, 0.0, 1.0)
        turn = (bend * near * (press > 0.0)).sum(axis=2)
        pressing = np.maximum(-(force * normal).sum(axis=1), 0.0) + (self.tension * turn).sum(axis=0)
        return np.asarray(skin.friction * (pressing + skin.floor))

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
            self.ring.copy(), nodes, self.length, self.tension, self.skin_force, self.residual,
            self.slipped, self.crept, (self.residual < 1e-3) & (moved < 1e-5), chain.iterations,
        )


def _levels(before: Index) -> list[Index]:
    depth = np.zeros(len(before), dtype=int)
    for k, b in enumerate(before):
        depth[k] = 0 if b < 0 else depth[b] + 1
    return [np.flatnonzero(depth == level) for level in range(int(depth.max()) + 1)]


def settle(ask: Stations, ring: Array, nodes: Array, limit: int = 120) -> NetState:
    """Let the net of straps settle at every station.

    Parameters
    ----------
    ask : Stations
        Bodies, straps and the order of the motion
    ring : ndarray
        First guess of the ring [m], shape (stations, 3)
    nodes : ndarray
        First guess of the straps [m], shape (4, stations, nodes, 3)
    limit : int
        Most iterations [-]

    Returns
    -------
    NetState
        The settled net; `settled` says where it did
    """
    return _Solver(ask, ring, nodes).run(limit)
