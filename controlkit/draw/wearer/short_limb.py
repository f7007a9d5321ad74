"""A very short limb in its socket from the side: where the limb stands, where the forearm, and what presses."""

from __future__ import annotations

import math

import numpy as np

from controlkit.draw.page.scene import Arrow, Dot, Frame, Item, Label, Line, Points, Region, Scene
from controlkit.draw.words.pull import Units
from controlkit.draw.words.short_limb import short_limb_words
from controlkit.mechanics.elbow.short_limb import ShortLimbWay
from controlkit.mechanics.inputs import kind
from controlkit.units import show

__all__ = ["short_limb_scene"]

_UPPER, _SHELL, _LIMB, _DEVICE = 0.22, 0.24, 0.085, 0.075  # lengths that are drawn [m]
_THICK, _THIN = 0.040, 0.026  # half breadths of the arm at the elbow and at the wrist [m]
_ARC, _FAR_ARC = 0.115, 0.165  # where the angles are drawn [m]
_PUSH = 0.0006  # length of an arrow for a newton [m]
_LONGEST = 0.09  # of an arrow that is drawn [m]
_LEAST = 1.0  # a force that is drawn [N]
_WHEELS = 0.017  # half of what both wheels of a geared hinge measure together, from axle to axle [m]
_GEARED = 1.05  # a step-up from which a hinge has gears [-]


def short_limb_scene(
    way: ShortLimbWay, *, limb_flexion: float, load: float, lever: float, units: Units = "both"
) -> Scene:
    """Draw one way to flex the forearm of a very short limb, the upper arm hanging.

    Parameters
    ----------
    way : ShortLimbWay
        What the mechanics found for it.
    limb_flexion : float
        How far the limb flexes [rad].
    load : float
        Mass in the device [kg].
    lever : float
        Between where the limb presses in front and behind [m].
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        A sketch: angles and the lever are to scale, the rest is drawn for the eye.
    """
    kind("The way", way, ShortLimbWay, "short_forearm(...)[0]")
    locked = math.isinf(way.most_load)
    forearm = way.rises_to
    limb = way.limb_flexion * forearm / way.elbow_flexion
    to_limb, to_hand = _way(limb), _way(forearm)
    frame = Frame(-0.22, -0.40, 0.50, 0.30, text=0.024)
    items: list[Item] = [Region(_limb(np.array([0.0, 1.0]), _UPPER, _THICK * 1.1, _THICK), "body", "upper arm")]
    if way.one_piece:
        items += _one_piece(to_hand, to_limb)
    else:
        items += _split(to_hand, to_limb)
        items += _lock(to_hand) if locked else _gears(way.elbow_flexion / max(way.limb_flexion, 1e-9), to_hand)
    items.append(Line(_hook(to_hand), "wire", "device"))
    items.append(Label((way.name.capitalize(),), (frame.left + 0.01, frame.bottom + 0.018), "start"))
    if load > 0.0:
        end = (_SHELL + _DEVICE) * to_hand
        box = end + 0.022 * np.array([[-1.0, -2.0], [1.0, -2.0], [1.0, 0.0], [-1.0, 0.0]])
        items.append(Region(box, "cuff", "load"))
        items.append(Label((show(load, "mass", units, 2),), (float(end[0]) + 0.03, float(end[1]) - 0.022), "start"))
    if not locked:
        items += [Line(_arc(limb, _ARC), "now", "angle of the limb"), *_pushes(way, to_limb, lever, units)]
        at = _ARC * _way(0.5 * limb)
        items.append(
            Label(("limb", show(limb, "angle", units, 0)), (-0.12, -0.17), "middle", (float(at[0]), float(at[1])))
        )
    items.append(Line(_arc(forearm, _FAR_ARC), "now", "angle of the forearm"))
    at = _FAR_ARC * _way(0.55 * forearm)
    items.append(
        Label(("forearm", show(forearm, "angle", units, 0)), (0.36, -0.28), "middle", (float(at[0]), float(at[1])))
    )
    words = short_limb_words(way, limb_flexion=limb_flexion, load=load, units=units)
    said = f"From the side, the upper arm hanging; lengths are drawn for the eye. {words}"
    return Scene("A very short limb", said, frame, tuple(items))


def _way(angle: float) -> Points:
    """From the elbow along a segment that is flexed so far: forward is to the right."""
    return np.array([math.sin(angle), -math.cos(angle)])


def _limb(way: Points, length: float, thick: float, thin: float, start: float = 0.0) -> Points:
    """A segment with a round end."""
    aside = np.array([-way[1], way[0]])
    turn = np.linspace(0.5 * math.pi, -0.5 * math.pi, 13)[:, None]
    end = length * way + thin * (np.cos(turn) * 0.5 * way + np.sin(turn) * aside)
    return np.vstack([start * way + thick * aside, end, start * way - thick * aside])


def _hook(way: Points) -> Points:
    """A hook at the end of the forearm."""
    aside = np.array([-way[1], way[0]])
    bow = [(0.0, 0.0), (0.03, 0.012), (0.06, 0.012), (0.075, 0.0), (0.07, -0.012)]
    return np.array([(_SHELL + along) * way + out * aside for along, out in bow])


