"""Exercise 6: how a case is drawn, what is computed for it, and how it is shown."""

from __future__ import annotations

from collections.abc import Mapping
from math import floor
from typing import Any

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Draw, Value
from controlkit.exercises.ex06.bench import LOAD, SLIP, measure
from controlkit.exercises.ex06.faults import PROSTHESES, SHELF, found
from controlkit.exercises.shared.wearers import your_wearer
from controlkit.mechanics import VoluntaryOpening
from controlkit.mechanics.chain import TASKS
from controlkit.sources import source
from controlkit.tables import Table
from controlkit.units import mm

AWAY, STANDARD = source("opening_mouth_fly_below_elbow_older"), source("efficiency_single_control")
BENT, LONG = source("housing_test_elbow_flexion"), source("fatigue_free_share")
TABLE, FLY = 0.75, 0.5
"""Shares of full opening that are wanted at the table and at the fly [-]. Assumptions of this exercise: trunk and
fingertips are held still, which asks more of a harness than `AWAY`, of older lists, where nobody holds them still."""
RING = mm(20), mm(60)
"""Where the ring lies as it is practised [m]: about 25 mm below C7; how far up and down from there is an assumption."""
KEEP = STANDARD.si
"""Share of the pull that must arrive [-]."""
STILL = mm(5)
"""Inadvertent opening at the mouth that still holds an object [m]. Assumption of this exercise."""

FOR_EACH_BAND = 95
"""Largest pull of a wearer for whom so many bands are right, for each band [N]."""

DRAWS: dict[str, Draw] = {
    "sex": OneOf(("female", "male")),
    "amputated": OneOf(("left", "right")),
    "taller": OneOf((-6, 0, 6), "cm"),
    "wider": OneOf((-5, 5), "cm"),
    "slack": Range(7, 24, 1, "mm"),
    "snug_at": Range(20, 90, 1, "mm"),
    "longer": Range(2, 8, 1, "mm"),
    "place": OneOf(("table", "waist", "fly")),
    "needs": Range(10, 42, 2, "mm"),
    "full_force": Range(32, 70, 2, "N"),
    "start_force": Range(18, 36, 2, "N"),
    "task": OneOf(("once", "repeat")),
    "strength": OneOf((2 * FOR_EACH_BAND, 3 * FOR_EACH_BAND, 4 * FOR_EACH_BAND), "N"),
    "width": Range(20, 50, 10, "mm"),
    "prosthesis": Range(1, len(PROSTHESES)),
}

STEADY = frozenset({"sex", "amputated", "taller", "wider", "prosthesis"})
"""What the mechanics is asked about: one wearer serves several draws of the rest."""

TASK_WORDS = {"once": "now and then, with all strength if need be", "repeat": "many times a day"}
SAID = {"once": "", "repeat": f" ({LONG.how_known}; contested)"}


def lost(c: Case) -> int:
    """What excursion is lost at the table to ring, tissue and pad, to stretch and to slack [mm]."""
    return int(c.ring_lost + c.stretch_lost + c.slack)


def let_out(c: Case, mark: float) -> float:
    """How far the strap is let out from just snug with the buckle at a mark [mm]."""
    return float(mark - c.snug_at)


def arrives(c: Case | Mapping[str, Any]) -> float:
    """Share of the pull that arrives in the place of the budget [-]."""
    return float(c[f"arrives_{c['place']}"] / 100)


def there(c: Case | Mapping[str, Any]) -> int:
    """Cable travel that is there in the place of the budget, on command [mm]."""
    return int(c[f"travel_{c['place']}_commanded"])


def may(c: Case | Mapping[str, Any]) -> float:
    """Pull that the task may take [N]."""
    return float(TASKS[c["task"]] * c["strength"])


def short(c: Case | Mapping[str, Any]) -> tuple[bool, bool]:
    """Whether excursion, and whether force, does not pay for the opening that the task asks."""
    return there(c) < c["needs"], c["full_force"] / arrives(c) > may(c)


