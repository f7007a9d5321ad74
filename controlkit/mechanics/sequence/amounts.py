"""How much motion the steps of a sequence need: from the device alone, or from a whole system."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.cable import ControlCable
from controlkit.mechanics.chain.positions import POSITIONS
from controlkit.mechanics.chain.results import Motion, Pull
from controlkit.mechanics.chain.strength import Strength
from controlkit.mechanics.device import Device
from controlkit.mechanics.harness import Harness
from controlkit.mechanics.sequence.records import Amount, Situation, Step, Told
from controlkit.mechanics.sequence.turned import TURNED, by_name

Array = NDArray[np.float64]

CLEARANCE = 0.010
"""How much wider than the object a device is opened [m]. Assumption."""
TABLE, MOUTH = POSITIONS["table"], POSITIONS["mouth"]
"""Where the arm goes unless told otherwise."""
_PULL = Step(name="pull", motion="", first="", does="pull", changes={})
_SWEEP = np.deg2rad(np.arange(0.0, 91.0, 7.5))


def at_device(
    device: Device, width: float, pinch: float, turned: float = TURNED
) -> Callable[[Step, Situation], Amount]:
    """Return what each step demands at the device, without cable and harness.

    Parameters
    ----------
    device : Device
        Terminal device
    width : float
        Width of the object [m]
    pinch : float
        Grip wanted; a voluntary-opening device grips as hard as its bands do [N]
    turned : float
        How far pre-positioning turns the device [rad]

    Returns
    -------
    callable
        From step and state to `Amount`

    Examples
    --------
    >>> from controlkit.mechanics.device import VoluntaryOpening
    >>> from controlkit.mechanics.sequence import operating_sequence
    >>> task = operating_sequence(VoluntaryOpening())
    >>> demand = at_device(VoluntaryOpening(), width=0.03, pinch=10.5)
    >>> pull = demand(task.steps["pull"], task.start)
    >>> round(pull.excursion, 4), round(pull.force, 1)
    (0.0191, 34.4)
    """
    travel, force = device.to_grasp(width, pinch, CLEARANCE)

    def demand(step: Step, state: Situation) -> Amount:
        pulled = state["cable"] == "pulled"
        if step.does == "pull":
            return Amount(excursion=travel, force=force)
        if step.does == "let back":
            return Amount(excursion=-travel if pulled else 0.0, force=0.0)
        if step.does == "turn":
            return Amount(turn=turned)
        return Amount(force=force, held=True) if pulled else Amount()

    return demand


class SystemLike(Protocol):
    """A system, or whatever answers as it does: its parts, and what it does in a pose and in a sweep."""

    @property
    def cable(self) -> ControlCable:
        """Its cable."""

    @property
    def device(self) -> Device:
        """Its terminal device."""

    @property
    def harness(self) -> Harness:
        """Its harness, which knows the wearer."""

    @property
    def strength(self) -> Strength:
        """What its wearer can do with all strength."""

    def at(self, **angles: float) -> Pull:
        """Answer a pose, as `SingleControl.at`."""

    def sweep(self, arm_flexion: Sequence[float] | Array, /, **angles: float) -> Motion:
        """Answer a sweep of arm flexion, as `SingleControl.sweep`."""


def in_system(
    system: SystemLike,
    width: float,
    pinch: float,
    *,
    turned: float = TURNED,
    table: Pose = TABLE,
    mouth: Pose = MOUTH,
) -> Callable[[Step, Situation], Amount]:
    """Return what each step demands of the wearer, harness and cable counted.

    Parameters
    ----------
    system : SingleControl or SystemLike
        Harness, cable, device, strength
    width : float
        Width of the object [m]
    pinch : float
        Grip wanted of a voluntary-closing device [N]
    turned : float
        How far pre-positioning turns the device [rad]
    table, mouth : Pose
        Where the arm goes

    Returns
    -------
    callable
        From step and state to `Amount`

    Notes
    -----
    Inadvertent is what bringing the arm there would move the device, scapula unmoved, beyond what is wanted of it.
    Excursion is what arm flexion generates from hanging, elbow as at the table, when the device has
    travelled as far as needed; scapular abduction can give part of it instead. The stretch that a firm
    grip adds is left out. Force is that of pulling; friction lets a held force be a little less.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> from controlkit.mechanics.sequence import operating_sequence
    >>> system = SingleControl(figure_of_eight(Wearer.average("female")))
    >>> task, demand = operating_sequence(system), in_system(system, width=0.03, pinch=10.5)
    >>> demand(task.steps["reach out"], task.start).inadvertent > 0.0
    True
    """
    device = system.device
    plain = at_device(device, width, pinch, turned)

    @cache
    def pulling(travel: float, force: float) -> Amount:
        motion = system.sweep(_SWEEP, elbow_flexion=table.elbow_flexion)
        needed = force / system.cable.efficiency(table.elbow_flexion)
        far = np.maximum.accumulate(motion.captured)
        best = float(far[-1])
        enough = best >= travel
        angle = float(np.interp(travel, far, _SWEEP)) if enough else None
        generated = float(np.interp(travel, far, motion.generated)) if enough else float(motion.generated.max())
        short = Told()
        if not enough:
            short = Told(
                "Arm flexion moves the device by {best}; {travel} are needed. It does not get there, and nothing "
                "changes.",
                (("best", best, "length"), ("travel", travel, "length")),
            )
        elif needed > system.strength.cable:
            short = Told(
                "It takes {needed} at the harness, and this wearer has {strength}. Nothing changes.",
                (("needed", needed, "force"), ("strength", system.strength.cable, "force")),
            )
        return Amount(excursion=generated, force=needed, arm_flexion=angle, short=short)

    @cache
    def inadvertent(pose: Pose) -> float:
        return max(system.at(**by_name(pose)).excursion.captured, 0.0)

    def demand(step: Step, state: Situation) -> Amount:
        bare = plain(step, state)
        if step.does == "pull":
            return pulling(bare.excursion, bare.force)
        if step.does == "turn":
            return bare
        if step.does == "let back":
            if not bare.excursion:
                return bare
            pull = pulling(-bare.excursion, plain(_PULL, state).force)
            return Amount(excursion=-pull.excursion)
        pose = {"at the table": table, "at the mouth": mouth}.get(str(step.changes.get("arm", state["arm"])))
        if pose is None:
            return bare
        loss = system.cable.efficiency(pose.elbow_flexion)
        wanted = plain(_PULL, state).excursion if bare.held else 0.0
        spare = max(inadvertent(pose) - wanted, 0.0) if step.does == "move" else 0.0
        return replace(bare, force=bare.force / loss, inadvertent=spare)

    return demand
