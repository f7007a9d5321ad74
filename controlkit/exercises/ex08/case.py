"""Exercise 8: how a case is drawn, what is computed for it, and how it is shown."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil, cos, radians, sin
from typing import Any

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Draw, Value
from controlkit.exercises.ex08.bench import PARTS, SWING, measure
from controlkit.exercises.ex08.errand import BEGINS, TURNED
from controlkit.exercises.ex08.words import SCENES, SEEN
from controlkit.exercises.shared.readings import between, rounded
from controlkit.exercises.shared.wearers import your_wearer
from controlkit.mechanics.elbow import LiftLine
from controlkit.sources import source
from controlkit.tables import Table
from controlkit.units import deg, mm

NEEDS = source("elbow_lock_travel")
CALLED = {"back": "extension", "away": "abduction", "down": "depression of the shoulder"}
"""What a fitter calls the parts of the motion."""
ROWS = (30, 50, 70, 90, 110)
"""Elbow angles of the table of the lift, below where the forearm hangs [deg]."""
DRIFT = 5
"""How far the motion of a design may take up or pay out lift cable [mm]. Assumption of this exercise."""

DRAWS: dict[str, Draw] = {
    "sex": OneOf(("female", "male")),
    "amputated": OneOf(("left", "right")),
    "taller": OneOf((-6, 0, 6), "cm"),
    "wider": OneOf((-5, 5), "cm"),
    "back": Range(14, 18, 1, "deg"),
    "away": Range(10, 22, 2, "deg"),
    "down": Range(6, 8, 1, "deg"),
    "seen": OneOf(tuple(SEEN)),
    "let_out": Range(7, 11, 1, "mm"),
    "needs": Range(16, 19, 0.5, "mm"),
    "arm": Range(26, 44, 1, "mm"),
    "count": Range(6, 11),
    "first": OneOf((5, 10, 15), "deg"),
    "last": OneOf((125, 130, 135), "deg"),
    "held": Range(45, 100, 1, "deg"),
    "loop": Range(30, 60, 5, "mm"),
    "end": Range(70, 100, 10, "mm"),
    "ahead": Range(10, 30, 5, "mm"),
    "locked": Range(30, 60, 5, "deg"),
    "tilt": Range(10, 28, 2, "deg"),
    "level": Range(0.9, 2.0, 0.05, "N m"),
    "free": Range(0.2, 0.4, 0.05, "N m"),
    "lever": Range(26, 44, 1, "mm"),
    "works": Range(8, 11, 0.5, "N"),
    "pull": Range(40, 90, 5, "N"),
    "leaves": OneOf((25, 30, 35, 55, 60), "deg"),
    "off": Range(20, 40, 5, "deg"),
    "radius": Range(40, 60, 2, "mm"),
    "scene": OneOf(tuple(SCENES)),
    "begins": OneOf((*BEGINS, "at rest")),
    "turned": OneOf(tuple(TURNED)),
    "down_most": Range(4, 7, 1, "deg"),
    "margin": Range(2, 4, 0.5, "mm"),
    "front_most": OneOf((20, 22, 24), "mm"),
}

STEADY = frozenset({"sex", "amputated", "taller", "wider", *PARTS})
"""What the mechanics is asked about: one motion of one wearer serves several draws of the rest."""


def lengthened(c: Case) -> float:
    """How much longer the way of the lock's strap becomes by the whole motion [mm]."""
    return float(sum(c[f"lock_{part}"] for part in PARTS))


def snug(c: Case) -> float:
    """How far the motion draws the lock's cable with a strap that is just snug [mm]."""
    return lengthened(c) - float(c.yielded) - float(c.stretch)


def taken_up(c: Case, column: str = "lift") -> float:
    """Lift cable that the whole motion takes up (+) or pays out (-), by a column of the table [mm]."""
    return float(sum(c[f"{column}_{part}"] for part in PARTS))


def positions(c: Case, gaps: int | None = None) -> list[float]:
    """Positions of the lock, from the first up; with so many gaps up to the last [deg]."""
    each = (c.last - c.first) / (c.count - 1 if gaps is None else gaps)
    return [c.first + each * k for k in range(c.count)]


def below(c: Case, gaps: int | None = None) -> float:
    """The nearest position below where the forearm is held [deg]."""
    return max(at for at in positions(c, gaps) if at <= c.held)


