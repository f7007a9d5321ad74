"""Wrist unit, hook and hand, close to."""

from __future__ import annotations

import numpy as np

from controlkit.draw.details.spots import Part, inset
from controlkit.draw.device.mount import Mount
from controlkit.draw.device.terminal import terminal_device
from controlkit.draw.page.scene import Frame, Line, Points, Scene
from controlkit.draw.page.solids import Drum, Solid, Viewpoint, far_to_near
from controlkit.mechanics.device import Device, hand_opening, hook_opening

__all__ = ["hand_detail", "hook_detail", "wrist_detail"]

_AHEAD, _UP, _NEAR = np.eye(3)
_SOCKET = 0.027  # radius of the socket's end [m]


def _eye(turned: float, raised: float) -> Viewpoint:
    """Look from the side, gone round by an angle and raised by another."""
    right = np.array([np.cos(turned), 0.0, np.sin(turned)])
    level = np.array([-np.sin(turned), 0.0, np.cos(turned)])
    towards = np.cos(raised) * level + np.sin(raised) * _UP
    return Viewpoint(right, np.cross(towards, right), towards)


def _socket(wrist: Points, long: float) -> Drum:
    ends = wrist + np.outer([-long, 0.0], _AHEAD)
    return Drum(ends, np.array([_SOCKET * (1.0 + 1.6 * long), _SOCKET]), "prosthesis", "socket")


def wrist_detail() -> Scene:
    """Draw a hook half unscrewed from its wrist unit.

    Returns
    -------
    Scene
        The detail.
    """
    eye = _eye(-0.42, 0.22)
    wrist = np.array([-0.02, 0.0, 0.0])
    unit = terminal_device(hook_opening(3), Mount(wrist, _AHEAD, _UP, 0.150, arm="left"), 0.0, socket=_SOCKET)
    out = 0.017 * _AHEAD
    solids: list[Solid] = [_socket(wrist, 0.09), *(part for part in unit if part.name == "wrist unit")]
    away = terminal_device(hook_opening(3), Mount(wrist + out, _AHEAD, _UP, 0.150, arm="left"), 0.0, socket=_SOCKET)
    solids.extend(part for part in away if part.name != "wrist unit")
    frame = Frame(-0.120, -0.074, 0.130, 0.082, text=0.0082)
    parts: list[Part] = [
        (("socket",), "socket", "left"),
        (("wrist unit",), "wrist unit", "left"),
        (("stud",), "stud", (0.46, 0.86)),
        (("body", "of the hook"), "body", (0.50, 0.12)),
    ]
    words = (
        "A wrist unit, close to: a short cylinder at the end of the socket. The hook's threaded stud is screwed "
        "into it; here it is half unscrewed. The ring between turns with the hook, and holds it by friction where "
        "it is left."
    )
    return inset("The wrist unit", words, frame, items=far_to_near(solids, eye), parts=parts)


def hook_detail() -> Scene:
    """Draw a split hook, open a little.

    Returns
    -------
    Scene
        The detail.
    """
    parts: list[Part] = [
        (("cable",), "cable", "left"),
        (("cable end",), "cable end", "left"),
        (("thumb", "(operating lever)"), "operating lever", "left"),
        (("stud",), "stud", "left"),
        (("pivot",), "pivot", "left"),
        (("moving finger",), "moving finger", "right"),
        (("lined tip",), "lining of the fixed finger", "right"),
        (("3 bands",), "band 2", "right"),
        (("fixed finger",), "fixed finger", "right"),
    ]
    words = (
        "A voluntary-opening split hook, close to. The cable pulls the thumb, which is the operating lever, back "
        "towards the wrist; the moving finger turns with it about the pivot and opens. Three bands round the "
        "roots of both fingers draw it shut again. The tips are lined, so that they grip."
    )
    return _device(hook_opening(3), 0.028, ("The split hook", words), parts=parts, hand=False)


def hand_detail() -> Scene:
    """Draw a gloved hand, open a little.

    Returns
    -------
    Scene
        The detail.
    """
    parts: list[Part] = [
        (("cable",), "cable", "left"),
        (("operating", "lever"), "operating lever", "left"),
        (("wrist unit",), "wrist unit", "left"),
        (("glove",), "palm", "left"),
        (("leading fingers",), "index finger", "right"),
        (("passive", "fingers"), "ring finger", (0.82, 0.38)),
        (("thumb",), "thumb", "right"),
    ]
    words = (
        "A voluntary-opening hand in its glove, close to. The cable pulls the operating lever at the back of the "
        "hand; the two leading fingers turn away from the thumb and open, and springs inside draw them shut "
        "again. The other two fingers are passive: nothing moves them."
    )
    return _device(hand_opening(), 0.028, ("The hand", words), parts=parts, hand=True)


def _device(device: Device, opening: float, said: tuple[str, str], *, parts: list[Part], hand: bool) -> Scene:
    eye = _eye(-0.30, 0.12)
    wrist = np.array([-0.095, -0.010, 0.0])
    mount = Mount(wrist, _AHEAD, _UP, 0.158, arm="left")
    solids = terminal_device(device, mount, opening, hand=hand, socket=_SOCKET)
    end = np.mean([part.points.mean(axis=0) for part in solids if part.name == "cable end"], axis=0)
    cable = Line(eye.flat(end + np.outer([-0.13, -0.075, 0.0], _AHEAD)), "cable", "cable")
    frame = Frame(-0.175, -0.080, 0.150, 0.095, text=0.0100)
    return inset(*said, frame, items=(cable, *far_to_near([_socket(wrist, 0.03), *solids], eye)), parts=parts)
