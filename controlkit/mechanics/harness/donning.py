"""Putting a harness on: the ring where the fitter wants it, every strap just snug."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...units import InputError, show
from ..body import Build, Pose, Posed, place
from ..outline import built
from ..surfaces import Union
from ..taut import tighten
from . import route
from .loop import split
from .pattern import Harness

Array = NDArray[np.float64]
Index = NDArray[np.intp]

REST = Pose()
LEAST_LOOP = 0.25
"""A loop shorter than this has slid off the shoulder [m]."""


@dataclass(frozen=True)
class Donned:
    """A harness as put on, arm hanging, before any pull.

    Attributes
    ----------
    ring : ndarray
        Where the fitter put the ring [m], shape (3,)
    length : ndarray
        Snug lengths: loop over the shoulder, loop under the arm, anterior, control [m], shape (4,)
    nodes : ndarray
        Runs of the whole loop, the anterior support strap and the control strap [m], shape (3, 1, nodes, 3)
    """

    ring: Array
    length: Array
    nodes: Array


def don(harness: Harness, near: Array | None = None) -> Donned:
    """Put a harness on: the ring where the fitter wants it, every strap just snug.

    Parameters
    ----------
    harness : Harness
        The harness
    near : ndarray, optional
        Runs of a similar harness to start from [m], shape (3, 1, nodes, 3)

    Returns
    -------
    Donned
        Ring, snug lengths and runs

    Raises
    ------
    InputError
        If the axilla loop has no hold on the sound shoulder with the ring there
    """
    shape = built(harness.wearer)
    body = place(shape, np.zeros(1, dtype=np.intp), [REST])
    ring = route.on_back(
        body.surface,
        np.zeros(1, dtype=np.intp),
        shape.height["c7"] - harness.ring_below_c7,
        np.array([-harness.ring_to_sound_side]),
    )
    front, control = ends(harness, body)
    if near is None:
        nodes = route.first_guess(shape, np.zeros(1, dtype=np.intp), body, ring, front, control)
    else:
        nodes = pin(near, (ring, ring, ring), (ring, front, control))
    taut = tighten(body.surface, np.zeros(3, dtype=np.intp), nodes[:, 0])
    if not taut.settled.all() or taut.length[0] < LEAST_LOOP:
        raise InputError(
            f"With the ring {show(harness.ring_below_c7, 'length')} below C7 and "
            f"{show(harness.ring_to_sound_side, 'length')} to the sound side the axilla loop has no hold on the "
            "sound shoulder. Move the ring towards the sound side or further down."
        )
    pair = np.concatenate(_split(body.surface, np.zeros(1, dtype=np.intp), taut.nodes[:1]))
    legs = tighten(body.surface, np.zeros(2, dtype=np.intp), pair)
    return Donned(ring[0], np.concatenate([legs.length, taut.length[1:]]), taut.nodes[:, None])


def legs_at(shape: Build, bodies: Posed, poses: Sequence[Pose], donned: Donned) -> tuple[Array, Array]:
    """The two legs of the loop at every station, ring held; they change only with the sound side.

    Parameters
    ----------
    shape : Build
        The wearer's shape
    bodies : Posed
        Bodies at the stations
    poses : sequence of Pose
        Poses of the stations
    donned : Donned
        The harness as put on

    Returns
    -------
    over, under : ndarray
        Runs from the ring to the armpit [m], shape (stations, nodes, 3)
    """
    sound = [(p.sound_arm_abduction, p.sound_scapular_abduction) for p in poses]
    kinds = list(dict.fromkeys(sound))
    first = np.array([sound.index(kind) for kind in kinds])
    loops = np.repeat(donned.nodes[0], len(kinds), axis=0)
    if len(kinds) > 1:
        some = place(shape, np.zeros(len(kinds), dtype=np.intp), [poses[k] for k in first])
        who, ring = np.zeros(len(kinds), dtype=np.intp), np.repeat(donned.ring[None], len(kinds), axis=0)
        rough = route.first_guess(shape, who, some, ring, ring, ring)[0]
        loops = tighten(bodies.surface, first, rough).nodes
    over, under = _split(bodies.surface, first, loops)
    each = np.array([kinds.index(kind) for kind in sound])
    return over[each], under[each]


def _split(union: Union, body: Index, loops: Array) -> tuple[Array, Array]:
    """Legs of loops that meet on the skin under the armpit: the point between nodes lies a trace inside."""
    over, under = split(loops, route.NODES)
    field, points = union.at(body), np.ascontiguousarray(over[:, -1].T)
    for _ in range(3):
        value, gradient = field.slope(points)
        points = points - value / (gradient * gradient).sum(axis=0) * gradient
    over[:, -1] = under[:, -1] = points.T
    return over, under


def ends(harness: Harness, bodies: Posed) -> tuple[Array, Array]:
    """Outer ends of the anterior support strap and of the control strap.

    Parameters
    ----------
    harness : Harness
        The harness
    bodies : Posed
        Bodies of its wearer

    Returns
    -------
    front, control : ndarray
        Ends [m], shape (bodies, 3)
    """
    upper = np.repeat(built(harness.wearer).upper_arm, len(bodies.arm))
    share = np.full(len(bodies.arm), float(harness.crossbar))
    return route.front_point(bodies, upper), route.crossbar_point(bodies, upper, share)


def pin(nodes: Array, starts: tuple[Array, ...], ends: tuple[Array, ...]) -> Array:
    """Runs of a similar question, bent so that their ends are where they must be now.

    Parameters
    ----------
    nodes : ndarray
        Runs [m], shape (straps, stations, nodes, 3)
    starts, ends : tuple of ndarray
        Where each strap begins and ends now [m], shape (stations, 3)

    Returns
    -------
    ndarray
        Bent runs [m], shape (straps, stations, nodes, 3)
    """
    share = np.linspace(0.0, 1.0, nodes.shape[2])[None, :, None]
    out = np.empty_like(nodes)
    for k, (start, end) in enumerate(zip(starts, ends, strict=True)):
        first, last = (start - nodes[k, :, 0])[:, None], (end - nodes[k, :, -1])[:, None]
        out[k] = nodes[k] + (1.0 - share) * first + share * last
    return out
