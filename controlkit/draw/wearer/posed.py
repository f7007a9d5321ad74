"""A wearer's joints, and what the body hides, asked for once for each pose."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.figure import hides
from controlkit.draw.page.scene import Frame, Points
from controlkit.draw.words.pull import View
from controlkit.mechanics.body.outline import hidden
from controlkit.mechanics.body.places import joints

if TYPE_CHECKING:
    from controlkit.mechanics import Pose, Wearer

__all__ = ["covered", "posed_joints"]


@lru_cache(maxsize=256)
def posed_joints(wearer: Wearer, pose: Pose) -> dict[str, Points]:
    """Ask for joints and landmarks once for each pose."""
    return joints(wearer, pose)


def covered(wearer: Wearer, pose: Pose, points: Points, view: View) -> NDArray[np.bool_]:
    """Ask which points the body hides once for each pose, as long as the points stay where they are."""
    return _covered(wearer, pose, view, points.tobytes())


@lru_cache(maxsize=64)
def _covered(wearer: Wearer, pose: Pose, view: View, points: bytes) -> NDArray[np.bool_]:
    places = np.frombuffer(points).reshape(-1, 3)
    return np.asarray(hidden(wearer, pose, places, view) | hides(wearer, pose, places, view, frame=_all_of(wearer)))


@lru_cache(maxsize=64)
def _all_of(wearer: Wearer) -> Frame:
    """A window that holds the wearer, whatever the pose and view."""
    tall = wearer.stature
    return Frame(-0.62 * tall, -0.62 * tall, 0.62 * tall, 0.45 * tall)
