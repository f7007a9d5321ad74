"""Windows through which a wearer is seen, and the scale in their corner."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.labels import LETTER
from controlkit.draw.page.scene import Frame, Item, Label, Line, Points
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.words.pull import Units, View
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.body.pose import PairPose, Pose

if TYPE_CHECKING:
    from controlkit.mechanics import Wearer

__all__ = ["pair_window", "plain_window", "scale_bar", "trunk_window", "wide_window", "window"]

_HIGHEST = Pose(arm_flexion=math.radians(90.0), elbow_flexion=math.radians(90.0))  # of the device
_ONE_SCALE = 1.88  # stature up to which windows are equally wide, so that all wearers are drawn to one scale [m]
_WAIST, _HANGING = 0.265, 0.490  # from the shoulders down, as shares of the wearer's own stature [-]
# half the width of a window for any azimuth, and the place that is its middle, forward of the spine and outward of it
# on the side of the prosthesis; from straight behind, where the forearm hides behind the trunk, and from straight in
# front, where it points at the viewer, less will do: all as shares of that stature, or of a taller wearer's own [-]
_ROUND, _ROUND_AT = 0.323, (0.203, -0.054)
_BEHIND, _BEHIND_AT = 0.266, (0.0, -0.051)
_WIDE, _WIDE_AT = 0.368, (0.070, 0.045)
# of a wearer with two prostheses, both arms alike about the spine: from straight behind or in front, and from elsewhere
_PAIR, _PAIR_ROUND, _PAIR_AT, _PAIR_HANGING = 0.235, 0.300, 0.150, 0.360
_PAIR_FAR = 0.440  # the same where a straight arm is held out before or behind the wearer
_WIDEST = 0.510  # half the width that holds a straight arm held out to the side [-]
_LETTERS, _WIDE_LETTERS = 0.0248, 0.0312  # a line of text is 12 points high on a stage 560 points wide [-]
_PIVOT = 0.110  # forward of the spine, where the axis stands about which a viewer goes round [-]
_MARGINS = 0.520  # half the width of a window with margins for any azimuth [-]


def window(wearer: Wearer, pose: Pose, view: View) -> Frame:
    """Choose a window with margins; it depends on the wearer alone, so that it stands still; a low device widens it.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round [rad].

    Returns
    -------
    Frame
        The window; from any azimuth that has no name it has one size.
    """
    tall = wearer.stature
    head, width = tall * 1.015 - wearer.suprasternale_height, 0.72 * tall
    bottom = min(head - 0.50 * tall, float(posed_joints(wearer, pose)["device"][1]) - 0.02 * tall)
    if not isinstance(view, str):
        pivot = float(project(np.array([_PIVOT * tall, 0.0, 0.0]), view, wearer.amputated)[0])
        half = _MARGINS * tall
        return Frame(pivot - half, bottom, pivot + half, _top(wearer), text=0.0195 * tall)
    middle = 0.0
    if view == "side":
        middle = 0.095 * tall * (1.0 if wearer.amputated == "right" else -1.0)
    return Frame(middle - width / 2, bottom, middle + width / 2, _top(wearer), text=0.0195 * tall)


def plain_window(wearer: Wearer, pose: Pose, view: View) -> Frame:
    """Choose a narrow window without margins that stands still while the arm flexes; a low device takes the wide one.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round [rad].

    Returns
    -------
    Frame
        The window: of one size from anywhere but straight behind or in front, where it is narrower and as high; as
        wide for all wearers up to 1.88 m tall.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> who, bent = Wearer.average("female"), math.radians(90.0)
    >>> level = [Pose(arm_flexion=a, elbow_flexion=bent - a) for a in (0.0, 1.0)]
    >>> len({plain_window(who, pose, "side") for pose in level})
    1
    """
    if float(posed_joints(wearer, pose)["device"][1]) < (0.02 - _WAIST) * wearer.stature:
        return wide_window(wearer, pose, view)
    return trunk_window(wearer, view)


def trunk_window(wearer: Wearer, view: View) -> Frame:
    """Choose the narrow window of `plain_window`, wherever the device is: one that hangs low is below it.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round [rad].

    Returns
    -------
    Frame
        The window.
    """
    tall = _tall(wearer)
    half, at = (_BEHIND, _BEHIND_AT) if view in ("back", "front") else (_ROUND, _ROUND_AT)
    middle = _middle(wearer, at)
    return _round(wearer, view, half=half * tall, middle=middle, low=_WAIST * wearer.stature, text=_LETTERS * tall)


def pair_window(wearer: Wearer, view: View, pose: PairPose | None = None) -> Frame:
    """Choose a narrow window without margins for two prostheses, deeper for low hooks and wider for far ones.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round [rad].
    pose : PairPose, optional
        Where both arms are; devices that hang low, or are held far out, are held too.

    Returns
    -------
    Frame
        The window: of one size from anywhere but straight behind or in front, where it is narrower and as high.
    """
    tall, hanging, reach = _tall(wearer), _PAIR_HANGING, _PAIR_ROUND
    middle = tall * np.array([_PAIR_AT, 0.0, 0.0])
    if pose is not None:
        devices = np.array([posed_joints(wearer, each)["device"] for each in (pose, pose.other)])
        if float(devices[:, 1].min()) < (0.02 - hanging) * wearer.stature:
            hanging = _HANGING  # in one step: it stands still otherwise
        if float(np.hypot(*(devices - middle)[:, [0, 2]].T).max()) > (reach - 0.02) * tall:
            reach = _PAIR_FAR
    half = _PAIR if view in ("back", "front") else reach
    low = hanging * wearer.stature
    return _round(wearer, view, half=half * tall, middle=middle, low=low, text=_LETTERS * tall)


def wide_window(wearer: Wearer, pose: Pose, view: View) -> Frame:
    """Choose a window without margins that holds the device wherever the arm may bring it; far out or up widens it.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round [rad].

    Returns
    -------
    Frame
        The window.
    """
    tall, middle = _tall(wearer), _middle(wearer, _WIDE_AT)
    device = posed_joints(wearer, pose)["device"]
    far = float(np.hypot(device[0] - middle[0], device[2] - middle[2])) + 0.02 * wearer.stature
    half = _WIDE if far < _WIDE * tall else _WIDEST  # in one step: it stands still otherwise
    low, text = _HANGING * wearer.stature, _WIDE_LETTERS * tall
    frame = _round(wearer, view, half=half * tall, middle=middle, low=low, text=text)
    return replace(frame, top=max(frame.top, float(device[1]) + 0.01 * wearer.stature))


def _tall(wearer: Wearer) -> float:
    """Stature for which a window without margins is made [m]."""
    return max(wearer.stature, _ONE_SCALE)


def _middle(wearer: Wearer, at: tuple[float, float]) -> Points:
    """Place of a window's middle forward of the spine and outward of it on the side of the prosthesis [m]."""
    return _tall(wearer) * np.array([at[0], 0.0, at[1] if wearer.amputated == "right" else -at[1]])


