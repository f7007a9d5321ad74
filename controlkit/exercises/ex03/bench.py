"""Exercise 3: every question to the mechanics, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import ceil

import numpy as np

from controlkit.checking import body
from controlkit.checking.case.cases import Value
from controlkit.mechanics import SingleControl, Wearer, figure_of_eight, Pull
from controlkit.exercises.shared.readings import rounded
from controlkit.mechanics.harness import Placement
from controlkit.mechanics.harness.layout import CONTROL_STRAP
from controlkit.units import InputError, deg, mm

ANGLES = (0, 30, 60, 90)
"""Arm flexions of the bench table [deg]."""

REFERENCE: Placement = {"ring_below_c7": mm(90), "ring_to_sound_side": mm(25), "crossbar": 0.6, "control_strap": 0.0}
"""The harness of the bench table. It serves every case, and so sets what a design may ask of the shoulder
[m, and - for the crossbar]; how it is set up is not told."""

OPEN = 0.995
"""Share of full opening that counts as full [-]."""

SHUT = mm(0.5)
"""Opening that counts as none [m]."""


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """What tape, caliper and protractor show on the wearer of a case, in whole numbers [mm and deg]."""
    sizes = {name: int(values[name]) for name in ("taller", "wider", "design_angle")}
    return _measured(sex=str(values["sex"]), amputated=str(values["amputated"]), **sizes)


@cache
def _measured(*, sex: str, amputated: str, taller: int, wider: int, design_angle: int) -> dict[str, Value] | None:
    angles = sorted({*ANGLES, design_angle})
    try:
        wearer = body(sex, 10 * taller, 10 * wider, amputated)
        system = SingleControl(figure_of_eight(wearer, **REFERENCE))
        motion = system.sweep(deg(1) * np.array(angles, dtype=float), elbow_flexion=deg(90))
    except InputError:
        return None
    at = dict(zip(angles, motion.pulls, strict=True))
    rest, open_at = at[0], at[design_angle]
    if not all(pull.settled for pull in motion.pulls) or rest.opening > SHUT:
        return None
    if open_at.opening < OPEN * system.device.full_opening:
        return None
    strap = rest.straps[CONTROL_STRAP]
    along = float(np.linalg.norm(np.diff(strap, axis=0), axis=1).sum())
    raw = {"upper_arm": wearer.acromion_radiale_length / mm(1)}
    for angle in ANGLES:
        crossbar = at[angle].straps[CONTROL_STRAP][-1]
        raw[f"strap_{angle}"] = (along + at[angle].excursion.generated) / mm(1)
        raw[f"across_{angle}"] = float(np.linalg.norm(crossbar - rest.ring)) / mm(1)
    raw["strap_direction"] = -_in_back(strap[1] - strap[0], -1.0 if amputated == "left" else 1.0)
    found = rounded(raw)
    if found is None:
        return None
    found["design_moment"] = ceil(10 * 1.15 * open_at.harness_force * open_at.moment_arm) / 10
    found["stature"] = round(wearer.stature / mm(1))
    found["chest_circumference"] = round(wearer.chest_circumference / mm(1))
    return found


def _in_back(along: np.ndarray, toward: float) -> float:
    """Direction in the plane of the back: degrees above the horizontal, toward one side."""
    return float(np.degrees(np.arctan2(along[1], toward * along[2])))


@dataclass(frozen=True)
class HarnessTrial:
    """What a design does on one wearer.

    Parameters
    ----------
    opening_share : float
        Opening at the arm flexion asked for, as a share of full opening [-]
    shoulder_moment : float
        Moment of the control attachment strap about the shoulder there [N m]
    shut_at_rest : bool
        Whether the device is closed while the upper arm hangs, the elbow bent
    ring_to_sound_side : float
        Ring from the spine toward the sound side, as chosen [m]
    crossbar : float
        Share of the upper arm, as chosen [-]
    """

    opening_share: float
    shoulder_moment: float
    shut_at_rest: bool
    ring_to_sound_side: float
    crossbar: float

    @property
    def opens_fully(self) -> bool:
        """Whether the device opens fully at the arm flexion asked for."""
        return self.opening_share >= OPEN


def trial(wearer: Wearer, choice: Mapping[str, float], arm_flexion: int) -> HarnessTrial:
    """Try a design on a wearer; settings in m, and - for the crossbar, the device to be open at an arm flexion [deg]."""
    return _tried(wearer, tuple(sorted(choice.items())), arm_flexion)


@cache
def _tried(wearer: Wearer, choice: tuple[tuple[str, float], ...], arm_flexion: int) -> HarnessTrial:
    chosen = dict(choice)
    harness = figure_of_eight(
        wearer,
        ring_below_c7=chosen["ring_below_c7"],
        ring_to_sound_side=chosen["ring_to_sound_side"],
        crossbar=chosen["crossbar"],
        control_strap=chosen["control_strap"],
    )
    system = SingleControl(harness)
    rest, raised = system.sweep(deg(1) * np.array([0.0, arm_flexion]), elbow_flexion=deg(90)).pulls
    if not (rest.settled and raised.settled):
        raise InputError(
            given="The straps do not settle with these settings.",
            do="Change one of them a little and try again.",
        )
    return HarnessTrial(
        opening_share=raised.opening / system.device.full_opening,
        shoulder_moment=raised.harness_force * raised.moment_arm,
        shut_at_rest=rest.opening <= SHUT,
        ring_to_sound_side=chosen["ring_to_sound_side"],
        crossbar=chosen["crossbar"],
    )
