"""The person as patches of one surface: where straps lie it is the mechanics' own skin, elsewhere it is for the eye."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.figure.head import hand, head, neck
from controlkit.draw.figure.patches import Grid, Patch, closed, normals, rings, tube
from controlkit.draw.figure.proportions import BREAST, FOREARM, HIPS, THIGH
from controlkit.draw.page.scene import Points
from controlkit.mechanics.body.pose import PairPose, Pose
from controlkit.mechanics.body.remembered import built, stand
from controlkit.mechanics.body.shape import HIP_DROP
from controlkit.mechanics.surface.field import Field, bound
from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.trunk import BoundTrunk

if TYPE_CHECKING:
    from controlkit.mechanics import Wearer

__all__ = ["Figure", "beyond_skin", "breast_level", "bust_rise", "figure", "sound_limb"]

_ALL = np.zeros(1, dtype=np.intp)  # one body serves all points
_AROUND = 96  # points of a ring of the trunk [-]
_OWN = np.arange(-3, _AROUND // 2 + 4) % _AROUND  # columns of the amputated half, the first looks forward [-]
_OTHER = np.arange(_AROUND // 2 - 3, _AROUND + 4) % _AROUND
_ARMS = (4, 5)  # among the mechanics' parts; the patch of an arm begins with the ball of the deltoid, two before it [-]
_SHORTEST = 0.15  # of the upper arm that is drawn, to where its end begins to be round [-]
_MARGIN = 0.012  # how much deeper than another part a patch's points may lie and still be drawn [m]
_STANDS_OUT = 0.004  # over the mechanics' trunk what hides on its own account [m]
_CLOSE = 5e-5  # to the skin, at which a point is left where it is [m]
_BLENDS = 0.045  # parts farther off than this do not lift the skin [m]
_MISS = 0.0012  # how far from the skin a point of a patch may be [m]


@dataclass(frozen=True, eq=False)
class Figure:
    """A wearer in one pose, as the eye sees the body.

    Parameters
    ----------
    still : tuple of Patch
        What the amputated arm does not move.
    moving : tuple of Patch
        Shoulder and upper arm of the amputated side; of a wearer with a prosthesis on either arm both.
    extra : tuple of Patch
        What the mechanics does not know: head, forearm, hand and thighs of `still`, and what stands out over the
        mechanics' trunk, breasts and hips.
    field : Field
        The mechanics' skin.
    """

    still: tuple[Patch, ...]
    moving: tuple[Patch, ...]
    extra: tuple[Patch, ...]
    field: Field


@lru_cache(maxsize=32)
def figure(wearer: Wearer, pose: Pose, other: str | None = None) -> Figure:
    """Shape a wearer's figure in a pose.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose; a `PairPose` where either arm has a prosthesis.
    other : str, optional
        Level of the other arm's amputation, where either arm has a prosthesis; the wearer's own unless given.

    Returns
    -------
    Figure
        Patches, inner axes of the mechanics.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> who = Wearer.average("female")
    >>> figure(who, Pose()).still == figure(who, Pose(arm_flexion=0.5)).still
    True
    """
    surface = _of_flesh(wearer, stand(wearer, pose).surface, wearer.level)
    if isinstance(pose, PairPose):
        return _of_both(wearer, _of_flesh(wearer, surface, other or wearer.level, side=1))
    field = bound(surface, _ALL)
    sound = Pose(sound_arm_abduction=pose.sound_arm_abduction, sound_scapular_abduction=pose.sound_scapular_abduction)
    still, extra = _still(wearer, sound)
    trunk, *limb = _skin(wearer, surface, field, side=0)
    moving = _bust(wearer, trunk), *limb
    return Figure(still=(*still, *extra), moving=moving, extra=(*extra, _beyond(wearer)), field=field)


def _of_both(wearer: Wearer, surface: Union) -> Figure:
    """A wearer with a prosthesis on either arm: both halves move, and no forearm or hand is left to draw."""
    field = bound(surface, _ALL)
    sides = [_skin(wearer, surface, field, side=side) for side in (0, 1)]
    halves = [_bust(wearer, trunk) for trunk, *_ in sides]
    limbs = [patch for _, *limb in sides for patch in limb]
    still = _bare(wearer)
    return Figure(still=still, moving=(*halves, *limbs), extra=(*still, _beyond(wearer)), field=field)


def beyond_skin(wearer: Wearer, pose: Pose) -> tuple[Patch, ...]:
    """What the mechanics does not know of a wearer in a pose: `Figure.extra`, without the rest of the figure.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.

    Returns
    -------
    tuple of Patch
        Patches for the eye alone.
    """
    if isinstance(pose, PairPose):
        return *_bare(wearer), _beyond(wearer)
    return figure(wearer, pose).extra


def _of_flesh(wearer: Wearer, surface: Union, level: str, side: int = 0) -> Union:
    """Above the elbow the mechanics' arm is a socket below the residual limb, which ends round inside it."""
    if level != "transhumeral":
        return surface
    caps, arm = surface.capsules, _ARMS[side]
    joint, elbow = caps.start[0, arm], caps.end[0, arm]
    share = wearer.residual_share - float(caps.radius[0, arm]) / float(np.linalg.norm(elbow - joint))
    end = caps.end.copy()
    end[0, arm] = joint + max(share, _SHORTEST) * (elbow - joint)
    return replace(surface, capsules=replace(caps, end=end))


