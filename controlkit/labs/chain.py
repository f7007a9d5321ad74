"""The chain lab: the whole chain at functional positions, and which budget runs out first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from controlkit.draw import Scene
from controlkit.draw.charts.chain import chain_parts
from controlkit.draw.wearer.motion import device_way
from controlkit.draw.wearer.scene import wearer_scene
from controlkit.draw.words.chain import TASK_WORDS, Chain, chain_words, needed, place_words
from controlkit.draw.words.effort import percent
from controlkit.draw.words.pull import View
from controlkit.draw.words.states import worth_knowing
from controlkit.labs import ranges
from controlkit.labs.buckles import buckle
from controlkit.labs.chain_tasks import CHAIN_CHALLENGES, CHAIN_PREDICTIONS, chain_answers, chain_verdicts
from controlkit.labs.controls import Control, Menu, Slider, Tick, Values
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.handles import crossbar_handle, ring_handle
from controlkit.labs.page import Page, Reading, Units
from controlkit.labs.people import people, person_of
from controlkit.labs.readings import at_rest, captured, opens, reached
from controlkit.labs.set_ups import SetUps
from controlkit.labs.turned import ground, seen_from, turned
from controlkit.mechanics import (
    FAULTS,
    POSITIONS,
    ControlCable,
    Harness,
    Housing,
    Pull,
    SingleControl,
    Strength,
    VoluntaryOpening,
    Wearer,
    figure_of_eight,
)
from controlkit.mechanics.body.held import HeldPose
from controlkit.mechanics.chain import TASKS, budget, on_command, one_scapula
from controlkit.sources import source
from controlkit.units import mm, show

__all__ = ["chain_lab"]

_HARNESS = ("ring_below_c7", "crossbar", "control_strap", "support_strap")
_SYSTEM = ("wearer", "amputated", *_HARNESS, "cross_back", "friction", "housing_spare", "bands", "fault")
_SIZE = (310.0, 200.0)  # of each list of bars [picture points]
_NAMES = {name.replace(" ", "-"): name for name in POSITIONS}
_FAULTS = {fault.name.replace(" ", "-").replace("'", "").replace(",", ""): fault for fault in FAULTS}


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    faults = (("none", "none: set up as above"), *((key, fault.name) for key, fault in _FAULTS.items()))
    return (
        Menu("position", "Position", tuple(_NAMES.items()), "table"),
        Menu(
            "motion",
            "Motion",
            (
                ("both", "both scapulae, device held"),
                ("one", "one scapula, device held"),
                ("carried", "one scapula, device carried along"),
            ),
            "both",
        ),
        Slider(
            "scapular_abduction",
            "Scapular abduction",
            "angle",
            ranges.SHOULDER_BLADE,
            start=0.0,
            hint="above zero makes the device work on command; below zero draws back to keep it still",
        ),
        Slider(
            "ring_below_c7",
            "Ring below C7",
            "length",
            ranges.RING_BELOW_C7,
            start=Harness.ring_below_c7,
            hint="down the back from the base of the neck",
        ),
        Slider(
            "crossbar",
            "Crossbar",
            "ratio",
            ranges.CROSSBAR,
            start=0.55,
            hint="share of the way from shoulder down to elbow",
        ),
        buckle("control_strap", "Control attachment strap"),
        buckle("support_strap", "Anterior support strap"),
        Tick("cross_back", "Cross-back strap"),
        Slider(
            "bands",
            "Rubber bands",
            "count",
            ranges.BANDS_IN_CHAIN,
            start=3,
            hint="each grips with about one pound",
        ),
        Slider(
            "friction",
            "Friction of the cable",
            "coefficient",
            ranges.USUAL_COEFFICIENTS,
            start=0.08,
            hint="in its housing",
        ),
        Slider(
            "housing_spare",
            "Housing, spare length",
            "length",
            ranges.SPARE_IN_CHAIN,
            start=mm(3),
            hint="beyond the shortest",
            fine=0.2,
        ),
        Slider(
            "strength",
            "Wearer's strongest pull",
            "force",
            ranges.STRENGTH,
            start=source("arm_flexion_force").si,
            hint="once, at the cable; at first a survey's mean, not this wearer's own",
        ),
        Menu("task", "Full opening", tuple((name, TASK_WORDS[name]) for name in TASKS), "repeat"),
        Menu("fault", "Fault of the set-up", faults, "none"),
        *people(own),
        turned("back"),
    )


class _ChainPositions:
    """Chains of the settings seen so far, at their positions."""

    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._set_ups = SetUps(self._set_up, _SYSTEM)

    def _set_up(self, setting: Mapping[str, Any]) -> SingleControl:
        wearer = person_of(self._own, setting["wearer"], setting["amputated"])
        placement: dict[str, Any] = {name: setting[name] for name in _HARNESS}
        placement["cross_back"] = 0.0 if setting["cross_back"] else None
        system = SingleControl(
            figure_of_eight(wearer, **placement),
            ControlCable(friction=setting["friction"], housing=Housing(spare=setting["housing_spare"])),
            VoluntaryOpening(bands=round(setting["bands"])),
        )
        fault = _FAULTS.get(setting["fault"])
        if fault is not None:
            system = fault.at(system, fault.drawn(0.5))
        return system

    def ask(self, setting: Values) -> Chain:
        """Find the chain of a setting."""
        known = self._set_ups.of(setting)
        system = replace(known.system, strength=Strength(cable=float(setting["strength"])))
        position = _NAMES[str(setting["position"])]
        there = POSITIONS[position]
        angle, motion = float(setting["scapular_abduction"]) or 0.0, str(setting["motion"])
        if motion == "carried":
            now = HeldPose(pose=replace(there, scapular_abduction=angle), missed=0.0)
        else:
            now = {"both": on_command, "one": one_scapula}[motion](system.harness.wearer, there, angle)
        reaching, pull = known.over([there, now.pose], system)
        return Chain(
            position=position,
            system=system,
            reaching=reaching,
            pull=pull,
            budget=budget(system, pull, str(setting["task"])),
            held=motion != "carried",
            missed=now.missed,
        )

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        chain, ghost, compared = self.ask(setting), None, ""
        if pinned is not None:
            then = self.ask(pinned)
            compared = _compared(chain, then, units)
            same = then.system.harness.wearer == chain.system.harness.wearer
            ghost = then.pull if same and then.position == chain.position else None
        second, wearer = seen_from(setting["view"]), chain.system.harness.wearer
        side, beside = (self._seen(chain, view, ghost, units) for view in ("side", second))
        said = chain_words(chain, units)
        parts = (
            said + worth_knowing(chain.pull.states, units),
            _fault_words(str(setting["fault"]), units),
            compared,
            side.words,
            beside.words,
        )
        handles = [
            crossbar_handle(chain.pull, wearer, "side", picture=0),
            ground(setting["view"], beside, wearer, picture=1),
        ]
        if second == "back":
            ring = ring_handle(chain.pull, wearer, "back", picture=1)
            handles.append(replace(ring, slides=ring.slides[:1]))  # this lab has no slider for the way across
        return Page(
            (side, beside, *chain_parts(chain, units, size=_SIZE)),
            " ".join(part for part in parts if part),
            " ".join(part for part in (said, compared) if part),
            readings=_readings(chain, units),
            handles=tuple(handles),
            verdicts=chain_verdicts(setting, chain, units),
            answers=chain_answers(setting, chain, self._elsewhere, units),
            tone=min(reached(chain.pull.excursion), 1.0),
        )

    @staticmethod
    def _seen(chain: Chain, view: View, ghost: Pull | None, units: Units) -> Scene:
        wearer, start = chain.system.harness.wearer, chain.reaching.pose
        scale = view == "side"
        picture = wearer_scene(
            chain.pull, view, system=chain.system, pinned=ghost, plain=True, wide=True, scale=scale, units=units
        )
        return device_way(picture, start, chain.pull.pose, view, wearer=wearer, plain=True, units=units)

    def _elsewhere(self, setting: Values) -> Chain:
        """Find the chain of another setting than that on show."""
        return self._set_ups.aside(self.ask, setting)


def _readings(chain: Chain, units: Units) -> tuple[Reading, ...]:
    """Both budgets, and what the device does inadvertently and on command."""
    takes, may = needed(chain.budget), chain.budget.allowed * chain.system.strength.cable
    return (
        captured(chain.pull.excursion, units),
        *at_rest(chain.pull, units),
        opens(chain.pull),
        Reading("Inadvertent", chain.inadvertent, "length", f"on reaching {place_words(chain.position)}"),
        Reading(
            "Full opening takes",
            takes,
            "force",
            f"{percent(takes / may)} of {show(may, 'force', units)} allowed",
        ),
    )


def _fault_words(key: str, units: Units) -> str:
    fault = _FAULTS.get(key)
    if fault is None:
        return ""
    much = "" if fault.low == fault.high else f", by {show(fault.drawn(0.5), fault.kind, units)}"
    return f"Fault of the set-up: {fault.name}{much}."


def _compared(now: Chain, then: Chain, units: Units) -> str:
    def both(before: float, after: float, kind: str) -> str:
        return f"{show(before, kind, units)} there, {show(after, kind, units)} here"

    return (
        f"Against the pinned setting ({then.position}): "
        f"captured {both(then.budget.captured, now.budget.captured, 'length')}; "
        f"opening {both(then.pull.opening, now.pull.opening, 'length')}; "
        f"inadvertently {both(then.inadvertent, now.inadvertent, 'length')}; "
        f"at the harness {both(then.budget.harness_force, now.budget.harness_force, 'force')}."
    )


@documented
def chain_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the chain lab.

    Notes
    -----
    A figure-of-eight harness with a voluntary-opening hook. Angles of the positions are assumptions.
    The device is held where reaching has brought it, unless a scapula carries it along. A fault is set at its
    middling size. Wearers of the list come from a survey of military adults: fit, and not a clinical
    population.

    Examples
    --------
    >>> lab = chain_lab(setting="position = fly")
    >>> lab.setting.split(";")[0]
    'position = fly'
    """
    answers = _ChainPositions(wearer)
    return Lab(
        "Chain lab: budgets of excursion and force at functional positions",
        _controls(wearer),
        answers.page,
        play="scapular_abduction",
        challenges=CHAIN_CHALLENGES,
        predictions=CHAIN_PREDICTIONS,
        another="wearer",
        units=units,
        setting=setting,
    )