def _round(wearer: Wearer, view: View, *, half: float, middle: Points, low: float, text: float) -> Frame:
    """Cut out a window that goes round with the viewer about a place beside the spine, and keeps its size."""
    x = float(project(middle, view, wearer.amputated)[0])
    return Frame(x - half, -low, x + half, _top(wearer), text=text)


def _top(wearer: Wearer) -> float:
    """Hold the head, and the device at its highest."""
    tall = wearer.stature
    return max(
        tall * 1.015 - wearer.suprasternale_height, float(posed_joints(wearer, _HIGHEST)["device"][1]) + 0.01 * tall
    )


def scale_bar(frame: Frame, units: Units, right: bool, *, high: bool = False) -> list[Item]:
    """Draw a scale in the corner that no arm crosses.

    Parameters
    ----------
    frame : Frame
        The window.
    units : str
        "metric", "inch-pound" or "both".
    right : bool
        Whether that is the right corner.
    high : bool
        Whether it is an upper one: beside the head, where two hanging hooks would cover either lower one.

    Returns
    -------
    list
        The bar and its length in words.
    """
    size, name = (0.1016, "4 in") if units == "inch-pound" else (0.1, "100 mm")
    x, y = frame.left + 0.02 * frame.width, frame.bottom + 0.03 * frame.height
    if high:
        y = frame.top - 0.03 * frame.height - frame.text * 1.6
    if right:
        x = frame.right - 0.02 * frame.width - size
    tick = 0.008
    bar = np.array([[x, y + tick], [x, y - tick], [x, y], [x + size, y], [x + size, y + tick], [x + size, y - tick]])
    at, anchor = (x + size / 2, y + frame.text * 0.95), "middle"
    if len(name) * LETTER * frame.text > size + 0.02 * frame.width:  # wider than the scale with what is beside it
        at, anchor = (x + size if right else x, at[1]), "end" if right else "start"
    return [Line(bar, "scale", "scale"), Label((name,), at, anchor)]
