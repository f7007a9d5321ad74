"""Settling the net: all stations at once, station by station where that fails, or only what is new."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .net import NetState, Solver, Stations, levels_of

Array = NDArray[np.float64]
Index = NDArray[np.intp]

CREEP = ((2e3, 250, True), (1e3, 1500, False), (2e4, 250, True))
"""Where Newton's method circles, the ring creeps to balance: damping [N/m], most steps, and whether from the start.
A ring that has just lost its balance passes the place slowly before it snaps to the next."""
_BY_RUN = ("nodes", "length", "tension")


def settle(ask: Stations, ring: Array, nodes: Array, limit: int = 25) -> NetState:
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
        Most iterations with all stations at once; what has not settled then is followed
        station by station [-]

    Returns
    -------
    NetState
        The settled net; `settled` says where it did
    """
    state = Solver(ask, ring, nodes).run(limit)
    return state if state.settled.all() else _follow(ask, nodes, state)


def resume(ask: Stations, near: NetState, known: Index, nodes: Array) -> NetState:
    """Settle only the stations that an earlier answer to the same question does not hold.

    Parameters
    ----------
    ask : Stations
        Bodies, straps and the order of the motion
    near : NetState
        The earlier answer
    known : ndarray
        Its station for each station, -1 where there is none [-], shape (stations,)
    nodes : ndarray
        Runs with the ring held, for the new stations [m], shape (4, stations, nodes, 3)

    Returns
    -------
    NetState
        The settled net; what was known is taken over unchanged
    """
    rows = np.maximum(known, 0)
    parts = {}
    for name in NetState.__dataclass_fields__:
        if name != "iterations":
            found = np.asarray(getattr(near, name))
            parts[name] = found[:, rows] if name in _BY_RUN else found[rows]
    parts["settled"] = parts["settled"] & (known >= 0)
    return _follow(ask, nodes, NetState(**parts, iterations=0))


def _follow(ask: Stations, nodes: Array, state: NetState) -> NetState:
    """Follow the motion station after station where the whole did not settle at once."""
    parts = {name: np.array(getattr(state, name)) for name in NetState.__dataclass_fields__ if name != "iterations"}
    fresh = ~state.settled
    iterations = state.iterations
    for level in levels_of(ask.before):
        before = ask.before[level]
        again = fresh[level] | ((before >= 0) & fresh[before])
        level, before = level[again], before[again]
        if not level.size:
            continue
        fresh[level] = True
        first = before < 0
        donned = np.where(first[:, None], ask.donned[level], parts["anchor"][before])
        crept = np.where(first, ask.crept[level], parts["crept"][before])
        travelled = np.where(first[:, None], 0.0, parts["ring"][before] - ask.donned[before])
        start = ask.donned[level] + travelled
        share = np.linspace(1.0, 0.0, nodes.shape[2])[None, None, :, None]
        runs = nodes[:, level] + share * (start - nodes[:, level, 0])[:, :, None]
        own = ask.rows(level, donned, crept)
        part = Solver(own, start, runs).run(100)
        for damping, most, again_from_start in CREEP:
            if part.settled.all():
                break
            ring, way = (start, runs) if again_from_start else (part.ring, part.nodes)
            part = Solver(own, ring, way, damping).run(most)
        for name in parts:
            found = np.asarray(getattr(part, name))
            if name in _BY_RUN:
                parts[name][:, level] = found
            else:
                parts[name][level] = found
        iterations += part.iterations
    return NetState(**parts, iterations=iterations)
