"""Settling the net: all stations at once, station by station where that fails, or only what is new.

The door to it is `harness.follow`: what `settle` is asked, straps already laid on posed bodies with their laws, is
what `follow` builds from a harness and poses, and `Followed.net` is its answer.
"""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.balance import Forces
from controlkit.mechanics.harness.history import levels_of
from controlkit.mechanics.harness.net import NetState, Solver, Stations

Array = NDArray[np.float64]
Index = NDArray[np.intp]

CREEP = ((2e3, 250, True), (1e3, 1500, False), (2e4, 250, True))
"""Where Newton's method circles, junctions creep to balance: damping [N/m], most steps, and whether from the start.
A ring that has just lost its balance passes the place slowly before it snaps to the next."""


def settle(ask: Stations, junction: Array, fresh: tuple[Array, ...], limit: int = 25) -> NetState:
    """Let the net of straps settle at every station.

    Parameters
    ----------
    ask : Stations
        Bodies, straps and the order of the motion
    junction : ndarray
        Junctions where they were donned [m], shape (stations, junctions, 3)
    fresh : tuple of ndarray
        Each run with the junctions there [m], shape (stations, nodes, 3)
    limit : int
        Most iterations with all stations at once; what has not settled then is followed
        station by station [-]

    Returns
    -------
    NetState
        The settled net; `settled` says where it did

    Notes
    -----
    Where one Newton solve of all stations fails, each is continued from the one before (E. L. Allgower and K. Georg,
    Introduction to Numerical Continuation Methods, 1990), and where that circles, junctions creep to balance by
    pseudo-transient continuation (C. T. Kelley and D. E. Keyes, SIAM Journal on Numerical Analysis 35, 508-523, 1998);
    cited from memory. A step costs O(stations x runs x nodes); all at once took 3 to 11 steps on 40 random wearers,
    station by station takes as many for each step of the motion.
    """
    state = Solver(ask, junction=junction, turn=np.zeros(len(junction)), nodes=fresh).run(limit)
    return state if state.settled.all() else _follow(ask, fresh, state)


def resume(ask: Stations, near: NetState, known: Index, fresh: tuple[Array, ...]) -> NetState:
    """Settle only the stations that an earlier answer to the same question does not hold.

    Parameters
    ----------
    ask : Stations
        Bodies, straps and the order of the motion
    near : NetState
        The earlier answer
    known : ndarray
        Its station for each station, -1 where there is none [-], shape (stations,)
    fresh : tuple of ndarray
        Runs with the junctions where they were donned [m], shape (stations, nodes, 3)

    Returns
    -------
    NetState
        The settled net; what was known is taken over unchanged
    """
    state = _stations(near, np.maximum(known, 0))
    return _follow(ask, fresh, replace(state, settled=state.settled & (known >= 0), iterations=0))


def _stations(state: NetState, rows: Index) -> NetState:
    """Some stations of a state, in arrays of their own."""
    forces = {f.name: getattr(state.forces, f.name) for f in fields(Forces)}
    picked = {name: value[:, rows] if name == "tension" else value[rows] for name, value in forces.items()}
    return NetState(
        junction=state.junction[rows],
        turn=state.turn[rows],
        give=state.give[rows],
        nodes=tuple(run[rows] for run in state.nodes),
        length=state.length[:, rows],
        forces=Forces(**picked),
        settled=state.settled[rows],
        iterations=state.iterations,
    )


def _write(state: NetState, rows: Index, part: NetState) -> None:
    """Write some stations into a state that owns its arrays."""
    state.junction[rows], state.turn[rows], state.settled[rows] = part.junction, part.turn, part.settled
    state.give[rows], state.length[:, rows] = part.give, part.length
    for mine, theirs in zip(state.nodes, part.nodes, strict=True):
        mine[rows] = theirs
    for f in fields(Forces):
        mine, theirs = getattr(state.forces, f.name), getattr(part.forces, f.name)
        mine[(slice(None), rows) if f.name == "tension" else rows] = theirs


def _follow(ask: Stations, fresh: tuple[Array, ...], state: NetState) -> NetState:
    """Follow the motion station after station where the whole did not settle at once."""
    laws = ask.laws
    state = _stations(state, np.arange(len(state.settled)))
    again, iterations = ~state.settled, state.iterations
    for level in levels_of(laws.before):
        before = laws.before[level]
        new = again[level] | ((before >= 0) & again[before])
        level, before = level[new], before[new]
        if not level.size:
            continue
        again[level] = True
        first = before < 0
        anchor = np.where(first[:, None], laws.donned[level], state.forces.anchor[before])
        crept = np.where(first, laws.crept[level], state.forces.crept[before])
        donned = _donned(ask, fresh, level)
        travelled = np.where(first[:, None, None], 0.0, state.junction[before] - _donned(ask, fresh, before))
        if len(ask.layout.junctions) > 1:  # a fork hangs on the arm and moves with it; only the ring is carried on
            travelled[:, 1:] = 0.0
        start = donned + travelled
        turn = np.where(first, 0.0, state.turn[before])
        own = ask.rows(level, anchor, crept)
        runs = tuple(
            _carried(run[level], travelled, ask.layout.junction(r.start), ask.layout.junction(r.end))
            for run, r in zip(fresh, ask.layout.runs, strict=True)
        )
        part = Solver(own, junction=start, turn=turn, nodes=runs).run(100)
        for damping, most, from_start in CREEP:
            if part.settled.all():
                break
            at, turned, way = (start, turn, runs) if from_start else (part.junction, part.turn, part.nodes)
            part = Solver(own, junction=at, turn=turned, nodes=way, damping=damping).run(most)
        _write(state, level, part)
        iterations += part.iterations
    return replace(state, iterations=iterations)


def _donned(ask: Stations, fresh: tuple[Array, ...], level: Index) -> Array:
    """Junctions where they were donned, a fork where the arm carries it."""
    out = [ask.laws.donned[level]]
    for name in ask.layout.junctions[1:]:
        run = next(k for k, r in enumerate(ask.layout.runs) if r.end == name)
        out.append(fresh[run][level, -1])
    return np.stack(out, axis=1)


def _carried(run: Array, travelled: Array, start: int, end: int) -> Array:
    """A run bent so that its ends have travelled with their junctions."""
    share = np.linspace(0.0, 1.0, run.shape[1])[None, :, None]
    if start >= 0:
        run = run + (1.0 - share) * travelled[:, start][:, None]
    if end >= 0:
        run = run + share * travelled[:, end][:, None]
    return run
