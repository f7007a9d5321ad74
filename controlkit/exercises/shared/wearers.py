"""The wearer of a case as a table, a harness as settings of a design, other people to try it on; at either level."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from controlkit.checking import Body, Case, Setting, body
from controlkit.mechanics import Wearer
from controlkit.tables import Table

RING_BELOW_C7 = Setting("ring_below_c7", "length", "mm", "distance of the ring below the vertebra C7")
CROSSBAR = Setting(
    "crossbar", "ratio", "", 'place of the crossbar on the upper arm, from the shoulder, in quotes such as "40 %"'
)
CONTROL_STRAP = Setting(
    "control_strap", "length", "mm", "control attachment strap let out, or taken in with a minus sign"
)


GRADED_ON = (
    "a short woman with a narrow chest",
    "a tall man",
    "a man of average height with a very large chest",
    "a woman of average height with a broad back",
)
"""Kinds of people on whom a design is graded; who they are is kept back."""


def your_wearer(c: Case, chest: int, *more: tuple[str, str], level: str = "below") -> Table:
    """Who the wearer of a case is, amputated below or above the elbow; chest in whole millimetres [mm]."""
    rows = (
        ("sex", str(c["sex"])),
        ("amputated side", f"{c['amputated']}, {level} the elbow"),
        ("stature", f"{c.stature} mm"),
        ("chest circumference", f"{chest} mm"),
    )
    return Table("Your wearer", ("measurement", "value"), (*rows, *more))


def other_bodies(*, shorter: int, narrower: int) -> tuple[Body, ...]:
    """Three people unlike each other; how much shorter and narrower than the mean the woman is [mm]."""
    return (
        Body("a short woman with a narrow chest", lambda: body("female", -shorter, -narrower)),
        Body("a tall man", lambda: body("male", 130, 0)),
        Body("a man of average height with a very large chest", lambda: body("male", 0, 140)),
    )


def above_elbow(wearer: Wearer) -> Wearer:
    """The same person, amputated through the upper arm."""
    return replace(wearer, level="transhumeral")


def other_people(people: tuple[Body, ...]) -> tuple[Body, ...]:
    """The same kinds of people, amputated through the upper arm."""
    return tuple(Body(one.kind, partial(_made, one)) for one in people)


def _made(one: Body) -> Wearer:
    return above_elbow(one.make())
