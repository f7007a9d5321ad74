"""Triceps pad with its front strap, and the hinges that join it to the socket on both sides of the elbow."""

from __future__ import annotations

import numpy as np

from controlkit.draw.gear.arm import Arm
from controlkit.draw.gear.sight import Sight, disc, unit
from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Points
from controlkit.sources import source

__all__ = ["band_grid", "hinge_joints", "hinge_lines", "hinge_starts", "leather", "pad_grid"]

_PAST = 0.16  # how far the pad goes round the arm beyond either hinge; drawn for the eye [rad]
_THICK = 0.0035  # of leather [m]
_HALF_HIGH = 0.15  # half the pad's height, as a share of the upper arm [-]
_WING = 0.52  # of that height, how much is left at its side edges [-]
_BAND = 0.012  # half the width of the front strap [m]
_OFF = 0.002  # that a hinge stands off what it lies on [m]
_HALF_BAR, _JOINT = 0.0065, 0.0115  # half the width of a bar of a rigid hinge, and the radius of its joint [m]
_HALF_HINGE = 0.0095  # half the width of a flexible hinge [m]


def _facing(arm: Arm, sight: Sight, ends: tuple[float, float], count: int) -> Points:
    """Turns round the arm, from the crossbar's, whose side of it the viewer sees; none where no side is."""
    first, last = ends
    x, y = float(arm.out @ sight.towards), float(arm.across @ sight.towards)
    if np.hypot(x, y) < 0.05:
        return np.empty(0)
    middle = float(np.arctan2(y, x))
    middle += 2.0 * np.pi * round((0.5 * (first + last) - middle) / (2.0 * np.pi))
    first, last = max(first, middle - 0.5 * np.pi), min(last, middle + 0.5 * np.pi)
    return np.linspace(first, last, count if last - first > 0.05 else 0)


def _ends(arm: Arm) -> tuple[float, float]:
    """Turns from the crossbar's to either side edge of the pad, which reaches round to both hinges [rad]."""
    outward = float(np.arctan2(arm.outward @ arm.across, arm.outward @ arm.out))
    inward = outward - np.sign(outward) * np.pi
    return min(outward, inward) - _PAST, max(outward, inward) + _PAST


def _round_arm(arm: Arm, turn: Points, low: Points, high: Points, *, rows: int) -> Points:
    share = np.linspace(0.0, 1.0, rows)
    down = low[:, None] + share * (high - low)[:, None]
    way = np.cos(turn)[:, None] * arm.out + np.sin(turn)[:, None] * arm.across
    return np.asarray(arm.shoulder + down[..., None] * arm.along + 1.05 * arm.size * way[:, None, :])


def leather(arm: Arm, laid: Points) -> Points:
    """Give a sheet that lies on the skin the thickness of leather.

    Parameters
    ----------
    arm : Arm
        The arm.
    laid : numpy.ndarray
        A grid on the skin, shape (columns, rows, 3) [m].

    Returns
    -------
    numpy.ndarray
        Its outer face, the same shape [m].
    """
    off = laid - arm.shoulder
    away = unit(off - (off @ arm.along)[..., None] * arm.along)
    return np.asarray(laid + _THICK * away)


def pad_grid(arm: Arm, sight: Sight) -> Points:
    """Shape the triceps pad: a leather half-cuff behind the upper arm, its corners rounded.

    Parameters
    ----------
    arm : Arm
        The arm.
    sight : Sight
        The view.

    Returns
    -------
    numpy.ndarray
        What of it faces the viewer, near the skin, shape (columns, 7, 3) [m]; no columns where its inside does.
    """
    first, last = _ends(arm)
    turn = _facing(arm, sight, (first, last), 29)
    share = np.where(turn > 0.0, turn / last, turn / first)
    half = _HALF_HIGH * arm.length * (1.0 - (1.0 - _WING) * share**3)
    middle = arm.share * arm.length
    return _round_arm(arm, turn, middle - half, middle + half, rows=7)


