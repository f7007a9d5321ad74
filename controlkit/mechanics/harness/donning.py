"""Putting a harness on: junctions where the fitter wants them, every strap just snug."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import place
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.remembered import built, stand
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.layout import OVER, UNDER, Layout, Run
from controlkit.mechanics.harness.loop import split
from controlkit.mechanics.harness.net import PATCH
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.route import Bodies, Fitted, Span
from controlkit.mechanics.surface.field import Field
from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.taut import path_length, tighten
from controlkit.units import InputError, show

Array = NDArray[np.float64]
Index = NDArray[np.intp]

REST = Pose()
LEAST_LOOP = 0.25
"""A loop shorter than this has slid off the shoulder [m]."""


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
        Each run [m], shape (1, nodes, 3)
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
    InputError
        If the axilla loop has no hold on the sound shoulder with the ring there
    """
    shape, layout, who = built(harness.wearer), harness.layout, np.zeros(1, dtype=np.intp)
    body = Bodies(shape, who, stand(harness.wearer, REST))
    surface = body.posed.surface
    ring = route.on_back(
        surface, who, shape.height["c7"] - harness.ring_below_c7, np.array([-harness.ring_to_sound_side])
    )
    places = {"ring": ring, **anchored(harness, body, ring)}
    nodes, pair = _loop(harness, body, places, near) if layout.loops else ([], None)
    for k, run in enumerate(layout.runs[len(nodes) :], len(nodes)):
        start, end = places[run.start], places[run.end]
        if near is None or run.laid:
            nodes.append(harness.pattern.rough(Span(run=run, bodies=body, start=start, end=end)))
        else:
            nodes.append(pin(near.nodes[k], start, end))
    nodes, length = _pull_taut(layout, surface, nodes)
    arms = np.zeros((len(layout.runs), 3))
    if layout.sewn:
        for k, run in enumerate(layout.runs):
            if run.start == layout.junctions[0]:
                heading = nodes[k][0, 1] - nodes[k][0, 0]
                arms[k] = PATCH * heading / np.linalg.norm(heading)
                nodes[k] = pin(nodes[k], ring + arms[k], nodes[k][:, -1])
        nodes, length = _pull_taut(layout, surface, nodes)
    junction = np.stack([places[name][0] for name in layout.junctions])
    return Donned(junction=junction, arms=arms, length=length, pair=pair, nodes=tuple(nodes))


def anchored(harness: Harness, bodies: Bodies, ring: Array) -> dict[str, Array]:
    """The places that a harness's straps are fixed to, by name, on each of its wearer's bodies."""
    return harness.pattern.anchors(Fitted(bodies=bodies, crossbar=harness.crossbar, ring=ring))


def _loop(harness: Harness, body: Bodies, places: dict[str, Array], near: Donned | None) -> tuple[list[Array], Array]:
    """Legs of the axilla loop on donning, and both in one."""
    layout, surface = harness.layout, body.posed.surface
    first, last = places[layout.runs[OVER].start], places[layout.runs[UNDER].start]
    if near is None or near.pair is None:
        rough = route.axilla_loop(Span(run=layout.runs[OVER], bodies=body, start=first, end=last))
    else:
        rough = pin(near.pair, first, last)
    taut = tighten(surface, body.who, rough)
    if not taut.settled.all() or taut.length[0] < LEAST_LOOP:
        raise _no_hold(harness)
    legs = legs_of(layout, surface, body.who, taut.nodes)
    return [leg.copy() for leg in legs], taut.nodes


def _pull_taut(layout: Layout, union: Union, nodes: list[Array]) -> tuple[list[Array], Array]:
    """Runs pulled taut with their ends held, and their lengths."""
    out, length = list(nodes), np.array([path_length(run)[0] for run in nodes])
    for count in dict.fromkeys(run.nodes for run in layout.runs):
        group = [k for k, run in enumerate(layout.runs) if run.nodes == count and not run.laid]
        taut = tighten(union, np.zeros(len(group), dtype=np.intp), np.concatenate([nodes[k] for k in group]))
        for row, k in enumerate(group):
            out[k], length[k] = taut.nodes[row : row + 1], taut.length[row]
    return out, length


def _no_hold(harness: Harness) -> InputError:
    """What to say of a loop that slides off the sound shoulder."""
    where = f"{show(harness.ring_below_c7, 'length')} below C7 and {show(harness.ring_to_sound_side, 'length')}"
    return InputError(
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
    """The two legs on the sound side at every station, junctions held.

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
    An axilla loop changes only with the sound side; a chest strap ends under the sound arm and changes with both.
    """
    layout = harness.layout
    if donned.pair is None:
        return _anchored_legs(harness, bodies, places)
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
        pairs = tighten(bodies.posed.surface, first, rough).nodes
    over, under = legs_of(layout, bodies.posed.surface, first, pairs)
    each = np.array([kinds.index(kind) for kind in kind_of])
    if layout.sewn:
        starts = (places[layout.runs[k].start][first] + donned.arms[k] for k in (OVER, UNDER))
        over, under = (pin(leg, at, leg[:, -1]) for leg, at in zip((over, under), starts, strict=True))
    return over[each], under[each]


def _anchored_legs(harness: Harness, bodies: Bodies, places: dict[str, Array]) -> tuple[Array, Array]:
    """Legs that meet at an anchor instead, at every station; taut unless they are laid."""
    over, under = (harness.layout.runs[k] for k in (OVER, UNDER))

    def leg(run: Run) -> Array:
        span = Span(run=run, bodies=bodies, start=places[run.start], end=places[run.end])
        rough = harness.pattern.rough(span)
        return rough if run.laid else tighten(bodies.posed.surface, np.arange(len(rough)), rough).nodes

    return leg(over), leg(under)


def pin(nodes: Array, start: Array, end: Array) -> Array:
    """Runs of a similar question, bent so that their ends are where they must be now."""
    share = np.linspace(0.0, 1.0, nodes.shape[1])[None, :, None]
    return np.asarray(nodes + (1.0 - share) * (start - nodes[:, 0])[:, None] + share * (end - nodes[:, -1])[:, None])
