"""The dual-control lab: one cable lifts the forearm, and opens the device once the elbow is locked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np

from controlkit.draw import Lifting, dual_excursion_chart, lift_force_chart, lift_scene, live_lift_chart
from controlkit.draw.wearer.lifting import Window
from controlkit.draw.words.dual import why_words
from controlkit.draw.words.effort import percent
from controlkit.draw.words.lifted import (
    LiftAndOpen,
    apart_words,
    hangs_back_words,
    left_words,
    live_words,
    reached_words,
)
from controlkit.draw.words.pull import degrees
from controlkit.labs import ranges
from controlkit.labs.controls import Control, Menu, Slider, Tick, Values
from controlkit.labs.documented import documented
from controlkit.labs.dual_handles import dual_handles
from controlkit.labs.dual_tasks import DUAL_CHALLENGES, DUAL_PREDICTIONS, dual_answers, dual_verdicts
from controlkit.labs.frame import Lab
from controlkit.labs.page import Page, Reading, Units
from controlkit.labs.people import people, person_of
from controlkit.mechanics import ControlCable, DualControl, Strength, VoluntaryOpening, Wearer, above_elbow_eight
from controlkit.mechanics.chain import TASKS
from controlkit.mechanics.chain.positions import BOTH_FORWARD
from controlkit.mechanics.elbow import FlexionSpring, LiftLine, forearm_of
from controlkit.sources import source
from controlkit.units import deg, show

__all__ = ["dual_lab"]

_LINE = ("loop_along", "loop_ahead", "end_above", "end_ahead")
_CARRIED = {"light-hook": "light hook", "hook": "hook", "steel-hook": "steel hook", "hand": "hand with glove"}
_SCAPULAE = {
    "alone": {},
    "both": BOTH_FORWARD,
}
_HIGHEST = 135.0  # elbow flexion to which curves go [deg]
_STEP, _COARSE, _LIVE = 1.0, 7.5, 15.0  # from angle to angle: of the lift, of opening, of what is held up [deg]
_LEAVES = deg(0.001)  # beyond its stop, a forearm hangs on it no longer
_SIZE = (310.0, 200.0)  # of a chart [picture points]
_FORCES, _EXCURSIONS, _MASSES = (0.0, 80.0), (0.0, 0.120), (0.0, 1.0)
"""Spans of the charts, which stand still as long as their curves lie within [N, m, kg]."""
_WINDOWS: tuple[Window, Window] = ("near", "plain")
_KEPT = 24  # set-ups that the lab remembers [-]


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    return (
        Slider(
            "loop_along",
            "Lift loop along the forearm",
            "length",
            ranges.LOOP_ALONG,
            start=LiftLine.loop_along,
            hint="from the elbow axis towards the wrist",
        ),
        Slider(
            "loop_ahead",
            "Lift loop in front",
            "length",
            ranges.LIFT_AHEAD,
            start=0.0,
            hint="of the forearm's line, on the side to which the elbow flexes; below zero is behind",
        ),
        Slider(
            "end_above",
            "Housing end above the elbow",
            "length",
            ranges.END_ABOVE,
            start=LiftLine.end_above,
            hint="from the elbow axis up the upper arm",
        ),
        Slider(
            "end_ahead",
            "Housing end in front",
            "length",
            ranges.LIFT_AHEAD,
            start=0.0,
            hint="of the upper arm's line; below zero is behind",
        ),
        Slider(
            "hangs_at",
            "Pre-flexion",
            "angle",
            ranges.HANGS_AT,
            start=DualControl.hangs_at,
            hint="elbow angle at which the forearm hangs on its stop; no source gives one",
        ),
        Slider(
            "bands",
            "Rubber bands",
            "count",
            ranges.BANDS,
            start=3,
            hint="each grips with about one pound",
        ),
        Menu(
            "device",
            "The forearm carries",
            (
                ("light-hook", "a light hook"),
                ("hook", "a hook"),
                ("steel-hook", "a steel hook"),
                ("hand", "as much as a hand with glove"),
            ),
            "hook",
        ),
        Slider(
            "load",
            "Load in the device",
            "mass",
            ranges.LOAD,
            start=0.0,
            hint="lifted with the forearm",
            fine=0.5,
        ),
        Slider(
            "spring",
            "Flexion spring",
            "moment",
            ranges.FLEXION_SPRING,
            start=0.0,
            hint="with the elbow straight; falls evenly to nothing at full flexion",
        ),
        Slider(
            "elbow_flexion",
            "Elbow flexion",
            "angle",
            ranges.angles("elbow_flexion", 0, _HIGHEST),
            start=deg(90.0),
            hint="to which the forearm shall come, or at which it is locked; 0° is straight",
        ),
        Tick("locked", "Elbow locked"),
        Slider(
            "arm_flexion",
            "Arm flexion that opens",
            "angle",
            ranges.angles("arm_flexion", 0, 90),
            start=deg(80.0),
            hint="how far the arm goes to open the device, elbow locked or not",
        ),
        Menu(
            "scapulae",
            "Motion",
            (("alone", "arm flexion alone"), ("both", "both scapulae 20° forward, and arm flexion")),
            "alone",
        ),
        Slider(
            "friction",
            "Friction of the cable",
            "coefficient",
            ranges.USUAL_COEFFICIENTS,
            start=ControlCable.friction,
            hint="in both housings",
        ),
        Slider(
            "strength",
            "Wearer's strongest pull",
            "force",
            ranges.STRENGTH,
            start=source("arm_flexion_force").si,
            hint="once, at the cable; at first a survey's mean, not this wearer's own",
        ),
        *people(own),
    )


class _DualSetUps:
    """Harnesses of the wearers seen so far, and what their set-ups came to; remembering is faster, never different."""

    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._worn = lru_cache(maxsize=_KEPT)(self._put_on)
        self._known = lru_cache(maxsize=_KEPT)(self._find)

    def _put_on(self, who: str, side: str) -> DualControl:
        wearer = replace(person_of(self._own, who, side), level="transhumeral")
        return DualControl(harness=above_elbow_eight(wearer))

    def system(self, setting: Mapping[str, Any]) -> DualControl:
        """Find the system of a setting."""
        worn = self._worn(str(setting["wearer"]), str(setting["amputated"]))
        spring = float(setting["spring"])
        return replace(
            worn,
            line=LiftLine(**{name: float(setting[name]) for name in _LINE}),
            forearm=forearm_of(worn.harness.wearer, _CARRIED[str(setting["device"])]),
            device=VoluntaryOpening(bands=round(setting["bands"])),
            cable=ControlCable(friction=float(setting["friction"])),
            spring=FlexionSpring(spring, spring / deg(_HIGHEST)) if spring > 0.0 else None,
            hangs_at=float(setting["hangs_at"]),
            strength=Strength(cable=float(setting["strength"])),
        )

    def ask(self, setting: Values) -> LiftAndOpen:
        """Find what a setting lifts and opens."""
        return self._known(tuple(sorted((key, value) for key, value in setting.items() if key != "locked")))

    def _find(self, chosen: tuple[tuple[str, Any], ...]) -> LiftAndOpen:
        setting = dict(chosen)
        system, motion = self.system(setting), _SCAPULAE[setting["scapulae"]]
        asked = round(max(float(setting["elbow_flexion"]), system.hangs_at), 9)
        fine, coarse, live = (_angles(system.hangs_at, step, asked) for step in (_STEP, _COARSE, _LIVE))
        return LiftAndOpen(
            system=system,
            lifted=system.lift(fine, load=float(setting["load"]), **motion),
            opened=system.open_locked(coarse, min(float(setting["arm_flexion"]), system.furthest), **motion),
            live=system.live_lift(live),
            asked=asked,
        )

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        one, then = self.ask(setting), self.ask(pinned) if pinned is not None else None
        locked = bool(setting["locked"])
        lifting = Lifting(
            system=one.system,
            lifted=one.lifted,
            at=one.at if locked else one.comes_to,
            raised=one.opened.arm_flexion if locked else one.raised,
        )
        drawn: dict[str, Any] = {
            "locked": locked,
            "opening": one.opening if locked else one.opens_instead,
            "units": units,
        }
        near, whole = (lift_scene(lifting, window=window, **drawn) for window in _WINDOWS)
        may = TASKS["repeat"] * one.system.strength.cable
        charts = (
            lift_force_chart(
                one.lifted,
                elbow_flexion=one.asked,
                pinned=then.lifted if then is not None else None,
                allowed=may,
                span=_FORCES if one.peak < 2.0 * _FORCES[1] else None,
                size=_SIZE,
                units=units,
            ),
            dual_excursion_chart(
                one.opened,
                elbow_flexion=one.asked,
                pinned=then.opened if then is not None else None,
                span=_EXCURSIONS,
                size=_SIZE,
                units=units,
            ),
            live_lift_chart(one.live, elbow_flexion=one.asked, span=_MASSES, size=_SIZE, units=units),
        )
        lifts, left = reached_words(one, units), left_words(one, units)
        said = f"{left} {lifts}" if locked else f"{lifts} {left}"
        compared = apart_words(one, then, units) if then is not None else ""
        often = f"Many times a day the harness may carry a fifth of the strongest pull, {show(may, 'force', units)}."
        parts = (
            said,
            hangs_back_words(one),
            live_words(one, units),
            often,
            compared,
            near.words,
            whole.words,
            *(chart.words for chart in charts),
        )
        return Page(
            (near, whole, *charts),
            " ".join(part for part in parts if part),
            " ".join(part for part in (left if locked else lifts, compared) if part),
            readings=_readings(one, units),
            handles=dual_handles(lifting, locked=locked),
            verdicts=dual_verdicts(setting, one, units),
            answers=dual_answers(setting, one, self.ask, units),
            tone=min(float(one.lifted.elbow_flexion[one.comes_to]) / one.asked, 1.0) if one.asked > 0.0 else 1.0,
        )


def _angles(hangs_at: float, step: float, asked: float) -> np.ndarray:
    """Angles from where the forearm hangs to full flexion, with the one that is asked for."""
    whole = np.deg2rad(np.arange(0.0, _HIGHEST + 0.5 * step, step))
    beyond = hangs_at + _LEAVES  # where the stop no longer holds it
    return np.unique(np.round([hangs_at, beyond, asked, *whole[whole > beyond + _LEAVES]], 9))


def _readings(one: LiftAndOpen, units: Units) -> tuple[Reading, ...]:
    """How far it lifts, what that takes of harness and device, and what is left."""
    lifted = one.lifted
    where = degrees(float(lifted.elbow_flexion[one.hardest]))
    share = percent(float(lifted.cable_share[one.hardest]))
    comes = float(lifted.elbow_flexion[one.comes_to])
    shut = one.at_device < lifted.opening_force
    opens = f"opens at {show(lifted.opening_force, 'force', units)}"
    stopped = {"nothing": "", "rest": "hangs on its stop"}.get(
        lifted.limited_by[one.at], why_words(lifted.limited_by[one.at])
    )
    raised = f"arm flexed {show(one.raised, 'angle', units, 0)}"
    required = show(one.opened.required, "length", units)
    opening = "fully" if one.full else f"opens {show(one.opening, 'length', units)}"
    return (
        Reading("Forearm comes to", comes, "angle", stopped or raised, share=min(comes / max(one.asked, 1e-9), 1.0)),
        Reading("Largest pull", one.peak, "force", f"at {where}, {share} of strongest pull"),
        Reading("Comes to the device", one.at_device, "force", f"{opens}: {'stays shut' if shut else 'opens first'}"),
        Reading(
            "Left for opening", one.left, "length", f"of {required}: {opening}", share=one.left / one.opened.required
        ),
    )


@documented
def dual_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the dual-control lab.

    Notes
    -----
    A figure-of-eight harness above the elbow, a hook held shut by bands. Where lift loop and housing end sit, where the
    forearm hangs, and all masses are assumptions; a hand counts by its weight alone. Unlocked, the forearm stands where
    the control motion brings it on the way to the angle asked for, the hook shut but where the forearm never leaves its
    stop; locked, it stands there, and the arm goes on. Your
    own wearer is fitted as one with an amputation above the elbow. Wearers of the list come from a survey of military
    adults: fit, and not a clinical population.

    Examples
    --------
    >>> lab = dual_lab(setting="loop_along = 60 mm")
    >>> lab.setting.split(";")[0]
    'loop_along = 60 mm'
    """
    answers = _DualSetUps(wearer)
    return Lab(
        "Dual-control lab: one cable, two jobs",
        _controls(wearer),
        answers.page,
        play="elbow_flexion",
        challenges=DUAL_CHALLENGES,
        predictions=DUAL_PREDICTIONS,
        another="wearer",
        units=units,
        setting=setting,
    )
