"""Where straps begin and end on a posed body, and a first guess of their run."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import Posed
from controlkit.mechanics.body.shape import Build
from controlkit.mechanics.harness.layout import CHEST_STRAP, CONTROL_STRAP, FRONT_STRAP, OVER, SADDLE_STRAP, Layout, Run
from controlkit.mechanics.surface.field import Field
from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.taut import resample

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
FLAP_SHARE = 0.75
"""Where the front flap of a saddle meets the chest strap, midline to shoulder joint [-]. Assumption."""
BELOW_PIT = 0.01
"""A strap round the chest passes at least so far under the armpit: above is the arm [m]."""
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
    field = Field(union, body)
    inside, outside = np.zeros_like(height), np.full_like(height, -0.45)
    for _ in range(8):
        middle = 0.5 * (inside + outside)
        out = field.value(np.stack([middle, height, side])) > 0.0
        inside, outside = np.where(out, inside, middle), np.where(out, middle, outside)
    near = np.stack([0.5 * (inside + outside), height, side])  # within 2 mm by now: Newton's method does the rest
    return np.ascontiguousarray(field.onto(near, 4, along=-_AHEAD[:, None]).T)


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


def anchors(layout: Layout, build: Build, who: Index, posed: Posed, crossbar: Array, level: Array) -> dict[str, Array]:
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
    level : ndarray
        Height of a strap round the chest above the notch [m], shape (bodies,)

    Returns
    -------
    dict
        Points by name [m], shape (bodies, 3); "fork" is where a fitter puts the fork of the inverted Y
    """
    upper, joint = build.upper_arm[who], posed.joint[:, 0]
    far = build.deltoid[who][:, None]
    inward = 0.25 * build.joint[who, 2:] * _SIDE
    each, level = np.arange(len(who)), np.minimum(level, build.height["axilla"][who] - BELOW_PIT)
    places = {
        "crossbar": lambda: crossbar_point(posed, upper, crossbar),
        "pad front": lambda: _on_arm(posed, FRONT_SHARE * upper, 0.0),
        "pad inner": lambda: _clear(posed, _on_arm(posed, PAD_SHARE * upper, PAD_INNER)),
        "pad outer": lambda: _clear(posed, _on_arm(posed, PAD_SHARE * upper, PAD_OUTER)),
        "fork": lambda: _onto(posed, _on_arm(posed, FORK_SHARE * upper, FORK_SIDE, 0.02)),
        "flank": lambda: _level(posed, each, _flank(posed, level)),
        "saddle front": lambda: _level(posed, each, _flap(build, who, joint) + level[:, None] * _UP),
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


def _flap(build: Build, who: Index, joint: Array) -> Array:
    """Off the chest, where the front flap of the saddle meets the chest strap; it goes where the shoulder goes."""
    rest = np.stack([build.trunks.scale[who], 0.0 * joint[:, 1], FLAP_SHARE * build.joint[who, 2]], axis=1)
    return np.asarray(rest + joint - build.joint[who])


def _flank(posed: Posed, level: Array) -> Array:
    """Under the sound arm at a height: the first skin met on the way out from the spine."""
    out = np.linspace(0.05, 0.30, 51)
    spots = np.stack(np.broadcast_arrays(0.0, level[:, None], -out), axis=-1)
    field = Field(posed.surface, np.repeat(np.arange(len(level)), len(out)))
    clear = field.value(np.ascontiguousarray(spots.reshape(-1, 3).T)).reshape(len(level), -1) > 0.0
    return np.asarray(spots[np.arange(len(level)), clear.argmax(axis=1)])


def _level(posed: Posed, body: Index, points: Array) -> Array:
    """Points moved onto the skin straight towards or away from the spine, each at its own height."""
    at = np.ascontiguousarray(points.T)
    out = at * [[1.0], [0.0], [1.0]] / np.hypot(at[0], at[2])
    return np.ascontiguousarray(Field(posed.surface, body).onto(at, 8, along=out, least=0.2).T)


def _clear(posed: Posed, points: Array) -> Array:
    """Points moved out of the flesh where arm and trunk touch."""
    field = Field(posed.surface, np.arange(len(points)))
    return np.ascontiguousarray(field.onto(np.ascontiguousarray(points.T), 3, gap=_OUT).T)


def _onto(posed: Posed, points: Array) -> Array:
    """Points moved straight onto the skin."""
    field = Field(posed.surface, np.arange(len(points)))
    return np.ascontiguousarray(field.onto(np.ascontiguousarray(points.T), 4).T)


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
    elif run.laid:
        return _laid(posed, start, end, run.nodes)
    elif run.strap == CHEST_STRAP:
        way = [np.stack([-build.trunks.scale[who] - _FAR, middle[:, 1], 0.9 * end[:, 2]], axis=1)]
    elif run.strap == SADDLE_STRAP:
        middle[:, 0] = -build.trunks.scale[who] - _FAR
        way = [middle]
    else:
        way = []
    return resample(np.stack([start, *way, end], axis=1), run.nodes)


def _laid(posed: Posed, start: Array, end: Array, nodes: int) -> Array:
    """A strap laid round the chest, at every turn as high as its ends: the skin there."""
    share = np.linspace(0.0, 1.0, 2 * nodes)[:, None]
    first, last = (np.stack([np.arctan2(p[:, 2], p[:, 0]), np.hypot(p[:, 0], p[:, 2]), p[:, 1]]) for p in (start, end))
    turn, far, level = first[:, None] + share * (last - first)[:, None]
    points = np.stack([far * np.cos(turn), level, far * np.sin(turn)], axis=-1)
    body = np.tile(np.arange(len(start)), len(share))
    laid = _level(posed, body, points.reshape(-1, 3)).reshape(points.shape).transpose(1, 0, 2)
    laid[:, 0], laid[:, -1] = start, end
    return resample(laid, nodes)


def rough_loop(layout: Layout, build: Build, who: Index, posed: Posed, start: Array, end: Array) -> Array:
    """A rough run of both legs of an axilla loop in one.

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
    pit = armpit(posed)
    depth = build.trunks.scale[who] + _FAR
    ahead, behind = pit.copy(), pit.copy()
    ahead[:, 0], behind[:, 0] = depth, -depth
    ahead[:, 2] = behind[:, 2] = 0.9 * pit[:, 2]
    first = [_over_shoulder(posed, -1.0), _groove(build, who, posed, -1.0)]
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


def armpit(posed: Posed) -> Array:
    """The sound armpit: the first free spot between arm and chest, searched downwards along the arm.

    Parameters
    ----------
    posed : Posed
        Bodies

    Returns
    -------
    ndarray
        Points [m], shape (bodies, 3)
    """
    count = len(posed.arm)
    along, lateral = posed.axes[:, 1, :, 1], posed.axes[:, 1, :, 2]
    field = Field(posed.surface, np.arange(count))
    best, found = posed.joint[:, 1].copy(), np.zeros(count, dtype=bool)
    for down in np.linspace(0.05, 0.30, 51):
        spot = posed.joint[:, 1] - down * along - (posed.arm + 0.012)[:, None] * lateral
        free = (field.value(np.ascontiguousarray(spot.T)) > 0.002) & ~found
        best[free], found = spot[free], found | free
        if found.all():
            break
    return np.asarray(np.where(found[:, None], best, spot))
