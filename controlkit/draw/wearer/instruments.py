"""Instruments in a picture of the wearer: spring scale, tape and goniometer, where the reading is taken."""

from __future__ import annotations

import numpy as np

from controlkit.draw.page.scene import Arrow, Dot, Frame, Item, Label, Line, Points, Region

__all__ = ["REACH", "goniometer_items", "said_items", "scale_items", "tape_items"]

_BODY, _HALF, _HOOK = 0.120, 0.019, 0.035  # a spring scale: its body, half its width, its hook [m]
_DIVISIONS = 5  # marks on its body [-]
REACH = 0.28
"""How far a spring scale and its pull reach from where it is hooked [m]."""


def scale_items(at: Points, towards: Points) -> tuple[Item, ...]:
    """Draw a spring scale that is hooked to something and pulled.

    Parameters
    ----------
    at : numpy.ndarray
        Where its hook is, shape (2,) [m].
    towards : numpy.ndarray
        Which way it is pulled, shape (2,) [m].

    Returns
    -------
    tuple
        Hook, body with marks, and the pull.
    """
    along = _unit(towards)
    across = np.array([-along[1], along[0]])
    foot = at + _HOOK * along
    head = foot + _BODY * along
    corners = np.array([foot - _HALF * across, foot + _HALF * across, head + _HALF * across, head - _HALF * across])
    marks = tuple(
        Line(
            np.stack([foot + share * _BODY * along, foot + share * _BODY * along + 0.9 * _HALF * across]), "bar", "mark"
        )
        for share in np.linspace(0.15, 0.85, _DIVISIONS)
    )
    pull = Arrow(_pair(head), _pair(head + 0.085 * along), "force", "pull")
    return (
        Line(np.stack([at, foot]), "whisker", "hook of the scale"),
        Dot(_pair(at), 0.006, "ring", "where the scale is hooked"),
        Region(corners, "plate", "spring scale"),
        *marks,
        pull,
    )


def tape_items(points: Points) -> tuple[Item, ...]:
    """Draw a tape along what it measures.

    Parameters
    ----------
    points : numpy.ndarray
        Its course, shape (M, 2) [m].

    Returns
    -------
    tuple
        The tape and both its ends.
    """
    ends: list[Item] = []
    for end, beside in ((points[0], points[1]), (points[-1], points[-2])):
        along = _unit(beside - end) if np.hypot(*(beside - end)) > 1e-6 else np.array([1.0, 0.0])
        across = 0.018 * np.array([-along[1], along[0]])
        ends.append(Line(np.stack([end - across, end + across]), "whisker", "end of the tape"))
    return (Line(points, "moment arm", "tape"), *ends)


def goniometer_items(at: Points, one: Points, other: Points) -> tuple[Item, ...]:
    """Draw a goniometer on a joint.

    Parameters
    ----------
    at : numpy.ndarray
        The joint, shape (2,) [m].
    one, other : numpy.ndarray
        Where its arms point, shape (2,) each [m].

    Returns
    -------
    tuple
        Both arms and the arc between them.
    """
    first, second = (_unit(end - at) for end in (one, other))
    start = float(np.arctan2(first[1], first[0]))
    sweep = float(np.arctan2(first[0] * second[1] - first[1] * second[0], first @ second))
    turned = start + np.linspace(0.0, sweep, 25)
    arc = at + 0.06 * np.stack([np.cos(turned), np.sin(turned)], axis=1)
    return (
        Line(np.stack([at, at + 0.15 * first]), "moment arm", "arm of the goniometer"),
        Line(np.stack([at, at + 0.15 * second]), "moment arm", "arm of the goniometer"),
        Line(arc, "line of pull", "angle"),
        Dot(_pair(at), 0.008, "ring", "axis of the goniometer"),
    )


def _unit(way: Points) -> Points:
    size = float(np.hypot(*way))
    return np.asarray(way / size) if size > 1e-9 else np.array([0.0, 1.0])


def _pair(at: Points) -> tuple[float, float]:
    return float(at[0]), float(at[1])


def said_items(said: str, body: Points, frame: Frame) -> tuple[Label, ...]:
    """Write what an instrument shows into an upper corner of the picture, away from the body.

    Parameters
    ----------
    said : str
        The words; nothing for none.
    body : numpy.ndarray
        Where the shoulder is, shape (2,) [m].
    frame : Frame
        The window.

    Returns
    -------
    tuple of Label
        One label or none.
    """
    if not said:
        return ()
    right = frame.right - float(body[0]) > float(body[0]) - frame.left
    x = (frame.right if right else frame.left) + (-0.4 if right else 0.4) * frame.text
    return (Label((said,), (x, frame.top - frame.text), "end" if right else "start"),)
