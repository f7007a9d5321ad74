"""The housing lab: a cable past the elbow, its bends and friction, with a housing and without."""

from __future__ import annotations

from functools import lru_cache
from typing import cast

import numpy as np

from controlkit.draw.charts.cable import Bent, bend_chart, force_chart, way_chart
from controlkit.draw.page.scene import Chart
from controlkit.draw.wearer.housing import housing_scene
from controlkit.draw.words.cable import Stroke, cable_comparison, force_words, lining_words
from controlkit.labs.controls import Choice, Control, Slider, Values
from controlkit.labs.documented import opens
from controlkit.labs.frame import Lab, Page, Units
from controlkit.labs.people import people, person_of
from controlkit.mechanics import ControlCable, Housing, SingleControl, Wearer, figure_of_eight, tension_ratio
from controlkit.mechanics.cable import LININGS, lining
from controlkit.sources import source
from controlkit.units import deg, mm

__all__ = ["housing_lab"]

_SWING = np.deg2rad(np.arange(0.0, 136.0, 7.5))
"""Elbow angles at which curves are computed; they end where a housing must still let the elbow go."""
_SHORT = {"steel in steel, dry": "dry-steel", "steel in steel, oiled": "oiled-steel", "steel in PTFE": "ptfe"}
_LININGS = {_SHORT.get(name, "uhmwpe"): name for name in LININGS}


def _controls(own: Wearer | None) -> tuple[Control, ...]:
    return (
        Slider(
            "elbow_flexion", "Elbow flexion", "angle", 0.0, float(_SWING[-1]), deg(90.0), "0° is the straight elbow"
        ),
        Choice(
            "housing",
            "Housing",
            (("held", "held at both ends"), ("loose", "come loose"), ("none", "none")),
            "held",
        ),
        Slider(
            "spare",
            "Spare length of housing",
            "length",
            mm(-10.0),
            mm(60.0),
            mm(3.0),
            "beyond the shortest that lets the elbow bend fully; below zero is too short",
            fine=0.2,
        ),
        Slider(
            "fixed_bend",
            "Other bends",
            "angle",
            0.0,
            deg(270.0),
            ControlCable.fixed_bend,
            "at crossbar and hook, and wherever else the cable is led",
        ),
        Slider(
            "friction", "Friction coefficient", "coefficient", 0.0, 0.6, 0.08, "of the cable sliding in its housing"
        ),
        Choice(
            "lining",
            "Compare with",
            tuple((key, f"cable of {name}") for key, name in _LININGS.items()),
            "ptfe",
        ),
        Slider("pull", "Pull at the harness", "force", 0.0, 120.0, 50.0, "what a scale at the hanger reads"),
        Choice("stroke", "The wearer", (("pulling", "pulls"), ("letting back", "lets back")), "pulling"),
        *people(own),
        Choice(
            "curves",
            "Curves",
            (("force", "force at the hook"), ("bends", "sum of bends"), ("way", "length of the cable's way")),
            "force",
        ),
    )


class _Bench:
    """Systems and swings of the settings seen so far; remembering is faster and never different."""

    def __init__(self, own: Wearer | None) -> None:
        self.own = own
        self.system = lru_cache(maxsize=64)(self._system)
        self.swing = lru_cache(maxsize=64)(self._swing)

    def _system(self, who: str, side: str, housing: str, spare: float, friction: float, bend: float) -> SingleControl:
        kind = None if housing == "none" else Housing(spare=spare, fixed=housing == "held")
        cable = ControlCable(friction=friction, housing=kind, fixed_bend=bend)
        return SingleControl(figure_of_eight(person_of(self.own, who, side)), cable=cable)

    def _swing(self, system: SingleControl) -> Bent:
        return Bent(_SWING, system.cable.lines(system.arm_line, _SWING))

    def ask(self, setting: Values) -> SingleControl:
        """Find the system of a setting."""
        numbers = (float(setting[key]) for key in ("spare", "friction", "fixed_bend"))
        return self.system(str(setting["wearer"]), str(setting["amputated"]), str(setting["housing"]), *numbers)

    def page(self, setting: Values, pinned: Values | None, units: Units) -> Page:
        """Answer one setting with pictures and words."""
        system = self.ask(setting)
        angle, pull = float(setting["elbow_flexion"]), float(setting["pull"])
        stroke = cast(Stroke, setting["stroke"])
        line = system.line(angle)
        pair = lining(_LININGS[str(setting["lining"])])
        best, worst = (pull * tension_ratio(friction, line.bend) for friction in pair.kinetic)
        said = [
            force_words(line, pull, stroke, units),
            lining_words(pair, system.cable.friction, worst=worst, best=best, units=units),
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
        picture = housing_scene(line, angle, system=system, pull=pull, stroke=stroke, pinned=ghost, units=units)
        bent = self.swing(system)
        chart: Chart
        if setting["curves"] == "force":
            bends = bent.reached().of("bend")
            band = tuple(
                (friction, np.array([pull * tension_ratio(friction, bend) for bend in bends]))
                for friction in pair.kinetic
            )
            least = source("efficiency_single_control").si
            chart = force_chart(bent, angle, line, pull=pull, least=least, band=band, pinned=held, units=units)
        elif setting["curves"] == "bends":
            chart = bend_chart(bent, angle, line, pinned=held)
        else:
            chart = way_chart(bent, angle, line, travel=system.device.travel, pinned=held, units=units)
        return Page((picture, chart), " ".join((*said, chart.words, picture.words)), spoken)


@opens
def housing_lab(wearer: Wearer | None = None, *, setting: str = "", units: Units = "metric") -> Lab:
    """Open the housing lab.

    Notes
    -----
    The arm hangs, cable and housing lie in the plane in which the elbow bends, and friction is that of a steady
    slide. Curves are computed every 7.5 degrees and joined smoothly.

    Examples
    --------
    >>> housing_lab(setting="housing = none").setting.split("; ")[1]
    'housing = none'
    """
    return Lab(
        "Housing lab: a cable past the elbow",
        _controls(wearer),
        _Bench(wearer).page,
        play="elbow_flexion",
        units=units,
        setting=setting,
    )
