"""What it takes to bring forearm or device somewhere with dual control, and what falls short on the way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.chain.dual import DualControl
from controlkit.mechanics.chain.dual.capture import Capture
from controlkit.mechanics.chain.positions import BOTH_FORWARD, FORWARD
from controlkit.mechanics.elbow import GRAVITY
from controlkit.mechanics.roots import first_above
from controlkit.mechanics.sequence.records import Told
from controlkit.units import deg

Array = NDArray[np.float64]

FINE = deg(1.0)
"""Step of elbow and arm, as that of a lift [rad]."""


@dataclass(frozen=True, kw_only=True)
class Reached:
    """How the control motion brings the forearm, or the device, somewhere and holds it there.

    Attributes
    ----------
    elbow_flexion : float
        Where the elbow stands [rad]
    arm_flexion : float
        Where the arm must go, the end of the motion if that is not enough [rad]
    scapulae : float
        Abduction of both scapulae that goes with it [rad]
    generated : float
        Excursion that the motion generates [m]
    harness_force, lift_force, device_force : float
        Tension at the control strap, at the lift loop, and at the device, there [N]
    most : float
        Largest tension of the control strap on the way [N]
    eased : float
        The same on the way back [N]
    grip : float or None
        Least grip on the way on what is held, if anything is [N]
    slips : bool
        Whether that is too little for its weight
    short : Told
        Why it does not get there; nothing if it does
    """

    elbow_flexion: float
    arm_flexion: float
    scapulae: float
    generated: float
    harness_force: float
    lift_force: float
    device_force: float
    most: float
    eased: float
    grip: float | None = None
    slips: bool = False
    short: Told = Told()


@dataclass(frozen=True, kw_only=True)
class DualReach:
    """What lifts, holds and opens for one errand: dual control, and an object of some width and weight.

    Attributes
    ----------
    system : DualControl
        Harness, cable, forearm, device, strength
    width, wanted : float
        Width of the object, and the opening that passes it [m]
    load : float
        Mass of the object [kg]
    reach : float
        Elbow axis to the device's centre [m]
    rubbing : float
        Friction of the object between the fingers [-]
    """

    system: DualControl
    width: float
    wanted: float
    load: float
    reach: float
    rubbing: float

    def asks(self, width: float) -> float:
        """Cable force at the device that opens it so far [N]."""
        device = self.system.device
        return device.force(device.travel_for(width))

    def weight(self, flexion: Array, arm_flexion: Array | float, *, carried: bool) -> Array:
        """Moment of the weight about the elbow, less the spring's [N m]."""
        forearm, spring = self.system.lifted_forearm, self.system.spring
        if carried:
            forearm = forearm.carrying(self.load, self.reach)
        moment = np.asarray(forearm.moment(flexion, arm_flexion))
        return moment if spring is None else np.asarray(moment - spring.at(flexion))

    def _tension(self, flexion: Array, arm_flexion: Array, *, carried: bool) -> Array:
        """Tension at the lift loop that holds the forearm; infinite where none does [N]."""
        moment = self.weight(flexion, arm_flexion, carried=carried)
        return self.system.line.tension(moment, flexion)

    def left(self, at: float) -> float:
        """Excursion that is left for opening at a locked elbow, both scapulae forward [m]."""
        return float(self.system.open_locked([at], **BOTH_FORWARD).left_for_opening[0])

    def along(self, way: Array, *, carried: bool, both: bool) -> Reached:
        """Lift along a way, or hold at its only angle.

        Parameters
        ----------
        way : ndarray
            Elbow flexion from start to goal [rad], shape (angles,)
        carried : bool
            Whether the device holds the object
        both : bool
            Whether both scapulae help

        Returns
        -------
        Reached
            At the last angle, with the largest force on the way
        """
        system, table = self.system, self.system.capture(**(BOTH_FORWARD if both else {}))
        raised = np.linspace(0.0, system.furthest, int(np.ceil(system.furthest / FINE)) + 1)
        above, beyond = (np.exp(system.cable.friction * bend) for bend in system.bends(way))
        slack = system.device.travel_for(self.width) if carried else 0.0
        taken = system.required(way) + slack
        needs = above[:, None] * self._tension(way[:, None], raised[None], carried=carried)
        arm = np.maximum.accumulate(first_above(raised, table.at(raised[None], needs) - taken[:, None]))
        held = np.minimum(arm, system.furthest)
        tension = self._tension(way, held, carried=carried)
        at_device, pull = tension / beyond, above * tension
        grips = [system.device.pinch(self.width, min(float(force), 1e6)) for force in at_device] if carried else []
        return Reached(
            elbow_flexion=float(way[-1]),
            arm_flexion=float(held[-1]),
            scapulae=FORWARD if both else 0.0,
            generated=float(table.gives(held[-1])),
            harness_force=float(pull[-1]),
            lift_force=float(tension[-1]),
            device_force=float(at_device[-1]),
            most=float(pull.max()),
            eased=float((tension / above).max()),
            grip=min(grips) if carried else None,
            slips=carried and 2.0 * self.rubbing * min(grips) < self.load * GRAVITY,
            short=self._short(table, way, taken, at_device=at_device, pull=pull, arm=arm, carried=carried),
        )

    def _short(
        self, table: Capture, way: Array, taken: Array, *, at_device: Array, pull: Array, arm: Array, carried: bool
    ) -> Told:
        """What first keeps the forearm from going on; earlier reasons count before later ones."""
        opens = self.asks(self.width if carried else 0.0)
        most = min(self.system.strength.cable, float(table.pull[-1]))
        lean = self.weight(way, np.minimum(arm, self.system.furthest), carried=carried) <= 0.0
        for k, angle in enumerate(way):
            at = ("at", float(angle), "angle")
            if not np.isfinite(at_device[k]):
                return Told("At {at} the cable passes through or behind the elbow's axis: no pull lifts.", (at,))
            if at_device[k] >= opens:
                return Told(
                    f"At {{at}} the weight of the forearm{' and the object' if carried else ''} asks for {{asks}} at "
                    "the device, and {opens} open it: the device opens before the forearm lifts.",
                    (at, ("asks", float(at_device[k]), "force"), ("opens", opens, "force")),
                )
            if pull[k] >= most:
                return Told(
                    "At {at} it takes {needed} at the harness, and {most} are the most that this wearer has.",
                    (at, ("needed", float(pull[k]), "force"), ("most", most, "force")),
                )
            if np.isfinite(arm[k]) and lean[k]:
                return Told(
                    "With the arm at {arm} and the elbow at {at} the forearm leans back past the upright: its own "
                    "weight flexes it from there, and the cable no longer says where it stands.",
                    (at, ("arm", float(arm[k]), "angle")),
                )
            if not np.isfinite(arm[k]):
                best = float(table.at(self.system.furthest, pull[k]))
                return Told(
                    "The motion moves the cable by {best} at its end; with the elbow at {at} the forearm has taken up "
                    "{taken}. It comes no higher.",
                    (at, ("best", max(best, 0.0), "length"), ("taken", float(taken[k]), "length")),
                )
        return Told()

    def open(self, at: float, *, both: bool) -> Reached:
        """Open at a locked elbow with the arm, or with both scapulae as well.

        Parameters
        ----------
        at : float
            Elbow flexion at which it is locked [rad]
        both : bool
            Whether both scapulae help

        Returns
        -------
        Reached
            What that takes
        """
        system, table = self.system, self.system.capture(**(BOTH_FORWARD if both else {}))
        flexion = np.array([at])
        above, beyond = (float(np.exp(system.cable.friction * bend[0])) for bend in system.bends(flexion))
        travel, force = system.device.travel_for(self.wanted), self.asks(self.wanted)
        taken = float(system.required(flexion)[0])
        raised = np.linspace(0.0, system.furthest, int(np.ceil(system.furthest / FINE)) + 1)
        pull = above * beyond * force
        arm = float(first_above(raised, table.at(raised, pull)[None] - (taken + travel))[0])
        most = min(system.strength.cable, float(table.pull[-1]))
        short = Told()
        if pull >= most:
            short = Told(
                "Opening the device takes {needed} at the harness, and {most} are the most that this wearer has.",
                (("needed", pull, "force"), ("most", most, "force")),
            )
        elif not np.isfinite(arm):
            short = Told(
                "The forearm has taken up {taken} of cable, and keeps it while locked. {left} are left; the device "
                "needs {travel} to pass the object.",
                (("taken", taken, "length"), ("left", self.left(at), "length"), ("travel", travel, "length")),
            )
        held = min(arm, system.furthest)
        return Reached(
            elbow_flexion=float(flexion[0]),
            arm_flexion=held,
            scapulae=FORWARD if both else 0.0,
            generated=float(table.gives(held)),
            harness_force=pull,
            lift_force=beyond * force,
            device_force=force,
            most=pull,
            eased=0.0,
            short=short,
        )


def posture(reached: Reached) -> Pose:
    """Where arm and scapulae are.

    Parameters
    ----------
    reached : Reached
        What they hold

    Returns
    -------
    Pose
        With the elbow as it stands
    """
    return Pose(
        arm_flexion=reached.arm_flexion,
        elbow_flexion=reached.elbow_flexion,
        scapular_abduction=reached.scapulae,
        sound_scapular_abduction=reached.scapulae,
    )
