"""Putting a harness on: junctions where the fitter wants them, every strap just snug."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import place
from controlkit.mechanics.body.pose import PairPose, Pose
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.itinerary import REST
from controlkit.mechanics.harness.layout import OVER, UNDER, Layout
from controlkit.mechanics.harness.loop import split
from controlkit.mechanics.harness.net import PATCH
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.route import Bodies, Fitted, Span
from controlkit.mechanics.surface.field import Field
from controlkit.mechanics.surface.row import path_length
from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.taut import Draft, tighten
from controlkit.units import InputError, show

Array = NDArray[np.float64]
Index = NDArray[np.intp]

LEAST_LOOP = 0.25
"""A loop shorter than this has slid off the shoulder [m]."""


class NoHoldError(InputError):
    """The axilla loop slides off this wearer's sound shoulder: a harness may be worn by one and not by another."""


@dataclass(frozen=True, kw_only=True)
class Donned:
    """A harness as put on, arm hanging, before any pull.

    Attributes
    ----------
    junction : ndarray
        Where the fitter put the junctions [m], shape (junctions, 3)
    arms : ndarray
        From the middle of a sewn cross-point to where each run leaves it, else zero [m], shape (runs, 3)
    length : ndarray
        Snug lengths of the runs [m], shape (runs,)
    pair : ndarray or None
        Both legs of an axilla loop in one [m], shape (1, nodes, 3); None for a strap round the chest
    nodes : tuple of ndarray
        Each run, both legs apart [m], shape (1, nodes, 3)
    """

    junction: Array
    arms: Array
    length: Array
    pair: Array | None
    nodes: tuple[Array, ...]

    @property
    def ring(self) -> Array:
        """The first junction [m], shape (3,)."""
        return np.asarray(self.junction[0])


def don(harness: Harness, near: Donned | None = None) -> Donned:
    """Put a harness on: junctions where the fitter wants them, every strap just snug.

    Parameters
    ----------
    harness : Harness
        The harness
    near : Donned, optional
        A similar harness to start from

    Returns
    -------
    Donned
        Junctions, snug lengths and runs

    Raises
    ------
    NoHoldError
        If the axilla loop has no hold on the sound shoulder with the ring there
    """
    rest = PairPose() if harness.pattern.paired else REST
    layout, body = harness.layout, route.bodies_of(harness.wearer, (rest,))
    shape, who, surface = body.build, body.who, body.posed.surface
    ring = route.on_back(
        surface, who, shape.height["c7"] - harness.ring_below_c7, np.array([-harness.ring_to_sound_side])
    )
    places = {"ring": ring, **anchored(harness, body, ring)}
    drafts = {k: _draft(harness, body, k, places=places, near=near) for k in range(2 * layout.loops, len(layout.runs))}
    free = [k for k in drafts if not layout.runs[k].laid]
    loop = [_loop(harness, body, places=places, near=near)] if layout.loops else []
    taut = tighten(surface, [*loop, *(drafts[k] for k in free)])
    sure = not loop or bool(taut[0].settled[0] and taut[0].length[0] >= LEAST_LOOP)
    if near is not None and not (sure and all(paths.settled.all() for paths in taut)):
        return don(harness)
    if not sure:
        raise _no_hold(harness)
    nodes = {k: draft.nodes for k, draft in drafts.items()}
    nodes |= zip(free, (paths.nodes for paths in taut[len(loop) :]), strict=True)
    if loop:
        legs = legs_of(layout, surface, who, taut[0].nodes)
        nodes[OVER], nodes[UNDER] = (paths.nodes for paths in tighten(surface, [Draft(who, leg) for leg in legs]))
    arms = np.zeros((len(layout.runs), 3))
    if layout.sewn:
        sewn = [k for k, run in enumerate(layout.runs) if run.start == layout.junctions[0]]
        for k in sewn:
            heading = nodes[k][0, 1] - nodes[k][0, 0]
            arms[k] = PATCH * heading / np.linalg.norm(heading)
        away = [Draft(who, nodes[k], (ring + arms[k], nodes[k][:, -1])) for k in sewn]
        nodes |= zip(sewn, (paths.nodes for paths in tighten(surface, away)), strict=True)
    every = tuple(nodes[k] for k in range(len(layout.runs)))
    return Donned(
        junction=np.stack([places[name][0] for name in layout.junctions]),
        arms=arms,
        length=np.array([path_length(run)[0] for run in every]),
        pair=taut[0].nodes if loop else None,
        nodes=every,
    )


