"""One half of a pair of prostheses, told as a harness of its own would be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from controlkit.draw.page.kept import kept
from controlkit.draw.wearer.lying import Lying
from controlkit.mechanics.body.pose import PairPose, Pose

if TYPE_CHECKING:
    from controlkit.mechanics.chain.pair import PairPull

__all__ = ["half_of"]


@kept(8)
def half_of(pull: PairPull, side: str) -> Lying:
    """Take one half of what a pair is told to do.

    Parameters
    ----------
    pull : PairPull
        What the mechanics found.
    side : str
        "left" or "right".

    Returns
    -------
    Lying
        The straps of that side, and its device.
    """
    own, pose = (pull.own if side == pull.side else pull.other), pull.pose
    if side != pull.side:
        there = {name: getattr(pose.other, name) for name in pose.other.__dataclass_fields__}
        here = {name: getattr(pose, name) for name in Pose.__dataclass_fields__}
        pose = PairPose(**there, other=Pose(**here))
    names = {name: name.removeprefix(f"{side} ") for name in pull.straps if name.startswith(f"{side} ")}
    return Lying(
        pose=pose,
        opening=own.opening,
        straps={short: pull.straps[name] for name, short in names.items()},
        strap_slack={short: pull.strap_slack[name] for name, short in names.items()},
        strap_load={short: pull.strap_load[name] for name, short in names.items()},
        ring=pull.junction,
    )
