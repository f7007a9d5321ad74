"""Exercise 3: how a case is drawn, what is computed for it, and how it is shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import radians

from controlkit.checking import Case, OneOf, Range
from controlkit.checking.case.cases import Candidate, Draw, Value, apart
from controlkit.exercises.ex03.bench import ANGLES, HIGHEST_RING, OFF_SPINE, ROOM, SPARE
from controlkit.exercises.shared.wearers import your_wearer
from controlkit.tables import Table
from controlkit.units import mm

DRAWS: dict[str, Draw] = {
    "sex": OneOf(("female", "male")),
    "amputated": OneOf(("left", "right")),
    "taller": Range(-8, 8, 1, "cm"),
    "wider": Range(-8, 8, 1, "cm"),
    "arm_angle": OneOf((60, 90), "deg"),
    "arm_from": OneOf((0, 30, 60), "deg"),
    "arm_to": OneOf((30, 60, 90), "deg"),
    "pull": Range(40, 80, 20, "N"),
    "slack": Range(6, 24, 1, "mm"),
    "ring_travel": Range(6, 18, 1, "mm"),
    "stretch": Range(3, 6, 1, "mm"),
    "ring_pull": Range(40, 100, 5, "N"),
    "loop_opening": OneOf((40, 42, 44, 46, 56, 68, 70, 72, 78), "deg"),
    "crossbar_from": Range(0.40, 0.65, 0.01),
    "design_angle": OneOf((25, 30, 35), "deg"),
    "design_forward": OneOf((16, 18, 20, 22, 24), "deg"),
    "ring_lowest": Range(*SPARE, 1, "mm"),  # drawn below the ring of the bench table, shown below C7
}

STEADY = frozenset({"sex", "amputated", "taller", "wider", "crossbar_from", "design_angle", "design_forward"})
"""What the mechanics is asked about: one wearer serves several draws of the rest."""


STRETCH_AT = 20
"""Pull for which the table gives the stretch [N]."""


def stretched(c: Case) -> float:
    """Stretch of the webbing at the pull of the case [mm]."""
    return float(c.stretch * c.pull / STRETCH_AT)


def losses(c: Case) -> float:
    """What excursion is lost to slack, ring and stretch [mm]."""
    return float(c.slack + c.ring_travel + stretched(c))


def generated(c: Case) -> float:
    """Growth of the path up to the angle asked for, ring held [mm]."""
    return float(c[f"strap_{c.arm_angle}"] - c.strap_0)


def growth(c: Case, kind: str = "strap") -> float:
    """Growth of a length between the two angles of the second item [mm]."""
    return float(c[f"{kind}_{c.arm_to}"] - c[f"{kind}_{c.arm_from}"])


def turn(c: Case) -> float:
    """Angle between those two [rad]."""
    return radians(c.arm_to - c.arm_from)


def half_opening(c: Case) -> float:
    """Half the angle between the legs of the loop [rad]."""
    return radians(c.loop_opening / 2)


def asked_motion(c: Case) -> tuple[int, int]:
    """Arm flexion and biscapular abduction with which a design must open the device [deg]."""
    return c.design_angle, c.design_forward


def crossbar_to(c: Case) -> float:
    """Where the room for the crossbar ends, as a share of the upper arm [-]."""
    return round(float(c.crossbar_from) + ROOM, 2)


def present(c: Case) -> tuple[str | Table, ...]:
    """The case as the student sees it."""
    rows = tuple((f"{angle}°", f"{c[f'strap_{angle}']} mm", f"{c[f'across_{angle}']} mm") for angle in ANGLES)
    side = c["amputated"]
    sound = "right" if side == "left" else "left"
    return (
        your_wearer(c, c.chest_circumference, ("upper arm, shoulder to elbow", f"{c.upper_arm} mm")),
        Table(
            "Bench table: from the ring, held still, to the crossbar",
            ("arm flexion", "along the strap, tape on the body", "straight across, large caliper"),
            rows,
            about=("excursion", "moment_arm"),
        ),
        Table(
            "In use",
            ("quantity", "value"),
            (
                ("arm flexion asked for", f"{c.arm_angle}°"),
                ("pull in the control attachment strap", f"{c.pull} N"),
                ("control attachment strap let out from just snug", f"{c.slack} mm"),
                ("ring travel toward the pull, what flesh and pad give with it", f"{c.ring_travel} mm"),
                (f"webbing stretch for every {STRETCH_AT} N", f"{c.stretch} mm"),
            ),
            about=("excursion",),
        ),
        Table(
            "The ring in balance, seen from behind",
            ("pull on the ring", "direction"),
            (
                (
                    f"control attachment strap, {c.ring_pull} N",
                    _heading(-c.strap_direction, side),
                ),
                ("axilla loop, upper leg", _heading(c.strap_direction + c.loop_opening // 2, sound)),
                ("axilla loop, lower leg", _heading(c.strap_direction - c.loop_opening // 2, sound)),
            ),
            about=("loop_tension",),
        ),
        Table(
            "Your design",
            ("what it must do", "how much"),
            (
                (
                    "open the device fully (three rubber bands)",
                    f"arm flexion {c.design_angle}°, biscapular abduction {c.design_forward}°, elbow 90°",
                ),
                (
                    "ask little of the shoulder there",
                    f"pull times moment arm of the control attachment strap no more than {c.design_moment:.2f} N m",
                ),
                ("leave device shut and strap unloaded", "with the upper arm hanging, elbow at 90°"),
                (
                    "keep the ring where it is fitted",
                    (
                        f"{_mm(HIGHEST_RING)} to {c.ring_lowest} mm below C7, since a tender spot lies lower; "
                        f"{_mm(OFF_SPINE)} mm or "
                        "more to the sound side"
                    ),
                ),
                (
                    "keep the crossbar where your wearer's cuff leaves room for it",
                    (
                        f"between {_percent(c.crossbar_from)} and {_percent(crossbar_to(c))} of the upper arm, from "
                        f"the shoulder"
                    ),
                ),
            ),
            about=("design",),
        ),
        Table(
            "Two angles",
            ("quantity", "value"),
            (("arm flexion", f"from {c.arm_from}° to {c.arm_to}°"),),
            about=("moment_arm",),
        ),
        Table(
            "The pull",
            ("quantity", "value"),
            (("pull in the control attachment strap", f"{c.pull} N"),),
            about=("shoulder_moment",),
        ),
    )


def _mm(length: float) -> int:
    """A length of the design's table [mm]."""
    return round(length / mm(1))


