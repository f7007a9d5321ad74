"""Exercise 7: every question to the mechanics about dual control on a wearer, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from controlkit.checking import body
from controlkit.checking.case.cases import Value
from controlkit.exercises.shared.readings import rounded
from controlkit.exercises.shared.wearers import above_elbow
from controlkit.mechanics import VoluntaryOpening, Wearer, above_elbow_eight
from controlkit.mechanics.chain.dual import DualControl, Lifted, Opened
from controlkit.mechanics.chain.positions import BOTH_FORWARD
from controlkit.mechanics.elbow import LiftLine
from controlkit.units import InputError, deg, mm

MOTION = BOTH_FORWARD
"""Both scapulae brought forward, while the arm is flexed: the control motion of this exercise [rad]."""

FURTHEST = deg(90)
"""Arm flexion at which that motion ends [rad]."""

PULLED = 80.0
"""Pull at the hanger against which excursion is measured [N]."""

END_ABOVE = mm(80)
"""Housing end above the elbow axis, in a design [m]. Assumption of this exercise."""

LIFTS_TO, LOCKED_AT = deg(110), deg(90)
"""How far a design must lift the forearm, and where the elbow is locked to open the device [rad]."""


@lru_cache(maxsize=32)
def worn(wearer: Wearer) -> DualControl:
    """The harness above the elbow on a wearer; what it captures of the control motion is found once."""
    return DualControl(harness=above_elbow_eight(wearer), furthest=FURTHEST)


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """Excursion that the wearer of a case generates by the whole control motion, and what is captured [mm]."""
    return _measured(str(values["sex"]), 10 * int(values["taller"]), 10 * int(values["wider"]))


@lru_cache(maxsize=32)
def _measured(sex: str, taller: int, wider: int) -> dict[str, Value] | None:
    """The same for either side: a body is its own mirror image."""
    try:
        wearer = above_elbow(body(sex, taller, wider))
        found = worn(wearer).capture(**MOTION)
    except InputError:
        return None
    if not found.settled:
        return None
    read = rounded(
        {
            "generated": float(found.gives(FURTHEST)) / mm(1),
            "captured": float(found.at(FURTHEST, PULLED)) / mm(1),
        }
    )
    if read is None:
        return None
    return read | {"stature": round(wearer.stature / mm(1)), "chest": round(wearer.chest_circumference / mm(1))}


@dataclass(frozen=True)
class Wanted:
    """What a case asks of a design.

    Parameters
    ----------
    load : float
        Mass in the hook [kg]
    opens : float
        Opening at the locked elbow, as a share of full opening [-]
    width : float
        Width of the object that is gripped [m]
    """

    load: float
    opens: float
    width: float


@dataclass(frozen=True)
class DualTrial:
    """What a design does on one wearer.

    Parameters
    ----------
    system : DualControl
        The design on its wearer
    wanted : Wanted
        What was asked
    lifted : Lifted
        The way up, the load in the hook
    opened : Opened
        The locked elbow, the whole motion made
    """

    system: DualControl
    wanted: Wanted
    lifted: Lifted
    opened: Opened

    @property
    def reaches(self) -> float:
        """Elbow flexion up to which the motion brings the forearm, the device's part left out [rad]."""
        brought = np.isfinite(self.lifted.arm_flexion)
        return float(self.lifted.elbow_flexion[brought][-1]) if brought.any() else 0.0

    @property
    def lifts(self) -> bool:
        """Whether the motion brings the forearm as high as it must."""
        return self.reaches >= LIFTS_TO - 1e-9

    @property
    def at_device(self) -> float:
        """Largest force that reaches the device on the way up [N]."""
        return float(self.lifted.device_force.max())

    @property
    def stays_shut(self) -> bool:
        """Whether the device stays shut on the whole way up."""
        return bool(self.lifted.stays_shut.all())

    @property
    def opens(self) -> float:
        """Opening at the locked elbow, as a share of full opening [-]."""
        return float(self.opened.opening[0]) / self.system.device.full_opening

    @property
    def opening_pull(self) -> float:
        """Pull at the hanger that opens the device fully there [N]."""
        above, beyond = self.system.bends(LOCKED_AT)
        device = self.system.device
        return device.force(device.travel) * float(np.exp(self.system.cable.friction * (above + beyond)))

    @property
    def grip(self) -> float:
        """Grip on the object of the case [N]."""
        return self.system.device.pinch(self.wanted.width)

    @property
    def serves(self) -> bool:
        """Whether it does on a body what depends on the body."""
        return self.lifts and self.stays_shut and self.opens >= self.wanted.opens


def trial(wearer: Wearer, choice: Mapping[str, float], wanted: Wanted) -> DualTrial:
    """Try a design on a wearer; settings in m, rad, and - for the bands."""
    return _tried(wearer, tuple(sorted(choice.items())), wanted)


@lru_cache(maxsize=32)
def _tried(wearer: Wearer, choice: tuple[tuple[str, float], ...], wanted: Wanted) -> DualTrial:
    chosen = dict(choice)
    system = replace(
        worn(wearer),
        line=LiftLine(loop_along=chosen["loop_along"], end_above=END_ABOVE, end_ahead=chosen["end_ahead"]),
        device=VoluntaryOpening(bands=chosen["bands"]),  # type: ignore[arg-type]  # it asks for whole numbers itself
        hangs_at=chosen["hangs_at"],
    )
    way = np.append(np.arange(system.hangs_at + deg(0.01), LIFTS_TO, deg(1)), LIFTS_TO)
    lifted = system.lift(way, wanted.load, **MOTION)
    opened = system.open_locked([LOCKED_AT], **MOTION)
    if not (lifted.settled and opened.settled):
        raise InputError(
            given="The straps do not settle on this wearer.",
            do="This is a fault of the exercise, not yours: please tell your instructor.",
        )
    return DualTrial(system, wanted, lifted, opened)
