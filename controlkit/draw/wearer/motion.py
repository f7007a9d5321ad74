"""The wearer who makes a body control motion, and the way of the device."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.labels import LETTER
from controlkit.draw.page.scene import Arrow, Dot, Label, Scene
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.wearer.scene import wearer_scene
from controlkit.draw.words.pull import Units, View
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.chain.motions import hanging
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import SingleControl
    from controlkit.mechanics.chain.motions import Apart

__all__ = ["motion_scene"]


def motion_scene(apart: Apart, view: View, *, system: SingleControl, units: Units = "both") -> Scene:
    """Draw the wearer and how far the motions have taken the device.

    Parameters
    ----------
    apart : Apart
        The pose, taken apart.
    view : str
        "back", "side" or "front".
    system : SingleControl
        The system that was asked.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    Scene
        The drawing with its words.
    """
    wearer, pose = system.harness.wearer, apart.pull.pose
    scene = wearer_scene(apart.pull, view, system=system, units=units)
    ends = np.stack([posed_joints(wearer, one)["device"] for one in (hanging(pose), pose)])
    (start, end) = (tuple(point) for point in project(ends, view, wearer.amputated).tolist())
    seen = float(np.hypot(end[0] - start[0], end[1] - start[1]))
    way = show(apart.moved, "length", units, 0)
    items = [*scene.items, Dot(start, 0.012, "ring", "where the device was")]
    if seen > 0.03:
        items.append(Arrow(start, end, "force", "way of the device"))
    low = start[1] - 0.08
    words = f"{scene.words} The device has moved {way} through space."
    if apart.moved > 0.001:
        # beside the trunk, not across its edge
        said = f"device moved {way}"
        anchor = "middle" if view == "side" else "start" if start[0] > 0.0 else "end"
        room = LETTER * scene.frame.text * len(said)
        at = min(max(start[0], scene.frame.left + room), scene.frame.right - room) if view != "side" else start[0]
        items.append(Label((said,), (at, low + 0.02), anchor))
        words += " An open circle marks where it was, and an arrow leads from there to where it is."
    frame = replace(scene.frame, bottom=min(scene.frame.bottom, low), top=max(scene.frame.top, end[1] + 0.02))
    return Scene(scene.title, words, frame, tuple(items))
