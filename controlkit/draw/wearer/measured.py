"""The wearer with an instrument where a reading is taken."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.scene import Item, Points, Scene
from controlkit.draw.wearer.instruments import REACH, goniometer_items, said_items, scale_items, tape_items
from controlkit.draw.wearer.posed import posed_joints
from controlkit.draw.words.pull import View
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.harness.layout import CONTROL_STRAP

if TYPE_CHECKING:
    from controlkit.mechanics import DualPull, Pull, Wearer

__all__ = ["SPOTS", "measured_scene"]

SPOTS = {
    "device": "hooked to the device itself and pulled along the cable",
    "hanger": "hooked to the cable's hanger, off the harness, and pulled along the strap",
    "wrist": "hooked to the wrist",
    "hung": "hung from the device",
    "cable": "along the cable, from the hanger to the device",
    "drawn": "at the hanger, along the way that it is drawn",
    "axis": "from the elbow's axis across to the cable",
    "forearm": "on the elbow, one arm along the upper arm and one along the forearm",
    "fingers": "between the fingertips",
    "ring": "from the seventh cervical vertebra down to the ring",
    "strap": "along the control attachment strap",
    "load": "at the socket, while a spring scale pulls the device down, in line with the hanging arm",
    "arm": "on the shoulder, one arm upright and one along the upper arm",
    "lock": "along the lock's cable, in front of the shoulder",
}
"""Where an instrument is put, in words."""
_UP, _DOWN = np.array([0.0, 1.0, 0.0]), np.array([0.0, -1.0, 0.0])
_DRAWN, _ACROSS, _TIPS = 0.075, 0.045, 0.055  # lengths of a tape that stand for what it reads [m]


def measured_scene(
    scene: Scene, pull: Pull | DualPull, wearer: Wearer, view: View, *, spot: str, name: str, said: str
) -> Scene:
    """Lay an instrument over a picture of the wearer.

    Parameters
    ----------
    scene : Scene
        The wearer, from the same view and in the same pose.
    pull : Pull or DualPull
        Where straps and ring lie.
    wearer : Wearer
        Who wears it.
    view : str or float
        "back", "side" or "front", or how far the viewer has gone round the wearer [rad].
    spot : str
        Where the instrument is put, one of `SPOTS`.
    name : str
        What it is called.
    said : str
        What stands beside it; nothing in a second view.

    Returns
    -------
    Scene
        The picture, with words of its own.
    """
    joints = posed_joints(wearer, pull.pose)
    hanger, ring = pull.straps[CONTROL_STRAP][-1], pull.ring

    def flat(*points: Points) -> list[Points]:
        return [np.asarray(project(point, view, wearer.amputated)) for point in points]

    frame, items = scene.frame, tuple[Item, ...]()
    elbow, device, wrist, shoulder = (joints[key] for key in ("elbow", "device", "wrist", "shoulder"))
    if spot in ("device", "hanger", "wrist", "load", "hung"):
        ways = {
            "device": (device, elbow - device),
            "hanger": (hanger, ring - hanger),
            "wrist": (wrist, _UP),
            "load": (device, _DOWN),
            "hung": (device, _DOWN),
        }
        at, way = flat(*ways[spot])
        if spot in ("load", "hung"):
            frame = replace(frame, bottom=min(frame.bottom, float(at[1]) - REACH))
        items = scale_items(at, way)
        if spot == "load":
            top, low = flat(elbow + 0.25 * (shoulder - elbow), elbow - 0.10 * (shoulder - elbow))
            items += tape_items(np.stack([top, low]))
    elif spot in ("forearm", "arm"):
        at, one, other = flat(
            *((elbow, shoulder, device) if spot == "forearm" else (shoulder, shoulder + _DOWN, elbow))
        )
        items = goniometer_items(at, one, other)
    else:
        ahead = _along(wrist - elbow) + _along(shoulder - elbow) + 1e-9
        crossed = np.cross(wrist - elbow, wrist - shoulder)
        tips = _along(np.cross(crossed, wrist - elbow)) if np.hypot(*flat(crossed)[0]) > 1e-6 else _along(ahead)
        courses = {
            "cable": (hanger, elbow, device),
            "drawn": (hanger, hanger + _DRAWN * _along(ring - hanger)),
            "axis": (elbow, elbow + _ACROSS * _along(ahead)),
            "fingers": (device - 0.5 * _TIPS * tips, device + 0.5 * _TIPS * tips),
            "ring": (joints["c7"], ring),
            "strap": (hanger, hanger + 0.45 * (ring - hanger)),
            "lock": (shoulder + 0.15 * (elbow - shoulder), shoulder + 0.75 * (elbow - shoulder)),
        }
        items = tape_items(np.stack(flat(*courses[spot])))
    written = said_items(said, flat(shoulder)[0], frame)
    side = f"{wearer.amputated} arm amputated"
    words = f"{scene.title}, {side}, drawn as it was fitted: the {name}, {SPOTS[spot]}."
    return replace(
        scene, title=f"{scene.title}, with the {name}", words=words, frame=frame, items=(*scene.items, *items, *written)
    )


def _along(way: Points) -> Points:
    return np.asarray(way / max(float(np.linalg.norm(way)), 1e-9))
