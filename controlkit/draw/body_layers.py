"""The body as layers, nearer parts over farther ones, without seams where parts join."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.anatomy import cuff, head, terminal_device
from controlkit.draw.scene import Item, Line, Region
from controlkit.draw.words import View
from controlkit.mechanics.outline import Outline, outlines

if TYPE_CHECKING:
    from controlkit.mechanics import Pull, Wearer

__all__ = ["body_layers"]

_SOUND = ("sound upper arm", "sound forearm", "sound hand")


def body_layers(wearer: Wearer, pull: Pull, view: View) -> list[Item]:
    """Draw the body and the prosthesis, from the furthest to the nearest part.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pull : Pull
        What the mechanics found for the pose.
    view : str
        "back", "side" or "front".

    Returns
    -------
    list
        Shapes and lines in drawing order.
    """
    parts = {part.name: part for part in outlines(wearer, pull.pose, view)}
    forward = 1.0 if wearer.amputated == "right" else -1.0
    trunk, arm = parts["trunk"], parts["upper arm"]
    head_shape, features = head(parts["head"], view, forward)
    top = Outline("head", head_shape, True, trunk.depth)
    sound = [parts[name] for name in _SOUND if name in parts]
    near = arm.depth > trunk.depth + 0.02
    layers: list[tuple[float, list[Item]]] = []
    if view == "side":
        layers.append((min(part.depth for part in sound), _joined(sound, "body far")))
        joined = [trunk, top]
    else:
        joined = [trunk, top, *sound]
    if near:
        layers.append((arm.depth, _open_at_shoulder(arm)))
    else:
        joined.append(arm)
    layers.append((trunk.depth, [*_joined(joined, "body"), *features]))
    for part in parts.values():
        if part.name == "socket":
            layers.append((part.depth, [Region(part.points, "prosthesis", part.name)]))
        elif part.name == "residual limb":
            covered = np.ones(len(part.points), dtype=bool)
            layers.append((part.depth, [Line(part.points, "outline", part.name, True, covered)]))
    above = arm.depth if near else max(arm.depth, trunk.depth)
    layers.extend((max(depth, above + 0.0005), [item]) for depth, item in cuff(wearer, pull, arm, view))
    forearm = parts["socket"].depth if "socket" in parts else arm.depth
    layers.extend((depth, [item]) for depth, item in terminal_device(wearer, pull, forearm, view))
    layers.sort(key=lambda layer: layer[0])
    return [item for _, items in layers for item in items]


def _joined(parts: list[Outline], style: str) -> list[Item]:
    """Draw parts as one shape: first every edge, then every inside."""
    edges: list[Item] = [Line(part.points, f"{style} edge", part.name, part.closed) for part in parts]
    inside: list[Item] = [Region(part.points, "skin", part.name) for part in parts]
    return edges + inside


def _open_at_shoulder(arm: Outline) -> list[Item]:
    """Draw a near arm whose upper end runs into the shoulder without a line."""
    points = arm.points
    top = len(points) // 4  # the rounded end at the shoulder comes first
    edge = np.vstack([points[top + 4 :], points[: top - 3]])
    return [Region(points, "skin", arm.name), Line(edge, "limb", arm.name)]