def _split(to_hand: Points, to_limb: Points) -> list[Item]:
    """A socket for the limb alone, a forearm that goes on without it, and bars that join both to a cuff above."""
    up = np.array([0.0, 1.0])
    cuff = np.array([[-1.2, 0.075], [1.2, 0.075], [1.2, 0.16], [-1.2, 0.16]]) * [_THICK, 1.0]
    return [
        Region(cuff, "leather", "cuff on the upper arm"),
        Line(cuff, "leather edge", "cuff on the upper arm", closed=True),
        Region(_limb(to_hand, _SHELL, _THICK, _THIN, start=0.055), "prosthesis", "forearm shell"),
        Region(_limb(to_limb, _LIMB, 0.8 * _THICK, 0.6 * _THICK), "cuff", "socket of the limb"),
        Line(np.array([0.13 * up, 0.0 * up]), "hinge bar", "hinge"),
        Line(np.array([0.0 * to_hand, 0.13 * to_hand]), "hinge bar", "hinge"),
    ]


def _gears(ratio: float, to_hand: Points) -> list[Item]:
    """Two wheels that mesh at the elbow, as large beside each other as the hinge steps up; a plain joint without."""
    if ratio < _GEARED:
        return [Dot((0.0, 0.0), 0.008, "plate", "joint of the hinge")]
    small = 2.0 * _WHEELS / (1.0 + ratio)
    large = 2.0 * _WHEELS - small
    aside = np.array([-to_hand[1], to_hand[0]])
    items: list[Item] = []
    wheels = (large, -small * aside, "wheel of the limb"), (small, large * aside, "wheel of the forearm")
    for radius, middle, name in wheels:
        turn = np.linspace(0.0, 2.0 * math.pi, 8 * max(round(radius / 0.0035), 4), endpoint=False)
        teeth = radius * (1.0 + 0.09 * np.sign(np.sin(np.arange(len(turn)) * 0.5 * math.pi + 0.1)))[:, None]
        rim = middle + teeth * np.stack([np.cos(turn), np.sin(turn)], axis=1)
        items.append(Region(rim, "plate", name))
        items.append(Dot((float(middle[0]), float(middle[1])), 0.004, "rivet", "axle"))
    return items


def _lock(to_hand: Points) -> list[Item]:
    """The disc with its bolt that holds the forearm, and the cable that lifts it."""
    aside = np.array([-to_hand[1], to_hand[0]])
    lift = np.array([[0.9 * _THICK, 0.19], 0.115 * to_hand + 1.05 * _THICK * aside])  # it only pulls, so it is straight
    bolt = 0.006 * np.array([[-1.0, 1.6], [1.0, 1.6], [1.0, 5.0], [-1.0, 5.0]])
    return [
        Line(lift, "cable", "cable that lifts"),
        Dot((0.0, 0.0), 0.018, "plate", "disc of the lock"),
        Region(bolt, "rivet", "bolt of the lock"),
        Dot((0.0, 0.0), 0.004, "rivet", "axle"),
        Dot((float(lift[1][0]), float(lift[1][1])), 0.006, "rivet", "where the cable lifts"),
    ]


def _one_piece(to_hand: Points, to_limb: Points) -> list[Item]:
    """One shell over limb and elbow: its rim holds on behind the olecranon and above both epicondyles, and no hinge."""
    aside = np.array([-to_hand[1], to_hand[0]])
    end = _limb(to_hand, _SHELL, _THICK, _THIN)[1:-1]
    rim = [(-0.055, -0.75), (-0.050, -0.35), (-0.038, 0.05), (-0.012, 0.45), (0.012, 0.85), (0.020, 1.05)]
    brim = np.array([along * to_hand + _THICK * out * aside for along, out in rim])
    shell = np.vstack([brim, end, 0.0 * to_hand - 1.05 * _THICK * aside])
    inside = _limb(to_limb, _LIMB, 0.8 * _THICK, 0.6 * _THICK)
    return [
        Region(shell, "prosthesis", "socket in one piece"),
        Line(brim, "shell edge", "rim of the socket"),
        Line(inside, "limb", "residual limb", hidden=np.ones(len(inside), dtype=bool)),
    ]


def _arc(angle: float, radius: float) -> Points:
    """An angle from where the segment hangs."""
    return radius * np.array([_way(share * angle) for share in np.linspace(0.0, 1.0, 25)])


def _pushes(way: ShortLimbWay, to_limb: Points, lever: float, units: Units) -> list[Item]:
    """With what the limb presses on its socket at either end: two arrows against each other."""
    if way.couple < _LEAST:
        return []
    ahead = np.array([-to_limb[1], to_limb[0]])
    long = min(_PUSH * way.couple, _LONGEST)
    items: list[Item] = []
    for along, sign in ((_LIMB, 1.0), (_LIMB - lever, -1.0)):
        start = along * to_limb
        end = start + sign * long * ahead
        items.append(Arrow((float(start[0]), float(start[1])), (float(end[0]), float(end[1])), "force", "push"))
    tip = (_LIMB - lever) * to_limb - long * ahead
    name = Label((show(way.couple, "force", units),), (-0.13, 0.06), "middle", (float(tip[0]), float(tip[1])))
    return [*items, name]
