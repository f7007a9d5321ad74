"""One arm of a pair: its cable and device as its control strap feels them, below the elbow or above it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.cable import ControlCable
from controlkit.mechanics.chain.dual import DualControl
from controlkit.mechanics.chain.single import SingleControl
from controlkit.mechanics.device import Device, VoluntaryOpening
from controlkit.mechanics.harness.laws import CableLaw
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.inputs import kind
from controlkit.units import deg

Array = NDArray[np.float64]

LIFTS = deg(1) * np.arange(0.0, 136.0)
"""Elbow angles over which a forearm that hangs free is followed, from where it hangs [rad]."""


@dataclass(frozen=True, kw_only=True)
class PairArm:
    """What hangs on one control strap of a pair.

    Parameters
    ----------
    device : Device
        Terminal device
    cable : ControlCable
        Cable in its housing
    unlocked : bool
        Above the elbow: whether the elbow's lock is off, so that the cable lifts the forearm, and lifts alone: bands so
        weak that the device opens first are left out, `DualControl.lift` tells of them; below it nothing changes

    Raises
    ------
    InputError
        If one of them is something else

    Examples
    --------
    >>> PairArm(unlocked=True).device.opens
    True
    """

    device: Device = VoluntaryOpening()
    cable: ControlCable = ControlCable()
    unlocked: bool = False

    def __post_init__(self) -> None:
        kind("The device", self.device, Device, "hook_opening(3)")
        kind("The cable", self.cable, ControlCable, "ControlCable()")
        kind("Whether the elbow is unlocked", self.unlocked, bool, "True")


@dataclass(frozen=True)
class Below:
    """An arm below the elbow: single control.

    Parameters
    ----------
    system : SingleControl
        Harness, cable and device
    """

    system: SingleControl

    def law(self, pose: Pose, strap_give: float) -> CableLaw:
        """Cable and device as the control strap feels them, as `follow` asks for them."""
        return self.system.law(pose, strap_give)

    def gain(self, pose: Pose) -> float:
        """Tension of the control strap over the force at the device, as it moves [-]."""
        return 1.0 / self.system.line(pose.elbow_flexion).efficiency

    def opening(self, travel: float) -> float:
        """Distance of the fingertips after some travel of the cable [m]."""
        return self.system.device.opening(travel)

    def forearm(self, pose: Pose, travel: float) -> float:  # noqa: ARG002
        """Elbow flexion after some travel of the cable: it moves no elbow here [rad]."""
        return pose.elbow_flexion


@dataclass(frozen=True)
class Above:
    """An arm above the elbow: dual control, the elbow locked where the pose has it, or free to be lifted.

    Parameters
    ----------
    system : DualControl
        Harness, lift loop, cable and device
    unlocked : bool
        Whether the forearm is free; it then hangs, whatever elbow the pose has
    """

    system: DualControl
    unlocked: bool

    def law(self, pose: Pose, strap_give: float) -> CableLaw:
        """Cable and device as the control strap feels them, as `follow` asks for them.

        Parameters
        ----------
        pose : Pose
            The pose
        strap_give : float
            How much the control strap stretches [m/N]

        Returns
        -------
        CableLaw
            The pull by travel

        Notes
        -----
        A locked elbow has taken up the cable that flexing needs, and gives nothing back: so much must be drawn before
        the device is felt. A free forearm is felt from the force at which it begins to rise; from there to its largest
        the force is taken to grow in a line, and so up to where the device would open.
        """
        system = self.system
        stiffness = 1.0 / (strap_give + system.cable.length / system.cable.stiffness)
        if self.unlocked:
            force, travel = self._lifting(pose.arm_flexion)
            top = int(force.argmax())
            rise = (force[top] - force[0]) / max(float(travel[top]), 1e-3)
            slack = system.cable.slack
            return CableLaw(stiffness=stiffness, start=force[0], rise=rise, full=force[top], take_up=-slack)
        gain, device = self.gain(pose), system.device
        start, full = gain * device.force(0.0), gain * device.force(device.travel)
        rise = (full - start) / device.travel
        taken = float(system.required(self._held(pose)))
        return CableLaw(stiffness=stiffness, start=start, rise=rise, full=full, take_up=-taken)

    def gain(self, pose: Pose) -> float:
        """Tension of the control strap over the force at the device, as it moves [-]."""
        above, beyond = self.system.bends(self._held(pose))
        return float(np.exp(self.system.cable.friction * (above + beyond)))

    def opening(self, travel: float) -> float:
        """Distance of the fingertips after some travel of the cable: none while that lifts the forearm [m]."""
        return 0.0 if self.unlocked else self.system.device.opening(travel)

    def forearm(self, pose: Pose, travel: float) -> float:
        """Elbow flexion after some travel of the cable: as locked, or as far as that lifts the forearm [rad]."""
        if not self.unlocked:
            return self._held(pose)
        _, drawn = self._lifting(pose.arm_flexion)
        return float(np.interp(travel, drawn, self._angles))

    def _held(self, pose: Pose) -> float:
        """Where the elbow is before anything is pulled: it hangs no lower than on its stop [rad]."""
        return self.system.hangs_at if self.unlocked else max(pose.elbow_flexion, self.system.hangs_at)

    @cached_property
    def _angles(self) -> Array:
        """Elbow angles over which a free forearm is followed [rad]."""
        return np.concatenate([[self.system.hangs_at], LIFTS[self.system.hangs_at + 1e-9 < LIFTS]])

    def _lifting(self, inclination: float) -> tuple[Array, Array]:
        """Tension of the control strap that holds a free forearm up, and the cable drawn by then."""
        system, angles = self.system, self._angles
        above, _ = system.bends(angles)
        lifted = system.line.moment_arm(angles)
        moment = system.lifted_forearm.largest_moment * np.sin(angles + inclination)
        force = np.maximum(moment, 0.0) / np.maximum(lifted, 1e-6) * np.exp(system.cable.friction * above)
        return force, np.asarray(system.line.travel(angles, system.hangs_at))


WornArm = Below | Above
"""An arm of a pair on its wearer."""


def worn_arm(arm: PairArm, harness: Harness) -> WornArm:
    """One arm of a pair on its wearer.

    Parameters
    ----------
    arm : PairArm
        Cable and device
    harness : Harness
        The pair

    Returns
    -------
    Below or Above
        By the wearer's level

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> from controlkit.mechanics.harness import bilateral_pair
    >>> round(worn_arm(PairArm(), bilateral_pair(Wearer.average("male"))).gain(Pose()), 2) > 1.0
    True
    """
    if harness.wearer.level == "transhumeral":
        return Above(DualControl(harness=harness, cable=arm.cable, device=arm.device), arm.unlocked)
    return Below(SingleControl(harness, cable=arm.cable, device=arm.device))
