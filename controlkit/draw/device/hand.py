"""A gloved hand in space: thumb, two leading fingers, passive fingers, and the operating lever at its back."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.device.mount import Mount, lever_end, turned
from controlkit.draw.device.wrist import UNIT
from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Points
from controlkit.draw.page.solids import Cord, Drum, Lump, Solid, Tube

if TYPE_CHECKING:
    from controlkit.mechanics.device import Device

__all__ = ["BENT", "KNUCKLE", "hand"]

_PALM = 0.082
"""From the wrist unit to the pivot, which is the knuckle of the leading fingers [m]."""
KNUCKLE = UNIT + _PALM
"""From the wrist to the pivot of a hand [m]."""
BENT = float(np.deg2rad(30.0))
"""How far towards the palm the fingertips meet, seen from the knuckle [rad]."""
_PAD, _THUMB = 0.0072, 0.0084  # radius of a fingertip, and of the thumb's [m]
_FINGER = np.array([[0.0, 0.10], [0.22, 0.26], [0.50, 0.36], [0.78, 0.28], [0.94, 0.13]])
"""Middle line of a leading finger up to its pad, ahead and away from the thumb, as shares of its length [-]."""
_ROOT, _BALL, _KNEE = np.array([[-0.068, -0.010, 0.014], [-0.034, -0.036, 0.027], [0.002, -0.004, 0.004]])
"""Where the thumb begins, its joint in the ball, and how far its next joint stands out [m]."""
_WEB = (0.0185, 0.0165, 0.0142, 0.0100, 0.0150)  # radii of the ball of the thumb, to where it meets the palm [m]
_EDGE = 0.0012  # as much of a part's edge stays where another goes on [m]
_WITHIN = 0.007  # that the glove of a finger goes on into that of the palm [m]
_ACROSS = (0.021, 0.003)  # where the leading fingers stand at the knuckles, to the thumb's side [m]
_PASSIVE = (-0.015, -0.031)  # and the passive ones [m]
_CURLED = np.array([[0.0, 0.0], [0.024, -0.001], [0.044, -0.011], [0.052, -0.030], [0.043, -0.044]])
"""Middle line of a passive finger, ahead and to the back of the hand [m]."""


Put = Callable[[Points], Points]


def hand(device: Device, mount: Mount, angle: float) -> tuple[Solid, ...]:
    """Build a hand of a device's own measures, in a plain glove.

    Parameters
    ----------
    device : Device
        A hand; where the cable opens it the leading fingers turn, where it closes it the thumb does.
    mount : Mount
        Where it sits.
    angle : float
        Of the moving part from shut [rad].

    Returns
    -------
    tuple of Solid
        Its parts, in no order.

    Examples
    --------
    >>> import numpy as np
    >>> from controlkit.mechanics.device import hand_opening
    >>> parts = hand(hand_opening(), Mount(np.zeros(3), np.eye(3)[0], np.eye(3)[1], 0.17), 0.3)
    >>> sorted({part.name for part in parts if part.name.endswith(("finger", "thumb"))})
    ['ball of the thumb', 'index finger', 'little finger', 'middle finger', 'ring finger', 'thumb']
    """

    def put(local: Points) -> Points:
        return mount.space(KNUCKLE, local)

    fingers = angle if device.opens else 0.0
    thumb = 0.0 if device.opens else -angle
    solids: list[Solid] = [*_passive(put)]
    for name, across, tip in (("index finger", _ACROSS[0], 0.006), ("middle finger", _ACROSS[1], -0.010)):
        run = turned(_leading(device.finger, across, tip), fingers - BENT)
        solids.extend(_rooted(put, run, np.linspace(0.0094, _PAD, len(run)), name))
        solids.extend(Cord(put(_crease(run, k, 0.0088)), "crease", "crease", over=0.010) for k in (9, 15))
    run = _thumb(device.finger, thumb)
    thick = np.interp(
        np.linspace(0.0, 1.0, len(run)),
        [0.0, 0.25, 0.5, 0.68, 0.78, 0.9, 1.0],
        [0.0165, 0.0150, 0.0112, 0.0098, 0.0102, 0.0098, _THUMB],
    )
    solids.append(Tube(put(run), thick, "gloved", "thumb", at=put(run[len(run) // 2][None])[0]))
    web = np.vstack([run[:5:2], [[-0.016, -0.004, 0.019]], [[-0.062, 0.0, 0.010]]]), np.array(_WEB)
    inside = Lump(
        put(web[0]),
        web[1] - _EDGE,
        "glove inside",
        "ball of the thumb",
        at=put(run[len(run) // 2][None])[0],
        over=0.0002,
    )
    solids.extend([inside, *_palm(put, web)])
    solids.extend(_lever(device, put, angle))
    return tuple(solids)


def _rooted(put: Put, run: Points, thick: Points, name: str) -> list[Solid]:
    """A finger whose glove goes on into that of the palm, without an edge at its root."""
    counts = put(run[len(run) // 2][None])[0]
    back = run[0] - _WITHIN * (run[1] - run[0]) / np.linalg.norm(run[1] - run[0])
    root = np.vstack([back, run[:3]])
    return [
        Tube(put(run), thick, "gloved", name, at=counts),
        Tube(put(root), 0.93 * np.concatenate([thick[:1], thick[:3]]), "glove inside", name, at=counts, over=0.0001),
    ]


def _leading(long: float, across: float, tip: float) -> Points:
    flat = np.vstack([_FINGER * long, [long, _PAD]])
    share = np.linspace(0.0, 1.0, len(flat)) ** 0.8
    return through(np.column_stack([flat, across + share * (tip - across)]), steps=4)


def _thumb(long: float, swung: float) -> Points:
    """From its root beside the wrist over its joints to its pad, which stands against those of the leading fingers."""
    joint, pad = turned(np.array([[0.80 * long, -0.033, 0.010], [long, -_THUMB, -0.001]]), swung - BENT)
    ball = turned(_BALL[None], 0.45 * swung)[0]
    return through(np.stack([_ROOT, ball, 0.5 * (ball + joint) + _KNEE, joint, pad]), steps=4)


def _crease(run: Points, k: int, radius: float) -> Points:
    """A fold on the back of a finger."""
    ahead = run[k + 1] - run[k - 1]
    ahead = ahead / np.linalg.norm(ahead)
    back = np.array([-ahead[1], ahead[0], 0.0]) / np.hypot(ahead[0], ahead[1])
    turn = np.linspace(-0.9, 0.9, 5)[:, None]
    return np.asarray(run[k] + radius * (np.cos(turn) * back + np.sin(turn) * np.cross(ahead, back)))


def _palm(put: Put, web: tuple[Points, Points]) -> list[Solid]:
    """The palm and the ball of the thumb under one glove, and the glove's edge."""
    knuckles = [[0.0, 0.004, 0.021], [0.002, 0.006, 0.004], [-0.003, 0.003, -0.014], [-0.012, -0.002, -0.029]]
    wrist = [
        [-_PALM + at, 0.0, across] for at, across in ((0.017, 0.003), (0.017, -0.003), (0.032, 0.010), (0.032, -0.011))
    ]
    heel = [[-0.060, -0.010, -0.020], [-0.058, -0.010, 0.018]]
    points = np.array([*knuckles, *wrist, *heel])
    radius = np.array([0.0120, 0.0125, 0.0118, 0.0105, 0.0170, 0.0170, 0.0166, 0.0166, 0.0165, 0.0170])
    cuff = np.array([[-_PALM - 0.003, 0.0, 0.0], [-_PALM + 0.014, 0.0, 0.0]])
    hem = np.array([[-_PALM - 0.006, 0.0, 0.0], [-_PALM - 0.001, 0.0, 0.0]])
    seam = np.array([[-_PALM + 0.011, 0.0, 0.0], [-_PALM + 0.026, 0.0, 0.0]])
    parts, at = ((points, radius), web), put(points).mean(axis=0)
    return [
        *(Lump(put(balls), thick, "gloved", "palm", at=at) for balls, thick in parts),
        *(Lump(put(balls), thick - _EDGE, "glove inside", "palm", at=at, over=0.0001) for balls, thick in parts),
        Drum(put(cuff), np.array([0.0196, 0.0180]), "gloved", "glove"),
        Lump(put(seam), np.array([0.0176, 0.0160]), "glove inside", "glove", over=0.0002, at=at),
        Drum(put(hem), 0.0214, "gloved", "edge of the glove"),
    ]


