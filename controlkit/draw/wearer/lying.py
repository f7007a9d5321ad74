"""Straps as they lie in one pose, with no more of the result than a picture of what is worn needs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from controlkit.draw.page.scene import Points
from controlkit.mechanics.body.pose import Pose

if TYPE_CHECKING:
    from controlkit.mechanics.harness.strap_load import StrapLoad

__all__ = ["Lying"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Lying:
    """Straps in one pose, as a harness of its own would be told: half of a pair, or a harness under a load.

    Parameters
    ----------
    pose : Pose
        The pose; of a pair both arms, that of this half first.
    opening : float
        Distance of the device's fingertips [m].
    straps : mapping
        Run of each strap from the ring outwards, by its name without a side, ISB axes [m].
    strap_slack : mapping
        How much of each hangs loose [m].
    strap_load : mapping
        What each presses on the skin.
    ring : numpy.ndarray
        Where all straps meet, ISB axes, shape (3,) [m].
    """

    pose: Pose
    opening: float
    straps: Mapping[str, Points]
    strap_slack: Mapping[str, float]
    strap_load: Mapping[str, StrapLoad]
    ring: Points
