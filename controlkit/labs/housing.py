"""The housing lab: a cable past the elbow, its bends and friction, with a housing and without."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any, cast

import numpy as np

from controlkit.draw.charts.cable import Bent, bend_chart, force_chart, path_chart
from controlkit.draw.page.scene import Chart
from controlkit.draw.wearer.housing import housing_scene
from controlkit.draw.words.cable import Stroke, at_device, cable_comparison, force_words, lining_words
from controlkit.draw.words.effort import percent
from controlkit.labs import ranges
from controlkit.labs.controls import Control, Menu, Slider, Value, Values
from controlkit.labs.documented import documented
from controlkit.labs.frame import Lab
from controlkit.labs.housing_tasks import (
    HOUSING_CHALLENGES,
    HOUSING_PREDICTIONS,
    housing_answers,
    housing_verdicts,
)
from controlkit.labs.page import Handle, Page, Reading, Turn, Units
from controlkit.labs.people import people, person_of
from controlkit.mechanics import ControlCable, Housing, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.cable import LININGS, CableLine, lining
from controlkit.sources import source
from controlkit.units import deg, mm, show

__all__ = ["housing_lab"]

_STRAIGHT_TO_BENT = 135.0  # degrees
_SWING = np.deg2rad(np.arange(0.0, _STRAIGHT_TO_BENT + 1.0, 7.5))
"""Elbow angles at which curves are computed; they end where a housing must still let the elbow go."""
_SHORT = {"steel in steel, dry": "dry-steel", "steel in steel, oiled": "oiled-steel", "steel in PTFE": "ptfe"}
_SYSTEM = ("wearer", "amputated", "housing", "side", "elbow_offset", "spare", "friction", "fixed_bend")
_SIZE = (310.0, 260.0)  # of the chart [picture points]
_LININGS = {_SHORT.get(name, "uhmwpe"): name for name in LININGS}


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    return (
        Slider(
            "elbow_flexion",
            "Elbow flexion",
            "angle",
            ranges.angles("elbow_flexion", 0, _STRAIGHT_TO_BENT),
            start=deg(90.0),
            hint="0° is the straight elbow",
        ),
        Menu(
            "housing",
            "Housing",
            (("held", "held at both ends"), ("loose", "come off the retainer"), ("none", "none")),
            "held",
        ),
        Menu(
            "side",
            "Past the elbow",
            (("behind", "behind and outside"), ("beside", "beside the axis")),
            "behind",
        ),
        Slider(
            "elbow_offset",
            "Behind the elbow axis",
            "length",
            ranges.ELBOW_OFFSET,
            start=mm(10.0),
            hint="in effect, where the housing is led behind; common practice gives no figure, 10 mm is reasoned",
            fine=0.2,
        ),
        Slider(
            "spare",
            "Spare length of housing",
            "length",
            ranges.SPARE,
            start=mm(3.0),
            hint="beyond the shortest that lets the elbow bend fully; below zero is too short",
            fine=0.2,
        ),
        Slider(
            "fixed_bend",
            "Other bends",
            "angle",
            ranges.BENDS,
            start=ControlCable.fixed_bend,
            hint="at crossbar and hook, and wherever else the cable is led",
        ),
        Slider(
            "friction",
            "Friction coefficient",
            "coefficient",
            ranges.COEFFICIENTS,
            start=0.16,
            hint="of the cable sliding in its housing",
        ),
        Menu(
            "lining",
            "Compare with",
            tuple((key, f"cable of {name}") for key, name in _LININGS.items()),
            "ptfe",
        ),
        Slider(
            "pull",
            "Pull at the harness",
            "force",
            ranges.HARNESS_FORCE,
            start=50.0,
            hint="what a scale at the hanger reads",
        ),
        Menu("stroke", "The wearer", (("pulling", "pulls"), ("letting back", "lets back")), "pulling"),
        *people(own),
        Menu(
            "curves",
            "Curves",
            (("force", "force at the hook"), ("bends", "total wrap"), ("way", "length of the cable's path")),
            "force",
        ),
    )


class _CableSwings:
    """Systems and swings of the elbow of the settings seen so far; remembering is faster and never different."""

    def __init__(self, own: Wearer | None) -> None:
        self._own = own
        self._system = lru_cache(maxsize=64)(self._set_up)
        self.swing = lru_cache(maxsize=64)(self._swing)

    def _set_up(self, *chosen: Value) -> SingleControl:
        setting: dict[str, Any] = dict(zip(_SYSTEM, chosen, strict=True))
        housing = Housing(spare=setting["spare"], fixed=setting["housing"] == "held")
        cable = ControlCable(
            friction=setting["friction"],
            housing=None if setting["housing"] == "none" else housing,
            fixed_bend=setting["fixed_bend"],
        )
        wearer = person_of(self._own, setting["wearer"], setting["amputated"])
        offset = setting["elbow_offset"] if setting["side"] == "behind" else None
        return SingleControl(figure_of_eight(wearer), cable=cable, elbow_offset=offset)

    def _swing(self, system: SingleControl) -> Bent:
        return Bent(_SWING, system.cable.lines(system.arm_line, _SWING))

    def ask(self, setting: Values) -> SingleControl:
        """Find the system of a setting."""
        return self._system(*(setting[name] for name in _SYSTEM))

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        system = self.ask(setting)
        angle, pull = float(setting["elbow_flexion"]), float(setting["pull"])
        stroke = cast(Stroke, setting["stroke"])
        line = system.line(angle)
        pair = lining(_LININGS[str(setting["lining"])])
        (_, best), (_, worst) = pair.arriving(pull, line.bend)
        said = [
            force_words(line, pull, stroke, units),
            lining_words(pair, system.cable.friction, worst=float(worst), best=float(best), units=units),
        ]
        spoken = said[0]
        held = ghost = None
        if pinned is not None:  # the pinned setting is compared at the angle on show
            other = self.ask(pinned)
            ghost = other.line(angle)
            compared = cable_comparison(line, ghost, units)
            said.append(compared)
            spoken = f"{spoken} {compared}"
            held = self.swing(other)
            if other.harness.wearer != system.harness.wearer:
                ghost = None
        picture = housing_scene(
            line, angle, system=system, pull=pull, stroke=stroke, pinned=ghost, plain=True, units=units
        )
        bent = self.swing(system)
        chart: Chart
        if setting["curves"] == "force":
            band = pair.arriving(pull, bent.reached().of("bend"))
            least = source("efficiency_single_control").si
            chart = force_chart(
                bent, angle, line, pull=pull, least=least, band=band, pinned=held, size=_SIZE, units=units
            )
        elif setting["curves"] == "bends":
            chart = bend_chart(bent, angle, line, pinned=held, size=_SIZE)
        else:
            chart = path_chart(bent, angle, line, travel=system.device.travel, pinned=held, size=_SIZE, units=units)
        return Page(
            (picture, chart),
            " ".join((*said, chart.words, picture.words)),
            spoken,
            readings=_readings(line, pull, stroke, units),
            handles=(_forearm(system, line, angle),),
            verdicts=housing_verdicts(setting, line, bent, units),
            answers=housing_answers(setting, system, self.ask, units),
            tone=line.efficiency,
        )


def _readings(line: CableLine, pull: float, stroke: Stroke, units: Units) -> tuple[Reading, ...]:
    """What arrives, what takes it away, and what the elbow feels of it."""
    return (
        Reading(
            "At the hook", at_device(line, pull, stroke), "force", f"for {show(pull, 'force', units)} at the harness"
        ),
        Reading("Total wrap", line.bend, "angle", f"{percent(line.efficiency)} of a pull arrives"),
        Reading("Elbow takes up", line.take_up, "length", "below zero it lets go"),
        Reading("Moment at the elbow", pull * line.elbow_arm, "moment", "flexes the elbow"),
    )


def _forearm(system: SingleControl, line: CableLine, angle: float) -> Handle:
    """Make the wrist a handle that flexes the elbow, whose axis is at the origin of the picture."""
    reached, long = min(angle, line.elbow_limit), system.arm_line.device
    side = 1 if system.harness.wearer.amputated == "right" else -1
    at = (side * long * math.sin(reached), -long * math.cos(reached))
    return Handle("forearm", 0, at, turn=Turn("elbow_flexion", (0.0, 0.0), side))


@documented
def housing_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the housing lab.

    Notes
    -----
    The arm hangs, cable and housing lie in the plane in which the elbow bends, and friction is that of a steady
    slide. The picture shows that plane: what runs outside of the elbow is drawn across it. Curves are computed every
    7.5 degrees and joined smoothly.

    Examples
    --------
    >>> housing_lab(setting="housing = none").setting.split("; ")[1]
    'housing = none'
    """
    return Lab(
        "Housing lab: a cable past the elbow",
        _controls(wearer),
        _CableSwings(wearer).page,
        play="elbow_flexion",
        challenges=HOUSING_CHALLENGES,
        predictions=HOUSING_PREDICTIONS,
        another="wearer",
        units=units,
        setting=setting,
    )
