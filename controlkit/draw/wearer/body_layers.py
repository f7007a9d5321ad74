"""The body as layers, nearer parts over farther ones, without seams where parts join."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.scene import Item, Line, Points, Region
from controlkit.draw.wearer.anatomy import head, terminal_device
from controlkit.draw.wearer.posed import posed_outlines
from controlkit.draw.words.pull import View
from controlkit.mechanics.body.outline import Outline

if TYPE_CHECKING:
    from controlkit.mechanics import Pose, Pull, Wearer

__all__ = ["body_layers", "device_layers"]

Layer = tuple[float, tuple[Item, ...]]

_SOUND = ("sound upper arm", "sound forearm", "sound hand")
_FINER = np.linspace(0.0, 1.0, 12)[None, :, None]  # from corner to corner of the trunk's side [-]
_BELOW = 0.45  # of the trunk, drawn on below what the mechanics knows of it [m]
_NECK = 0.080  # of the neck, drawn on into the head so that no edge shows between them [m]


def body_layers(wearer: Wearer, pose: Pose, view: View) -> list[Item]:
    """Draw the body, from the furthest to the nearest part."""
    layers = sorted(_bare(wearer, pose, view), key=lambda layer: layer[0])
    return [item for _, items in layers for item in items]


def device_layers(wearer: Wearer, pull: Pull, view: View) -> list[Item]:
    """Draw the device."""
    depth = posed_outlines(wearer, pull.pose, view)["socket"].depth
    return [item for _, item in terminal_device(wearer, pull, depth, view)]


@lru_cache(maxsize=256)
def _bare(wearer: Wearer, pose: Pose, view: View) -> tuple[Layer, ...]:
    """Draw what does not depend on the harness, once for each pose."""
    parts = posed_outlines(wearer, pose, view)
    trunk, arm = _drawn_on(parts["trunk"]), parts["upper arm"]
    shape, features = head(parts["head"], view, 1.0 if wearer.amputated == "right" else -1.0)
    joined = [trunk, Outline("head", shape, True, trunk.depth)]
    sound = [parts[name] for name in _SOUND]
    layers: list[Layer] = []
    if view == "side":
        layers.append((min(part.depth for part in sound), tuple(_joined(sound, "body far"))))
        layers.append((arm.depth, tuple(_open_at_shoulder(arm))))
    else:
        joined += [*_hand_on_hip(sound, trunk), arm]
    neck = [_neck(parts["trunk"])] if view == "side" else []
    body = [*_joined(joined, "body"), *neck, *features]
    if view == "front":
        body.append(_crease(arm))
    layers.append((trunk.depth, tuple(body)))
    residual = parts["residual limb"]
    covered = np.ones(len(residual.points), dtype=bool)
    layers.append((residual.depth, (Line(residual.points, "outline", residual.name, closed=True, hidden=covered),)))
    return tuple(layers)


def _drawn_on(trunk: Outline) -> Outline:
    """Lead the sides of the trunk on downward, so that they leave the picture instead of ending in it."""
    down = np.array([0.0, -_BELOW])
    return replace(trunk, points=np.vstack([trunk.points[:1] + down, trunk.points, trunk.points[-1:] + down]))


def _neck(trunk: Outline) -> Region:
    half = len(trunk.points) // 2
    right, left = trunk.points[half - 1], trunk.points[half]
    inner = np.array([left + 0.2 * (right - left), left + 0.8 * (right - left)])
    return Region(np.vstack([inner - np.array([0.0, 0.02]), inner[::-1] + np.array([0.0, _NECK])]), "skin", "neck")


def _hand_on_hip(sound: list[Outline], trunk: Outline) -> list[Outline]:
    """Turn the sound forearm in to the hip: the arm stands off for the loop's sake, and stays in the picture."""
    upper, forearm, hand = sound
    elbow, wrist = _ends(forearm.points)
    way, reach = wrist - elbow, float(np.hypot(*(wrist - elbow)))
    side = trunk.points[np.sign(trunk.points[:, 0]) == np.sign(elbow[0])]
    side = (side[:-1, None] + _FINER * (side[1:, None] - side[:-1, None])).reshape(-1, 2)
    side = side[side[:, 1] < elbow[1]]
    if not len(side):
        return sound
    to_hip = side[np.argmin(np.abs(np.hypot(*(side - elbow).T) - reach))] - elbow
    turn = float(np.arctan2(to_hip[1], to_hip[0]) - np.arctan2(way[1], way[0]))
    matrix = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return [upper, *(replace(part, points=elbow + (part.points - elbow) @ matrix) for part in (forearm, hand))]


def _ends(limb: Points) -> tuple[Points, Points]:
    """Middles of the two round ends of a limb, the first and the last half of its outline."""
    half = len(limb) // 2
    return limb[:half].mean(axis=0), limb[half:].mean(axis=0)


def _joined(parts: list[Outline], style: str) -> list[Item]:
    """Draw parts as one shape: first every edge, then every inside."""
    edges: list[Item] = [Line(part.points, f"{style} edge", part.name, closed=part.closed) for part in parts]
    inside: list[Item] = [Region(part.points, "skin", part.name) for part in parts]
    return edges + inside


def _open_at_shoulder(arm: Outline) -> list[Item]:
    """Draw a near arm whose upper end runs into the shoulder without a line."""
    points = arm.points
    top = len(points) // 4  # the rounded end at the shoulder comes first
    edge = np.vstack([points[top + 4 :], points[: top - 3]])
    return [Region(points, "skin", arm.name), Line(edge, "limb", arm.name)]


def _crease(arm: Outline) -> Line:
    """Draw the edges of an arm in front of the chest, below the shoulder."""
    points = arm.points
    half = len(points) // 2
    return Line(np.vstack([points[half - 1 :], points[:1]]), "limb", arm.name)
