"""Exercise 3: every question to the mechanics, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from controlkit.checking import body
from controlkit.checking.case.cases import Value
from controlkit.exercises.shared.followed import Led, lead, try_on
from controlkit.exercises.shared.readings import rounded
from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness import Placement
from controlkit.units import InputError, deg, mm, newton

ANGLES = (0, 30, 60, 90)
"""Arm flexions of the bench table [deg]."""

ROOM = 0.03
"""How far along the upper arm the cuff leaves room for the crossbar [-]. Assumption of this exercise."""

RING_FOR = {25: mm(55), 30: mm(44), 35: mm(36)}
"""Flexion of a design [deg] to the ring of the bench table below C7, its crossbar at `HIGHEST` [m]. Found by trying: at
the least depth with which every other body of this exercise opens the device, and two millimetres more."""

HIGHEST = 0.42
"""The nearest to the shoulder that the crossbar of the bench table sits [-]."""

HIGHER_RING = mm(60)
"""How much higher that ring may lie for a whole upper arm's length that the crossbar sits lower [m]."""

HIGHEST_RING = mm(20)
"""Least distance of a ring below C7 as this exercise takes it to be fitted: about the inch of practice [m]."""

SPARE = mm(4)
"""How much lower than on the bench table a design may lay the ring: a tender spot lies below. Assumption of this
exercise [m]."""

BROUGHT_FORWARD = deg(20)
"""Biscapular abduction with which a design is tried [rad]."""

MARGIN = 1.025
"""What a design may ask of the shoulder, against the harness of the bench table [-]: some four millimetres of ring."""

OPEN = 0.995
"""Share of full opening that counts as full [-]."""

PARTLY = 0.7
"""Share of full opening from which a design is said to open the device partly [-]. Assumption of this exercise."""

SHUT = mm(0.5)
"""Opening that counts as none [m]."""

UNLOADED = newton(5)
"""Pull of the control attachment strap that counts as none [N]. Assumption."""

OFF_SPINE = mm(15)
"""Least distance of a ring from the spine [m]. Reasoned: half an inch, about half its width."""


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """What tape, caliper and protractor show on the wearer of a case, in whole numbers [mm and deg]."""
    sizes = {name: int(values[name]) for name in ("taller", "wider", "design_angle")}
    room = float(values["crossbar_from"])
    return _measured(sex=str(values["sex"]), amputated=str(values["amputated"]), crossbar_from=room, **sizes)


def reference(crossbar_from: float, design_angle: int) -> Placement:
    """The harness of the bench table, which serves the case and every other body; how it is set up is not told.

    It sets what a design may ask of the shoulder, and how low its ring may lie.

    Parameters
    ----------
    crossbar_from : float
        Where the room for the crossbar begins, as a share of the upper arm [-]
    design_angle : int
        Arm flexion at which a design must open the device [deg]

    Returns
    -------
    Placement
        In SI units

    Examples
    --------
    >>> round(1000 * reference(0.40, 30)["ring_below_c7"], 1)
    44.3
    """
    crossbar = crossbar_from + ROOM / 2
    ring = RING_FOR[design_angle] - HIGHER_RING * (crossbar - HIGHEST)
    return {"ring_below_c7": ring, "ring_to_sound_side": mm(25), "crossbar": crossbar, "control_strap": 0.0}


@lru_cache(maxsize=128)
def _measured(
    *, sex: str, amputated: str, taller: int, wider: int, crossbar_from: float, design_angle: int
) -> dict[str, Value] | None:
    try:
        wearer = body(sex, 10 * taller, 10 * wider, amputated)
        system = SingleControl(figure_of_eight(wearer, **reference(crossbar_from, design_angle)))
        led = lead(system, [*(_flexed(angle) for angle in ANGLES), _asked(design_angle)])
    except InputError:
        return None
    rest, asked = 0, len(ANGLES)
    if not led.settled or led.opening(rest) > SHUT or led.opening(asked) < OPEN * system.device.full_opening:
        return None
    strap, ring = led.strap(rest), led.ring(rest)
    along = float(np.linalg.norm(np.diff(strap, axis=0), axis=1).sum())
    raw = {"upper_arm": wearer.acromion_radiale_length / mm(1)}
    for k, angle in enumerate(ANGLES):
        raw[f"strap_{angle}"] = (along + led.generated(k)) / mm(1)
        raw[f"across_{angle}"] = float(np.linalg.norm(led.strap(k)[-1] - ring)) / mm(1)
    raw["strap_direction"] = -_in_back(strap[1] - strap[0], -1.0 if amputated == "left" else 1.0)
    raw["design_moment"] = 100 * MARGIN * led.force(asked) * led.moment_arm(asked)
    found = rounded(raw)
    if found is None:
        return None
    found["design_moment"] = int(found["design_moment"]) / 100
    found["ring_lowest"] = int((reference(crossbar_from, design_angle)["ring_below_c7"] + SPARE) / mm(1))
    found["stature"] = round(wearer.stature / mm(1))
    found["chest_circumference"] = round(wearer.chest_circumference / mm(1))
    return found


