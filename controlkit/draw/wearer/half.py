"""One half of a pair of prostheses, told as a harness of its own would be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from controlkit.draw.page.kept import kept
from controlkit.draw.page.scene import Points
from controlkit.mechanics.body.pose import PairPose, Pose

if TYPE_CHECKING:
    from controlkit.mechanics.chain.pair import PairPull
    from controlkit.mechanics.harness.strap_load import StrapLoad

__all__ = ["HalfPull", "half_of"]


@dataclass(frozen=True, eq=False, kw_only=True)
class HalfPull:
    """One half of a pair, as a harness of its own would be told: its straps, and what they meet at.

    Parameters
    ----------
    pose : PairPose
        Both arms, that of this half first.
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

    pose: PairPose
    opening: float
    straps: Mapping[str, Points]
    strap_slack: Mapping[str, float]
    strap_load: Mapping[str, StrapLoad]
    ring: Points


@kept(8)
def half_of(pull: PairPull, side: str) -> HalfPull:
    """Take one half of what a pair is told to do.

    Parameters
    ----------
    pull : PairPull
        What the mechanics found.
    side : str
        "left" or "right".

    Returns
    -------
    HalfPull
        The straps of that side, and its device.
    """
    own, pose = (pull.own if side == pull.side else pull.other), pull.pose
    if side != pull.side:
        there = {name: getattr(pose.other, name) for name in pose.other.__dataclass_fields__}
        here = {name: getattr(pose, name) for name in Pose.__dataclass_fields__}
        pose = PairPose(**there, other=Pose(**here))
    names = {name: name.removeprefix(f"{side} ") for name in pull.straps if name.startswith(f"{side} ")}
    return HalfPull(
        pose=pose,
        opening=own.opening,
        straps={short: pull.straps[name] for name, short in names.items()},
        strap_slack={short: pull.strap_slack[name] for name, short in names.items()},
        strap_load={short: pull.strap_load[name] for name, short in names.items()},
        ring=pull.junction,
    )
