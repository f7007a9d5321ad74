"""The moment arm of the control strap: joint centre, line of the pull, and what stands square between them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.labels import boxes, dense, first_free
from controlkit.draw.page.scene import Dot, Frame, Item, Label, Line, Points, Region
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.words.pull import Units, degrees
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.harness.layout import CONTROL_STRAP
from controlkit.units import show

if TYPE_CHECKING:
    from collections.abc import Sequence

    from controlkit.mechanics import DualPull, Pull, Wearer

__all__ = ["lever_items", "lever_words"]

_BEYOND = 0.035  # of the line of the pull, drawn on beyond the foot of the perpendicular [m]
_SQUARE = 0.012  # side of the mark of the right angle [m]
_KEPT_CLEAR = ("contour", "socket", "fixed finger", "moving finger", "wrist unit", "triceps pad", "housing")
# where the value may begin, forward of the shoulder and up, as shares of stature, and whether it runs backward from
# there; the first that is free
_PLACES = (
    (0.085, 0.062, False),
    (-0.120, 0.020, True),
    (0.095, -0.210, False),
    (0.095, -0.240, False),
    (0.270, 0.200, False),
    (0.270, 0.100, False),
    (-0.060, 0.120, True),
)


def _line(wearer: Wearer, pull: Pull | DualPull) -> tuple[Points, Points, Points, float]:
    """Joint, crossbar and direction of the pull there in the picture, and the share of the pull that lies in it."""
    run = pull.straps[CONTROL_STRAP]
    joint = posed_joints(wearer, pull.pose)["shoulder"]
    shoulder, bar, before = project(np.stack([joint, run[-1], run[-2]]), "side", wearer.amputated)
    seen = before - bar
    length = float(np.hypot(*seen))
    return shoulder, bar, seen / length, length / float(np.linalg.norm(run[-2] - run[-1]))


def _foot(shoulder: Points, bar: Points, way: Points) -> Points:
    return np.asarray(bar + way * float((shoulder - bar) @ way))


def lever_items(
    wearer: Wearer, pull: Pull | DualPull, frame: Frame, *, drawn: Sequence[Item], units: Units
) -> list[Item]:
    """Draw the moment arm of the control attachment strap, seen from the side.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pull : Pull or DualPull
        What the mechanics found.
    frame : Frame
        The window.
    drawn : sequence of Item
        What is drawn already; the value keeps clear of straps, arm, head and other words.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    list
        The line of the pull, the perpendicular on it, and on that the moment arm, as long as it is.
    """
    shoulder, bar, way, _ = _line(wearer, pull)
    foot = _foot(shoulder, bar, way)
    square = (foot - shoulder) / max(float(np.hypot(*(foot - shoulder))), 1e-9)
    end = shoulder + pull.moment_arm * square
    away = math.copysign(1.0, float((foot - bar) @ way))
    corner = foot - _SQUARE * square
    mark = np.stack([corner, corner - away * _SQUARE * way, foot - away * _SQUARE * way])
    items: list[Item] = [
        Line(np.stack([bar, foot + away * _BEYOND * way]), "line of pull", "line of the pull"),
        Line(np.stack([shoulder, foot]), "line of pull", "square to the pull"),
        Line(mark, "axis", "right angle"),
        Line(np.stack([shoulder, end]), "moment arm", "moment arm"),
        Dot((float(shoulder[0]), float(shoulder[1])), 0.009, "ring", "shoulder joint"),
    ]
    middle = 0.5 * (shoulder + end)
    target = (float(middle[0]), float(middle[1]))
    ahead = 1.0 if wearer.amputated == "right" else -1.0
    text = f"r = {show(pull.moment_arm, 'length', 'metric' if units == 'both' else units, 0)}"
    tall = wearer.stature
    places = [
        Label((text,), (ahead * x * tall, y * tall), "end" if back == (ahead > 0.0) else "start", target)
        for x, y, back in _PLACES
    ]
    clear = [
        item.points
        for item in drawn
        if isinstance(item, Line | Region) and (item.name in pull.straps or item.name in _KEPT_CLEAR)
    ]
    taken = boxes([item for item in drawn if isinstance(item, Label)], frame)
    return [*items, first_free(places, frame, taken, dense(clear, 0.5 * frame.text))]


def lever_words(wearer: Wearer, pull: Pull | DualPull, units: Units) -> str:
    """Say what the drawn moment arm is, and why the line of the pull may run farther from the joint.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pull : Pull or DualPull
        What the mechanics found.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    shoulder, bar, way, share = _line(wearer, pull)
    apart = float(np.hypot(*(_foot(shoulder, bar, way) - shoulder)))
    said = (
        f"The thick line from the centre of the shoulder joint is the moment arm r of the control attachment strap, "
        f"{show(pull.moment_arm, 'length', units)}, to scale: so much longer the strap's way becomes for each radian "
        f"of arm flexion, the ring held. It is square to the line of the strap's pull at the crossbar (dashed)"
    )
    if apart - pull.moment_arm < 0.002:
        return f"{said}."
    slant = degrees(round(math.acos(min(share, 1.0)), 2))
    return (
        f"{said}, which passes the joint at {show(apart, 'length', units)} in this view: the strap slants {slant} out "
        f"of the picture, so that only part of its pull turns the arm, and the scapula goes along with the arm."
    )