def _flexed(arm_flexion: int) -> Pose:
    """Arm flexion [deg], the elbow bent."""
    return Pose(arm_flexion=deg(arm_flexion), elbow_flexion=deg(90))


def _asked(arm_flexion: int) -> Pose:
    """What a design is tried with: arm flexion [deg] and biscapular abduction, the elbow bent."""
    both = BROUGHT_FORWARD
    return replace(_flexed(arm_flexion), scapular_abduction=both, sound_scapular_abduction=both)


def _in_back(along: np.ndarray, toward: float) -> float:
    """Direction in the plane of the back: degrees above the horizontal, toward one side."""
    return float(np.degrees(np.arctan2(along[1], toward * along[2])))


@dataclass(frozen=True)
class HarnessTrial:
    """What a design does on one wearer, worked out when it is asked for.

    Parameters
    ----------
    led : Led
        The upper arm hanging, then the motion asked for, the elbow bent
    """

    led: Led

    @property
    def opening(self) -> float:
        """Opening with the motion asked for [m]."""
        return self.led.opening(1)

    @property
    def full_opening(self) -> float:
        """How far the device opens at most [m]."""
        return self.led.system.device.full_opening

    @property
    def opening_share(self) -> float:
        """Opening with the motion asked for, as a share of full opening [-]."""
        return self.opening / self.full_opening

    @property
    def shoulder_moment(self) -> float:
        """Moment of the control attachment strap alone about the shoulder there: pull times moment arm [N m]."""
        return self.led.force(1) * self.led.moment_arm(1)

    @property
    def shut_at_rest(self) -> bool:
        """Whether the device is closed and its strap unloaded while the upper arm hangs."""
        return self.opening_at_rest <= SHUT and self.pull_at_rest <= UNLOADED

    @property
    def opening_at_rest(self) -> float:
        """Opening while the upper arm hangs [m]."""
        return self.led.opening(0)

    @property
    def pull_at_rest(self) -> float:
        """Pull of the control attachment strap there [N]."""
        return self.led.force(0)

    @property
    def opens_fully(self) -> bool:
        """Whether the device opens fully with the motion asked for."""
        return self.opening_share >= OPEN

    def as_fitted(self, lowest: float) -> bool:
        """Whether the ring lies where it is fitted, at most so far below C7 [m], off the spine."""
        return HIGHEST_RING <= self.ring_below_c7 <= lowest + mm(0.05) and self.ring_to_side >= OFF_SPINE

    @property
    def ring_below_c7(self) -> float:
        """How far the ring lies below C7, as chosen [m]."""
        return self.led.system.harness.ring_below_c7

    @property
    def ring_to_side(self) -> float:
        """How far it lies toward the sound side, as chosen [m]."""
        return self.led.system.harness.ring_to_sound_side

    @property
    def crossbar(self) -> float:
        """Share of the upper arm, as chosen [-]."""
        return self.led.system.harness.crossbar


def trial(wearer: Wearer, choice: Mapping[str, float], arm_flexion: int) -> HarnessTrial:
    """Try a design on a wearer, both scapulae forward; settings in m, - for the crossbar, arm flexion in deg."""
    return _tried(wearer, tuple(sorted(choice.items())), arm_flexion)


@lru_cache(maxsize=32)
def _tried(wearer: Wearer, choice: tuple[tuple[str, float], ...], arm_flexion: int) -> HarnessTrial:
    chosen = dict(choice)
    harness = figure_of_eight(
        wearer,
        ring_below_c7=chosen["ring_below_c7"],
        ring_to_sound_side=chosen["ring_to_sound_side"],
        crossbar=chosen["crossbar"],
        control_strap=chosen["control_strap"],
    )
    return HarnessTrial(try_on(SingleControl(harness), [_flexed(0), _asked(arm_flexion)]))
