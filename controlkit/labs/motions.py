"""The motion lab: body control motions, what each gives at the cable, and where it takes the device."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from controlkit.draw.charts.motion import motion_bars
from controlkit.draw.wearer.motion import motion_scene
from controlkit.draw.words.effort import percent
from controlkit.draw.words.held import held_words
from controlkit.draw.words.motion import motion_words
from controlkit.draw.words.pull import View
from controlkit.draw.words.states import worth_knowing
from controlkit.labs import ranges
from controlkit.labs.buckles import buckle
from controlkit.labs.controls import Control, Menu, Slider, Values
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.handles import angle_handle, arm_handle, forearm_handle
from controlkit.labs.motion_tasks import MOTION_CHALLENGES, MOTION_PREDICTIONS, motion_answers, motion_verdicts
from controlkit.labs.page import Handle, Page, Reading, Units
from controlkit.labs.people import people, person_of
from controlkit.labs.readings import at_rest, captured, reached
from controlkit.labs.set_ups import SetUps
from controlkit.labs.turned import ground, seen_from, turned
from controlkit.mechanics import Pose, Pull, SingleControl, Strength, Wearer, figure_of_eight
from controlkit.mechanics.body.held import COMPENSATING, hold_device
from controlkit.mechanics.chain.motions import Apart, hanging, take_apart
from controlkit.sources import source
from controlkit.units import deg, show

__all__ = ["motion_lab"]

_ANGLES = ("arm_flexion", "scapular_abduction", "sound_scapular_abduction", "shoulder_elevation", "arm_abduction")
_GIRDLE = ("scapular_abduction", "sound_scapular_abduction", "shoulder_elevation")
_REST = {name: getattr(Pose(), name) for name in _ANGLES}
_SYSTEM = ("wearer", "amputated", "support_strap")
_ASIDE = deg(15.0)  # an arm further out is seen at a slant from the side
_SIZE = (310.0, 200.0)  # of each list of bars [picture points]


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    def angle(key: str, label: str, ends: tuple[float, float], *, start: float = 0.0, hint: str) -> Slider:
        return Slider(key, label, "angle", ranges.angles(key, *ends), start=deg(start), hint=hint)

    return (
        angle(
            "arm_flexion",
            "Arm flexion",
            (-30, 90),
            start=30,
            hint="upper arm forward of hanging; below zero is extension",
        ),
        angle("scapular_abduction", "Scapular abduction", (-15, 25), hint="scapula of the amputated side slid forward"),
        angle(
            "sound_scapular_abduction",
            "Scapular abduction, sound side",
            (0, 25),
            hint="the other scapula; with both it is biscapular abduction",
        ),
        angle("shoulder_elevation", "Shoulder elevation", (-10, 30), hint="shrug; below zero is depression"),
        angle(
            "arm_abduction", "Arm abduction", (10, 80), start=10, hint="upper arm away from the trunk; it hangs at 10°"
        ),
        angle("elbow_flexion", "Elbow flexion", (0, 120), start=90, hint="held while the motion is made"),
        Menu("device", "Device", (("moves", "moves along"), ("held", "held where the arm has brought it")), "moves"),
        buckle("support_strap", "Anterior support strap"),
        Slider(
            "strength",
            "Wearer's strongest pull",
            "force",
            ranges.STRENGTH,
            start=source("arm_flexion_force").si,
            hint="once, at the cable; at first a survey's mean, not this wearer's own",
        ),
        *people(own),
        turned("back"),
    )


class _MotionsApart:
    """Harnesses on the wearers seen so far, and poses of theirs taken apart."""

    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._set_ups = SetUps(self._put_on, _SYSTEM)

    def _put_on(self, setting: Values) -> SingleControl:
        wearer = person_of(self._own, str(setting["wearer"]), str(setting["amputated"]))
        return SingleControl(figure_of_eight(wearer, support_strap=float(setting["support_strap"])))

    def ask(self, setting: Values, units: Units = "metric") -> tuple[SingleControl, Apart, str]:
        """Take the pose of a setting apart, and say what holds the device."""
        known = self._set_ups.of(setting)
        system = replace(known.system, strength=Strength(cable=float(setting["strength"])))
        angles = {name: float(setting[name]) for name in (*_ANGLES, "elbow_flexion")}
        angles = {name: _REST.get(name, -1.0) if _same(name, value) else value for name, value in angles.items()}
        pose, start, said = Pose(**angles), None, ""
        if setting["device"] == "held":
            wearer, start = system.harness.wearer, hanging(pose)
            brought = replace(pose, **{name: _REST[name] for name in _GIRDLE})
            held = hold_device(wearer, brought, COMPENSATING, **{name: angles[name] for name in _GIRDLE})
            pose, said = held.pose, held_words(brought, held.pose, held.missed, units)
        return system, take_apart(system, pose, lambda poses: known.over(poses, system), start), said

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        system, apart, held = self.ask(setting, units)
        wearer = system.harness.wearer
        second = seen_from(setting["view"])
        side, beside = (
            motion_scene(apart, view, system=system, plain=True, scale=view == "side", units=units)
            for view in ("side", second)
        )
        charts = motion_bars(apart, system=system, held=setting["device"] == "held", units=units, size=_SIZE)
        compared = ""
        if pinned is not None:
            compared = _compared(apart, self.ask(pinned, units)[1], units)
        said = " ".join(part for part in (held, motion_words(apart, system, units)) if part)
        told = (said + worth_knowing(apart.pull.states, units), compared, side.words, beside.words)
        return Page(
            (side, beside, *charts),
            " ".join(part for part in told if part),
            " ".join(part for part in (said, compared) if part),
            readings=_readings(apart, units),
            handles=(
                *_handles(setting, apart.pull, wearer, second),
                ground(setting["view"], beside, wearer, picture=1),
            ),
            verdicts=motion_verdicts(setting, apart, units),
            answers=motion_answers(setting, apart, units),
            tone=min(reached(apart.pull.excursion), 1.0),
        )


def _readings(apart: Apart, units: Units) -> tuple[Reading, ...]:
    """What the motions give and what of it arrives, where they take the device, what it costs."""
    pull = apart.pull
    three = pull.excursion
    added, opening = (show(value, "length", units) for value in (apart.summed, pull.opening))
    together = f"{added} added up" if len(apart.shares) > 1 else "at the cable"
    return (
        Reading("Generated", three.generated, "length", together),
        captured(three, units),
        *at_rest(pull, units),
        Reading("Device moves", apart.moved, "length", f"hook opens {opening}"),
        Reading("Harness pull", pull.harness_force, "force", f"{percent(pull.cable_share)} of strongest pull"),
    )


def _handles(setting: Values, pull: Pull, wearer: Wearer, second: View) -> tuple[Handle, ...]:
    """Arm and forearm, where no other joint makes up for what is dragged."""
    if setting["device"] != "moves":
        return ()
    seen: dict[str, Any] = {"pose": pull.pose, "wearer": wearer}
    forearm = forearm_handle(pull, wearer, picture=0)
    if pull.pose.arm_abduction > _ASIDE:  # it no longer turns in the plane of the picture
        forearm = angle_handle("forearm", "elbow_flexion", "device", **seen, view="side", picture=0)
    return (
        arm_handle(pull, wearer, picture=0),
        forearm,
        angle_handle("arm", "arm_abduction", "elbow", **seen, view=second, picture=1),
    )


def _same(name: str, value: float) -> bool:
    """Whether an angle is that of the hanging arm, but for the last digit."""
    return name in _REST and abs(value - _REST[name]) < 1e-6


def _compared(now: Apart, then: Apart, units: Units) -> str:
    def change(value: float, before: float, digits: int = 1) -> str:
        return f"{show(before, 'length', units, digits)} there, {show(value, 'length', units, digits)} here"

    return (
        f"Against the pinned setting: captured {change(now.pull.excursion.captured, then.pull.excursion.captured)}; "
        f"device moved {change(now.moved, then.moved, 0)}."
    )


@documented
def motion_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the motion lab.

    Notes
    -----
    A figure-of-eight harness with its ring in the practised place, three bands, a housing of good length. Letting out
    the anterior support strap changes no other strap. Wearers of the list come from a
    survey of military adults: fit, and not a clinical population.

    Examples
    --------
    >>> lab = motion_lab(setting="arm_flexion = 60°")
    >>> lab.setting.split(";")[0]
    'arm_flexion = 60 °'
    """
    answers = _MotionsApart(wearer)
    return Lab(
        "Motion lab: what each body control motion gives",
        _controls(wearer),
        answers.page,
        play="arm_flexion",
        challenges=MOTION_CHALLENGES,
        predictions=MOTION_PREDICTIONS,
        another="wearer",
        units=units,
        setting=setting,
    )
