"""What a viewer sees of a posed body: outlines of its parts, and which strap points are hidden."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import Posed, to_right
from controlkit.mechanics.body.places import forearm_heading
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.remembered import built, stand
from controlkit.mechanics.body.shape import Build
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.surface.field import bound
from controlkit.mechanics.surface.shapes import Union
from controlkit.units import InputError

Array = NDArray[np.float64]

VIEWS = ("back", "side", "front")
"""Directions from which a wearer is drawn; "side" is the amputated side."""
CHIN = 0.870
"""Height of the chin as a share of stature [-] (Drillis and Contini 1966, as in Winter 2009)."""
HAND_SHARE = 0.4  # palm's half-breadth over the forearm's radius at the elbow is near this; drawing only
_LEVELS = 60
_ROUND = 16
_REACH = (
    np.array([0.012]),
    np.array([0.025, 0.05]),
    np.linspace(0.05, 0.6, 14)[1:],
    np.linspace(0.6, 1.05, 11)[1:],
)
"""Along a ray to the viewer, from where most of what the body covers lies, close under its skin, to a long arm held out
beyond a deep chest [m]."""


@dataclass(frozen=True)
class Outline:
    """The edge of one part of the body in a picture.

    Attributes
    ----------
    name : str
        Part, for example "trunk" or "sound upper arm"
    points : ndarray
        Corners [m], first to the viewer's right, second up, shape (corners, 2)
    closed : bool
        Whether the last corner joins the first
    depth : float
        Position towards the viewer; parts are drawn in rising order [m]
    """

    name: str
    points: Array
    closed: bool
    depth: float


def directions(view: str | float, amputated: str) -> tuple[Array, Array]:
    """Axes of a picture: to the viewer's right, and towards the viewer.

    Parameters
    ----------
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round the wearer, from behind towards the amputated
        side; pi/2 is that side, pi the front [rad]
    amputated : str
        "left" or "right"; the side view looks at that side

    Returns
    -------
    right : ndarray
        Direction in ISB axes [-], shape (3,)
    towards : ndarray
        Direction in ISB axes [-], shape (3,)

    Raises
    ------
    InputError
        If there is no such view

    Examples
    --------
    >>> directions("back", "left")[0].tolist()
    [0.0, 0.0, 1.0]
    >>> directions(np.pi / 2, "left")[0].round(9).tolist()
    [-1.0, 0.0, 0.0]
    """
    sign = 1.0 if amputated == "right" else -1.0
    axes = {
        "back": ((0.0, 0.0, 1.0), (-1.0, 0.0, 0.0)),
        "front": ((0.0, 0.0, -1.0), (1.0, 0.0, 0.0)),
        "side": ((sign, 0.0, 0.0), (0.0, 0.0, sign)),
    }
    if not isinstance(view, str):
        cos, sin = float(np.cos(view)), sign * float(np.sin(view))
        return np.array([sin, 0.0, cos]), np.array([-cos, 0.0, sin])
    if view not in axes:
        raise InputError(
            given=f'There is no view "{view}".',
            do='Choose "back", "side" or "front".',
        )
    right, towards = axes[view]
    return np.array(right), np.array(towards)


def project(points: Array, view: str | float, amputated: str) -> Array:
    """Where points of the body lie in a picture.

    Parameters
    ----------
    points : ndarray
        Points in ISB axes [m], shape (points, 3)
    view : str or float
        As in `directions` [rad]
    amputated : str
        "left" or "right"

    Returns
    -------
    ndarray
        To the viewer's right, and up [m], shape (points, 2)

    Examples
    --------
    >>> import numpy as np
    >>> project(np.array([[0.1, 0.2, 0.3]]), "front", "right").tolist()
    [[-0.3, 0.2]]
    """
    right, _ = directions(view, amputated)
    return np.stack([points @ right, points[..., 1]], axis=-1)


def hidden(wearer: Wearer, pose: Pose, points: Array, view: str | float) -> NDArray[np.bool_]:
    """Which points lie behind the body for a viewer.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        The pose
    points : ndarray
        Points on or off the skin, ISB axes [m], shape (points, 3)
    view : str or float
        As in `directions` [rad]

    Returns
    -------
    ndarray
        True where hidden [-], shape (points,)

    Examples
    --------
    >>> import numpy as np
    >>> someone = Wearer.average("male")
    >>> hidden(someone, Pose(), np.array([[-0.3, -0.1, 0.0]]), "front").tolist()
    [True]
    """
    _, towards = directions(view, wearer.amputated)
    surface = stand(wearer, pose).surface
    field = bound(surface, np.zeros(1, dtype=np.intp))  # one body serves all
    at, towards = to_right(points, wearer.amputated), to_right(towards, wearer.amputated)

    def met(seen: Array, reach: Array) -> NDArray[np.bool_]:
        rays = (seen[:, None, :] + reach[None, :, None] * towards).reshape(-1, 3)
        value = field.value(np.ascontiguousarray(rays.T)).reshape(len(seen), len(reach))
        return np.asarray((value < -0.002).any(axis=1))

    covered = met(at, _REACH[0])
    open_yet = np.flatnonzero(~covered & ~_leaving(surface, at, towards))
    for further in _REACH[1:]:
        covered[open_yet] = met(at[open_yet], further)
        open_yet = open_yet[~covered[open_yet]]
    return covered


def _leaving(surface: Union, points: Array, towards: Array) -> NDArray[np.bool_]:
    """Whether a way leads off every part of a body for good: parts are convex, the trunk is even about its middle."""
    start, axis = surface.capsules.start[0], surface.capsules.end[0] - surface.capsules.start[0]
    square = (axis * axis).sum(axis=1)
    along = ((points[:, None] - start) * axis).sum(axis=2) / np.where(square > 0.0, square, 1.0)
    off = (points @ towards)[:, None] - start @ towards - np.clip(along, 0.0, 1.0) * (axis @ towards)
    return np.asarray((off >= 0.0).all(axis=1) & (points @ towards >= 0.0))


def outlines(wearer: Wearer, pose: Pose, view: str) -> tuple[Outline, ...]:
    """Outlines of the parts of a posed body, far parts first.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        The pose
    view : str
        "back", "side" or "front"

    Returns
    -------
    tuple of Outline
        Head, trunk with shoulders, upper arms, forearms, hand, and prosthesis

    Notes
    -----
    Trunk, shoulders and upper arms are the surfaces that the straps lie on. Head, forearms and hand
    are there for the eye; their sizes follow the wearer's stature, forearm and hand lengths.

    Examples
    --------
    >>> [o.name for o in outlines(Wearer.average("male"), Pose(), "back")][-1]
    'head'
    """
    shape, body = built(wearer), stand(wearer, pose)
    parts = [_trunk(wearer, body, view), _head(wearer, view)]
    for side in (0, 1):
        parts.extend(_arm(wearer, shape, body, pose=pose, side=side, view=view))
    return tuple(sorted(parts, key=lambda part: part.depth))


def _seen(points: Array, wearer: Wearer, view: str) -> tuple[Array, Array]:
    """Points in the picture, and how near to the viewer each is."""
    turned = to_right(points, wearer.amputated)
    _, towards = directions(view, wearer.amputated)
    return project(turned, view, wearer.amputated), np.asarray(turned @ towards)


def _hull(first: Array, first_radius: float, last: Array, last_radius: float) -> Array:
    """Outline of two circles joined by their outer tangents."""
    gap = last - first
    distance = float(np.hypot(*gap))
    if distance <= abs(first_radius - last_radius) + 1e-9:
        turn = np.linspace(0.0, 2.0 * np.pi, 2 * _ROUND)
        centre, radius = (first, first_radius) if first_radius > last_radius else (last, last_radius)
        return np.asarray(centre + radius * np.stack([np.cos(turn), np.sin(turn)], axis=1))
    heading = float(np.arctan2(gap[1], gap[0]))
    lean = float(np.arccos((first_radius - last_radius) / distance))
    back = np.linspace(heading + lean, heading + 2.0 * np.pi - lean, _ROUND)
    ahead = np.linspace(heading - lean, heading + lean, _ROUND)
    return np.concatenate(
        [
            first + first_radius * np.stack([np.cos(back), np.sin(back)], axis=1),
            last + last_radius * np.stack([np.cos(ahead), np.sin(ahead)], axis=1),
        ]
    )


def _arm(wearer: Wearer, shape: Build, body: Posed, *, pose: Pose, side: int, view: str) -> list[Outline]:
    """Upper arm and what hangs on it, each a limb between two balls."""
    elbow = body.elbow[0, side]
    heading = forearm_heading(body, pose, side)
    wrist = elbow + shape.forearm[0] * heading
    deltoid, arm = float(shape.deltoid[0]), float(shape.arm[0])

    before = "sound " if side else ""
    limbs = [(before + "upper arm", (body.joint[0, side], deltoid), (elbow, 0.82 * arm))]
    if side:
        hand = wrist + 0.5 * wearer.hand_length * heading
        limbs.append(("sound forearm", (elbow, 0.80 * arm), (wrist, 0.52 * arm)))
        limbs.append(("sound hand", (wrist, 0.50 * arm), (hand, HAND_SHARE * arm)))
    else:
        limb_end = elbow + wearer.residual_share * shape.forearm[0] * heading
        limbs.append(("socket", (elbow, 0.86 * arm), (wrist, 0.56 * arm)))
        limbs.append(("residual limb", (elbow, 0.74 * arm), (limb_end, 0.58 * arm)))
    flat, near = _seen(np.stack([ball[0] for _, *balls in limbs for ball in balls]), wearer, view)
    parts = []
    for k, (name, start, end) in enumerate(limbs):
        depth = float(near[2 * k : 2 * k + 2].mean()) + 0.001 * k
        parts.append(Outline(name, _hull(flat[2 * k], start[1], flat[2 * k + 1], end[1]), True, depth))
    return parts


@lru_cache(maxsize=64)
def _edge(wearer: Wearer, view: str) -> tuple[Array, Array]:
    """Heights, and half the trunk's breadth or depth at each, which no pose changes."""
    shape = built(wearer)
    trunk = shape.trunks
    low, high = float(shape.height["waist"][0]) - 0.16, float(shape.height["c7"][0]) + 0.055
    level = np.linspace(low, high, _LEVELS)
    above = np.maximum(level[:, None] - trunk.knots[0], 0.0) ** 3
    curve = trunk.curves[:, 0, 0, None] + trunk.curves[:, 0, 1, None] * level
    curve = curve + np.einsum("ck,nk->cn", trunk.curves[:, 0, 2:], above)
    return level, np.exp(curve[0 if view == "side" else 1])


