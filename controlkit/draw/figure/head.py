"""Head, neck and hand of the figure: for the eye alone."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.figure.patches import Grid, closed, rings, tube
from controlkit.draw.figure.proportions import EAR, FACE, FINGERS, HAIR_BEHIND, HEAD, NECK, NOSE, PALM, THUMB
from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Points
from controlkit.mechanics.body.outline import CHIN
from controlkit.mechanics.body.remembered import built

if TYPE_CHECKING:
    from controlkit.mechanics import Wearer

__all__ = ["chin_and_size", "face_lines", "hand", "head", "neck"]

_AHEAD = 0.09  # of the head before the spine's line, in heights of the head [-]
_AROUND = 48
_FINGER = 0.047  # half the breadth of a finger, in lengths of the hand [-]


def chin_and_size(wearer: Wearer) -> tuple[float, float]:
    """Give the height of the chin above the notch of the breastbone, and that of the head.

    Parameters
    ----------
    wearer : Wearer
        The wearer.

    Returns
    -------
    tuple of float
        Both [m].

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> [round(size, 2) for size in chin_and_size(Wearer.average("male"))]
    [0.09, 0.23]
    """
    return CHIN * wearer.stature - wearer.suprasternale_height, (1.0 - CHIN) * wearer.stature


def head(wearer: Wearer, heavy: float) -> Grid:
    """Shape a head with a quiet face.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    heavy : float
        0 for a lean to 1 for a heavy body [-].

    Returns
    -------
    numpy.ndarray
        Rings from the chin up, shape (rings, around, 3), inner axes [m].
    """
    chin, size = chin_and_size(wearer)
    up, behind, ahead, half = through(np.array(HEAD), steps=4).T
    half = half * (1.0 + 0.10 * heavy * np.clip((0.45 - up) / 0.3, 0.0, 1.0))
    grid = _egg(up, behind, ahead, half)
    root, tip, base, out, broad = NOSE
    rise = np.interp(up, [base - 0.02, base + 0.012, tip, root], [0.0, 0.75, 1.0, 0.0]) * out
    aside = grid[..., 2] / (broad * (0.55 + 0.45 * np.interp(up, [base, tip, root], [1.1, 1.0, 0.4]))[:, None])
    grid[..., 0] += np.where(grid[..., 0] > 0.0, rise[:, None] * np.exp(-(aside**2)), 0.0)
    grid[..., 0] += _AHEAD
    return np.asarray(grid * size + np.array([0.0, chin, 0.0]))


def _egg(up: Grid, behind: Grid, ahead: Grid, half: Grid) -> Grid:
    """Rings that reach as far back and forth as told, broadest between."""
    middle = 0.5 * (behind + ahead)
    turn = np.linspace(0.0, 2.0 * np.pi, _AROUND, endpoint=False)
    reach = (0.5 * (ahead - behind))[:, None] * np.cos(turn)
    across = half[:, None] * np.sign(np.sin(turn)) * np.abs(np.sin(turn)) ** 0.92
    return np.stack([middle[:, None] + reach, np.broadcast_to(up[:, None], reach.shape), across], axis=2)


def neck(wearer: Wearer, radius: float) -> Grid:
    """Shape a neck that flows into the shoulders below and ends inside the head.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    radius : float
        Of its base [m].

    Returns
    -------
    numpy.ndarray
        Rings from below up, shape (rings, around, 3), inner axes [m].
    """
    chin, size = chin_and_size(wearer)
    up, own, ahead = through(np.array(NECK), steps=6).T
    slim = 0.80 if wearer.sex == "female" else 0.86
    wide = own * radius * slim
    centres = np.stack([ahead * size, chin + up * size, np.zeros_like(up)], axis=1)
    first = np.stack([wide, np.zeros_like(up), np.zeros_like(up)], axis=1)
    second = np.stack([np.zeros_like(up), np.zeros_like(up), wide], axis=1)
    return rings(centres, first, second, _AROUND)


def hand(wearer: Wearer, wrist: Points, along: Points, palmar: Points) -> list[Grid]:
    """Shape a hand at rest: palm, four fingers a little bent, thumb.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    wrist : numpy.ndarray
        Where it begins, shape (3,), inner axes [m].
    along, palmar : numpy.ndarray
        From the wrist to the knuckles, and out of the palm, shape (3,) [-].

    Returns
    -------
    list of numpy.ndarray
        One grid a part, shape (rings, around, 3) [m].
    """
    size = wearer.hand_length
    palmar = palmar - (palmar @ along) * along
    palmar = palmar / np.linalg.norm(palmar)
    aside = np.cross(palmar, along)
    if aside[0] < 0.0:  # the thumb's side is the front
        aside = -aside

    def place(out: float, side: float = 0.0, palm: float = 0.0) -> Points:
        return np.asarray(wrist + size * (out * along + side * aside + palm * palmar))

    out, half, flat = through(np.array(PALM), steps=3).T
    line, radius = closed(np.array([place(each) for each in out]), size * half, 3)
    thin = np.concatenate([np.full(3, flat[0]), flat, np.full(3, flat[-1])])
    parts = [tube(line, radius, 24, flat=thin, front=palmar)]
    for side, root, long in FINGERS:
        bent = np.array([place(root - 0.06, side), place(root, side, 0.01)])
        down = np.array([0.0, 0.35, 0.70, 1.0])[:, None]
        curl = size * long * (down * along + 0.20 * down**2 * palmar)
        finger = np.vstack([bent[:1], bent[1] + curl])
        thick = size * _FINGER * np.array([1.0, 1.0, 0.98, 0.92, 0.80])
        parts.append(tube(*closed(finger, thick, 3), 12, front=palmar))
    root, tip = THUMB
    thumb = np.array([place(root, 0.17), place(0.28, 0.27, 0.05), place(0.38, 0.305, 0.09), place(tip, 0.30, 0.12)])
    parts.append(tube(*closed(thumb, size * np.array([0.075, 0.062, 0.054, 0.045]), 3), 12, front=palmar))
    return parts


def _nape(wearer: Wearer, places: Points) -> Grid:
    """How far ahead the back of the neck is at some places; far ahead beside it."""
    grid = neck(wearer, float(built(wearer).neck_radius[0]))
    level, middle, radius = grid[:, 0, 1], grid[..., 0].mean(axis=1), np.ptp(grid[..., 2], axis=1) / 2.0
    here, wide = (np.interp(places[:, 1], level, column) for column in (middle, radius))
    inside = np.abs(places[:, 2]) < wide
    return np.where(inside, here - np.sqrt(np.maximum(wide**2 - places[:, 2] ** 2, 0.0)), np.inf)


@lru_cache(maxsize=32)
def face_lines(wearer: Wearer) -> tuple[tuple[str, str, Grid, Points], ...]:
    """Draw a quiet face, ears, and the edge of the hair behind.

    Parameters
    ----------
    wearer : Wearer
        The wearer.

    Returns
    -------
    tuple of tuple
        Name, style, points, shape (M, 3) [m], and which way each faces [-]; inner axes.
    """
    chin, size = chin_and_size(wearer)
    up, behind, ahead, half = through(np.array(HEAD), steps=4).T
    lines: list[tuple[str, str, Grid, Points]] = []

    def put(name: str, places: Grid, facing: Grid) -> None:
        there = places * size + np.array([_AHEAD * size, chin, 0.0])
        lines.append((name, "outline", there, facing))

    def girth(y: Grid) -> tuple[Grid, Grid, Grid]:
        back, front, wide = (np.interp(y, up, column) for column in (behind, ahead, half))
        return 0.5 * (back + front), 0.5 * (front - back), wide

    def fore_and_aft(corners: tuple[tuple[float, float], ...], sign: float, way: float) -> None:
        z, y = through(np.array(corners), steps=4).T
        z = sign * z
        middle, reach, wide = girth(y)
        level = np.sqrt(np.clip(1.0 - (z / wide) ** 2, 0.0, 1.0))
        out = np.stack([level / reach * way, 0.0 * z, z / wide**2], axis=1)
        places = np.stack([middle + way * reach * level, y, z], axis=1)
        put("face" if way > 0.0 else "hair", places, out / np.linalg.norm(out, axis=1, keepdims=True))

    for corners in FACE:
        for sign in (1.0, -1.0):
            fore_and_aft(corners, sign, 1.0)
    fore_and_aft(HAIR_BEHIND, 1.0, -1.0)
    name, style, places, facing = lines[-1]
    nape = _nape(wearer, places)
    lines[-1] = name, style, np.column_stack([np.minimum(places[:, 0], nape), places[:, 1:]]), facing
    x, y = through(np.array(EAR), steps=4).T
    middle, reach, wide = girth(y)
    for sign in (1.0, -1.0):
        z = sign * wide * np.sqrt(np.clip(1.0 - ((x - middle) / reach) ** 2, 0.0, 1.0))
        put("ear", np.stack([x, y, z], axis=1), np.tile([0.0, 0.0, sign], (len(x), 1)))
    return tuple(lines)