def above(c: Case) -> float:
    """The nearest position above where the forearm is held [deg]."""
    return min(at for at in positions(c) if at > c.held)


def rows(c: Case) -> tuple[int, ...]:
    """Elbow angles of the table of the lift [deg]."""
    return (c.first, *ROWS)


def taken_at(c: Case, angle: float) -> float:
    """Cable that the lift has taken up at an elbow flexion, between the rows of the table [mm]."""
    return between(rows(c), [c[f"taken_{row}"] for row in rows(c)], angle)


def on_lock(c: Case, off: float | None = None) -> float:
    """Moment of the weight on the lock, the forearm so far off the vertical [N m]."""
    return float(c.level * sin(radians(c.locked + c.tilt if off is None else off)))


def across(c: Case) -> float:
    """Part of the control strap's pull that turns the socket, along the tangent [N]."""
    return float(c.pull * sin(radians(c.leaves)) * cos(radians(c.off)))


def of_lift(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """Cable that the lift has taken up at each row of the table [mm]; none on a rounding's edge."""
    line = LiftLine(
        loop_along=mm(int(values["loop"])), end_above=mm(int(values["end"])), end_ahead=mm(int(values["ahead"]))
    )
    hangs = int(values["first"])
    read = rounded({f"taken_{row}": 10 * float(line.travel(deg(row), deg(hangs))) / mm(1) for row in ROWS})
    return None if read is None else {f"taken_{hangs}": 0, **{name: int(value) / 10 for name, value in read.items()}}


def whole(values: Mapping[str, Value]) -> dict[str, Value] | None:
    """Everything that tape and harness show for a draw; None if it is of no use."""
    found, table = measure(values), of_lift(values)
    if found is None or table is None:
        return None
    c = Case("", "", 0, {**values, **found})
    between_them = (snug(c) + c.walking) / 2 - c.needs
    if snug(c) - c.walking < 3 or abs(between_them) < 0.6 or abs(taken_up(c)) < 3 or snug(c) - c.let_out < 4:
        return None
    return {**found, **table, "back_most": ceil(right_back(c))}


def right_back(c: Case | Mapping[str, Any]) -> float:
    """Extension that a design needs on any body, as low as the shoulder may come [deg]."""
    return max(13.0, 16 + float(c["margin"] - 1.3 - 1.25 * (c["down_most"] - 4)) / 0.87)


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    stands, happens = SCENES[c.scene]
    begins, ends = BEGINS[c.begins]
    return (
        your_wearer(c, c.chest, level="above"),
        Table("Another wearer comes in", ("item", "what is seen"), (("part", SEEN[c.seen]),), about=("strap",)),
        *_motion(c),
        *_lock(c),
        *_forces(c),
        Table(
            "What comes of it?",
            ("part", "what it is"),
            (("how things stand", stands), ("what happens", happens)),
            about=("comes_of_it",),
        ),
        Table(
            "The errand, of a wearer of average build with one cable for lift and device",
            ("quantity", "value"),
            (
                ("it begins so", begins),
                *((("wrist and turntable", _turned(c)),) if c.begins == "at rest" else ()),
                ("it ends so", ends),
                (
                    "the lock",
                    "changes over with every pull; lifted to table or mouth the forearm is between two positions",
                ),
            ),
            about=("sequence",),
        ),
        _wanted(c),
    )


def _turned(c: Case) -> str:
    """How wrist and turntable stand at first."""
    if c.turned == "away":
        return "both turned away by the task before"
    part, other = ("wrist", "turntable") if c.turned == "wrist away" else ("turntable", "wrist")
    return f"the {part} turned away by the task before, the {other} turned to the object"


def _motion(c: Case) -> tuple[Table, ...]:
    """What the lock motion does on the wearer of a case."""
    parts = [(f"{CALLED[part]}, {c[part]}°", part) for part in PARTS]
    return (
        Table(
            "The lock motion, each part made on top of those before it",
            ("part of the motion", "way of the lock's strap lengthens by"),
            tuple((called, f"{c[f'lock_{part}']} mm") for called, part in parts),
            about=("lock_travel",),
        ),
        Table(
            "The lock's strap",
            ("quantity", "value"),
            (
                ("under the lock's force, ring and socket yield along that way", f"{c.yielded} mm"),
                ("under that force, the strap itself stretches and sinks in", f"{c.stretch} mm"),
                ("let out at its buckle from just snug, the arm hanging", f"{c.let_out} mm"),
            ),
            about=("lock_travel",),
        ),
        Table(
            "What the same motion makes at the lift cable",
            ("part of the motion", "alone, from hanging", "on top of those before it"),
            tuple((called, _signed(c[f"alone_{part}"]), _signed(c[f"lift_{part}"])) for called, part in parts),
            about=("lift_cable",),
        ),
        Table(
            "The forearm on its cable",
            ("quantity", "value"),
            (("moment arm of the lift cable, taken as the same all the way", f"{c.arm} mm"),),
            about=("forearm_moves",),
        ),
        Table(
            "The lock",
            ("quantity", "value"),
            (
                (f"its cable must come so far before it changes over ({NEEDS.how_known})", f"{c.needs} mm"),
                (
                    f"a strap just snug draws its cable in walking, the arm {SWING.si / deg(1):.0f}° back, by",
                    f"{c.walking} mm",
                ),
                ("the strap was let out from just snug, as in question 2", f"{c.let_out} mm"),
            ),
            about=("buckle",),
        ),
    )


def _signed(value: float) -> str:
    return f"{abs(value)} mm {'taken up' if value >= 0 else 'paid out'}"


def _lock(c: Case) -> tuple[Table, ...]:
    """Where the lock holds, and what the lift takes up."""
    return (
        Table(
            "Where the lock holds",
            ("quantity", "value"),
            (
                ("positions of the lock, all as far from each other", f"{c.count}"),
                ("the first, where the forearm hangs", f"{c.first}°"),
                ("the last", f"{c.last}°"),
                ("the cable holds the forearm, as the lock is worked, at", f"{c.held}°"),
            ),
            about=("sinks", "hangs_slack"),
        ),
        Table(
            "Cable that lifting takes up",
            ("elbow flexion", "taken up since the forearm hung"),
            tuple((f"{row}°", f"{c[f'taken_{row}']} mm") for row in rows(c)),
            about=("hangs_slack",),
        ),
    )


def _forces(c: Case) -> tuple[Table, ...]:
    """A load on the lock, and a pull at the socket."""
    return (
        Table(
            "A forearm that rests on its lock",
            ("quantity", "value"),
            (
                ("elbow flexion at which it is locked", f"{c.locked}°"),
                ("upper arm inclined forward from the vertical", f"{c.tilt}°"),
                ("moment of its weight when it is level", f"{c.level} N m"),
                ("moment arm of the lift cable there", f"{c.lever} mm"),
                ("the lock lets go under a moment of no more than (assumed)", f"{c.free} N m"),
                ("pull at the lock's own cable that works it", f"{c.works} N"),
            ),
            about=("lets_go",),
        ),
        Table(
            "The control attachment strap where it ends on the socket",
            ("quantity", "value"),
            (
                ("its pull", f"{c.pull} N"),
                ("angle between strap and the length of the upper arm", f"{c.leaves}°"),
                ("angle between the part of its pull across the arm, and the tangent to the socket", f"{c.off}°"),
                ("distance of its end from the axis of the arm", f"{c.radius} mm"),
            ),
            about=("turns",),
        ),
    )


def _wanted(c: Case) -> Table:
    return Table(
        "Your design",
        ("what it must do", "how much"),
        (
            ("work the lock by the motion you teach", f"{c.needs} mm of its cable"),
            ("leave it alone in walking, the arm swinging back", f"short of that by at least {c.margin} mm"),
            ("let the anterior support strap give", "not taut at the end of the motion"),
            ("let that strap still support", f"let out by at most {c.front_most} mm from just snug (assumed)"),
            ("leave the forearm where it is", f"at most {DRIFT} mm of lift cable taken up or paid out (assumed)"),
            ("suit a chair with a back", f"extension of at most {c.back_most}° (assumed)"),
            ("suit a stiff shoulder", f"depression of at most {c.down_most}° (assumed)"),
            ("serve other bodies", "work their lock, and let their anterior support strap give"),
        ),
        about=("design",),
    )
