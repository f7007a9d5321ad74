"""What straps press on the skin: line load from tension and local radius, mean pressure over the strap's width."""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import Posed
from controlkit.mechanics.body.remembered import stand
from controlkit.mechanics.harness.layout import OVER, Layout
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.route import armpit
from controlkit.mechanics.harness.strap_load import StrapLoad
from controlkit.mechanics.inputs import number
from controlkit.mechanics.surface.field import Field
from controlkit.units import InputError

Array = NDArray[np.float64]

PIT = 0.04
"""How near to the sound armpit a place of a strap counts as lying in it [m]. Assumption."""


def line_load(tension: float, radius: float) -> float:
    r"""What a taut strap presses on what it goes round.

    .. math:: q = T / R

    Parameters
    ----------
    tension : float
        Tension T [N]
    radius : float
        Radius R of its path [m]

    Returns
    -------
    float
        Load per length of strap [N/m]

    Raises
    ------
    InputError
        If either is not more than nothing

    Notes
    -----
    The other ways round are `tension_from` and `radius_from`.

    Examples
    --------
    >>> line_load(45.0, 0.05)
    900.0
    """
    return _positive("Tension", tension, "newton(45)") / _positive("The radius", radius, "mm(50)")


def tension_from(load: float, radius: float) -> float:
    r"""Tension of a strap from what it presses and the radius that it goes round.

    .. math:: T = q R

    Parameters
    ----------
    load : float
        Load per length of strap q [N/m]
    radius : float
        Radius R of its path [m]

    Returns
    -------
    float
        Tension [N]

    Raises
    ------
    InputError
        If either is not more than nothing

    Examples
    --------
    >>> tension_from(900.0, 0.05)
    45.0
    """
    return _positive("The line load", load, "900") * _positive("The radius", radius, "mm(50)")


def radius_from(tension: float, load: float) -> float:
    r"""Radius that a strap goes round, from its tension and what it presses.

    .. math:: R = T / q

    Parameters
    ----------
    tension : float
        Tension T [N]
    load : float
        Load per length of strap q [N/m]

    Returns
    -------
    float
        Radius [m]

    Raises
    ------
    InputError
        If either is not more than nothing

    Examples
    --------
    >>> radius_from(45.0, 900.0)
    0.05
    """
    return _positive("Tension", tension, "newton(45)") / _positive("The line load", load, "900")


def strap_loads(found: Followed, at: int) -> dict[str, StrapLoad]:
    """What every strap presses on the skin.

    Parameters
    ----------
    found : Followed
        The motion
    at : int
        Station

    Returns
    -------
    dict
        Loads by strap name
    """
    layout, straps = found.harness.layout, found.harness.straps
    tension, nodes = found.net.tension[:, at], [run[at] for run in found.net.nodes]
    body = None if layout.loops else stand(found.harness.wearer, found.poses[at])
    pit = nodes[OVER][-1] if body is None else armpit(body)[0]
    loads = {}
    for strap in layout.straps:
        runs = layout.of(strap)
        path, pull = layout.joined(strap, nodes), _pulls(layout, strap, tension)
        places, length = path[1:-1], _step(path)
        load, across = pull * _curvature(path), np.zeros(len(places))
        if body is not None and any(layout.runs[k].laid for k in runs):
            load, across = _parted(body, path, load)
        width = straps.narrow if layout.runs[runs[0]].narrow else straps.width
        near = np.linalg.norm(places - pit, axis=1) < PIT
        loads[strap] = StrapLoad(
            strap=strap,
            places=places,
            line_load=load,
            width=width,
            in_armpit=near,
            across=across * length,
            pressing=load * length,
        )
    return loads


def _pulls(layout: Layout, strap: str, tension: Array) -> Array:
    """Tension at the inner nodes of a strap [N]; where two runs meet on an anchor the larger, on a junction none."""
    way = layout.chain(strap)
    parts = [np.full(layout.runs[way[0][0]].nodes - 2, tension[way[0][0]])]
    for (one, back), (other, _) in itertools.pairwise(way):
        meet = layout.runs[one].start if back else layout.runs[one].end
        parts.append(np.array([max(tension[one], tension[other]) if layout.junction(meet) < 0 else 0.0]))
        parts.append(np.full(layout.runs[other].nodes - 2, tension[other]))
    return np.concatenate(parts)


def _positive(what: str, value: float, example: str) -> float:
    if number(what, value, example) <= 0.0:
        raise InputError(given=f"{what} was given as {value:g}.", allowed="More than nothing.", do=f"Write {example}.")
    return float(value)


def _parted(body: Posed, path: Array, load: Array) -> tuple[Array, Array]:
    """Load of a strap whose course is not the shortest [N/m]: what presses on the skin, and what friction must hold."""
    before, after = path[1:-1] - path[:-2], path[2:] - path[1:-1]
    bend = after / np.linalg.norm(after, axis=1)[:, None] - before / np.linalg.norm(before, axis=1)[:, None]
    bend /= np.maximum(np.linalg.norm(bend, axis=1), 1e-12)[:, None]
    _, gradient = Field(body.surface, np.zeros(len(bend), dtype=np.intp)).slope(np.ascontiguousarray(path[1:-1].T))
    inward = np.maximum(-(bend.T * gradient).sum(axis=0) / np.linalg.norm(gradient, axis=0), 0.0)
    return load * inward, load * np.sqrt(np.maximum(1.0 - inward**2, 0.0))


def _step(path: Array) -> Array:
    """Length of path that belongs to each inner node [m]."""
    way = np.linalg.norm(np.diff(path, axis=0), axis=1)
    return np.asarray(0.5 * (way[1:] + way[:-1]))


def _curvature(path: Array) -> Array:
    """Curvature at the inner nodes of a path [1/m], from the circle through three of them."""
    before, after = path[1:-1] - path[:-2], path[2:] - path[1:-1]
    chord = path[2:] - path[:-2]
    area = np.linalg.norm(np.cross(before, after), axis=1)
    sides = np.linalg.norm(before, axis=1) * np.linalg.norm(after, axis=1) * np.linalg.norm(chord, axis=1)
    return np.asarray(2.0 * area / np.maximum(sides, 1e-15))