def whole(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """Everything that tape, scale and bench show for a draw, in whole numbers; None if it is of no use."""
    worn = measure(values)
    if worn is None:
        return None
    v: dict[str, Any] = {**values, **worn}
    close = abs(v["full_force"] / arrives(v) / may(v) - 1) < 0.08 or abs(there(v) - v["needs"]) < 3
    if close or all(short(v)) or v["start_force"] > 0.8 * v["full_force"]:
        return None
    if v["travel_mouth_back"] < 3 or v["travel_fly_commanded"] - v["travel_mouth_back"] - v["longer"] < 2:
        return None
    bands = v["strength"] // FOR_EACH_BAND
    grip = floor(0.9 * VoluntaryOpening(bands=bands).pinch(mm(v["width"])))
    return {**worn, "grip": grip, **found(int(v["prosthesis"]))}


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    return (
        your_wearer(c, c.chest, ("largest pull at the hanger", f"{c.strength} N")),
        Table(
            "At the table, device held: excursion that is generated from rest",
            ("motion", "generated"),
            (
                ("arm brought to the table", f"{c.generated_table} mm"),
                ("both scapulae brought forward, arm hanging", f"{c.generated_scapulae} mm"),
                ("both together", f"{c.generated_table_commanded} mm"),
            ),
            about=("captured",),
        ),
        Table(
            "At the table in use, both together",
            ("quantity", "value"),
            (
                ("travel of the ring, tissue and pad take", f"{c.ring_lost} mm"),
                ("stretch of webbing and cable takes", f"{c.stretch_lost} mm"),
                ("control attachment strap let out from just snug", f"{c.slack} mm"),
                ("share of the pull that arrives at the device", f"{c.arrives_table} %"),
            ),
            about=("captured",),
        ),
        Table(
            "As the wearer comes in, strap just snug: what arrives at the device",
            ("position", "cable travel", "fingertips apart"),
            (
                ("table, on command", f"{c.travel_table_commanded} mm", f"{c.opening_table_commanded} mm"),
                ("waist, on command", f"{c.travel_waist_commanded} mm", f"{c.opening_waist_commanded} mm"),
                ("fly, on command", f"{c.travel_fly_commanded} mm", f"{c.opening_fly_commanded} mm"),
                ("mouth, inadvertently", f"{c.travel_mouth} mm", f"{c.opening_mouth} mm"),
                (
                    "mouth, inadvertently, scapula drawn back",
                    f"{c.travel_mouth_back} mm",
                    f"{c.opening_mouth_back} mm",
                ),
            ),
            about=("runs_out_first", "buckle", "fly_left"),
        ),
        Table(
            "Buckle and cable",
            ("quantity", "value"),
            (
                ("mark at the buckle, strap just snug; a larger mark is a longer strap", f"{c.snug_at} mm"),
                ("a new cable, for later, is longer than the old one by", f"{c.longer} mm"),
            ),
            about=("buckle", "fly_left"),
        ),
        Table(
            "A budget, with another device",
            ("quantity", "value"),
            (
                ("position, on command", f"{c.place}, strap just snug"),
                ("share of the pull that arrives there", f"{round(100 * arrives(c))} %"),
                ("cable travel that this device needs, opened as far as the task asks", f"{c.needs} mm"),
                ("cable force at the device, begins to open", f"{c.start_force} N"),
                ("cable force at the device, opened so far", f"{c.full_force} N"),
                ("how often", TASK_WORDS[c.task]),
                ("share of the strength that this may take", f"{100 * TASKS[c.task]:g} %{SAID[c.task]}"),
            ),
            about=("harness_force", "runs_out_first"),
        ),
        Table(
            f"Prosthesis {c.prosthesis} on the shelf: another wearer's, with one fault",
            ("reading", "how it was taken", "when fitted", "now"),
            SHELF.rows(c),
            about=("diagnosis",),
        ),
        Table(
            "Your design",
            ("what it must do", "how much"),
            (
                (
                    "open at the table on command, device held, trunk still",
                    f"at least {100 * TABLE:g} % of full opening (assumption of this exercise)",
                ),
                (
                    "open at the fly on command, device held, trunk still",
                    f"at least {100 * FLY:g} % of full opening (assumed; practice: {AWAY.value:g}, {AWAY.how_known})",
                ),
                (
                    "stay shut at the mouth, scapula drawn back",
                    f"fingertips no more than {STILL / mm(1):g} mm apart (assumption of this exercise)",
                ),
                ("stay shut while the arm hangs", "elbow straight, and at 90°"),
                (
                    "lie where a ring is fitted",
                    f"{RING[0] / mm(1):g} to {RING[1] / mm(1):g} mm below C7 (limits: assumption of this exercise)",
                ),
                (
                    f"hold the prosthesis on under {LOAD:g} N along the limb, straps alone",
                    f"slip of at most {SLIP / mm(1):g} mm (assumption of this exercise)",
                ),
                ("let the pull arrive, elbow at 90°", f"at least {100 * KEEP:g} % ({STANDARD.how_known})"),
                ("let the elbow bend", f"to {BENT.value:g}° ({BENT.how_known})"),
                (
                    "ask little of the wearer, elbow at 90°",
                    f"full opening with {100 * TASKS['repeat']:g} % of the largest pull ({LONG.how_known}; contested)",
                ),
                (f"grip an object {c.width} mm wide", f"with at least {c.grip} N"),
            ),
            about=("design",),
        ),
    )
