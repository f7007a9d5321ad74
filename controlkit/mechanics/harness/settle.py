"""Settling the net: all stations at once, station by station where that fails, or only what is new.

The door to it is `harness.follow`: what `settle` is asked, straps already laid on posed bodies with their laws, is
what `follow` builds from a harness and poses, and `Followed.net` is its answer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.balance import Forces
from controlkit.mechanics.harness.history import levels_of
from controlkit.mechanics.harness.net import NetState, Solver
from controlkit.mechanics.harness.stations import Start, Stations

Array = NDArray[np.float64]
Index = NDArray[np.intp]

LIMIT = 25
"""Steps for all stations at once, at most [-]."""
CREEP = ((2e3, 250, True), (1e3, 1500, False), (2e4, 250, True))
"""Where Newton's method circles, junctions creep to balance: damping [N/m], most steps, and whether from the start.
A ring that has just lost its balance passes the place slowly before it snaps to the next."""


def settle(ask: Stations, fresh: Callable[[], Start], near: Start | None = None) -> NetState:
    """Let the net of straps settle at every station.

    Parameters
    ----------
    ask : Stations
        Bodies, straps and the order of the motion
    fresh : callable
        Gives the straps as they lie with the junctions where they were donned
    near : Start, optional
        The answer to a similar question: straps follow from there, and only where they do not settle from `fresh`

    Returns
    -------
    NetState
        The settled net; `settled` says where it did

    Notes
    -----
    Where one Newton solve of all stations fails, each is continued from the one before (E. L. Allgower and K. Georg,
    Introduction to Numerical Continuation Methods, 1990), and where that circles, junctions creep to balance by
    pseudo-transient continuation (C. T. Kelley and D. E. Keyes, SIAM Journal on Numerical Analysis 35, 508-523, 1998);
    cited from memory. A step costs O(stations x runs x nodes); station by station takes as many for each step of the
    motion.
    """
    if near is not None:
        state = Solver(ask, near).run(LIMIT)
        if state.settled.all():
            return state
    start = fresh()
    state = Solver(ask, start).run(LIMIT)
    return state if state.settled.all() else _follow(ask, start, state)


def resume(ask: Stations, fresh: Callable[[], Start], near: Start, *, earlier: NetState, known: Index) -> NetState:
    """Settle only the stations that an earlier answer to the same question does not hold.

    Parameters
    ----------
    ask : Stations
        Bodies, straps and the order of the motion
    fresh : callable
        Gives the straps as they lie with the junctions where they were donned
    near : Start
        Where to begin at every station
    earlier : NetState
        The earlier answer
    known : ndarray
        Its station for each station, -1 where there is none [-], shape (stations,)

    Returns
    -------
    NetState
        The settled net; what was known is taken over unchanged
    """
    state, new = _stations(earlier, np.maximum(known, 0)), np.flatnonzero(known < 0)
    if new.size:
        part = settle(_after(ask, state, new, known >= 0), lambda: fresh().rows(new), near.rows(new))
        _write(state, new, part)
        state = replace(state, iterations=part.iterations)
    return state


def _after(ask: Stations, state: NetState, which: Index, known: NDArray[np.bool_]) -> Stations:
    """Some stations by themselves, those before which one is known starting from its past."""
    before = ask.laws.before[which]
    led = (before >= 0) & known[before]
    anchor = np.where(led[:, None], state.forces.anchor[before], ask.laws.rested[which])
    crept = np.where(led, state.forces.crept[before], ask.laws.crept[which])
    return ask.rows(which, anchor, crept)


def _stations(state: NetState, rows: Index) -> NetState:
    """Some stations of a state, in arrays of their own."""
    forces = {f.name: getattr(state.forces, f.name) for f in fields(Forces)}
    picked = {name: value[:, rows] if name == "tension" else value[rows] for name, value in forces.items()}
    return NetState(
        junction=state.junction[rows],
        turn=state.turn[rows],
        gives=state.gives[rows],
        nodes=tuple(run[rows] for run in state.nodes),
        length=state.length[:, rows],
        eases=state.eases[:, rows],
        forces=Forces(**picked),
        settled=state.settled[rows],
        iterations=state.iterations,
    )


def _write(state: NetState, rows: Index, part: NetState) -> None:
    """Write some stations into a state that owns its arrays."""
    state.junction[rows], state.turn[rows], state.settled[rows] = part.junction, part.turn, part.settled
    state.gives[rows], state.length[:, rows], state.eases[:, rows] = part.gives, part.length, part.eases
    for mine, theirs in zip(state.nodes, part.nodes, strict=True):
        mine[rows] = theirs
    for f in fields(Forces):
        mine, theirs = getattr(state.forces, f.name), getattr(part.forces, f.name)
        mine[(slice(None), rows) if f.name == "tension" else rows] = theirs


def _follow(ask: Stations, fresh: Start, state: NetState) -> NetState:
    """Follow the motion station after station where the whole did not settle at once."""
    state = _stations(state, np.arange(len(state.settled)))
    again, done, iterations = ~state.settled, np.ones(len(state.settled), dtype=bool), state.iterations
    for level in levels_of(ask.laws.before):
        before = ask.laws.before[level]
        new = again[level] | ((before >= 0) & again[before])
        level, before = level[new], before[new]
        if not level.size:
            continue
        again[level] = True
        first = before < 0
        travelled = np.where(first[:, None, None], 0.0, state.junction[before] - fresh.junction[before])
        travelled[:, 1:] = 0.0  # a fork hangs on the arm and moves with it; only the ring is carried on
        start = Start(
            junction=fresh.junction[level] + travelled,
            turn=np.where(first, 0.0, state.turn[before]),
            gives=np.where(first[:, None], 0.0, state.gives[before]),
            nodes=tuple(run[level] for run in fresh.nodes),
        )
        own = _after(ask, state, level, done)
        part = Solver(own, start).run(4 * LIMIT)
        for damping, most, from_start in CREEP:
            if part.settled.all():
                break
            part = Solver(own, start if from_start else part.start, damping).run(most)
        _write(state, level, part)
        iterations += part.iterations
    return replace(state, iterations=iterations)
