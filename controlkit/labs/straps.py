"""The strap lab: a figure-of-eight harness, its straps and its ring."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from controlkit.draw import EXCURSIONS, excursion_scene, force_polygon_scene, wearer_scene
from controlkit.draw.words.effort import percent
from controlkit.draw.words.pull import comparison_words, excursion_words, force_words
from controlkit.labs import ranges
from controlkit.labs.buckles import buckle
from controlkit.labs.controls import Control, Menu, Slider, Tick, Values
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.handles import arm_handle, crossbar_handle, ring_handle
from controlkit.labs.page import Page, Reading, Units
from controlkit.labs.people import people, person_of
from controlkit.labs.readings import at_rest, captured, opens, reached
from controlkit.labs.set_ups import SetUps
from controlkit.labs.strap_tasks import (
    STRAP_CHALLENGES,
    STRAP_PREDICTIONS,
    strap_answers,
    strap_moment,
    strap_verdicts,
)
from controlkit.labs.turned import ground, seen_from, turned
from controlkit.mechanics import Harness, Motion, Pose, Pull, SingleControl, Wearer, figure_of_eight
from controlkit.units import deg, show

__all__ = ["strap_lab"]

_BENT = deg(90.0)  # elbow flexion at which the forearm is level while the arm hangs
_PLACEMENT = ("ring_below_c7", "ring_to_sound_side", "control_strap", "crossbar")
_SYSTEM = ("wearer", "amputated", *_PLACEMENT, "cross_back")
_GRID = tuple(float(angle) for angle in np.arange(0.0, 91.0, 15.0))  # arm flexion of the curves [deg]
_PLAYED = tuple(float(angle) for angle in np.arange(0.0, 91.0, 5.0))  # and of the motion that plays [deg]
_SIZE = (310.0, 260.0)  # of the chart [picture points]


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    return (
        Slider(
            "ring_below_c7",
            "Ring below C7",
            "length",
            ranges.RING_BELOW_C7,
            start=Harness.ring_below_c7,
            hint="down the back from the bony point at the base of the neck",
        ),
        Slider(
            "ring_to_sound_side",
            "Ring to the sound side",
            "length",
            ranges.RING_TO_SOUND_SIDE,
            start=Harness.ring_to_sound_side,
            hint="from the midline; below zero is towards the prosthesis",
        ),
        buckle("control_strap", "Control attachment strap"),
        Slider(
            "crossbar",
            "Crossbar",
            "ratio",
            ranges.CROSSBAR,
            start=0.55,
            hint="share of the upper arm, from shoulder down to elbow",
        ),
        Slider(
            "arm_flexion",
            "Arm flexion",
            "angle",
            ranges.angles("arm_flexion", 0, 90),
            start=deg(30.0),
            hint="upper arm forward of hanging",
        ),
        Slider(
            "scapular_abduction",
            "Scapular abduction",
            "angle",
            ranges.angles("scapular_abduction", 0, 25),
            start=0.0,
            hint="scapula slid forward round the chest",
        ),
        Tick("biscapular", "The sound scapula too"),
        Tick("cross_back", "Cross-back strap"),
        *people(own),
        Menu("forearm", "Forearm", (("level", "kept level"), ("bent", "elbow at 90°")), "level"),
        turned("side"),
        Tick("forces", "Show the forces on the ring"),
    )


@dataclass(frozen=True)
class _FlexedArm:
    """A setting as the mechanics answers it: the motion of the arm, and the pull at one of its angles."""

    system: SingleControl
    motion: Motion
    pull: Pull


class _HarnessMotions:
    """Harnesses of the settings seen so far, and how the arm flexes in them."""

    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._set_ups = SetUps(self._put_on, _SYSTEM)

    def _put_on(self, setting: Values) -> SingleControl:
        wearer = person_of(self._own, str(setting["wearer"]), str(setting["amputated"]))
        placement: Any = {name: setting[name] for name in _PLACEMENT}
        placement["cross_back"] = 0.0 if setting["cross_back"] else None
        return SingleControl(figure_of_eight(wearer, **placement))

    def _through(self, setting: Values, angles: Iterable[float]) -> tuple[SingleControl, Motion]:
        """Flex the arm of a setting to some angles [deg]."""
        known = self._set_ups.of(setting)
        own = float(setting["scapular_abduction"])
        sound = own if setting["biscapular"] else 0.0
        level = setting["forearm"] == "level"
        poses = [
            Pose(
                arm_flexion=flexion,
                elbow_flexion=_BENT - flexion if level else _BENT,
                scapular_abduction=own,
                sound_scapular_abduction=sound,
            )
            for flexion in map(deg, angles)
        ]
        return known.system, known.through(poses)

    def ask(self, setting: Values) -> _FlexedArm:
        """Find the motion of a setting and the pull at its arm flexion."""
        angle = round(float(np.rad2deg(float(setting["arm_flexion"]))), 6)
        angles = sorted({*_GRID, angle})
        system, motion = self._through(setting, angles)
        return _FlexedArm(system, motion, motion.pull(angles.index(angle)))

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with all that the lab shows."""
        now = self.ask(setting)
        # the pinned setting is compared at the angle on show
        then = self.ask({**pinned, "arm_flexion": setting["arm_flexion"]}) if pinned is not None else None
        return self._drawn(setting, now, then, units)

    def motion(self, setting: Values, pinned: Values | None, units: Units) -> Iterator[tuple[float, Page]]:
        """Answer the whole flexion of the arm, from one run of the solver."""
        system, motion = self._through(setting, _PLAYED)
        held = self._through(pinned, _PLAYED) if pinned is not None else None
        for at, flexion in enumerate(motion.arm_flexion.tolist()):
            then = _moment(*held, at) if held is not None else None
            there = {**setting, "arm_flexion": flexion}
            yield flexion, self._drawn(there, _moment(system, motion, at), then, units)

    def _drawn(self, setting: Values, now: _FlexedArm, then: _FlexedArm | None, units: Units) -> Page:
        """Draw one pose: from behind, from the second side, the curves, and the forces if they are wanted."""
        pull, system = now.pull, now.system
        wearer, forces = system.harness.wearer, bool(setting["forces"])
        ghost = then.pull if then is not None and then.system.harness.wearer == wearer else None
        second = seen_from(setting["view"])
        back, beside = (
            wearer_scene(
                pull,
                view,
                system=system,
                pinned=ghost,
                forces=forces and view == "back",
                plain=True,
                lever=view == "side",
                scale=view == "back",
                units=units,
            )
            for view in ("back", second)
        )
        chart = excursion_scene(
            now.motion,
            arm_flexion=float(pull.pose.arm_flexion),
            pinned=then.motion if then is not None else None,
            span=EXCURSIONS,
            size=_SIZE,
            units=units,
        )
        polygon = force_polygon_scene(pull, units) if forces else None
        said = excursion_words(pull, units)
        compared = comparison_words(pull, then.pull, units) if then is not None else ""
        more = polygon.words if polygon is not None else force_words(pull, units)
        handles = [ring_handle(pull, wearer, "back", picture=0), ground(setting["view"], beside, wearer, picture=1)]
        if second == "side":
            handles += [crossbar_handle(pull, wearer, "side", picture=1), arm_handle(pull, wearer, picture=1)]
        return Page(
            (back, beside, polygon, chart),
            " ".join(part for part in (said, more, compared, chart.words, back.words, beside.words) if part),
            " ".join(part for part in (said, compared) if part),
            readings=_readings(pull, units),
            handles=tuple(handles),
            verdicts=strap_verdicts(setting, now.motion, pull, units),
            answers=strap_answers(setting, pull, self._before, units),
            tone=min(reached(pull.excursion), 1.0),
        )

    def _before(self, setting: Values) -> Pull:
        """Find the pull of another setting than that on show."""
        return self._set_ups.aside(self.ask, setting).pull