def _trunk(wearer: Wearer, body: Posed, view: str) -> Outline:
    """Trunk and trapezius together: at each height the furthest point of any of them."""
    level, edge = _edge(wearer, view)
    left, right = -edge, edge
    caps = body.surface.capsules
    ends, _ = _seen(np.concatenate([caps.start[0, :2], caps.end[0, :2]]), wearer, view)
    for k in (0, 1):
        radius = float(caps.radius[0, k])
        ring = _hull(ends[k], radius, ends[k + 2], radius)
        across = _width_at(ring, level)
        left, right = np.minimum(left, across[0]), np.maximum(right, across[1])
    points = np.concatenate([np.stack([right, level], axis=1), np.stack([left, level], axis=1)[::-1]])
    return Outline("trunk", points, False, 0.0)


def _width_at(ring: Array, level: Array) -> tuple[Array, Array]:
    """Leftmost and rightmost point of a closed outline at each height."""
    first, last = ring[:, :, None], np.roll(ring, -1, axis=0)[:, :, None]
    rise = last[:, 1] - first[:, 1]
    share = (level - first[:, 1]) / np.where(rise == 0.0, 1e-12, rise)
    here = (share >= 0.0) & (share <= 1.0)
    across = first[:, 0] + share * (last[:, 0] - first[:, 0])
    return np.where(here, across, np.inf).min(axis=0), np.where(here, across, -np.inf).max(axis=0)


def _head(wearer: Wearer, view: str) -> Outline:
    """Head and neck as one oval."""
    top, chin = wearer.stature - wearer.suprasternale_height, CHIN * wearer.stature - wearer.suprasternale_height
    half = 0.5 * (top - chin)
    across = half * (0.82 if view == "side" else 0.68)
    turn = np.linspace(0.0, 2.0 * np.pi, 40, endpoint=False)
    points = np.stack([across * np.cos(turn), 0.5 * (top + chin) + half * np.sin(turn)], axis=1)
    if view == "side":
        points[:, 0] += 0.02 if wearer.amputated == "right" else -0.02
    return Outline("head", points, True, 0.30 if view == "back" else 0.02)