@lru_cache(maxsize=16)
def _still(wearer: Wearer, pose: Pose) -> tuple[tuple[Patch, ...], tuple[Patch, ...]]:
    """Patches that the amputated arm does not move: on the skin, and for the eye alone."""
    surface = stand(wearer, pose).surface
    field = bound(surface, _ALL)
    trunk, *sound = _skin(wearer, surface, field, side=1)
    elbow, wrist, heading, palmar = sound_limb(wearer, pose)
    table = np.array(FOREARM)
    radius = table[:, 1] * float(built(wearer).arm[0])
    line = elbow + table[:, :1] * (wrist - elbow)
    limb = tube(*closed(line, radius, 3), 32, flat=0.92, front=palmar)
    grids = {
        "sound forearm": limb,
        **{f"sound hand {part}": grid for part, grid in enumerate(hand(wearer, wrist, heading, palmar))},
    }
    arm = tuple(_all_sound(name, grid) for name, grid in grids.items())
    return (_bust(wearer, trunk), *sound), (*_bare(wearer), *arm)


@lru_cache(maxsize=16)
def _bare(wearer: Wearer) -> tuple[Patch, ...]:
    """What the mechanics does not know and no arm moves: neck, head and thighs."""
    heavy = float(np.clip((wearer.mass / wearer.stature**2 - 24.0) / 14.0, 0.0, 1.0))
    grids = {
        "neck": neck(wearer, float(built(wearer).neck_radius[0])),
        "head": head(wearer, heavy),
        **{f"thigh {side}": thigh for side, thigh in zip(("right", "left"), _thighs(wearer), strict=True)},
    }
    return tuple(_all_sound(name, grid) for name, grid in grids.items())


def sound_limb(wearer: Wearer, pose: Pose) -> tuple[Points, Points, Points, Points]:
    """Let the sound forearm hang, as it does where nobody bends it.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.

    Returns
    -------
    tuple of numpy.ndarray
        Elbow and wrist [m], the way from one to the other, and out of the palm [-]; inner axes, shape (3,) each.
    """
    body = stand(wearer, pose)
    along, elbow = -body.axes[0, 1, :, 1], body.elbow[0, 1]
    hanging = 0.55 * along + np.array([0.16, -1.0, 0.0])
    heading = hanging / np.linalg.norm(hanging)
    inward = np.array([0.35, 0.0, 1.0])  # the palm looks to the thigh
    return elbow, elbow + float(built(wearer).forearm[0]) * heading, heading, inward


def _all_sound(name: str, grid: Grid) -> Patch:
    return Patch(name, grid, normals(grid), np.ones(grid.shape[:2], dtype=bool))


def _skin(wearer: Wearer, surface: Union, field: Field, side: int) -> list[Patch]:
    """One side's half of the trunk, trapezius, root of the shoulder, deltoid and upper arm on the mechanics' skin."""
    caps = surface.capsules
    # in the mechanics' order: trapezius, deltoid, arm, root of the shoulder; two of each, and the trunk last
    trapezius, ball, arm, root = (2 * kind + side for kind in range(4))
    joint, elbow = caps.start[0, arm], caps.end[0, arm]
    line = joint + np.linspace(0.0, 1.0, 18)[:, None] * (elbow - joint)
    away = np.linalg.norm(line - joint, axis=1)
    swell = np.sqrt(np.maximum(caps.radius[0, ball] ** 2 - away**2, 0.0))
    radius = np.maximum(swell, caps.radius[0, arm])
    grids = {"upper arm": (arm, tube(*closed(line, radius, 8), 48))}
    for name, which in (("trapezius", trapezius), ("shoulder", root)):
        ends = caps.start[0, which] + np.linspace(0.0, 1.0, 14)[:, None] * (caps.end - caps.start)[0, which]
        grids[name] = which, tube(*closed(ends, np.full(14, caps.radius[0, which]), 5), 36)
    before = "sound " if side else ""
    half = _trunk(wearer).cut(_OTHER if side else _OWN)
    patches = [half, *(_all_sound(before + name, grid) for name, (_, grid) in grids.items())]
    return _laid(patches, surface, field, parts=[len(caps.radius[0]), *(part for part, _ in grids.values())])