def _moment(system: SingleControl, played: Motion, at: int) -> _FlexedArm:
    """One moment of the motion that plays, its curves through the same angles as at rest."""
    angles = sorted({at, *(k for k, angle in enumerate(_PLAYED) if angle in _GRID)})
    return _FlexedArm(system, played.at(angles), played.pull(at))


def _readings(pull: Pull, units: Units) -> tuple[Reading, ...]:
    """What matters most: excursion, opening, force, and what the force costs the shoulder."""
    arm = show(pull.moment_arm, "length", units)
    return (
        captured(pull.excursion, units),
        *at_rest(pull, units),
        opens(pull),
        Reading("Harness pull", pull.harness_force, "force", f"{percent(pull.cable_share)} of strongest pull"),
        Reading("Moment of the strap", strap_moment(pull), "moment", f"moment arm {arm}"),
    )


@documented
def strap_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the strap lab.

    Notes
    -----
    Wearers of the list come from a survey of military adults: fit, and not a
    clinical population. The forearm is kept level: the elbow straightens as the arm flexes. Against an elbow
    left at 90 degrees the device requires the same excursion, and the harness captures nearly the same: a straighter
    elbow bends the cable less in its housing, so less force is lost and less stretched, until towards 90 degrees of
    arm flexion the housing bends the other way. What grows is the moment of the forearm's weight. Curves are computed
    every 15 degrees and at the angle on show, and joined smoothly.

    Examples
    --------
    >>> lab = strap_lab(setting="ring_below_c7 = 80 mm")
    >>> lab.setting.split(";")[0]
    'ring_below_c7 = 80 mm'
    """
    answers = _HarnessMotions(wearer)
    return Lab(
        "Strap lab: the figure-of-eight harness",
        _controls(wearer),
        answers.page,
        play="arm_flexion",
        motion=answers.motion,
        challenges=STRAP_CHALLENGES,
        predictions=STRAP_PREDICTIONS,
        another="wearer",
        units=units,
        setting=setting,
    )
