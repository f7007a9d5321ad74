"""What the pair lab has found for one setting: a pull of the pair, and the ways of its short limb."""

from __future__ import annotations

import math
from dataclasses import dataclass

from controlkit.mechanics import PairControl, Pose
from controlkit.mechanics.chain import PairPull
from controlkit.mechanics.elbow import ShortLimbWay
from controlkit.units import mm

__all__ = ["LEVER", "WAYS", "PairShown"]

LEVER = mm(45.0)
"""Between where a very short limb presses in front and behind [m]. Assumption: half of what is left of it."""
WAYS = {
    "step-up": ("step-up hinge", 0),
    "self-suspending": ("one piece", 1),
    "locking": ("locking hinge", 2),
}
"""Ways by name: the words of the menu, and which of the mechanics' answers it is."""


@dataclass(frozen=True, eq=False, kw_only=True)
class PairShown:
    """Answers to one setting.

    Parameters
    ----------
    pair : PairControl
        The pair.
    pull : PairPull
        One side pulls.
    ways : tuple of ShortLimbWay
        Ways to flex the forearm of a very short limb.
    """

    pair: PairControl
    pull: PairPull
    ways: tuple[ShortLimbWay, ...]

    def way(self, name: str) -> ShortLimbWay:
        """One of the ways, by its name in a setting."""
        return self.ways[WAYS[name][1]]

    @staticmethod
    def locked(way: ShortLimbWay) -> bool:
        """Whether a lock bears the load of a way."""
        return math.isinf(way.most_load)

    @property
    def opens_other(self) -> float:
        """Tension of the other control strap at which its device begins to move [N]."""
        arm = self.pair.worn(self.pull.other.side)
        pose: Pose = self.pull.pose.other
        return arm.gain(pose) * arm.system.device.force(0.0)
