"""Exercise 3: every question to the mechanics, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil

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

REFERENCE: Placement = {"ring_below_c7": mm(45), "ring_to_sound_side": mm(25), "crossbar": 0.6, "control_strap": 0.0}
"""The harness of the bench table. It serves every case, and so sets what a design may ask of the shoulder
[m, and - for the crossbar]; how it is set up is not told."""

FITTED = mm(20), mm(60)
"""Ring below C7 as this exercise takes it to be fitted: from about the inch of practice down [m]. Reasoned: lower, the
strap lies in the lower part of the scapula with its whole width."""

BROUGHT_FORWARD = deg(20)
"""Biscapular abduction with which a design is tried [rad]."""

MARGIN = 1.1
"""What a design may ask of the shoulder, against the harness of the bench table [-]."""

OPEN = 0.995
"""Share of full opening that counts as full [-]."""

SHUT = mm(0.5)
"""Opening that counts as none [m]."""

UNLOADED = newton(5)
"""Pull of the control attachment strap that counts as none [N]. Assumption."""

OFF_SPINE = mm(15)
"""Least distance of a ring from the spine [m]. Reasoned: half an inch, about half its width."""


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """What tape, caliper and protractor show on the wearer of a case, in whole numbers [mm and deg]."""
    sizes = {name: int(values[name]) for name in ("taller", "wider", "design_angle")}
    return _measured(sex=str(values["sex"]), amputated=str(values["amputated"]), **sizes)


@lru_cache(maxsize=128)
def _measured(*, sex: str, amputated: str, taller: int, wider: int, design_angle: int) -> dict[str, Value] | None:
    try:
        wearer = body(sex, 10 * taller, 10 * wider, amputated)
        system = SingleControl(figure_of_eight(wearer, **REFERENCE))
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
    found = rounded(raw)
    if found is None:
        return None
    found["design_moment"] = ceil(10 * MARGIN * led.force(asked) * led.moment_arm(asked)) / 10
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
    def opening_share(self) -> float:
        """Opening with the motion asked for, as a share of full opening [-]."""
        return self.led.opening(1) / self.led.system.device.full_opening

    @property
    def shoulder_moment(self) -> float:
        """Moment of the control attachment strap alone about the shoulder there: pull times moment arm [N m]."""
        return self.led.force(1) * self.led.moment_arm(1)

    @property
    def shut_at_rest(self) -> bool:
        """Whether the device is closed and its strap unloaded while the upper arm hangs."""
        return self.led.opening(0) <= SHUT and self.led.force(0) <= UNLOADED

    @property
    def opens_fully(self) -> bool:
        """Whether the device opens fully with the motion asked for."""
        return self.opening_share >= OPEN

    @property
    def as_fitted(self) -> bool:
        """Whether the ring lies where it is fitted, off the spine."""
        harness = self.led.system.harness
        return FITTED[0] <= harness.ring_below_c7 <= FITTED[1] and harness.ring_to_sound_side >= OFF_SPINE

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
