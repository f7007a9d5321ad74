"""Where straps begin and end on a posed body, and a first guess of their run."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..body import Build, Posed
from ..surfaces import Union
from ..taut import resample
from .layout import AXILLA_LOOP, CONTROL_STRAP, FRONT_STRAP, OVER, SADDLE_STRAP, Layout, Run

Array = NDArray[np.float64]
Index = NDArray[np.intp]

PAD = 0.008
"""Thickness of the triceps pad under the crossbar [m]. Assumption."""
CROSSBAR_SIDE = float(np.deg2rad(25.0))
"""Where the cable meets the crossbar, from straight behind the arm towards its outer side [rad]."""
FORK_SHARE = 0.15
"""Where the anterior support strap divides, down the upper arm [-]. Assumption."""
FORK_SIDE = float(np.deg2rad(-12.0))
"""Where it does so, from the front of the arm towards the outer side: inward, in the deltopectoral groove [rad]."""
PAD_SHARE = 0.50
"""Where its two legs reach the triceps pad, down the upper arm [-]. Assumption."""
PAD_INNER, PAD_OUTER = float(np.deg2rad(-20.0)), float(np.deg2rad(40.0))
"""How far round the arm from its front they do so: the inner leg stays clear of the trunk [rad]. Assumption."""
FRONT_SHARE = 0.35
"""Lower end of an anterior support strap that does not divide, down the upper arm [-]. Assumption."""
_FAR = 0.03
_OUT = 0.004
_AHEAD, _UP, _SIDE = np.eye(3)


def on_back(union: Union, body: Index, height: Array, side: Array) -> Array:
    """The point of the back at a height and a distance from the midline.

    Parameters
    ----------
    union : Union
        Surfaces
    body : ndarray
        Body of each point [-], shape (points,)
    height : ndarray
        Height above the notch [m], shape (points,)
    side : ndarray
        Distance from the midline towards the amputated side [m], shape (points,)

    Returns
    -------
    ndarray
        Points on the skin [m], shape (points, 3)
    """
    field = union.at(body)
    inside, outside = np.zeros_like(height), np.full_like(height, -0.45)
    for _ in range(8):
        middle = 0.5 * (inside + outside)
        out = field.value(np.stack([middle, height, side])) > 0.0
        inside, outside = np.where(out, inside, middle), np.where(out, middle, outside)
    depth = 0.5 * (inside + outside)
    for _ in range(4):  # within 2 mm by now: Newton's method does the rest
        value, gradient = field.slope(np.stack([depth, height, side]))
        depth = depth - value / gradient[0]
    return np.stack([depth, height, side], axis=1)


def crossbar_point(posed: Posed, upper_arm: Array, share: Array) -> Array:
    """Where the cable meets the crossbar, behind the upper arm.

    Parameters
    ----------
    posed : Posed
        Bodies
    upper_arm : ndarray
        Shoulder joint to elbow [m], shape (bodies,)
    share : ndarray
        Share of the upper arm from shoulder to elbow [-], shape (bodies,)

    Returns
    -------
    ndarray
        Points [m], shape (bodies, 3)
    """
    front, along, lateral = (posed.axes[:, 0, :, k] for k in range(3))
    out = -np.cos(CROSSBAR_SIDE) * front + np.sin(CROSSBAR_SIDE) * lateral
    down = share * upper_arm + posed.slip
    return np.asarray(posed.joint[:, 0] - down[:, None] * along + (posed.arm + PAD)[:, None] * out)


def anchors(layout: Layout, build: Build, who: Index, posed: Posed, crossbar: Array) -> dict[str, Array]:
    """The places of body and prosthesis that a pattern's straps are fixed to.

    Parameters
    ----------
    layout : Layout
        The pattern
    build : Build
        Shapes
    who : ndarray
        Wearer of each body [-], shape (bodies,)
    posed : Posed
        Bodies
    crossbar : ndarray
        Share of the upper arm from shoulder to elbow [-], shape (bodies,)

    Returns
    -------
    dict
        Points by name [m], shape (bodies, 3); "fork" is where a fitter puts the fork of the inverted Y
    """
    upper, joint = build.upper_arm[who], posed.joint[:, 0]
    far = build.deltoid[who][:, None]
    inward = 0.25 * build.joint[who, 2:] * _SIDE
    places = {
        "crossbar": lambda: crossbar_point(posed, upper, crossbar),
        "pad front": lambda: _on_arm(posed, FRONT_SHARE * upper, 0.0),
        "pad inner": lambda: _clear(posed, _on_arm(posed, PAD_SHARE * upper, PAD_INNER)),
        "pad outer": lambda: _clear(posed, _on_arm(posed, PAD_SHARE * upper, PAD_OUTER)),
        "fork": lambda: _onto(posed, _on_arm(posed, FORK_SHARE * upper, FORK_SIDE, 0.02)),
        "saddle front": lambda: _onto(posed, joint + far * (_AHEAD - 0.4 * _UP) - inward),
        "saddle back": lambda: _onto(posed, joint - far * (_AHEAD + 0.4 * _UP) - inward),
        "saddle top": lambda: _onto(posed, joint + 0.7 * far * (_UP + _SIDE)),
    }
    needed = dict.fromkeys(name for run in layout.runs for name in (run.start, run.end) if name in places)
    return {name: places[name]() for name in needed}


def _on_arm(posed: Posed, down: Array, side: float, off: float = 0.0) -> Array:
    """A point on the pad round the upper arm, from its front towards its outer side."""
    front, along, lateral = (posed.axes[:, 0, :, k] for k in range(3))
    out = np.cos(side) * front + np.sin(side) * lateral
    down = down + posed.slip
    return np.asarray(posed.joint[:, 0] - down[:, None] * along + (posed.arm + PAD + off)[:, None] * out)


def _clear(posed: Posed, points: Array) -> Array:
    """Points moved out of the flesh where arm and trunk touch."""
    field, at = posed.surface.at(np.arange(len(points))), np.ascontiguousarray(points.T)
    for _ in range(3):
        value, gradient = field.slope(at)
        at = at + np.maximum(_OUT - value, 0.0) / (gradient * gradient).sum(axis=0) * gradient
    return np.ascontiguousarray(at.T)


def _onto(posed: Posed, points: Array) -> Array:
    """Points moved straight onto the skin."""
    field, at = posed.surface.at(np.arange(len(points))), np.ascontiguousarray(points.T)
    for _ in range(4):
        value, gradient = field.slope(at)
        at = at - value / (gradient * gradient).sum(axis=0) * gradient
    return np.ascontiguousarray(at.T)


def rough(run: Run, build: Build, who: Index, posed: Posed, start: Array, end: Array) -> Array:
    """A rough run of one strap that already goes round the right side of everything.

    Parameters
    ----------
    run : Run
        Which run
    build : Build
        Shapes
    who : ndarray
        Wearer of each body [-], shape (bodies,)
    posed : Posed
        Bodies
    start, end : ndarray
        Its ends [m], shape (bodies, 3)

    Returns
    -------
    ndarray
        Nodes [m], shape (bodies, nodes, 3)
    """
    middle = 0.5 * (start + end)
    if run.strap == CONTROL_STRAP:
        way = [_behind(build, who, posed)]
    elif run.strap == FRONT_STRAP:
        way = [_over_shoulder(posed, 1.0), _groove(build, who, posed, 1.0)]
    elif run.strap == SADDLE_STRAP:
        middle[:, 0] = -build.trunks.scale[who] - _FAR
        way = [middle]
    else:
        way = []
    return resample(np.stack([start, *way, end], axis=1), run.nodes)


def rough_pair(layout: Layout, build: Build, who: Index, posed: Posed, start: Array, end: Array) -> Array:
    """A rough run of both legs on the sound side in one: the axilla loop, or the strap round the chest.

    Parameters
    ----------
    layout : Layout
        The pattern
    build : Build
        Shapes
    who : ndarray
        Wearer of each body [-], shape (bodies,)
    posed : Posed
        Bodies
    start, end : ndarray
        Where the first leg begins and the second ends [m], shape (bodies, 3)

    Returns
    -------
    ndarray
        Nodes [m], shape (bodies, nodes, 3)
    """
    pit = _armpit(posed)
    depth = build.trunks.scale[who] + _FAR
    ahead, behind = pit.copy(), pit.copy()
    ahead[:, 0], behind[:, 0] = depth, -depth
    ahead[:, 2] = behind[:, 2] = 0.9 * pit[:, 2]
    if layout.runs[OVER].strap == AXILLA_LOOP:
        first = [_over_shoulder(posed, -1.0), _groove(build, who, posed, -1.0)]
    else:  # along the chest at the height of its strap's back, under the sound arm
        first = [0.5 * (start + ahead) + np.array([_FAR, 0.0, 0.0])]
        for point in (ahead, pit, behind):
            point[:, 1] = np.minimum(point[:, 1], end[:, 1] + 0.02)
        pit[:, 2] = np.minimum(pit[:, 2], -build.joint[who, 2])
    corners = np.stack([start, *first, ahead, pit, behind, end], axis=1)
    return resample(corners, layout.runs[OVER].nodes)


def _over_shoulder(posed: Posed, side: float) -> Array:
    k = 0 if side > 0 else 1
    caps = posed.surface.capsules
    middle = 0.5 * (caps.start[:, k] + caps.end[:, k])
    middle[:, 1] += caps.radius[:, k] + _FAR
    return np.asarray(middle)


def _groove(build: Build, who: Index, posed: Posed, side: float) -> Array:
    k = 0 if side > 0 else 1
    joint = posed.joint[:, k].copy()
    joint[:, 0] += build.deltoid[who] + 1.5 * _FAR
    joint[:, 2] *= 0.72
    joint[:, 1] -= 0.02
    return np.asarray(joint)


def _behind(build: Build, who: Index, posed: Posed) -> Array:
    """A point off the back, under the shoulder, on the way to the crossbar."""
    point = posed.joint[:, 0].copy()
    point[:, 0] = -build.trunks.scale[who] - _FAR
    point[:, 1] = build.height["axilla"][who]
    point[:, 2] = 0.85 * build.joint[who, 2]
    return np.asarray(point)


def _armpit(posed: Posed) -> Array:
    """The first free spot between sound arm and chest, searched downwards along the arm."""
    count = len(posed.arm)
    along, lateral = posed.axes[:, 1, :, 1], posed.axes[:, 1, :, 2]
    field = posed.surface.at(np.arange(count))
    best, found = posed.joint[:, 1].copy(), np.zeros(count, dtype=bool)
    for down in np.linspace(0.05, 0.30, 51):
        spot = posed.joint[:, 1] - down * along - (posed.arm + 0.012)[:, None] * lateral
        free = (field.value(np.ascontiguousarray(spot.T)) > 0.002) & ~found
        best[free], found = spot[free], found | free
        if found.all():
            break
    return np.asarray(np.where(found[:, None], best, spot))
