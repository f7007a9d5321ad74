"""A harness on its wearer in the poses of a motion, and its runs with the junctions held where they were donned."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.harness.donning import Donned, anchored, legs_at
from controlkit.mechanics.harness.layout import CONTROL_STRAP, OTHER, OVER, UNDER, Layout
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.route import Bodies, Span
from controlkit.mechanics.harness.stations import Start
from controlkit.mechanics.surface.taut import Draft, Paths, cut, tighten

Array = NDArray[np.float64]
Index = NDArray[np.intp]

Runs = Mapping[int, Paths]
"""Runs by their place in the pattern, each with one path a station."""


@dataclass(frozen=True, kw_only=True)
class Worn:
    """A harness as put on, its wearer in the poses of a motion.

    Attributes
    ----------
    harness : Harness
        The harness
    bodies : Bodies
        The wearer's bodies, one a station
    poses : tuple of Pose
        Their poses
    donned : Donned
        The harness as put on
    places : mapping
        Anchors, and junctions where they were donned, by name [m], shape (stations, 3)
    """

    harness: Harness
    bodies: Bodies
    poses: tuple[Pose, ...]
    donned: Donned
    places: Mapping[str, Array]


@dataclass(frozen=True, kw_only=True)
class Earlier:
    """What is known from a similar question.

    Attributes
    ----------
    runs : mapping
        Its runs with the junctions held
    same : ndarray
        Its station for each station where nothing has changed, else -1 [-], shape (stations,)
    like : ndarray
        Its station to start each from, -1 where there is none [-], shape (stations,)
    """

    runs: Runs
    same: Index
    like: Index


def wear(harness: Harness, bodies: Bodies, poses: tuple[Pose, ...], donned: Donned) -> tuple[Worn, Runs]:
    """A harness in the poses of a motion, and the legs of its loop there if it has one.

    Parameters
    ----------
    harness : Harness
        The harness
    bodies : Bodies
        The wearer's bodies, one a station
    poses : tuple of Pose
        Their poses
    donned : Donned
        The harness as put on

    Returns
    -------
    worn : Worn
        With all places, that where the legs of a loop meet among them
    legs : mapping
        Both legs of a loop, nothing for a strap that does not meet itself
    """
    ring = np.repeat(donned.junction[:1], len(poses), axis=0)
    places = {"ring": ring, **anchored(harness, bodies, ring)}
    legs = {}
    if harness.layout.loops:
        nodes = legs_at(harness, bodies=bodies, poses=poses, donned=donned, places=places)
        places[harness.layout.runs[OVER].end] = nodes[0][:, -1]
        legs = {k: _as_laid(leg) for k, leg in zip((OVER, UNDER), nodes, strict=True)}
    return Worn(harness=harness, bodies=bodies, poses=poses, donned=donned, places=places), legs


def held_runs(worn: Worn, legs: Runs, earlier: Earlier | None) -> Runs:
    """Runs with the junctions held: those that are read, or all of them where the net has nothing else to start from.

    Parameters
    ----------
    worn : Worn
        The harness in its poses
    legs : mapping
        Legs of a loop
    earlier : Earlier, optional
        What is known from a similar question

    Returns
    -------
    mapping
        Those runs, taut

    Notes
    -----
    The control strap is read for what the arm draws in, and what goes round the sound side for how far it turns.
    """
    layout, runs = worn.harness.layout, dict(legs)
    straps = layout.runs[OVER].strap, CONTROL_STRAP, OTHER + CONTROL_STRAP
    if earlier is None:
        return runs | pull_taut(worn, [k for k in range(len(layout.runs)) if k not in runs])
    wanted = [k for k, run in enumerate(layout.runs) if k not in runs and run.strap in straps]
    new = np.flatnonzero(earlier.same < 0)
    if new.size < len(worn.poses):
        kept = {k: earlier.runs[k].rows(np.maximum(earlier.same, 0)) for k in wanted}
    else:
        kept = {}
    if new.size:
        found = pull_taut(worn, wanted, new, earlier)
        kept = {k: kept[k].replaced(new, found[k]) for k in wanted} if kept else found
    return runs | kept


def held_control(layout: Layout, runs: Runs, strap: str = CONTROL_STRAP) -> Paths:
    """A control strap from ring to crossbar with the junctions held: one of them may divide it.

    Parameters
    ----------
    layout : Layout
        The pattern
    runs : mapping
        Its runs
    strap : str
        Which control strap

    Returns
    -------
    Paths
        One a station
    """
    parts = [runs[k] for k, _ in layout.chain(strap)]
    nodes = [part.nodes[:, :-1] for part in parts[:-1]] + [parts[-1].nodes]
    press = [part.press[:, :-1] for part in parts[:-1]] + [parts[-1].press]
    settled = np.logical_and.reduce([part.settled for part in parts])
    return Paths(np.concatenate(nodes, axis=1), np.concatenate(press, axis=1), settled, parts[-1].iterations)


def fresh(worn: Worn, held: Runs) -> Start:
    """Every run with the junctions where they were donned, to begin from when nothing better is known.

    Parameters
    ----------
    worn : Worn
        The harness in its poses
    held : mapping
        Runs that are known already

    Returns
    -------
    Start
        Junctions and runs
    """
    layout, count = worn.harness.layout, len(worn.poses)
    runs: Runs = {**held, **pull_taut(worn, [k for k in range(len(layout.runs)) if k not in held])}
    worn, runs = _slid(worn, runs)
    return Start(
        junction=np.stack([worn.places[name] for name in layout.junctions], axis=1),
        turn=np.zeros(count),
        gives=np.zeros((count, layout.limbs)),
        nodes=tuple(runs[k].nodes for k in range(len(layout.runs))),
    )


def _slid(worn: Worn, runs: Runs) -> tuple[Worn, Runs]:
    """Junctions that divide a strap, slid along it to where the part next to the ring is as long as donned.

    Webbing hardly stretches, so they will be near; where a strap that lies by itself would be divided is far from it.
    """
    layout = worn.harness.layout
    pairs = {name: pair for name in layout.junctions[1:] if (pair := layout.divided(name))}
    for name, pair in pairs.items():
        (near, back), (far, ahead) = sorted(
            ((k, layout.runs[k].start == name) for k in pair),
            key=lambda each: layout.junctions[0] not in (layout.runs[each[0]].start, layout.runs[each[0]].end),
        )
        parts = runs[near].nodes[:, :: -1 if back else 1], runs[far].nodes[:, :: 1 if ahead else -1]
        place, inner, outer = cut(*parts, float(worn.donned.length[near]))
        worn = replace(worn, places={**worn.places, name: place})
        ended = {near: inner[:, :: -1 if back else 1], far: outer[:, :: 1 if ahead else -1]}
        runs = {**runs, **{k: _as_laid(np.ascontiguousarray(nodes)) for k, nodes in ended.items()}}
    parted = {k for pair in pairs.values() for k in pair}
    crossing = [k for k, run in enumerate(layout.runs) if k not in parted and pairs.keys() & {run.start, run.end}]
    return worn, {**runs, **pull_taut(worn, crossing)}


def pull_taut(
    worn: Worn, which: Iterable[int], rows: Index | None = None, earlier: Earlier | None = None
) -> dict[int, Paths]:
    """Some runs at some stations, their junctions where they were donned.

    Parameters
    ----------
    worn : Worn
        The harness in its poses
    which : iterable of int
        Places of the runs in the pattern [-]
    rows : ndarray, optional
        Stations, otherwise all [-], shape (picked,)
    earlier : Earlier, optional
        Where to start from

    Returns
    -------
    dict
        Taut paths, as laid where friction keeps them so
    """
    layout, donned = worn.harness.layout, worn.donned
    bodies = worn.bodies if rows is None or len(rows) == len(worn.poses) else worn.bodies.rows(rows)
    rows = np.arange(len(worn.poses)) if rows is None else rows
    led = earlier is not None and bool((earlier.like[rows] >= 0).all())
    found, drafts = {}, {}
    for k in which:
        run = layout.runs[k]
        ends = worn.places[run.start][rows] + donned.arms[k], worn.places[run.end][rows]
        if led and not run.laid and earlier is not None:
            drafts[k] = Draft(rows, earlier.runs[k].nodes[earlier.like[rows]], ends)
            continue
        rough = worn.harness.pattern.rough(Span(run=run, bodies=bodies, start=ends[0], end=ends[1]))
        if run.laid:
            found[k] = _as_laid(rough)
        else:
            drafts[k] = Draft(rows, rough)
    if drafts:
        found |= zip(drafts, tighten(worn.bodies.posed.surface, list(drafts.values())), strict=True)
    if led and not all(paths.settled.all() for paths in found.values()):
        return pull_taut(worn, which, rows)
    return found


def _as_laid(nodes: Array) -> Paths:
    """Runs that stay as they are."""
    return Paths(nodes, np.zeros(nodes.shape[:2]), np.ones(len(nodes), dtype=bool), 0)