def _laid(patches: list[Patch], surface: Union, field: Field, parts: list[int]) -> list[Patch]:
    """Move patches out onto the blended skin; where another part stands further out the skin is that one's."""
    start = np.concatenate([patch.points.reshape(-1, 3) for patch in patches]).T.copy()
    outward = np.concatenate([patch.normals.reshape(-1, 3) for patch in patches]).T.copy()
    depths = _depths(surface, field, start)
    ends = np.cumsum([patch.sound.size for patch in patches])
    itself, own = np.empty(start.shape[1]), np.empty(start.shape[1])
    for patch, end, part in zip(patches, ends, parts, strict=True):
        here = slice(end - patch.sound.size, end)
        itself[here] = depths[part, here]
        own[here] = depths[[part, part - 2], here].min(axis=0) if part in _ARMS else itself[here]
    least, second = _two_least(depths)
    close = second < _BLENDS  # else a part stands alone, and the patch lies on it already
    close |= itself < -_MISS
    drawn = own - least < _MARGIN
    near = close & drawn
    on, off, slope = _onto(field, start[:, near])
    moved, sound = start, drawn
    moved[:, near] = on
    outward[:, near] = slope / np.maximum(np.linalg.norm(slope, axis=0), 1e-9)
    sound[near] &= np.abs(off) < _MISS
    found = []
    for patch, end in zip(patches, ends, strict=True):
        here, shape = slice(end - patch.sound.size, end), patch.points.shape
        points, normal = moved[:, here].T.reshape(shape), outward[:, here].T.reshape(shape)
        found.append(Patch(patch.name, points, normal, sound[here].reshape(shape[:2]), whole=patch.whole))
    return found


def _two_least(rows: Grid) -> tuple[Grid, Grid]:
    """The least of each column, and the least but one."""
    least, second = np.minimum(rows[0], rows[1]), np.maximum(rows[0], rows[1])
    for row in rows[2:]:
        second = np.minimum(second, np.maximum(least, row))
        least = np.minimum(least, row)
    return least, second


def _onto(field: Field, points: Grid) -> tuple[Grid, Grid, Grid]:
    """Move points towards the skin, shape (3, points): where they come to lie, how far off it, and its slope there."""
    on, (off, slope) = points, field.slope(points)
    for _ in range(4):
        left = np.flatnonzero(np.abs(off) > _CLOSE)
        far, way = off[left], slope[:, left]
        there = on[:, left] - np.clip(far / np.maximum((way * way).sum(axis=0), 0.35), -0.012, 0.012) * way
        on[:, left] = there
        off[left], slope[:, left] = field.slope(there)
    return on, off, slope


def _depths(surface: Union, field: Field, points: Points) -> Grid:
    """How far points stand outside each part alone, the trunk last."""
    caps, trunk = surface.capsules, field.trunk
    assert trunk is not None, "a wearer has a trunk"
    start, axis = caps.start[0], caps.end[0] - caps.start[0]
    square = np.maximum((axis * axis).sum(axis=1), 1e-12)[:, None]
    share = np.clip((axis @ points - (axis * start).sum(axis=1)[:, None]) / square, 0.0, 1.0)
    depths = np.empty((len(start) + 1, points.shape[1]))
    away = points[None] - start[:, :, None] - share[:, None] * axis[:, :, None]
    np.sqrt(np.einsum("kdn,kdn->kn", away, away), out=depths[:-1])
    depths[:-1] -= caps.radius[0][:, None]
    depths[-1] = trunk.value(points)
    return depths


@lru_cache(maxsize=16)
def _trunk(wearer: Wearer) -> Patch:
    """Rings of the mechanics' trunk, from the neck down to the waist, drawn on over the hips."""
    shape = built(wearer)
    trunk = BoundTrunk.of(shape.trunks, _ALL)
    waist, top = float(shape.height["waist"][0]), float(shape.height["c7"][0]) + 0.02
    lowest = waist - HIP_DROP
    low = HIPS[wearer.sex][1] * wearer.stature - wearer.suprasternale_height
    level = np.concatenate([np.linspace(low, waist, 18)[:-1], np.linspace(waist, top, 48)])
    held = np.maximum(level, lowest)
    points = np.zeros((3, len(level)))
    points[1] = held
    half = np.exp(trunk._level(points)[1][0][:2])
    power = np.maximum(trunk._level(points)[1][0][2], 1.3)
    broad, _, seat = HIPS[wearer.sex]
    share = np.clip((waist - level) / (waist - low), 0.0, 1.0)
    smooth = share * share * (3.0 - 2.0 * share)
    hips = max(broad * wearer.stature, 0.5 * 1.02 * wearer.waist_breadth)
    across = half[1] + (hips - half[1]) * np.where(share > 0.0, smooth, 0.0)
    deep = half[0] + (seat * 0.5 * wearer.waist_depth - half[0]) * smooth
    turn = np.linspace(0.0, 2.0 * np.pi, _AROUND, endpoint=False)
    cos, sin = np.abs(np.cos(turn)), np.abs(np.sin(turn))
    reach = ((cos / deep[:, None]) ** power[:, None] + (sin / across[:, None]) ** power[:, None]) ** (
        -1.0 / power[:, None]
    )
    grid = np.stack([reach * np.cos(turn), np.broadcast_to(level[:, None], reach.shape), reach * np.sin(turn)], axis=2)
    return _all_sound("trunk", grid)


