"""Exercise 2: every question to the mechanics, in one place."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from itertools import pairwise

from controlkit.checking import body
from controlkit.checking.case.cases import Value
from controlkit.exercises.shared.followed import lead
from controlkit.exercises.shared.readings import rounded
from controlkit.mechanics import Pose, SingleControl, figure_of_eight
from controlkit.mechanics.chain import HELD, REPEATED
from controlkit.mechanics.harness import Placement
from controlkit.units import InputError, deg, mm

ANGLES = (0, 15, 30, 45, 60, 75, 90)
"""Arm flexions of the bench table [deg]."""

TOGETHER = (0, 30, 60, 90)
"""Those at which the scapula was brought forward too [deg]."""

PLACEMENT: Placement = {"ring_below_c7": mm(25), "ring_to_sound_side": mm(25), "crossbar": 0.55}
"""The harness of the bench table, its ring in the practised place, alike for everybody [m, and - for the crossbar]."""

LIMITS = (HELD, *REPEATED, 1.0)
"""Limits of endurance as shares of strength, and all there is [-]."""

_WORDS = ("hold on", "repeat", "", "now and then", "too much")

DISPUTED = 2
"""How many limits a share exceeds about which sources disagree [-]."""

CLEAR = 0.01
"""A share of strength this near to a limit of fatigue is not asked about [-]."""


def measure(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """What tape and goniometer show on the wearer of a case, and what the device asks for [mm and N]."""
    taped = _taped(str(values["sex"]), int(values["taller"]), int(values["wider"]), int(values["scapula_angle"]))
    if taped is None:
        return None
    asked = int(values["strength"]) * int(values["effort"]) * int(values["kept"]) / 10_000
    reach = int(taped["forearm_hand"]) - int(values["shorter"])
    return {**taped, "asked": int(asked + 0.5), "reach": reach}


@lru_cache(maxsize=128)
def _taped(sex: str, taller: int, wider: int, scapula_angle: int) -> dict[str, Value] | None:
    try:
        person = body(sex, 10 * taller, 10 * wider)
        system = SingleControl(figure_of_eight(person, **PLACEMENT))
        asked = [(angle, 0) for angle in ANGLES] + [(angle, scapula_angle) for angle in TOGETHER]
        poses = [
            Pose(arm_flexion=deg(angle), elbow_flexion=deg(90), scapular_abduction=deg(forward))
            for angle, forward in asked
        ]
        led = lead(system, poses)
    except InputError:
        return None
    if not led.settled:
        return None
    raw = {"upper_arm": person.acromion_radiale_length / mm(1), "forearm_hand": person.forearm_hand_length / mm(1)}
    for k, (angle, forward) in enumerate(asked):
        raw[f"{'both' if forward else 'alone'}_{angle}"] = led.generated(k) / mm(1)
    found = rounded(raw)
    if found is None:
        return None
    alone = [int(found[f"alone_{angle}"]) for angle in ANGLES]
    if any(after <= before for before, after in pairwise(alone)):
        return None
    found["stature"] = round(person.stature / mm(1))
    found["chest_circumference"] = round(person.chest_circumference / mm(1))
    return found


def kept_up(share: float) -> str:
    """The word of how long a share of strength can be kept up; empty where sources disagree, or near a limit."""
    if any(abs(share - limit) < CLEAR for limit in LIMITS) or _place(share) == DISPUTED:
        return ""
    return _WORDS[_place(share)]


def may_be_kept_up(share: float) -> tuple[str, ...]:
    """The words of a student's own share: two where it lies near a limit, or where sources disagree."""
    first, last = (_place(share + off) for off in (-CLEAR, CLEAR))
    places = set(range(first, last + 1))
    places |= {DISPUTED - 1, DISPUTED + 1} if DISPUTED in places else set()
    return tuple(_WORDS[place] for place in sorted(places - {DISPUTED}))


def _place(share: float) -> int:
    """How many of the limits a share exceeds [-]."""
    return sum(share > limit for limit in LIMITS)
