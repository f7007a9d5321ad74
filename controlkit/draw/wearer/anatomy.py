"""What the eye expects of a body and the mechanics has no use for.

Head, ears, spine, scapulae, collar bones and hook are drawn from
landmarks so that the picture reads as a person. Nothing is computed with
them; the resting scapula is that of the mechanics.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.device.split_hook import split_hook
from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Dot, Item, Line, Points, Region
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.words.pull import View
from controlkit.mechanics.body.outline import Outline, project
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.scapula import BORDERS

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, Wearer

__all__ = ["head", "landmarks", "terminal_device"]

# Shapes in heights of the head, from the chin; first to the face, second up.
_PROFILE = (
    (-0.22, 0.06), (-0.33, 0.22), (-0.42, 0.40), (-0.445, 0.60), (-0.37, 0.82), (-0.19, 0.965),
    (0.05, 1.0), (0.25, 0.95), (0.355, 0.83), (0.385, 0.70), (0.39, 0.61), (0.368, 0.555),
    (0.41, 0.47), (0.455, 0.40), (0.435, 0.368), (0.385, 0.35), (0.40, 0.30), (0.378, 0.262),
    (0.392, 0.22), (0.362, 0.17), (0.375, 0.10), (0.33, 0.015), (0.22, 0.012), (0.06, 0.08), (-0.04, 0.16),
)  # fmt: skip
_FACE = (
    (0.0, 1.0), (0.14, 0.985), (0.25, 0.92), (0.32, 0.80), (0.338, 0.66), (0.33, 0.54),
    (0.372, 0.55), (0.378, 0.47), (0.352, 0.37), (0.316, 0.36), (0.295, 0.24), (0.235, 0.11), (0.12, 0.015),
    (0.0, 0.0),
)  # fmt: skip
_EAR = ((-0.045, 0.50), (-0.09, 0.53), (-0.105, 0.45), (-0.075, 0.37), (-0.035, 0.36), (-0.03, 0.41))
_HAIRLINE = ((-0.22, 0.20), (-0.12, 0.145), (0.0, 0.135), (0.12, 0.145), (0.22, 0.20))
_BROWS = ((0.07, 0.585), (0.13, 0.60), (0.20, 0.58))
_EYE = ((0.085, 0.515), (0.135, 0.53), (0.185, 0.512))
_NOSE = ((0.015, 0.50), (0.02, 0.42), (0.05, 0.355), (0.0, 0.335), (-0.03, 0.35))
_CHIN = ((-0.20, 0.085), (-0.12, 0.018), (0.0, 0.0), (0.12, 0.018), (0.20, 0.085))
_MOUTH = ((-0.10, 0.225), (-0.04, 0.235), (0.0, 0.228), (0.04, 0.235), (0.10, 0.225))

_SCAPULA_SPINE = ((0.032, 0.048), (0.062, 0.038), (0.090, 0.028))  # in parts of stature, as the scapula's borders
_TURNS = 1.0 / 3.0  # of the raised arm, turned by the scapula


Corners = tuple[tuple[float, float], ...]


@lru_cache(maxsize=64)
def _smooth(corners: Corners, closed: bool = False, steps: int = 4) -> Points:
    return through(np.array(corners), closed, steps)


def head(part: Outline, view: View, forward: float) -> tuple[Points, list[Item]]:
    """Give the head its shape within the size that the mechanics gave it.

    Parameters
    ----------
    part : Outline
        The plain head.
    view : str
        "back", "side" or "front".
    forward : float
        1 if the face looks to the viewer's right in the side view, -1 otherwise [-].

    Returns
    -------
    tuple
        The outline, shape (M, 2) [m], and the lines inside it.
    """
    low, high = float(part.points[:, 1].min()), float(part.points[:, 1].max())
    middle = float(part.points[:, 0].min() + part.points[:, 0].max()) / 2
    tall = high - low

    def put(corners: Corners, side: float = 1.0, closed: bool = False) -> Points:
        put_there: Points = _smooth(corners, closed) * np.array([side * tall, tall]) + np.array([middle, low])
        return put_there

    if view == "side":
        return put(_PROFILE, forward, True), [Line(put(_EAR, forward), "outline", "ear")]
    half = put(_FACE)
    mirrored = half[::-1] * np.array([-1.0, 1.0]) + np.array([2 * middle, 0.0])
    outline = np.vstack([half, mirrored[1:-1]])
    if view == "back":
        return outline, [Line(put(_HAIRLINE), "outline", "hairline")]
    inside: list[Item] = [Line(put(shape, side), "outline", "face") for shape in (_BROWS, _EYE) for side in (1.0, -1.0)]
    inside += [Line(put(shape), "outline", "face") for shape in (_NOSE, _MOUTH, _CHIN)]
    return outline, inside


@lru_cache(maxsize=256)
def landmarks(wearer: Wearer, pose: Pose, view: View) -> tuple[Item, ...]:
    """Draw the bones by which a fitter finds her way.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.
    view : str
        "back", "side" or "front".

    Returns
    -------
    tuple
        Spine and scapulae from behind, collar bones from the front.
    """
    body = posed_joints(wearer, pose)
    own = 1.0 if (wearer.amputated == "right") == (view == "back") else -1.0
    tall = wearer.stature
    items: list[Item] = []
    if view == "back":
        top = float(body["c7"][1])
        spine = np.stack([np.zeros(24), np.linspace(top - 0.02, top - 0.30 * tall, 24)], axis=1)
        items.append(Line(spine, "furrow", "spine"))
        rest = posed_joints(wearer, Pose())["shoulder"]
        shift = body["shoulder"] - rest
        slide = 0.6 * float(np.hypot(shift[0], shift[2])), float(shift[1])
        turn = (max(pose.arm_flexion, 0.0) + pose.arm_abduction) * _TURNS
        for side, away, angle in ((own, slide, turn), (-own, (0.0, 0.0), pose.sound_arm_abduction * _TURNS)):
            items.extend(_scapula(tall, top, side, slide=away, turn=angle))
        items.append(Dot((0.0, top), 0.006, "landmark", "C7"))
    elif view == "front":
        for name, side in (("shoulder", own), ("sound shoulder", -own)):
            outer = body[name]
            tip = np.array([side * (abs(float(outer[2])) - 0.012), float(outer[1]) + 0.030])
            inner = np.array([side * 0.022, -0.006])
            bend = (inner + tip) / 2 + np.array([side * -0.015, -0.010])
            bone = _smooth(((inner[0], inner[1]), (bend[0], bend[1]), (tip[0], tip[1])))
            items.append(Line(bone, "furrow", "collar bone"))
    return tuple(items)


def _scapula(tall: float, top: float, side: float, *, slide: tuple[float, float], turn: float) -> list[Item]:
    """Place a scapula: slid round the chest, its lower tip swung outward."""
    cos, sin = np.cos(turn), np.sin(turn)
    pivot = np.array([0.060, 0.045]) * tall
    items: list[Item] = []
    for corners, name in ((BORDERS, "scapula"), (_SCAPULA_SPINE, "spine of the scapula")):
        local = _smooth(corners, closed=False) * tall - pivot
        x = local[:, 0] * cos + local[:, 1] * sin
        down = local[:, 1] * cos - local[:, 0] * sin
        points = np.stack([side * (x + pivot[0] + slide[0]), top - down - pivot[1] + slide[1]], axis=1)
        items.append(Line(points, "furrow", name))
    return items


def terminal_device(wearer: Wearer, pull: Pull, depth: float, view: View) -> list[tuple[float, Item]]:
    """Draw a split hook beyond the wrist, open as far as the result says.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pull : Pull
        What the mechanics found; its opening is that of the fingertips [m].
    depth : float
        Depth of the forearm [m].
    view : str
        "back", "side" or "front".

    Returns
    -------
    list
        Depth [m] and shapes.
    """
    body = posed_joints(wearer, pull.pose)
    ends = project(np.stack([body["wrist"], body["device"]]), view, wearer.amputated)
    reach = float(np.linalg.norm(body["device"] - body["wrist"]))
    along = (ends[1] - ends[0]) / reach  # shorter than 1 when it points at the viewer
    seen = float(np.hypot(along[0], along[1]))
    if seen < 0.15:
        return []
    across = np.array([-along[1], along[0]]) / seen
    angle = min(pull.opening / (0.75 * reach), 1.2)
    layers: list[tuple[float, Item]] = []
    layers.extend((depth + 0.003, finger) for finger in split_hook(ends[0], along, across, reach=reach, angle=angle))
    corners = ((-0.005, -0.024), (0.14 * reach, -0.018), (0.14 * reach, 0.018), (-0.005, 0.024))
    wrist = np.array([ends[0] + x * along + y * across for x, y in corners])
    layers.append((depth + 0.004, Region(wrist, "cuff", "wrist unit")))
    return layers
