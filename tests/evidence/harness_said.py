"""What practice says of harnesses above the elbow, amplifier and very short limbs, beside what the package says."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import numpy as np

from controlkit.mechanics import DualControl, ExcursionAmplifier, Pose, Wearer, above_elbow_eight
from controlkit.mechanics.elbow import LiftLine, below_axilla, socket_couple
from controlkit.mechanics.harness import Followed, follow
from controlkit.mechanics.harness.laws import CableLaw
from controlkit.sources import source
from controlkit.units import deg
from tests.evidence.said import BOTH, Said, dual_system

HARNESS: dict[str, Said] = {
    "cross-back excursion": Said(
        "cross-back strap: more excursion, at 90 degrees with both scapulae, 40 N [mm]",
        "second-hand (two study cards)",
        1.0,
        math.inf,
        lambda sex: _gains(sex, 1),
    ),
    "cross-back abduction": Said(
        "the same: another excursion as the arm abducts, 60 degrees [mm]",
        "second-hand (a study card)",
        1.0,
        math.inf,
        lambda sex: _gains(sex, 2),
    ),
    "cross-back force": Said(
        "the same: less force; greatest tension of the lift, of that without",
        "second-hand (a study card)",
        0.0,
        0.99,
        lambda sex: _crossed(sex).lift(**BOTH).peak / dual_system(sex).lift(**BOTH).peak,
    ),
    "cross-back helps least": Said(
        "the same: helps least in lifting; what it spares over what a loop 15 mm further out or a light hook spares",
        "second-hand (a study card, against the one above)",
        0.0,
        0.99,
        lambda sex: _spared(sex, _crossed(sex)) / min(_spared(sex, other) for other in _remedies(sex)),
    ),
    "cross-back wander": Said(
        "the same: keeps the junction from wandering; its way at 90 degrees, of that without",
        "second-hand (a study card)",
        0.0,
        0.99,
        lambda sex: _wanders(sex, 0.0) / _wanders(sex, None),
        outside="it does where the ring is dragged far, as on the man; on the average woman it goes 9 mm either way",
    ),
    "suspensor from the loop": Said(
        "the lateral suspensor begins on the back upper part of the axilla loop: captured, of that from the ring",
        "seen (course); computed (share)",
        0.97,
        1.03,
        lambda sex: _captured(sex, suspensor_from="axilla loop") / _captured(sex),
    ),
    "amplifier force": Said(
        "excursion amplifier: twice the force for lift and opening; least harness force of both, of that without",
        "second-hand (a study card)",
        source("excursion_amplifier_force").si,
        math.inf,
        lambda sex: _amplified(sex),
    ),
    "short limb, lever": Said(
        "very short transhumeral limb, 30 mm below the axilla: limb's force on its socket, of that on a usual limb",
        "seen (30 to 60 mm, 5.4 N m); computed (share)",
        1.5,
        math.inf,
        lambda sex: _couple(sex, source("short_humeral_socket").si_low) / _couple(sex, None),
    ),
    "short limb, excursion": Said(
        "the same: too little excursion; opening at 90 degrees by arm flexion, of that of a usual limb",
        "seen",
        0.0,
        0.67,
        lambda sex: _short_opens(sex),
    ),
    "short limb, both scapulae": Said(
        "the same with both scapulae",
        "seen",
        0.0,
        0.67,
        lambda sex: _short_opens(sex, **BOTH),
        outside="they give more than the higher base plate loses: by this model the lever fails before the excursion",
    ),
}


def _crossed(sex: str) -> DualControl:
    return DualControl(harness=above_elbow_eight(Wearer.average(sex, level="transhumeral"), cross_back=0.0))


def _remedies(sex: str) -> tuple[DualControl, ...]:
    return dual_system(sex, LiftLine(loop_along=0.055, end_ahead=0.025)), dual_system(sex, device="light hook")


def _spared(sex: str, other: DualControl) -> float:
    return dual_system(sex).lift(**BOTH).peak - other.lift(**BOTH).peak


@cache
def _followed(sex: str, cross_back: float | None) -> Followed:
    poses = [Pose(arm_flexion=deg(90)), Pose(arm_flexion=deg(90), **BOTH), Pose(arm_abduction=deg(60))]

    def law(_: Pose, give: float) -> CableLaw:
        return CableLaw(stiffness=1.0 / give, start=40.0, rise=0.0, full=1e6)

    harness = above_elbow_eight(Wearer.average(sex, level="transhumeral"), cross_back=cross_back)
    return follow(harness, poses, law)


def _gains(sex: str, pose: int) -> float:
    """Travel that a cross-back strap adds in a pose [mm]."""
    with_it, without = (float(found.travel[found.asked[pose]]) for found in (_followed(sex, 0.0), _followed(sex, None)))
    return 1e3 * (with_it - without)


def _wanders(sex: str, cross_back: float | None) -> float:
    """How far the ring goes from donning to 90 degrees [m]."""
    found = _followed(sex, cross_back)
    return float(np.linalg.norm(found.net.ring[found.asked[0]] - found.donned.ring))


def _captured(sex: str, **more: Any) -> float:
    harness = above_elbow_eight(Wearer.average(sex, level="transhumeral"), **more)
    return float(DualControl(harness=harness).capture(**BOTH).at(deg(90), 60.0))


def _amplified(sex: str) -> float:
    """Least share of harness force, lifting at 90 degrees and opening where it is locked at 45."""
    bare = dual_system(sex)
    twice = DualControl(harness=bare.harness, amplifier=ExcursionAmplifier())
    lifts, opens = ([one.lift([deg(90)], **BOTH), one.open_locked([deg(45)], **BOTH)] for one in (bare, twice))
    return min(float(b.harness_force[0] / a.harness_force[0]) for a, b in zip(lifts, opens, strict=True))


def _limb(sex: str, below: float | None) -> Wearer:
    """The average wearer, the limb ending some way below the axilla, or a usual one [m]."""
    wearer = Wearer.average(sex, level="transhumeral")
    if below is None:
        return wearer
    shorter = (below - below_axilla(wearer)) / wearer.acromion_radiale_length
    return wearer.with_(residual_share=wearer.residual_share + shorter)


def _couple(sex: str, below: float | None) -> float:
    return socket_couple(source("advanced_prosthesis_moment").si, below_axilla(_limb(sex, below)))


def _short_opens(sex: str, **angles: float) -> float:
    short, usual = (
        DualControl(harness=above_elbow_eight(_limb(sex, below))).open_locked([deg(90)], **angles)
        for below in (source("short_humeral_socket").si_low, None)
    )
    return float(short.opening[0] / usual.opening[0])