def anchored(harness: Harness, bodies: Bodies, ring: Array) -> dict[str, Array]:
    """The places that a harness's straps are fixed to, by name, on each of its wearer's bodies."""
    return harness.pattern.anchors(Fitted(bodies=bodies, crossbar=harness.crossbar, ring=ring))


def _draft(harness: Harness, body: Bodies, k: int, *, places: dict[str, Array], near: Donned | None) -> Draft:
    """Where to look for a run: as it lies in a similar harness, or roughly."""
    run = harness.layout.runs[k]
    ends = places[run.start], places[run.end]
    if near is None or run.laid:
        return Draft(body.who, harness.pattern.rough(Span(run=run, bodies=body, start=ends[0], end=ends[1])))
    return Draft(body.who, near.nodes[k], ends)


def _loop(harness: Harness, body: Bodies, *, places: dict[str, Array], near: Donned | None) -> Draft:
    """Where to look for both legs of the axilla loop in one."""
    over, under = (harness.layout.runs[k] for k in (OVER, UNDER))
    ends = places[over.start], places[under.start]
    if near is None or near.pair is None:
        return Draft(body.who, route.axilla_loop(Span(run=over, bodies=body, start=ends[0], end=ends[1])))
    return Draft(body.who, near.pair, ends)


def _no_hold(harness: Harness) -> NoHoldError:
    """What to say of a loop that slides off the sound shoulder."""
    where = f"{show(harness.ring_below_c7, 'length')} below C7 and {show(harness.ring_to_sound_side, 'length')}"
    return NoHoldError(
        given=f"With the ring {where} to the sound side the axilla loop has no hold on the sound shoulder.",
        do="Move the ring towards the sound side or further down.",
    )


def legs_of(layout: Layout, union: Union, body: Index, pairs: Array) -> tuple[Array, Array]:
    """Both legs of loops, meeting on the skin of the sound side: the point between nodes lies a trace inside."""
    over, under = split(pairs, layout.runs[OVER].nodes)
    over[:, -1] = under[:, -1] = Field(union, body).onto(np.ascontiguousarray(over[:, -1].T), 3).T
    return over, under


def legs_at(
    harness: Harness, *, bodies: Bodies, poses: Sequence[Pose], donned: Donned, places: dict[str, Array]
) -> tuple[Array, Array]:
    """The two legs of a loop on the sound side at every station, junctions held.

    Parameters
    ----------
    harness : Harness
        The harness
    bodies : Bodies
        The wearer's bodies at the stations
    poses : sequence of Pose
        Poses of the stations
    donned : Donned
        The harness as put on
    places : dict
        Anchors, and the ring where it was donned, by name [m], shape (stations, 3)

    Returns
    -------
    over, under : ndarray
        Runs to the place where the legs meet [m], shape (stations, nodes, 3)

    Notes
    -----
    A loop changes only with the sound side.
    """
    layout = harness.layout
    assert donned.pair is not None
    kind_of = [(pose.sound_arm_abduction, pose.sound_scapular_abduction) for pose in poses]
    kinds = list(dict.fromkeys(kind_of))
    if len(kinds) == 1 and layout.sewn:
        return tuple(np.repeat(donned.nodes[k], len(poses), axis=0) for k in (OVER, UNDER))  # type: ignore[return-value]
    first = np.array([kind_of.index(kind) for kind in kinds])
    pairs = np.repeat(donned.pair, len(kinds), axis=0)
    if len(kinds) > 1:
        who = np.zeros(len(kinds), dtype=np.intp)
        some = Bodies(bodies.build, who, place(bodies.build, who, [poses[k] for k in first]))
        ring, last = (places[layout.runs[k].start][first] for k in (OVER, UNDER))
        rough = route.axilla_loop(Span(run=layout.runs[OVER], bodies=some, start=ring, end=last))
        pairs = tighten(bodies.posed.surface, [Draft(first, rough)])[0].nodes
    over, under = legs_of(layout, bodies.posed.surface, first, pairs)
    each = np.array([kinds.index(kind) for kind in kind_of])
    if layout.sewn:
        starts = (places[layout.runs[k].start][first] + donned.arms[k] for k in (OVER, UNDER))
        over, under = (pin(leg, at, leg[:, -1]) for leg, at in zip((over, under), starts, strict=True))
    return over[each], under[each]


def pin(nodes: Array, start: Array, end: Array) -> Array:
    """Runs of a similar question, bent so that their ends are where they must be now."""
    share = np.linspace(0.0, 1.0, nodes.shape[1])[None, :, None]
    return np.asarray(nodes + (1.0 - share) * (start - nodes[:, 0])[:, None] + share * (end - nodes[:, -1])[:, None])
