"""Exercise 1, from shoulder to grasp: what is asked, and hints."""

from __future__ import annotations

from controlkit.checking import Case, Choice, Order, Quantity, Written
from controlkit.exercises.ex01.case import (
    comes_to,
    goal,
    opens,
    right_orders,
    scale,
    travel_to,
    what_holds,
)
from controlkit.exercises.ex01.words import HOLDS, PARTS, STEPS


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
            "How does the device stand to the object, and where are its fingers when nobody pulls: open or shut?",
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
            (1, "says what becomes of the grip if the cable is pulled inadvertently, or goes slack, while she carries"),
            (1, "names a motion on the way to the mouth that works the cable, and what the wearer does about it"),
        ),
    ),
)