def _passive(put: Put) -> list[Solid]:
    solids: list[Solid] = []
    for name, across, size in (("ring finger", _PASSIVE[0], 1.0), ("little finger", _PASSIVE[1], 0.84)):
        run = through(np.column_stack([size * _CURLED, np.full(len(_CURLED), across)]), steps=3)
        run[:, 0] -= 0.012 if size < 1.0 else 0.003
        solids.extend(_rooted(put, run, size * np.linspace(0.0094, 0.0076, len(run)), name))
    return solids


def _lever(device: Device, put: Put, angle: float) -> list[Solid]:
    """The operating lever, which comes out of the back of the hand through a slot in the glove."""
    end = lever_end(device, angle)
    level = np.array([0.0, 0.0, 1.0])
    out = np.stack([0.30 * end, end])
    slot = np.array([[-0.012, 0.0178, 0.004], [0.014, 0.0178, 0.004]])
    return [
        Tube(put(slot), 0.0030, "bore", "slot of the lever", over=0.001),
        Tube(put(out), np.array([0.0048, 0.0036]), "metal", "operating lever", gleam="metal light", over=0.002),
        Tube(put(end - np.outer([0.003, 0.017], [1.0, 0.0, 0.0])), 0.0023, "metal", "cable end", cut=True, over=0.003),
        Drum(put(end + np.outer([-0.0045, 0.0045], level)), 0.0052, "metal", "cable end", over=0.004),
    ]
