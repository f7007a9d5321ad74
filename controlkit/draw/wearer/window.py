"""Windows through which a wearer is seen, and the scale in their corner."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.labels import LETTER
from controlkit.draw.page.scene import Frame, Item, Label, Line
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.words.pull import Units, View
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.body.pose import Pose

if TYPE_CHECKING:
    from controlkit.mechanics import Wearer

__all__ = ["plain_window", "scale_bar", "wide_window", "window"]

_HIGHEST = Pose(arm_flexion=math.radians(90.0), elbow_flexion=math.radians(90.0))  # of the device
_LETTERS = 0.0425  # of a plain window: 12 points on the screen where it is 282 high [-]
# shares of stature: from the spine outward on either side, forward and backward of the shoulder, and down [-]
_SOUND, _OWN, _BEHIND, _BEFORE, _WAIST = 0.268, 0.209, 0.120, 0.432, 0.265
_ASIDE, _BACKWARD, _HANGING = 0.450, 0.290, 0.490  # the same for the straight arm wherever it goes
_PIVOT = 0.110  # forward of the spine, where the axis stands about which a viewer goes round [-]
_ROUND, _WIDE_ROUND, _MARGINS = 0.345, 0.460, 0.520  # half the width of a window for any azimuth [-]


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
        return _turned(wearer, view, half=_MARGINS, low=bottom, text=0.0195 * tall)
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
        The window; those of all views of one wearer are equally high.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> who, bent = Wearer.average("female"), math.radians(90.0)
    >>> level = [Pose(arm_flexion=a, elbow_flexion=bent - a) for a in (0.0, 1.0)]
    >>> len({plain_window(who, pose, "side") for pose in level})
    1
    """
    tall = wearer.stature
    if float(posed_joints(wearer, pose)["device"][1]) < 0.02 * tall - _WAIST * tall:
        return wide_window(wearer, pose, view)
    if not isinstance(view, str):
        return _turned(wearer, view, half=_ROUND, low=-_WAIST * tall, text=_LETTERS * (_top(wearer) + _WAIST * tall))
    behind, before = (_BEHIND, _BEFORE) if view == "side" else (_SOUND, _OWN)
    return _cut(wearer, view, behind=behind, before=before, low=_WAIST)


def wide_window(wearer: Wearer, pose: Pose, view: View) -> Frame:
    """Choose a window without margins that holds the device wherever the arm may bring it; overhead widens it.

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
    tall = wearer.stature
    if isinstance(view, str):
        behind, before = (_BACKWARD, _BEFORE) if view == "side" else (_SOUND, _ASIDE)
        frame = _cut(wearer, view, behind=behind, before=before, low=_HANGING)
    else:
        text = _LETTERS * (_top(wearer) + _HANGING * tall)
        frame = _turned(wearer, view, half=_WIDE_ROUND, low=-_HANGING * tall, text=text)
    return replace(frame, top=max(frame.top, float(posed_joints(wearer, pose)["device"][1]) + 0.01 * tall))


def _turned(wearer: Wearer, view: View, *, half: float, low: float, text: float) -> Frame:
    """Cut out a window that holds the wearer from anywhere: it goes round with the viewer, and keeps its size."""
    tall = wearer.stature
    pivot = np.array([[_PIVOT * tall, 0.0, 0.0]])
    middle = float(project(pivot, view, wearer.amputated)[0, 0])
    return Frame(middle - half * tall, low, middle + half * tall, _top(wearer), text=text)


def _cut(wearer: Wearer, view: View, *, behind: float, before: float, low: float) -> Frame:
    """Cut out a window; the prosthesis is on the right of a right wearer from behind and from the side."""
    tall, top = wearer.stature, _top(wearer)
    left, right = -behind * tall, before * tall
    if (wearer.amputated == "right") == (view == "front"):
        left, right = -right, -left
    return Frame(left, -low * tall, right, top, text=_LETTERS * (top + low * tall))


def _top(wearer: Wearer) -> float:
    """Hold the head, and the device at its highest."""
    tall = wearer.stature
    return max(
        tall * 1.015 - wearer.suprasternale_height, float(posed_joints(wearer, _HIGHEST)["device"][1]) + 0.01 * tall
    )


def scale_bar(frame: Frame, units: Units, right: bool) -> list[Item]:
    """Draw a scale in the lower corner that no arm crosses.

    Parameters
    ----------
    frame : Frame
        The window.
    units : str
        "metric", "inch-pound" or "both".
    right : bool
        Whether that is the right corner.

    Returns
    -------
    list
        The bar and its length in words.
    """
    size, name = (0.1016, "4 in") if units == "inch-pound" else (0.1, "100 mm")
    x, y = frame.left + 0.02 * frame.width, frame.bottom + 0.03 * frame.height
    if right:
        x = frame.right - 0.02 * frame.width - size
    tick = 0.008
    bar = np.array([[x, y + tick], [x, y - tick], [x, y], [x + size, y], [x + size, y + tick], [x + size, y - tick]])
    at, anchor = (x + size / 2, y + frame.text * 0.95), "middle"
    if len(name) * LETTER * frame.text > size + 0.02 * frame.width:  # wider than the scale with what is beside it
        at, anchor = (x + size if right else x, at[1]), "end" if right else "start"
    return [Line(bar, "scale", "scale"), Label((name,), at, anchor)]
