"""An elbow lock with its cover off: notched plate, bolt, the wheel that changes it over, lever and cable."""

from __future__ import annotations

import numpy as np

from controlkit.draw.details.spots import Part, inset
from controlkit.draw.page.scene import Frame, Item, Points, Scene
from controlkit.draw.page.solids import Cord, Drum, Plate, Solid, Tube, Viewpoint, seen

__all__ = ["lock_detail"]

_EYE = Viewpoint(np.array([0.985, 0.0, 0.174]), np.array([0.0, 1.0, 0.0]), np.array([-0.174, 0.0, 0.985]))
_AXIS = np.array([0.0, -0.046])  # of the elbow [m]
_RIM, _DEEP, _WIDE = 0.043, 0.0085, 0.09  # radius of the notched plate, depth of a notch [m], and half its width [rad]
_NOTCHES = np.deg2rad(np.arange(-58.0, 59.0, 19.333))  # from the bolt; it sits in one of them
_BAR, _COLLAR = 0.0036, 0.0125  # half the bolt's breadth, and of its collar's [m]
_WHEEL, _HIGH, _LOW = np.array([-0.020, 0.004]), 0.0125, 0.0085  # where the wheel turns, and its radii [m]
_THICK = np.array([0.0, 0.0, 0.004])


def _level(depth: float, points: Points) -> Points:
    return np.column_stack([points, np.full(len(points), depth)])


def _round(centre: Points, radius: Points | float, turn: Points) -> Points:
    return np.asarray(centre + np.column_stack([radius * np.sin(turn), radius * np.cos(turn)]))


def _notched() -> Points:
    """A plate fixed to the forearm, a notch in its rim for each position of the lock."""
    rim: list[Points] = []
    for at in _NOTCHES:
        turn = at + _WIDE * np.array([-1.0, -0.9, 0.9, 1.0])
        rim.append(_round(_AXIS, np.array([_RIM, _RIM - _DEEP, _RIM - _DEEP, _RIM]), turn))
        if at < _NOTCHES[-1]:
            rim.append(_round(_AXIS, _RIM, np.linspace(at + _WIDE, at + np.diff(_NOTCHES)[0] - _WIDE, 4)[1:-1]))
    ends = _round(_AXIS, _RIM, np.array([_NOTCHES[-1] + 0.25, np.pi - 0.6]))
    foot = _round(_AXIS, 0.016, np.linspace(np.pi - 0.5, np.pi + 0.9, 7))
    begin = _round(_AXIS, _RIM, np.array([_NOTCHES[0] - 0.25]))
    return np.vstack([*rim, ends[:1], foot, begin])


def _wheel() -> Points:
    """A wheel with high and low places by turns; the bolt's collar rests on it."""
    turn = np.linspace(0.0, 2.0 * np.pi, 49)[:-1]
    share = 0.5 - 0.5 * np.cos(4.0 * turn)
    return _round(_WHEEL, _LOW + (_HIGH - _LOW) * share**0.6, turn)


def _solids() -> list[Solid]:
    """Case, plate, bolt, wheel and lever, the farthest first."""
    turn = np.linspace(0.5 * np.pi, 1.5 * np.pi, 17)
    case = np.vstack([[[-0.046, 0.052]], [[0.046, 0.052]], _round(_AXIS, 0.047, turn)])
    table = np.array([[-0.052, 0.052], [0.052, 0.052], [0.052, 0.059], [-0.052, 0.059]])
    arm = _round(_AXIS, np.array([0.020, 0.118, 0.118, 0.020]), np.array([1.72, 1.98, 2.20, 2.60]))
    low = _AXIS[1] + _RIM - _DEEP
    bolt = np.array([[-_BAR, low], [_BAR, low], [_BAR, 0.040], [-_BAR, 0.040]])
    collar = np.array([[-0.026, 0.0128], [_COLLAR, 0.0128], [_COLLAR, 0.0186], [-0.026, 0.0186]])
    lever = np.array([[-0.020, 0.0005], [-0.043, 0.0105], [-0.043, 0.0145], [-0.019, 0.0075]])
    return [
        Plate(_level(-0.010, case), "cuff", "elbow unit"),
        Plate(_level(-0.006, table), "metal", "turntable", thick=3.0 * _THICK),
        Plate(_level(0.0, arm), "prosthesis", "arm of the forearm shell", thick=_THICK),
        Plate(_level(0.002, _notched()), "plate", "notched plate", thick=_THICK),
        Drum(np.array([[*_AXIS, 0.002], [*_AXIS, 0.010]]), 0.0075, "metal", "elbow axis"),
        Plate(_level(0.004, bolt), "hanger", "bolt", thick=_THICK),
        Plate(_level(0.006, collar), "hanger", "collar of the bolt", thick=_THICK),
        Plate(_level(0.006, _wheel()), "metal", "wheel", thick=_THICK),
        Plate(_level(0.010, lever), "plate", "lever", thick=_THICK),
        Drum(np.array([[*_WHEEL, 0.010], [*_WHEEL, 0.014]]), 0.0030, "rivet", "pin of the wheel"),
        Cord(_level(0.012, np.array([[-0.041, 0.0125], [-0.041, 0.082]])), "cable", "lock cable"),
        Drum(np.array([[-0.041, 0.0105, 0.012], [-0.041, 0.0145, 0.012]]), 0.0026, "metal", "end of the cable"),
    ]


def _spring() -> Tube:
    """The spring that presses the bolt into the plate, wound round it between collar and turntable."""
    along = np.linspace(0.0205, 0.049, 13)
    aside = 0.0085 * np.where(np.arange(13) % 2, 1.0, -1.0)
    return Tube(_level(0.010, np.column_stack([aside, along])), 0.0009, "plate", "spring")


def lock_detail() -> Scene:
    """Draw an elbow lock, locked.

    Returns
    -------
    Scene
        The detail.
    """
    items: list[Item] = [item for solid in (*_solids(), _spring()) for item in seen(solid, _EYE)]
    parts: list[Part] = [
        (("lock cable,", "to its strap"), "lock cable", (0.27, 0.92)),
        (("turntable",), "turntable", (0.74, 0.86)),
        (("spring",), "spring", (0.74, 0.765)),
        (("elbow unit",), "elbow unit", (0.27, 0.14)),
        (("bolt",), "bolt", (0.74, 0.575)),
        (("lever",), "lever", (0.27, 0.65)),
        (("wheel:", "on and off", "by turns"), "wheel", (0.27, 0.50)),
        (("notched plate:", "one notch", "a position"), "notched plate", (0.73, 0.44)),
        (("elbow axis",), "elbow axis", (0.27, 0.28)),
        (("to the", "forearm", "shell"), "arm of the forearm shell", (0.86, 0.22)),
    ]
    words = (
        "An elbow lock in the elbow unit below the turntable, drawn in principle, the cover off and locked. The "
        "notched plate turns with the forearm about the elbow axis; it has one notch a position. A spring presses the "
        "bolt into a notch. A short pull at the lock cable, and letting go, turns the wheel one step by its lever: a "
        "high place of the wheel lifts the bolt out and leaves the elbow free, the next place is low and lets it in "
        "again. So the lock goes on and off by turns. A forearm that hangs on the bolt jams it: under load it does not "
        "let go."
    )
    frame = Frame(-0.150, -0.105, 0.155, 0.098, text=0.0092)
    return inset("The elbow lock", words, frame, items=items, parts=parts)
