"""Exercise 2: how a case is drawn, and how it is shown."""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians, sqrt

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Draw, Value
from controlkit.exercises.ex02.bench import ANGLES, TOGETHER
from controlkit.exercises.shared.readings import between, step_of
from controlkit.exercises.shared.wearers import your_wearer
from controlkit.tables import Table

TASKS = {
    "shelf": "a light tin stands on a shelf at arm's length in front; the hook must get there, and open there",
    "guest": "a guest holds out a plate across the table; the hook is to take it there",
    "button": "a shirt button in front of the waist is to be taken; the hook is there already, and must stay there",
    "belt": "the end of a belt lies between the open fingers of the hook; the hook is to open a little further and "
    "stay where it is, close to the body",
    "spoon": "a spoon is in the hook; on its way to the mouth the arm comes forward, and the hook must not open",
    "glass": "a glass in the hook is set down a little further forward; the hook must not open until it stands",
}
"""What the wearer wants to do."""

MOTION = {
    "shelf": "arm flexion",
    "guest": "arm flexion",
    "button": "biscapular abduction",
    "belt": "biscapular abduction",
    "spoon": "scapula back",
    "glass": "scapula back",
}
"""Which motion serves it."""

DRAWS: dict[str, Draw] = {
    "sex": OneOf(("female", "male")),
    "amputated": OneOf(("left", "right")),
    "taller": Range(-8, 8, 4, "cm"),
    "wider": Range(-8, 8, 4, "cm"),
    "scapula_angle": OneOf((20, 25), "deg"),
    "shorter": Range(40, 70, 5, "mm"),
    "required": Range(38, 51, 1, "mm"),
    "raised": OneOf((60, 90), "deg"),
    "elbow": OneOf((50, 60), "deg"),
    "kept": Range(70, 88, 2, "%"),
    "strength": Range(90, 530, 10, "N"),
    "effort": OneOf((4, 5, 6, 10, 11, 12, 26, 34, 45, 60, 110, 115, 120, 125, 130), "%"),
    "wants": OneOf(tuple(TASKS)),
}

STEADY = frozenset({"sex", "amputated", "taller", "wider", "scapula_angle"})
"""What the mechanics is asked about: one wearer serves several draws of the rest."""


def worth_measuring(values: Mapping[str, Value]) -> bool:
    """A cheap look at a draw before the mechanics is asked: whether its pull is one that a device may ask for."""
    asked = int(values["strength"]) * int(values["effort"]) * int(values["kept"]) / 10_000
    return 10.0 <= asked <= 131.0


def flexion_for(c: Case, excursion: float, column: str = "alone") -> float:
    """Arm flexion at which the path has grown so far, between the rows of the table [deg]."""
    angles = ANGLES if column == "alone" else TOGETHER
    return between([c[f"{column}_{angle}"] for angle in angles], angles, excursion)


def rows_around(c: Case) -> tuple[int, int]:
    """The two angles of the table between which the flexion needed lies [deg]."""
    k = step_of([c[f"alone_{angle}"] for angle in ANGLES], c.required)
    return ANGLES[k], ANGLES[k + 1]


def swing(c: Case) -> float:
    """From the shoulder straight to the fingertips of the hook, elbow as for item device_path [mm]."""
    return sqrt(c.upper_arm**2 + c.reach**2 + 2 * c.upper_arm * c.reach * cos(radians(c.elbow)))


def arc(c: Case, flexion: float) -> float:
    """Path of the fingertips of the hook while the arm flexes so far [mm]."""
    return swing(c) * radians(flexion)


def share(c: Case) -> float:
    """Cable share: pull at the harness over the largest that the wearer can make [-]."""
    return float(c.asked / (c.kept / 100) / c.strength)


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    rows = tuple((f"{angle}°", f"{c[f'alone_{angle}']} mm", _both(c, angle)) for angle in ANGLES)
    lengths = (
        ("upper arm, shoulder to elbow", f"{c.upper_arm} mm"),
        ("elbow to the fingertips of the hook", f"{c.reach} mm"),
    )
    strength = ("largest pull that this wearer can make on the harness", f"{c.strength} N")
    kept = ("what the cable passes on of the pull at the harness", f"{c.kept} %")
    return (
        your_wearer(c, c.chest_circumference, *lengths, strength),
        Table(
            "Bench table: by how much the path from ring to crossbar has grown. Ring held 25 mm below C7 and 25 "
            "mm to the sound side, elbow at 90°, the device carried along",
            ("arm flexion", "scapula at rest", f"scapula brought forward by {c.scapula_angle}°"),
            rows,
            about=("flexion", "scapula"),
        ),
        _device(("flexion",), ("cable travel", f"{c.required} mm")),
        _device(("scapula",), ("arm flexion", f"{c.raised}°")),
        _device(("device_path",), ("elbow flexion", f"{c.elbow}°"), *lengths),
        _device(("share", "task"), ("pull at the device", f"{c.asked} N"), kept, strength),
        Table("The task", ("item", "what your wearer wants"), (("motion", TASKS[c.wants]),), about=("motion",)),
    )


def _device(items: tuple[str, ...], *rows: tuple[str, str]) -> Table:
    """What items need to know beside the bench table."""
    return Table("For this question", ("quantity", "value"), rows, about=items)


def _both(c: Case, angle: int) -> str:
    return f"{c[f'both_{angle}']} mm" if angle in TOGETHER else "not taken"
