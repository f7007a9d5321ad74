"""A wearer led through some poses, read only where a case or a design asks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics import Pose, SingleControl, Wearer
from controlkit.mechanics.body.placed import to_right
from controlkit.mechanics.chain.generated import generated
from controlkit.mechanics.harness import Followed
from controlkit.mechanics.harness.layout import CONTROL, CONTROL_STRAP
from controlkit.mechanics.harness.outcomes import strap_runs
from controlkit.units import InputError

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Led:
    """A motion to some poses, each reading worked out when it is asked for; poses by their number, from 0.

    Parameters
    ----------
    system : SingleControl
        Harness, cable and device
    found : Followed
        The motion
    """

    system: SingleControl
    found: Followed = field(repr=False)

    @property
    def settled(self) -> bool:
        """Whether the straps settled in every pose."""
        return bool(self.found.net.settled[list(self.found.asked)].all())

    def travel(self, pose: int) -> float:
        """Travel of the cable at the device [m]."""
        return float(self.found.travel[self.found.asked[pose]])

    def opening(self, pose: int) -> float:
        """Distance of the fingertips [m]."""
        return self.system.device.opening(self.travel(pose))

    def generated(self, pose: int) -> float:
        """Generated excursion [m]."""
        return float(generated(self.found)[self.found.asked[pose]])

    def force(self, pose: int) -> float:
        """Pull of the control attachment strap [N]."""
        return float(self.found.net.tension[CONTROL, self.found.asked[pose]])

    def moment_arm(self, pose: int) -> float:
        """Its moment arm about the shoulder [m]."""
        return self.found.moment_arm(self.found.asked[pose])

    def strap(self, pose: int) -> Array:
        """The control attachment strap from ring to crossbar, ISB axes [m], shape (nodes, 3)."""
        run = strap_runs(self.found, self.found.asked[pose])[CONTROL_STRAP]
        return to_right(run, self.system.harness.wearer.amputated)

    def ring(self, pose: int) -> Array:
        """The ring, ISB axes [m], shape (3,)."""
        return to_right(self.found.net.ring[self.found.asked[pose]], self.system.harness.wearer.amputated)


def lead(system: SingleControl, poses: Sequence[Pose]) -> Led:
    """Lead a wearer through some poses, from nothing: what a case shows depends on nothing asked before."""
    return Led(system, system.follow(poses))


def try_on(system: SingleControl, poses: Sequence[Pose]) -> Led:
    """Try a design on a wearer, starting from the one tried on the same wearer before; its straps must settle."""
    last = _latest(system.harness.wearer)
    led = Led(system, system.follow(poses, last[-1] if last else None))
    if not led.settled:
        raise InputError(
            given="The straps do not settle with these settings.",
            do="Change one of them a little and try again.",
        )
    last[:] = [led.found]
    return led


@lru_cache(maxsize=16)
def _latest(wearer: Wearer) -> list[Followed]:  # noqa: ARG001 - one list a wearer
    """The motion of the design tried last on a wearer; empty before there was one."""
    return []
