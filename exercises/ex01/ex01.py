"""Exercise 1, from shoulder to grasp: what is asked, hints and worked steps.

Everything in this folder is for the student's eyes too. An instructor who wants to hand it out
without worked steps sets `HAND_OUT_WORKED_STEPS` to False.
"""

from __future__ import annotations

from ex01_case import DRAWS, SEEN, comes_to, goal, measure, opens, present, right_orders, scale, travel_to, what_holds
from ex01_ideas import IDEAS, rows_around
from ex01_words import HOLDS, PARTS, STEPS

from controlkit.checking import Case, Choice, Exercise, Order, Plan, Quantity, Written

HAND_OUT_WORKED_STEPS = True

MINUTES = 30
"""What a student needs who has worked the lesson."""

DIFFICULTY = (15, 24)
"""Fewest and most lines of working that a case may need, counted in its worked steps."""


def grip_pull(c: Case) -> float:
    """What the grip wanted takes at the cable, beside moving the fingers [N]."""
    return 0.0 if opens(c) else float(c.pinch * c.finger / c.lever)


ITEMS = (
    Choice(
        name="part",
        points=2,
        asks="which part does not do its work on the wearer who comes in",
        statements=PARTS,
        right=lambda c: str(c.seen),
        hints=(
            "Follow the pull from the sound shoulder to the fingers. Up to where is all as it should be?",
            "Which part holds still in a sound prosthesis what moves here?",
        ),
    ),
    Order(
        name="sequence",
        points=4,
        asks="take hold of the object, bring it to the mouth, put it back and let the arm hang, with your wearer's "
        "device, from where your table begins",
        steps=STEPS,
        right=right_orders,
        comes_to=comes_to,
        hints=(
            "Where do the fingers stand when nobody pulls: open or shut?",
            "Say after each step what holds the object. When is it the fingers, when the table?",
        ),
    ),
    Quantity(
        name="travel",
        points=4,
        kind="length",
        unit="mm",
        asks="cable travel from rest that this step needs: the fingers open far enough to reach around the object "
        "(voluntary opening), or close until they touch it (voluntary closing)",
        right=lambda c, _: travel_to(c, goal(c)),
        within=0.5,
        hints=(
            "How far apart are the fingertips at the end of this step? Look for that in the second column.",
            "It lies between two rows. Which part of the way from one to the other?",
        ),
        credible=(1.0, 70.0),
    ),
    Quantity(
        name="pull",
        points=4,
        kind="force",
        unit="N",
        asks="cable pull at the hook at the end of the step, from your own travel: what holds the fingers so far open "
        "(voluntary opening), or what grips with the force wanted (voluntary closing)",
        right=lambda c, mine: scale(c, mine["travel"]) + grip_pull(c),
        relative=0.01,
        hints=(
            "What does the scale show at your travel, nothing between the fingers?",
            "Only with voluntary closing does the cable also make the grip. Take moments about the pivot.",
        ),
        follows="travel",
    ),
    Choice(
        name="relaxed",
        points=2,
        asks="what holds the object at the moment named in your table",
        statements=HOLDS,
        right=what_holds,
        hints=("Draw the fingers with the cable. Which way does the cable turn them, and what turns them back?",),
    ),
    Written(
        name="why",
        asks="what your wearer must know about her grip before she carries a full glass, and why",
        rubric=(
            (1, "says what closes the fingers of this device, and what opens them"),
            (1, "says what becomes of the grip if the cable is pulled unasked, or goes slack, while she carries"),
            (1, "names a motion on the way to the mouth that works the cable, and what the wearer does about it"),
        ),
    ),
)


# --- Worked steps, opened after an attempt --------------------------------------------------


def part_steps(c: Case) -> str:
    """From what is seen to the part."""
    return (
        f"  1. Seen: {SEEN[c.seen]}.\n"
        "  2. Go from the sound shoulder to the fingers and ask of each part what would be different without it.\n"
        f"  3. Only without the work of this part would it be so: {c.seen}."
    )


def sequence_steps(c: Case) -> str:
    """A right order."""
    order = right_orders(c)[0]
    lines = [f"  {place}. {step}" for place, step in enumerate(order, 1)]
    return "\n".join([*lines, "  Another order is as good where two steps may change places."])


def travel_steps(c: Case) -> str:
    """From the table to the travel."""
    found = travel_to(c, goal(c))
    low, high = rows_around(c, found)
    need = f"{c.width} mm + {c.clearance} mm = {goal(c)} mm" if opens(c) else f"{goal(c)} mm, the width of the object"
    return (
        f"  1. Fingertips apart at the end of the step: {need}.\n"
        f"  2. That lies between {c[f'opening_{low}']} mm (travel {low} mm) and {c[f'opening_{high}']} mm "
        f"(travel {high} mm).\n"
        f"  3. Travel: {low} + {high - low} x ({goal(c)} - {c[f'opening_{low}']}) / "
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
        f"  2. At the moment asked about the cable is {c.moment}.\n"
        f"  3. What holds the object: {what_holds(c)}."
    )


WORKED = {
    "part": part_steps,
    "sequence": sequence_steps,
    "travel": travel_steps,
    "pull": pull_steps,
    "relaxed": relaxed_steps,
}

exercise = Exercise(
    name="ex01",
    title="From shoulder to grasp",
    plan=Plan("ex01", DRAWS, derive=measure),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED if HAND_OUT_WORKED_STEPS else {},
)
