"""Exercise 1, from shoulder to grasp: worked steps of a case, the answer in the last line."""

from __future__ import annotations

from controlkit.checking import Case
from controlkit.exercises.ex01.case import (
    SEEN,
    goal,
    opens,
    right_orders,
    scale,
    travel_to,
    what_holds,
)
from controlkit.exercises.ex01.ideas import rows_around
from controlkit.exercises.ex01.items import grip_pull


def part_steps(c: Case) -> str:
    """From what is seen to the part."""
    return (
        f"  1. Seen: {SEEN[c.seen]}.\n"
        "  2. Go from the sound shoulder to the fingers and ask of each part what would be different without it.\n"
        f"  3. Only without the work of this part would it be so: {c.seen}."
    )


def sequence_steps(c: Case) -> str:
    """A right order; the last line is what another hook has otherwise."""
    lines = [f"  {place}. {step}" for place, step in enumerate(right_orders(c)[0], 1)]
    other = "  Where two steps may change places, either order is good."
    return "\n".join([*lines, f"{other} This is for a hook that {'opens' if opens(c) else 'closes'} by the cable."])


def travel_steps(c: Case) -> str:
    """From the table to the travel."""
    found = travel_to(c, goal(c))
    low, high = rows_around(c, found)
    need = f"{c.width} mm + {c.clearance} mm = {goal(c)} mm" if opens(c) else f"{goal(c)} mm, the width of the object"
    return (
        f"  1. Fingertips apart at the end of the step: {need}.\n"
        f"  2. That lies between {c[f'opening_{low}']} mm (travel {low} mm) and {c[f'opening_{high}']} mm "
        f"(travel {high} mm).\n  3. Travel: {low} + {high - low} x ({goal(c)} - {c[f'opening_{low}']}) / "
        f"({c[f'opening_{high}']} - {c[f'opening_{low}']}) = {found:.1f} mm."
    )


def pull_steps(c: Case) -> str:
    """From the table to the pull."""
    travel = travel_to(c, goal(c))
    low, high = rows_around(c, travel)
    moving = scale(c, travel)
    first = (
        f"  1. At {low} mm the scale shows {c[f'force_{low}']} N, at {high} mm {c[f'force_{high}']} N; "
        f"at {travel:.1f} mm that is {moving:.2f} N.\n"
    )
    if opens(c):
        return (
            f"{first}  2. The cable holds the fingers open against the bands and grips nothing.\n"
            f"  3. Pull: {moving:.2f} N."
        )
    return (
        f"{first}  2. The grip has the arm {c.finger} mm, the cable {c.lever} mm: "
        f"{c.pinch} x {c.finger} / {c.lever} = {grip_pull(c):.2f} N more.\n"
        f"  3. Pull: {moving:.2f} + {grip_pull(c):.2f} = {moving + grip_pull(c):.2f} N."
    )


def relaxed_steps(c: Case) -> str:
    """From the principle to what holds."""
    return (
        f"  1. The cable {'opens' if opens(c) else 'closes'} this device; "
        f"{'bands close' if opens(c) else 'a spring opens'} it.\n"
        f"  2. At the moment asked about the cable is {c.moment}.\n  3. What holds the object: {what_holds(c)}."
    )


WORKED = {
    "part": part_steps,
    "sequence": sequence_steps,
    "travel": travel_steps,
    "pull": pull_steps,
    "relaxed": relaxed_steps,
}
