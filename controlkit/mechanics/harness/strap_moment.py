"""What the straps' pulls make about the axis of arm flexion: virtual work with every junction held."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.donning import anchored
from controlkit.mechanics.harness.layout import OVER, UNDER
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.route import Bodies, Span
from controlkit.mechanics.harness.turned import TURN, turned
from controlkit.mechanics.surface.field import Field
from controlkit.mechanics.surface.row import path_length
from controlkit.mechanics.surface.taut import Draft, tighten

Array = NDArray[np.float64]


def strap_moments(found: Followed, at: int) -> dict[str, float]:
    r"""Moment of each strap about the axis of arm flexion, positive where it resists flexion.

    .. math:: M = \sum_i T_i \frac{\partial l_i}{\partial \theta}

    Parameters
    ----------
    found : Followed
        The motion
    at : int
        Station [-]

    Returns
    -------
    dict
        Moments by strap name [N m]

    Notes
    -----
    The arm turns about the shoulder joint alone, as on a dynamometer: girdle, trunk, ring and fork stay, and every run
    whose end rides on the arm, or whose way leads over skin that turns with it, becomes longer or shorter. A pull T
    over a lengthening dl is work that only the arm's muscles can do, so the sum is the moment they must make. In this
    virtual turn the ring does not slide, so the skin under it does no work, however hard it holds: its friction comes
    in through the tensions, which differ because of it. Were the ring to slide with the arm, the skin's work would have
    to be added, and the sum would be the same. Where skin moves under a junction, the junction goes straight along
    with it, which costs no friction. Both legs of an axilla loop lie on the sound side and have no share.

    Central difference of lengths, each run taut to second order. Costs O(runs x nodes).
    """
    layout, tension = found.harness.layout, found.net.tension[:, at]
    taut = [k for k in range(len(layout.runs)) if tension[k] > 0.0 and not (layout.loops and k in (OVER, UNDER))]
    rates = _lengthening(found, at, taut) if taut else {}
    return {strap: float(sum(tension[k] * rates[k] for k in layout.of(strap) if k in rates)) for strap in layout.straps}


def _lengthening(found: Followed, at: int, runs: list[int]) -> dict[int, float]:
    """Rate of length of some runs with the turn of the arm, by place [m/rad]."""
    harness, layout = found.harness, found.harness.layout
    bodies = turned(harness.wearer, (found.poses[at],), girdle_held=True)
    posed = bodies.posed
    places = anchored(harness, bodies, np.repeat(found.donned.junction[:1], 2, axis=0))
    carried = dict(zip(layout.junctions, _carried(found, at, bodies), strict=True))
    frame = posed.axes[:, 0].mean(axis=0)

    def shift(name: str, node: Array) -> Array:
        if name in carried:
            return np.asarray(carried[name])
        middle = places[name].mean(axis=0)  # what the cuff gives turns with the arm
        return np.asarray(places[name] - middle + (posed.axes[:, 0] - frame) @ (frame.T @ (node - middle)))

    begun = {}
    for k in runs:
        run, nodes = layout.runs[k], np.repeat(found.net.nodes[k][at][None], 2, axis=0)
        nodes[:, 0] += shift(run.start, nodes[0, 0])
        nodes[:, -1] += shift(run.end, nodes[0, -1])
        begun[k] = nodes
    length = {}
    for k in (k for k in runs if layout.runs[k].laid):
        span = Span(run=layout.runs[k], bodies=bodies, start=begun[k][:, 0], end=begun[k][:, -1])
        length[k] = path_length(harness.pattern.rough(span))
    free = [k for k in runs if k not in length]
    if free:
        led = tighten(posed.surface, [Draft(np.arange(2), begun[k]) for k in free], limit=1)
        length.update(zip(free, (paths.length for paths in led), strict=True))
    return {k: float(more - less) / (2.0 * TURN) for k, (more, less) in length.items()}


def _carried(found: Followed, at: int, bodies: Bodies) -> Array:
    """How far the skin under each junction carries it, on both turned bodies [m], shape (junctions, 2, 3)."""
    points = np.repeat(found.net.junction[at], 2, axis=0)
    field = Field(bodies.posed.surface, np.tile(np.arange(2), len(points) // 2))
    value, gradient = field.slope(np.ascontiguousarray(points.T))
    value = value.reshape(-1, 2)
    out = value.mean(axis=1, keepdims=True) - value
    normal = (gradient / (gradient * gradient).sum(axis=0)).T.reshape(-1, 2, 3)
    return np.asarray(out[..., None] * normal)