def breast_level(wearer: Wearer) -> tuple[float, float]:
    """Say how high a woman's breasts are drawn, and how far they reach downwards.

    Parameters
    ----------
    wearer : Wearer
        Who is drawn.

    Returns
    -------
    tuple of float
        Height of their middle, the mechanics' fullest level of the chest, and how far below it they end: above a strap
        at the diaphragm [m].

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> middle, down = breast_level(Wearer.average("female"))
    >>> 0.03 < down < 0.06
    True
    """
    height = built(wearer).height
    return float(height["chest"][0]), BREAST[-1] * float(height["axilla"][0] - height["waist"][0])


def bust_rise(wearer: Wearer, points: Points) -> Points:
    """Say how far the drawn bust stands out before the mechanics' chest, which is plain.

    Parameters
    ----------
    wearer : Wearer
        Who is drawn.
    points : numpy.ndarray
        Places on the chest, ISB axes or the inner ones of the mechanics, shape (..., 3) [m].

    Returns
    -------
    numpy.ndarray
        Forward, nothing for a man and behind, shape (...) [m].

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> who = Wearer.average("female")
    >>> at = np.array([[0.1, breast_level(who)[0], 0.07], [-0.1, breast_level(who)[0], 0.07]])
    >>> (bust_rise(who, at) > 0.02).tolist()
    [True, False]
    """
    rise = np.zeros(points.shape[:-1])
    if wearer.sex == "male":
        return rise
    aside, size, out, up, _ = BREAST
    radius = size * wearer.chest_depth
    middle, down = breast_level(wearer)
    y = points[..., 1] - middle
    high = np.where(y > 0.0, y / (up * radius), y / down)
    for side in (1.0, -1.0):
        z = (points[..., 2] - side * aside * wearer.chest_breadth) / radius
        inside = np.clip(1.0 - z * z - high * high, 0.0, 1.0)
        rise = np.maximum(rise, out * radius * np.where(y > 0.0, inside**1.6, inside))
    return np.where(points[..., 0] > 0.0, rise, 0.0)


def _bust(wearer: Wearer, patch: Patch) -> Patch:
    """Raise a woman's breasts from the chest: below the straps' course, where the mechanics has a plain chest."""
    if wearer.sex == "male":
        return patch
    raised = bust_rise(wearer, patch.points)
    points = patch.points + raised[..., None] * np.array([1.0, 0.0, 0.0])
    outward = np.where((raised > 0.0)[..., None], normals(points, patch.whole), patch.normals)
    return replace(patch, points=points, normals=outward)


@lru_cache(maxsize=16)
def _beyond(wearer: Wearer) -> Patch:
    """What stands out over the mechanics' trunk: breasts and hips."""
    drawn = _bust(wearer, _trunk(wearer))
    trunk = BoundTrunk.of(built(wearer).trunks, _ALL)
    out = trunk.value(np.ascontiguousarray(drawn.points.reshape(-1, 3).T)).reshape(drawn.sound.shape)
    return replace(drawn, sound=out > _STANDS_OUT)


def _thighs(wearer: Wearer) -> list[Grid]:
    """Upper ends of both thighs, below what any harness touches."""
    broad, crotch, seat = HIPS[wearer.sex]
    hips = max(broad * wearer.stature, 0.5 * 1.02 * wearer.waist_breadth)
    top = crotch * wearer.stature - wearer.suprasternale_height
    thick, thin = THIGH
    down = np.linspace(0.02, -0.24 * wearer.stature, 12)
    grids = []
    for side in (1.0, -1.0):
        radius = np.interp(down, [down[-1], 0.0], [thick * thin * hips, thick * hips])
        deep = radius * (0.5 * seat * wearer.waist_depth) / (thick * hips)
        centre = np.stack([0.0 * down, top + down, side * (hips - radius)], axis=1)
        zero = np.zeros_like(radius)
        grids.append(rings(centre, np.stack([deep, zero, zero], axis=1), np.stack([zero, zero, radius], axis=1), 36))
    return grids
