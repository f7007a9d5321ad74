"""The side from which a wearer is seen: one control, and the picture's own ground to drag."""

from __future__ import annotations

import math

from controlkit.draw import Scene
from controlkit.draw.words.pull import View
from controlkit.labs.controls import Slider, Value
from controlkit.labs.page import Handle
from controlkit.mechanics import Wearer

__all__ = ["VIEWS", "ground", "seen_from", "turned"]

VIEWS = (
    ("back", 0.0),
    ("side", math.pi / 2.0),
    ("front", math.pi),
    ("sound side", 1.5 * math.pi),
)
"""Views that have a name, and how far round the wearer each is [rad]."""

_RADIUS = 0.2  # how far the ground is dragged for one radian: what lies nearest follows the finger [m]
_KNOWN: dict[str, View] = {"back": "back", "side": "side", "front": "front"}  # to pictures by their name


def turned(start: str, label: str = "Second view") -> Slider:
    """Make the control that turns a wearer, as a slider with a button for each view that has a name.

    Parameters
    ----------
    start : str
        The view at first, one of `VIEWS`.
    label : str
        Its name on the page.

    Returns
    -------
    Slider
        From behind (0) round the amputated side to behind again [rad].

    Examples
    --------
    >>> turned("side").typed("front", "metric") == math.pi
    True
    """
    return Slider(
        "view",
        label,
        "angle",
        (0.0, 2.0 * math.pi),
        start=dict(VIEWS)[start],
        fine=3.0,
        named=VIEWS,
        turns=True,
        hint="how far you have gone round: 0° behind the wearer, 90° on the amputated side, 180° in front",
    )


def seen_from(value: Value) -> View:
    """Name the view at which such a slider stands, where it has a name.

    Parameters
    ----------
    value : float
        How far round the wearer [rad].

    Returns
    -------
    str or float
        The view as pictures know it, by its name or how far round the wearer [rad].

    Examples
    --------
    >>> seen_from(math.pi / 2.0), seen_from(1.0)
    ('side', 1.0)
    """
    azimuth = float(value) % (2.0 * math.pi - 1e-9)
    for name, at in VIEWS:
        if name in _KNOWN and math.isclose(azimuth, at, abs_tol=1e-6):
            return _KNOWN[name]
    return azimuth


def ground(value: Value, scene: Scene, wearer: Wearer, *, picture: int) -> Handle:
    """Make the picture itself a handle that turns the wearer.

    Parameters
    ----------
    value : float
        Where the slider stands [rad].
    scene : Scene
        The picture.
    wearer : Wearer
        Who is seen.
    picture : int
        Which picture it is, from 0 [-].

    Returns
    -------
    Handle
        What lies nearest to the viewer follows the finger.
    """
    way = -_RADIUS if wearer.amputated == "right" else _RADIUS
    at = scene.frame.left + way * float(value), scene.frame.top
    return Handle("wearer", picture, at, slides=(("view", (way, 0.0)),), whole=True)
