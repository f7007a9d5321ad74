"""The wearer who makes a body control motion, and the way of the device."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.labels import LETTER, boxes, dense, first_free
from controlkit.draw.page.scene import Arrow, Dot, Label, Line, Region, Scene
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.wearer.scene import wearer_scene
from controlkit.draw.words.pull import Units, View
from controlkit.mechanics.body.outline import project
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import Pose, SingleControl, Wearer
    from controlkit.mechanics.chain.motions import Apart

__all__ = ["device_way", "motion_scene"]

_BELOW = 0.08  # where the device was, down to the window's edge [m]

_AROUND = np.array(
    [[1.0, 0.0], [0.0, 1.0], [-1.0, 0.0], [0.0, -1.0], [1.0, 0.0]]
)  # a point, seen by what must avoid it


def motion_scene(
    apart: Apart,
    view: View,
    *,
    system: SingleControl,
    plain: bool = False,
    lever: bool = False,
    scale: bool = True,
    units: Units = "both",
) -> Scene:
    """Draw the wearer and how far the motions have taken the device.

    Parameters
    ----------
    apart : Apart
        The pose, taken apart.
    view : str
        "back", "side" or "front".
    system : SingleControl
        The system that was asked.
    plain, lever, scale : bool
        As in `wearer_scene`; the window of a plain picture holds the device wherever the arm may bring it.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing with its words.
    """
    pull, wearer = apart.pull, system.harness.wearer
    low = float(posed_joints(wearer, apart.start)["device"][1]) - _BELOW
    scene = wearer_scene(
        pull, view, system=system, plain=plain, wide=plain, lever=lever, scale=scale, bottom=low, units=units
    )
    return device_way(scene, apart.start, pull.pose, view, wearer=wearer, plain=plain, units=units)


def device_way(
    scene: Scene,
    start: Pose,
    now: Pose,
    view: View,
    *,
    wearer: Wearer,
    plain: bool = False,
    units: Units = "both",
) -> Scene:
    """Add to a drawing where the device was, and how far it has gone since.

    Parameters
    ----------
    scene : Scene
        The wearer in the pose of now.
    start : Pose
        Where the motion began.
    now : Pose
        The pose of now.
    view : str
        "back", "side" or "front".
    wearer : Wearer
        The wearer.
    plain : bool
        Whether the drawing is a plain one, whose window is wide and stands still.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing with its words.
    """
    ends = np.stack([posed_joints(wearer, one)["device"] for one in (start, now)])
    (before, after) = (tuple(point) for point in project(ends, view, wearer.amputated).tolist())
    seen = float(np.hypot(after[0] - before[0], after[1] - before[1]))
    moved = float(np.linalg.norm(ends[1] - ends[0]))
    way = show(moved, "length", units, 0)
    items = [*scene.items, Dot(before, 0.012, "ring", "where the device was")]
    if seen > 0.03:
        items.append(Arrow(before, after, "force", "way of the device"))
    low = before[1] - _BELOW
    words = f"{scene.words} The device has moved {way} through space."
    if moved > 0.001:
        # beside the trunk, not across its edge
        said = f"device moved {way}"
        anchor = "middle" if view == "side" else "start" if before[0] > 0.0 else "end"
        room = LETTER * scene.frame.text * len(said)
        at = min(max(before[0], scene.frame.left + room), scene.frame.right - room) if view != "side" else before[0]
        placed = Label((said,), (at, low + 0.02), anchor)
        if plain:
            placed = _beside(
                replace(placed, lines=("device moved", way)), replace(scene, items=tuple(items)), before[0]
            )
        items.append(placed)
        words += " An open circle marks where it was, and an arrow leads from there to where it is."
    frame = scene.frame
    if not plain:
        frame = replace(frame, bottom=min(frame.bottom, low), top=max(frame.top, after[1] + 0.02))
    return Scene(scene.title, words, frame, tuple(items))


def _beside(label: Label, scene: Scene, x: float) -> Label:
    """Move words aside, down or up until they stand in the window and cover neither words nor any line."""
    frame, low = scene.frame, label.at[1]
    half = 0.5 * LETTER * frame.text * max(map(len, label.lines))
    inside = min(max(x, frame.left + half), frame.right - half)
    asides = (inside, *(x + way * 1.2 * half for way in (1.0, -1.0)), frame.right - half, frame.left + half)
    moved = [
        Label(label.lines, (aside, low - down * frame.text), "middle")
        for down in (0.0, 1.3, -1.3, 2.6, -2.6, 4.0, -4.0, 6.0, -6.0, 8.0, 10.0, 12.0, 14.0)
        for aside in asides
    ]
    others = boxes([item for item in scene.items if isinstance(item, Label)], frame)
    drawn = [item.points for item in scene.items if isinstance(item, Line)]
    drawn += [np.vstack([item.points, item.points[:1]]) for item in scene.items if isinstance(item, Region)]
    drawn += [np.array([item.start, item.end]) for item in scene.items if isinstance(item, Arrow)]
    drawn += [np.add(item.at, item.radius * _AROUND) for item in scene.items if isinstance(item, Dot)]
    return first_free([label, *moved], frame, others, dense(drawn, 0.5 * frame.text))
