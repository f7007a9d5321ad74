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
from .skin import Skin, hold

Array = NDArray[np.float64]
Index = NDArray[np.intp]

BALANCED = 1e-4  # [N] force left over on a ring that has settled
RING_STEP = 0.008  # [m] longest step of the ring
LOOP, FRONT, CONTROL = 0, 1, 2
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
    loop : Webbing
        Axilla loop
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
    loop: Webbing
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
        Strap nodes, from the ring outwards [m], shape (3, stations, nodes, 3)
    length : ndarray
        Lengths [m], shape (3, stations)
    tension : ndarray
        Tensions [N], shape (3, stations)
    skin_force : ndarray
        Force of the skin on the ring [N], shape (stations, 3)
    residual : ndarray
        Force left over on the ring [N], shape (stations,)
    slipped : ndarray
        Whether the skin's hold has slipped at this station [-], shape (stations,)
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
    settled: NDArray[np.bool_]
    iterations: int


class _Solver:
    def __init__(self, ask: Stations, ring: Array, nodes: Array) -> None:
        self.ask = ask
        self.count = len(ring)
        self.ring = ring.copy()
        body = np.tile(np.arange(self.count), 3)
        self.chain = Chain(ask.union, body, nodes.reshape(-1, *nodes.shape[2:]))
        self.back = ask.union.at(np.arange(self.count))
        self.levels = _levels(ask.before)

    def balance(self, shift: Array, by_start: Array, by_end: Array) -> tuple[Array, Array]:
        """Force on the ring and its stiffness, once the straps have taken their step."""
        chain, count = self.chain, self.count
        x = chain.x.reshape(3, count, chain.count, 3)
        shift = shift.reshape(3, count, chain.inner, 3)
        starts = by_start.reshape(3, count, chain.inner, 3, 3)
        ends = by_end.reshape(3, count, chain.inner, 3, 3)
        scale = chain.scale
        length = path_length(chain.x).reshape(3, count)
        pulls = [
            self.ask.loop.pull(length[LOOP]), self.ask.front.pull(length[FRONT]),
            self.ask.control.pull(length[CONTROL]),
        ]
        self.length = length
        self.tension = np.stack([p[0] for p in pulls])
        force = np.zeros((count, 3))
        stiff = np.zeros((count, 3, 3))
        for k in (LOOP, FRONT, CONTROL):
            away = scale * (x[k, :, 1] + shift[k, :, 0] - self.ring)
            tight = scale * (np.eye(3) - starts[k, :, 0])
            if k == LOOP:
                away = away + scale * (x[k, :, -2] + shift[k, :, -1] - self.ring)
                tight = tight + scale * (
                    np.eye(3) - ends[k, :, -1] - starts[k, :, -1] - ends[k, :, 0]
                )
            chord = length[k][:, None]
            heading = away / chord
            tension, rate = pulls[k][0], pulls[k][1]
            force += tension[:, None] * heading
            outer = heading[:, :, None] * heading[:, None, :]
            stiff += rate[:, None, None] * outer
            stiff += (tension / length[k])[:, None, None] * (tight - outer)
        return force, stiff

    def skin(self, limit: Array) -> tuple[Array, Array, NDArray[np.bool_]]:
        count = self.count
        hard = np.full(count, self.ask.skin.stiffness)
        force, rate = np.zeros((count, 3)), np.zeros((count, 3, 3))
        anchors = self.ask.donned.copy()
        slipped = np.zeros(count, dtype=bool)
        for level in self.levels:
            before = self.ask.before[level]
            start = np.where((before < 0)[:, None], self.ask.donned[level], anchors[before])
            force[level], rate[level], anchors[level] = hold(
                start, self.ring[level], hard[level], limit[level]
            )
            slipped[level] = hard[level] * np.linalg.norm(self.ring[level] - start, axis=1) > limit[level]
        return force, rate, slipped

    def limit(self, force: Array, normal: Array) -> Array:
        """Friction limit from what presses the ring and its straps on the back."""
        chain, skin = self.chain, self.ask.skin
        x = chain.x.reshape(3, self.count, chain.count, 3)
        press = chain.press.reshape(3, self.count, chain.inner)
        chord = self.length / chain.scale
        turn = np.zeros((3, self.count))
        along = np.arange(1, chain.inner + 1)
        for k in (LOOP, FRONT, CONTROL):
            far = along[None, :] * chord[k][:, None]
            near = (far < skin.reach) | ((k == LOOP) & (self.length[k][:, None] - far < skin.reach))
            second = np.linalg.norm(2 * x[k, :, 1:-1] - x[k, :, :-2] - x[k, :, 2:], axis=2)
            turn[k] = np.where(near & (press[k] > 0.0), second, 0.0).sum(axis=1) / chord[k]
        pressing = np.maximum(-(force * normal).sum(axis=1), 0.0) + (self.tension * turn).sum(axis=0)
        return skin.friction * (pressing + skin.floor)

    def run(self, limit: int) -> NetState:
        chain, count = self.chain, self.count
        lag = None
        for _ in range(limit):
            shift, by_start, by_end = chain.step(ends=True)
            force, stiff = self.balance(shift, by_start, by_end)
            value, gradient, hessian = self.back.curvature(np.ascontiguousarray(self.ring.T))
            size = np.sqrt((gradient * gradient).sum(axis=0))
            normal = (gradient / size).T
            fresh = self.limit(force, normal)
            lag = fresh if lag is None else 0.5 * (lag + fresh)
            skin_force, skin_rate, slipped = self.skin(lag)
            total = force + skin_force
            pressing = np.maximum(-(total * normal).sum(axis=1), 0.0)
            flat = np.eye(3) - normal[:, :, None] * normal[:, None, :]
            curve = (pressing / size)[:, None, None] * hessian.transpose(2, 0, 1)
            matrix = flat @ (stiff + skin_rate - curve) @ flat + normal[:, :, None] * normal[:, None, :] * 1e5
            along = np.einsum("sij,sj->si", flat, total)
            self.residual = np.linalg.norm(along, axis=1)
            step = np.linalg.solve(matrix + np.eye(3) * 1.0, along[..., None])[..., 0]
            big = np.linalg.norm(step, axis=1, keepdims=True)
            calm = (np.abs(shift).max(axis=(1, 2)).reshape(3, count).max(axis=0) < 0.004)[:, None]
            step = np.where(calm, step * np.minimum(1.0, RING_STEP / np.maximum(big, 1e-12)), 0.0)
            step = step - np.clip(value / size, -0.01, 0.01)[:, None] * normal
            self._move(shift, by_start, by_end, step)
            done = (self.residual < BALANCED) & (chain.moved.reshape(3, count).max(axis=0) < 1e-6)
            if done.all():
                break
        self.skin_force, self.slipped = skin_force, slipped
        return self._state()

    def _move(self, shift: Array, by_start: Array, by_end: Array, step: Array) -> None:
        chain, count = self.chain, self.count
        tiled = np.tile(step, (3, 1))
        shift = shift + np.einsum("pndc,pc->pnd", by_start, tiled)
        shift[:count] += np.einsum("pndc,pc->pnd", by_end[:count], step)
        self.ring = self.ring + step
        chain.move(shift)
        chain.x[:, 0] = np.tile(self.ring, (3, 1))
        chain.x[:count, -1] = self.ring

    def _state(self) -> NetState:
        chain, count = self.chain, self.count
        nodes = chain.x.reshape(3, count, chain.count, 3).copy()
        moved = chain.moved.reshape(3, count).max(axis=0)
        return NetState(
            self.ring.copy(), nodes, self.length, self.tension, self.skin_force, self.residual,
            self.slipped, (self.residual < 1e-3) & (moved < 1e-5), chain.iterations,
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
        First guess of the straps [m], shape (3, stations, nodes, 3)
    limit : int
        Most iterations [-]

    Returns
    -------
    NetState
        The settled net; `settled` says where it did
    """
    return _Solver(ask, ring, nodes).run(limit)
