"""Where the straps of a figure-of-eight begin and end on a posed body, and a first guess of their run."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..body import Build, Posed
from ..surfaces import Union
from ..taut import resample

Array = NDArray[np.float64]
Index = NDArray[np.intp]

NODES = 33
"""Nodes of a strap in labs [-]."""
PAD = 0.008
"""Thickness of the triceps pad under the crossbar [m]. Assumption."""
CROSSBAR_SIDE = float(np.deg2rad(25.0))
"""Where the cable meets the crossbar, from straight behind the arm towards its outer side [rad]."""
FRONT_SHARE = 0.35
"""Where the anterior support strap divides, down the upper arm [-]. Assumption."""
_FAR = 0.03


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
    return np.asarray(posed.joint[:, 0] - (share * upper_arm)[:, None] * along + (posed.arm + PAD)[:, None] * out)


def front_point(posed: Posed, upper_arm: Array) -> Array:
    """Lower end of the anterior support strap, on the front of the upper arm.

    Parameters
    ----------
    posed : Posed
        Bodies
    upper_arm : ndarray
        Shoulder joint to elbow [m], shape (bodies,)

    Returns
    -------
    ndarray
        Points [m], shape (bodies, 3)
    """
    front, along = posed.axes[:, 0, :, 0], posed.axes[:, 0, :, 1]
    return np.asarray(
        posed.joint[:, 0] - (FRONT_SHARE * upper_arm)[:, None] * along + (posed.arm + PAD)[:, None] * front
    )


def first_guess(build: Build, who: Index, posed: Posed, ring: Array, front_end: Array, control_end: Array) -> Array:
    """A rough run of each strap that already goes round the right side of everything.

    Parameters
    ----------
    build : Build
        Shapes
    who : ndarray
        Wearer of each body [-], shape (bodies,)
    posed : Posed
        Bodies
    ring : ndarray
        Ring [m], shape (bodies, 3)
    front_end, control_end : ndarray
        Outer ends of the two straps of the amputated side [m], shape (bodies, 3)

    Returns
    -------
    ndarray
        Nodes [m], shape (3, bodies, nodes, 3)
    """
    loop = resample(_loop_corners(build, who, posed, ring), NODES)
    return np.concatenate([loop[None], outer_guess(build, who, posed, ring, front_end, control_end)])


def outer_guess(build: Build, who: Index, posed: Posed, ring: Array, front_end: Array, control_end: Array) -> Array:
    """A rough run of the two straps of the amputated side.

    Parameters
    ----------
    build : Build
        Shapes
    who : ndarray
        Wearer of each body [-], shape (bodies,)
    posed : Posed
        Bodies
    ring : ndarray
        Ring [m], shape (bodies, 3)
    front_end, control_end : ndarray
        Outer ends of the anterior support strap and of the control strap [m], shape (bodies, 3)

    Returns
    -------
    ndarray
        Nodes [m], shape (2, bodies, nodes, 3)
    """
    top, groove = _over_shoulder(posed, 1.0), _groove(build, who, posed, 1.0)
    front = np.stack([ring, top, groove, front_end], axis=1)
    control = np.stack([ring, _behind(build, who, posed), control_end], axis=1)
    return np.stack([resample(path, NODES) for path in (front, control)])


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


def _loop_corners(build: Build, who: Index, posed: Posed, ring: Array) -> Array:
    """Over the sound shoulder, down its front, through the armpit, back across the shoulder blade."""
    pit = _armpit(posed)
    depth = build.trunks.scale[who] + _FAR
    ahead, behind = pit.copy(), pit.copy()
    ahead[:, 0], behind[:, 0] = depth, -depth
    ahead[:, 2] = behind[:, 2] = 0.9 * pit[:, 2]
    corners = [
        ring,
        _over_shoulder(posed, -1.0),
        _groove(build, who, posed, -1.0),
        ahead,
        pit,
        behind,
        ring,
    ]
    return np.stack(corners, axis=1)


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
