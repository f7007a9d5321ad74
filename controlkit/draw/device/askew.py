"""Fingers and object seen along the forearm: square, or askew where the device was not pre-positioned."""

from __future__ import annotations

import numpy as np

from controlkit.draw.page.scene import Frame, Item, Label, Line, Points, Region, Scene
from controlkit.draw.page.solids import Solid, Tube, Viewpoint, far_to_near, seen
from controlkit.draw.words.pull import Units
from controlkit.units import show

__all__ = ["askew_scene"]

_TALL = 0.11  # of the object, as on its table [m]
_TIP = 0.0034  # radius of a fingertip [m]
_BOW = 0.016  # how far the fingers stand out behind their tips [m]
_WIDEST = 0.12  # of the picture, each way; a gap that is wider is told and not drawn [m]


def askew_scene(turned: float, width: float, *, opening: float, needed: float, units: Units = "both") -> Scene:
    """Draw the fingertips as they meet an upright object, seen along the forearm.

    Parameters
    ----------
    turned : float
        How far the device is turned away from the object; 0 once it is pre-positioned [rad].
    width : float
        Width of the object [m].
    opening : float
        Distance of the fingertips [m].
    needed : float
        Distance at which they pass the object so; infinite if none does [m].
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing with its words.

    Examples
    --------
    >>> "60.0 mm apart" in askew_scene(1.0472, 0.03, opening=0.04, needed=0.06, units="metric").words
    True
    """
    along = np.array([np.cos(turned), np.sin(turned)])
    box = np.array([[-1.0, 0.0], [1.0, 0.0], [1.0, 2.0], [-1.0, 2.0]]) * 0.5 * np.array([width, _TALL])
    box = box - np.array([0.0, 0.5 * _TALL])
    table = np.array([[-_WIDEST, -0.5 * _TALL], [_WIDEST, -0.5 * _TALL]])
    items: list[Item] = [Line(table, "body edge", "table"), Region(box, "object", "object"), *_fingers(along, opening)]
    if needed < 2.0 * _WIDEST:
        items.append(Line(np.outer([-0.5 * needed, 0.5 * needed], along), "now", "gap that passes the object"))
    angle, apart = show(turned, "angle", units, 0), show(opening, "length", units)
    if np.isinf(needed):
        passes, short = "one stands above the other, and no opening of this device passes it", "cannot pass"
    else:
        gap = show(needed, "length", units)
        passes, short = f"to pass it they must stand more than {gap} apart", f"more than {gap} needed"
    placed = "square to the object" if turned == 0.0 else f"askew by {angle}"
    items.append(Label((f"fingertips {placed}",), (-_WIDEST, 0.098), "start"))
    items.append(Label((f"{apart} apart; {short}",), (-_WIDEST, 0.082), "start"))
    words = (
        f"Seen along the forearm, the fingertips stand {placed}, {apart} apart, at an object "
        f"{show(width, 'length', units)} wide: {passes}."
    )
    return Scene("Fingers and object, seen along the forearm", words, _FRAME, tuple(items))


def _fingers(along: Points, opening: float) -> list[Item]:
    """Both fingertips as they come towards the viewer, inner faces as far apart as the opening is; the rest faintly."""
    flat = np.array([along[0], along[1], 0.0])
    across = np.array([-along[1], along[0], 0.0])
    faint: list[Item] = []
    solids: list[Solid] = []
    for side in (-1.0, 1.0):
        face, bend = side * 0.5 * opening, side * (0.5 * opening + _BOW)
        tip = face + side * _TIP
        back = Tube(np.outer([0.0, bend], flat), np.array([0.0070, 0.0056]), "pinned", "finger")
        faint.extend(
            Line(item.points, "outline", "finger", closed=True)
            for item in seen(back, _AHEAD)
            if isinstance(item, Region)
        )
        solids.append(Tube(np.outer([bend, tip], flat), np.array([0.0052, _TIP + 0.001]), "metal", "fingertip"))
        lining = (face + side * 0.0009) * flat + np.outer([-0.0042, 0.0042], across)
        solids.append(Tube(lining, 0.0011, "lining", "lining of the fingertip", over=0.001))
    return [*faint, *far_to_near(solids, _AHEAD)]


_AHEAD = Viewpoint(np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]))
_FRAME = Frame(-_WIDEST - 0.006, -0.11, _WIDEST + 0.006, 0.115, text=0.0104)