def _percent(share: float) -> str:
    """A share of the upper arm as the lab writes it."""
    return f"{100 * share:.0f} %"


def _heading(above: int, side: str) -> str:
    """A direction in the plane of the back, in words: whole degrees above or below the horizontal."""
    if above > 90 or above < -90:  # past the vertical
        above, side = (180 - above if above > 0 else -180 - above), ("left" if side == "right" else "right")
    where = "above" if above > 0 else "below"
    return f"{abs(above)}° {where} the horizontal, toward the {side}" if above else f"level, toward the {side}"


def worth_measuring(values: Mapping[str, Value]) -> bool:
    """A cheap look at a draw before the mechanics is asked: whether what is taken off can be told apart at all."""
    v = {name: value for name, value in values.items() if isinstance(value, int)}
    if not v["arm_from"] < v["arm_to"] or v["arm_to"] - v["arm_from"] == 60:
        return False
    c = Case("", "", 0, values)
    taken = [Candidate("right", losses(c), WITHIN)]
    taken += [Candidate(label, one, WITHIN) for label, model in TAKEN_OFF.items() for one in model(c)]
    return apart(taken)


WITHIN = 0.4
"""How far an excursion may lie from the right one; what it is made of is whole millimetres [mm]."""

TAKEN_OFF: dict[str, Callable[[Case], tuple[float, ...]]] = {
    "nothing-gives": lambda _: (0.0,),
    "one-loss-only": lambda c: (float(c.slack), float(c.ring_travel), stretched(c)),
    "slack-forgotten": lambda c: (c.ring_travel + stretched(c),),
    "ring-is-fixed": lambda c: (c.slack + stretched(c),),
    "stretch-forgotten": lambda c: (float(c.slack + c.ring_travel),),
    "stretch-without-pull": lambda c: (float(c.slack + c.ring_travel + c.stretch),),
    "slack-adds": lambda c: (c.ring_travel + stretched(c) - c.slack,),
}
"""What is taken off the generated excursion in each wrong way [mm]."""