def band_grid(arm: Arm, sight: Sight, level: float) -> Points:
    """Shape the strap that closes the pad in front of the arm.

    Parameters
    ----------
    arm : Arm
        The arm.
    sight : Sight
        The view.
    level : float
        How far down the arm it lies [m].

    Returns
    -------
    numpy.ndarray or None
        What of it faces the viewer, near the skin, shape (columns, rows, 3) [m].
    """
    over = 0.12  # it begins on the pad
    first, last = _ends(arm)
    turn = _facing(arm, sight, (last - over, 2.0 * np.pi + first + over), 25)
    pad = 0.3 * (arm.share * arm.length) + 0.7 * level
    middle = 0.5 * (first + last) + np.pi
    level_there = level + (pad - level) * ((turn - middle) / (middle - last)) ** 2
    return _round_arm(arm, turn, level_there - _BAND, level_there + _BAND, rows=3)


def hinge_starts(arm: Arm) -> Points:
    """Where on either side a hinge leaves the pad and runs down the arm.

    Parameters
    ----------
    arm : Arm
        The arm.

    Returns
    -------
    numpy.ndarray
        Near the skin, outer side before inner one, shape (6, 3) [m].
    """
    low = np.array([arm.share - 0.2 * _HALF_HIGH, arm.share + 0.5 * _HALF_HIGH, 0.5 * (arm.share + 1.0)])[:, None]
    down = arm.shoulder + low * arm.length * arm.along
    square = [unit(way - (way @ arm.along) * arm.along) for way in (arm.outward, -arm.outward)]
    return np.vstack([down + arm.size * out for out in square])


def hinge_lines(arm: Arm, starts: Points, rigid: bool) -> list[tuple[Points, Points]]:
    """Lead a hinge down either side of the elbow, from the pad to the socket.

    Parameters
    ----------
    arm : Arm
        The arm.
    starts : numpy.ndarray
        Those of `hinge_starts`, laid on the skin, shape (6, 3) [m].
    rigid : bool
        Whether it is a bar with a joint on the elbow's axis, and not a strap.

    Returns
    -------
    list
        For the side away from the trunk and the one towards it, its middle line and from that to its one edge,
        shape (M, 3) each [m].

    Notes
    -----
    A flexible hinge is anchored as far from the wrist as `source("checkout_hinge_anchor")` says; a rigid one ends on
    the upper half of the socket, drawn for the eye.
    """
    anchored = 0.50 if rigid else 1.0 - source("checkout_hinge_anchor").si / arm.forearm
    off = np.array([_THICK + _OFF, _THICK + _OFF, _OFF])[:, None]
    lines = []
    for on_arm, way in zip(np.split(starts, 2), (arm.outward, -arm.outward), strict=True):
        down = on_arm + off * unit(way - (way @ arm.along) * arm.along)
        pivot = arm.elbow + (0.92 * arm.size + _OFF) * way
        shares = np.linspace(0.22, anchored, 2 if rigid else 4)
        on = arm.elbow + shares[:, None] * arm.forearm * arm.heading
        on = on + (arm.radius(shares) + _OFF)[:, None] * way
        if rigid:
            lines.append(_bars(down[0], pivot, on[-1], way))
            continue
        line = through(np.vstack([down, pivot, on]), steps=4)
        lines.append((line, _HALF_HINGE * unit(np.cross(np.gradient(line, axis=0), way))))
    return lines


def _bars(pad: Points, pivot: Points, socket: Points, way: Points) -> tuple[Points, Points]:
    """Two straight bars from a joint, flat in one plane square to the elbow's axis."""
    level = max(float(point @ way) for point in (pad, pivot, socket))
    pad, pivot, socket = (point + (level - float(point @ way)) * way for point in (pad, pivot, socket))
    share = np.linspace(0.0, 1.0, 8)[:, None]
    bars = [one + share * (other - one) for one, other in ((pad, pivot), (pivot, socket))]
    across = [np.repeat(_HALF_BAR * unit(np.cross(bar[-1] - bar[0], way))[None], len(share), axis=0) for bar in bars]
    return np.vstack(bars), np.vstack(across)


def hinge_joints(arm: Arm, bars: list[tuple[Points, Points]]) -> list[Points]:
    """Set the joints of rigid hinges, whose lines are given, on the elbow's axis: circles, shape (24, 3) [m]."""
    return [
        disc(line[len(line) // 2], way, _JOINT)
        for (line, _), way in zip(bars, (arm.outward, -arm.outward), strict=True)
    ]
