"""Exercise 4: how a case is drawn, what is computed for it, and how it is shown."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, exp, log, pi, radians, sin, sqrt

import numpy as np

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Draw, Value
from controlkit.mechanics.bench.fits import fit_friction
from controlkit.sources import source
from controlkit.tables import Table

READ_AT = (90, 135, 180, 225, 270)
"""Bends of the bench readings [deg]."""

SAMPLES = {letter: (12 + 7 * place % 18) / 100 for place, letter in enumerate("ABCDEFGHIJKLMNOPQR")}
"""Friction of the used cables on the bench [-]. Assumptions, in the published range."""

STANDARD = source("efficiency_single_control")
KEEP = STANDARD.si
"""Share of the pull that must arrive [-]."""

DRAWS: dict[str, Draw] = {
    "device_pull": Range(30, 60, 2, "N"),
    "friction": Range(0.08, 0.14, 0.01),
    "bend_crossbar": Range(20, 45, 5, "deg"),
    "bend_elbow": Range(70, 140, 5, "deg"),
    "bend_wrist": Range(15, 30, 5, "deg"),
    "sample": OneOf(tuple(SAMPLES)),
    "load": Range(40, 60, 2, "N"),
    "let_back": OneOf(READ_AT[1:], "deg"),
    "liner": Range(0.04, 0.09, 0.01),
    "above": Range(120, 200, 5, "mm"),
    "below": Range(60, 120, 5, "mm"),
    "flexion": OneOf((60, 70, 80, 100, 110, 120), "deg"),
    "free_pull": Range(40, 80, 5, "N"),
    "set_up": OneOf(("held", "short", "long", "none", "loose")),
}

SET_UPS = {
    "held": "a housing of the right length, held at crossbar and retainer",
    "short": "a housing cut much too short, held at crossbar and retainer",
    "long": "a housing cut much too long, held at crossbar and retainer",
    "none": "no housing between crossbar and retainer",
    "loose": "a housing of the right length that has come off the retainer",
}


def bends(c: Case) -> tuple[int, int, int]:
    """The bends on the way from hanger to device [deg]."""
    return c.bend_crossbar, c.bend_elbow, c.bend_wrist


def rubbed(c: Case) -> float:
    """Friction times all bends, the exponent [-]."""
    return float(c.friction * radians(sum(bends(c))))


def scale_readings(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """Read a spring scale at a used cable.

    Parameters
    ----------
    values : mapping
        The case's other values, by name.

    Returns
    -------
    dict or None
        What the scale shows at each wrap [N]; None where ways of fitting that are in use do not agree, or bends of
        opposite turn would just cancel.
    """
    if int(values["bend_crossbar"]) + int(values["bend_wrist"]) == int(values["bend_elbow"]):
        return None  # who lets bends of opposite turn cancel would be left with the pull that is given
    load, friction = int(values["load"]), SAMPLES[str(values["sample"])]
    found: dict[str, Value] = {}
    for angle in READ_AT:
        stroke = -1 if angle == values["let_back"] else 1
        found[f"hanger_{angle}"] = round(load * exp(stroke * friction * radians(angle)))
    one_by_one = [log_loss(angle, {**values, **found}) / radians(angle) for angle in READ_AT]
    turns = np.radians(READ_AT)
    straight = float(turns @ (turns * one_by_one) / (turns @ turns))
    right = fitted({**values, **found})
    near = all(abs(way - right) < 0.002 for way in (straight, float(np.mean(one_by_one))))
    return found if near else None


def log_loss(angle: int, values: Mapping[str, Value], sign: int = -1) -> float:
    """Logarithm of larger over smaller force at one bend; ``sign`` is that of the reading letting back [-]."""
    ratio = log(int(values[f"hanger_{angle}"]) / int(values["load"]))
    return sign * ratio if angle == values["let_back"] else ratio


def fitted(values: Mapping[str, Value]) -> float:
    """Friction fitted to all readings, each on its stroke [-]."""
    back = [angle == values["let_back"] for angle in READ_AT]
    pulls = [float(values[f"hanger_{angle}"]) for angle in READ_AT]
    return fit_friction([float(values["load"])] * len(pulls), pulls, np.radians(READ_AT), back=back).value


def allowed(c: Case, left: float = KEEP) -> float:
    """All bends together that leave a share of the pull [deg]."""
    return float(-log(left) / c.liner * 180 / pi)


def straight_across(c: Case, turned: int | None = None) -> float:
    """Free cable from crossbar to retainer, the elbow bent [mm]."""
    angle = radians(c.flexion if turned is None else turned)
    return sqrt(c.above**2 + c.below**2 + 2 * c.above * c.below * cos(angle))


def lever(c: Case, slack: float | None = None) -> float:
    """From the elbow axis square to the free cable, which has so much slack; its right slack if left out [mm]."""
    across = straight_across(c) if slack is None else c.above + c.below - slack
    return float(c.above * c.below * sin(radians(c.flexion)) / (across if across > 0 else straight_across(c)))


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    return (
        Table(
            "Your cable on its way from hanger to device",
            ("bend", "angle", "radius", "turns"),
            (
                ("at the crossbar", f"{c.bend_crossbar}°", "40 mm", "forward"),
                ("past the elbow", f"{c.bend_elbow}°", "90 mm", "back"),
                ("at the wrist", f"{c.bend_wrist}°", "60 mm", "forward"),
            ),
            about=("harness_pull", "return_pull", "most_bend", "route"),
        ),
        Table(
            "Pulling and letting back",
            ("quantity", "value"),
            (
                ("friction coefficient, cable in housing", f"{c.friction}"),
                ("cable force that the device needs, and pulls back with", f"{c.device_pull} N"),
            ),
            about=("harness_pull", "return_pull"),
        ),
        Table(
            f"Used cable {c['sample']} on the bench: {c['load']} N at the device's end, the cable sliding steadily",
            ("bend", "stroke", "scale at the hanger"),
            tuple(
                (f"{angle}°", "letting back" if angle == c.let_back else "pulling", f"{c[f'hanger_{angle}']} N")
                for angle in READ_AT
            ),
            about=("friction",),
        ),
        Table(
            "A new liner",
            ("quantity", "value"),
            (
                ("friction coefficient, cable in new liner", f"{c.liner}"),
                ("share of the pull that must arrive", f"{100 * KEEP:g} %, elbow bent ({STANDARD.how_known})"),
                ("bends at crossbar and wrist", "as above"),
            ),
            about=("most_bend",),
        ),
        Table(
            "A cable without housing",
            ("quantity", "value"),
            (
                ("crossbar to elbow axis, along the upper arm", f"{c.above} mm"),
                ("elbow axis to retainer, along the forearm", f"{c.below} mm"),
                ("elbow flexion, 0° is straight", f"{c.flexion}°"),
                ("pull in the cable", f"{c.free_pull} N"),
            ),
            about=("slack", "elbow_moment"),
        ),
        Table("A colleague's set-up", ("part", "what it is"), (("set-up", SET_UPS[c.set_up]),), about=("elbow",)),
    )
