"""A wearer's joints and outlines, asked for once for each pose."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from controlkit.draw.page.scene import Points
from controlkit.draw.words.pull import View
from controlkit.mechanics.body.outline import Outline, outlines
from controlkit.mechanics.body.places import joints

if TYPE_CHECKING:
    from controlkit.mechanics import Pose, Wearer

__all__ = ["posed_joints", "posed_outlines"]


@lru_cache(maxsize=256)
def posed_joints(wearer: Wearer, pose: Pose) -> dict[str, Points]:
    """Ask for joints and landmarks once for each pose."""
    return joints(wearer, pose)


@lru_cache(maxsize=256)
def posed_outlines(wearer: Wearer, pose: Pose, view: View) -> dict[str, Outline]:
    """Ask for the outlines of the body once for each pose."""
    return {part.name: part for part in outlines(wearer, pose, view)}
