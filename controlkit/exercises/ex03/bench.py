"""Exercise 3: every question to the mechanics, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from controlkit.checking import body
from controlkit.checking.case.cases import Value
from controlkit.exercises.shared import settings
from controlkit.exercises.shared.followed import Led, lead, try_on
from controlkit.exercises.shared.readings import rounded
from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.harness import LIMITS, Placement
from controlkit.units import InputError, deg, mm, newton

ANGLES = (0, 30, 60, 90)
"""Arm flexions of the bench table [deg]."""

ROOM = 0.02
"""How far along the upper arm the cuff leaves room for the crossbar [-]. Assumption of this exercise."""

RING_FOR = {
    (25, 16): (mm(73.9), mm(54.8)),
    (25, 18): (mm(63.1), mm(46.8)),
    (25, 20): (mm(54.8), mm(40.5)),
    (25, 22): (mm(48.2), mm(35.3)),
    (25, 24): (mm(42.2), mm(30.4)),
    (30, 16): (mm(59.6), mm(42.9)),
    (30, 18): (mm(50.9), mm(36.3)),
    (30, 20): (mm(44.3), mm(30.8)),
    (30, 22): (mm(38.4), mm(25.6)),
    (35, 16): (mm(50.2), mm(34.2)),
    (35, 18): (mm(42.9), mm(28.3)),
    (35, 20): (mm(36.3), mm(22.4)),
}
"""Arm flexion and biscapular abduction of a design [deg] to the ring of the bench table below C7, with its crossbar at
either end of `BETWEEN` [m]. Found by trying: the least depth with which every other body of this exercise opens the
device, and two millimetres more."""

BETWEEN = (0.415, 0.665)
"""The crossbar of the bench table nearest to the shoulder, and furthest [-]."""

HIGHEST_RING = mm(20)
"""Least distance of a ring below C7 as this exercise takes it to be fitted: about the inch of practice [m]."""

SPARE = (3, 40)
"""How much lower than on the bench table the ring of a case may lie, least and most: a tender spot lies below. So far
apart that where the ring may lie does not tell where it serves. Assumption of this exercise [mm]."""

LOWER = mm(2.5)
"""How much lower than on the bench table the ring may lie with what a design may ask of the shoulder [m]."""

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
    sizes = {name: int(values[name]) for name in ("taller", "wider", "design_angle", "design_forward")}
    room = float(values["crossbar_from"])
    found = _measured(sex=str(values["sex"]), amputated=str(values["amputated"]), crossbar_from=room, **sizes)
    if found is None:
        return None
    ring = reference(room, sizes["design_angle"], sizes["design_forward"])["ring_below_c7"]
    return {**found, "ring_lowest": int(ring / mm(1)) + int(values["ring_lowest"])}


def reference(crossbar_from: float, design_angle: int, design_forward: int) -> Placement:
    """The harness of the bench table, which serves the case and every other body; how it is set up is not told.

    It sets what a design may ask of the shoulder; the tender spot below its ring lies nearer or further by lot.

    Parameters
    ----------
    crossbar_from : float
        Where the room for the crossbar begins, as a share of the upper arm [-]
    design_angle : int
        Arm flexion at which a design must open the device [deg]
    design_forward : int
        Biscapular abduction with it [deg]

    Returns
    -------
    Placement
        In SI units

    Examples
    --------
    >>> round(1000 * reference(0.405, 30, 20)["ring_below_c7"], 1)
    44.3
    """
    crossbar = crossbar_from + ROOM / 2
    (first, last), (near, far) = BETWEEN, RING_FOR[design_angle, design_forward]
    ring = near + (far - near) * (crossbar - first) / (last - first)
    return {"ring_below_c7": ring, "ring_to_sound_side": mm(25), "crossbar": crossbar, "control_strap": 0.0}


def can_be_asked(values: Mapping[str, Value]) -> bool:
    """Whether there is a harness for the arm flexion and biscapular abduction of a draw."""
    return (values["design_angle"], values["design_forward"]) in RING_FOR


@lru_cache(maxsize=128)
def _measured(
    *, sex: str, amputated: str, taller: int, wider: int, crossbar_from: float, design_angle: int, design_forward: int
) -> dict[str, Value] | None:
    try:
        wearer = body(sex, 10 * taller, 10 * wider, amputated)
        placed = reference(crossbar_from, design_angle, design_forward)
        system = SingleControl(figure_of_eight(wearer, **placed))
        led = lead(system, [*(_flexed(angle) for angle in ANGLES), _asked(design_angle, design_forward)])
        still_lower: Placement = {**placed, "ring_below_c7": placed["ring_below_c7"] + LOWER}
        lower = SingleControl(figure_of_eight(wearer, **still_lower))
        allowed = HarnessTrial(lead(lower, [_flexed(0), _asked(design_angle, design_forward)]))
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
    raw["design_moment"] = 100 * allowed.shoulder_moment
    found = rounded(raw)
    if found is None:
        return None
    found["design_moment"] = int(found["design_moment"]) / 100
    found["stature"] = round(wearer.stature / mm(1))
    found["chest_circumference"] = round(wearer.chest_circumference / mm(1))
    return found


def _flexed(arm_flexion: int) -> Pose:
    """Arm flexion [deg], the elbow bent."""
    return Pose(arm_flexion=deg(arm_flexion), elbow_flexion=deg(90))


def _asked(arm_flexion: int, forward: int) -> Pose:
    """What a design is tried with: arm flexion and biscapular abduction [deg], the elbow bent."""
    both = deg(forward)
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


def trial(wearer: Wearer, choice: Mapping[str, float], asked: tuple[int, int]) -> HarnessTrial:
    """Try a design on a wearer; settings in m, - for the crossbar, arm flexion and biscapular abduction in deg."""
    return _tried(wearer, tuple(sorted(choice.items())), asked)


@lru_cache(maxsize=32)
def _tried(wearer: Wearer, choice: tuple[tuple[str, float], ...], asked: tuple[int, int]) -> HarnessTrial:
    chosen = dict(choice)
    settings.crossbar(chosen, LIMITS["crossbar"])
    harness = figure_of_eight(
        wearer,
        ring_below_c7=chosen["ring_below_c7"],
        ring_to_sound_side=chosen["ring_to_sound_side"],
        crossbar=chosen["crossbar"],
        control_strap=chosen["control_strap"],
    )
    return HarnessTrial(try_on(SingleControl(harness), [_flexed(0), _asked(*asked)]))
