"""Exercise 9: what a formula of the amplifier is held against: laws, and what learners write."""

from __future__ import annotations

from collections.abc import Sequence

from controlkit.checking import Law, WrongFormula
from controlkit.exercises.shared.laws import near


def _no_give(found: Sequence[float]) -> bool:
    return near(found[0], found[1]) and near(found[0], 2 * found[2]) and found[0] > 0.0


def _worse(found: Sequence[float]) -> bool:
    return found[0] > found[1] > 0.0


def _too_much(found: Sequence[float]) -> bool:
    return found[1] > found[0] > 0.0 and found[2] < found[1]


LAWS = (
    Law(
        label="no-length-is-rubbed-away",
        points=1,
        inputs=lambda _: ((50, 0.0, 40, 2.0, 0.9), (50, 0.0, 40, 2.0, 0.5), (50, 0.0, 40, 1.0, 0.9)),
        holds=_no_give,
        met="where nothing gives, no travel is lost, however badly the amplifier works.",
        ask="let nothing give, and make the amplifier work worse. What does friction take: force, or length of cable?",
        because="efficiency multiplied into the travel, or the ratio used the wrong way",
    ),
    Law(
        label="more-friction-draws-more-give",
        points=1,
        inputs=lambda _: ((60, 0.3, 35, 2.0, 0.9), (60, 0.3, 35, 2.0, 0.6)),
        holds=_worse,
        met="an amplifier that works worse leaves less travel, because it asks for more pull.",
        ask="let straps and skin give, and make the amplifier work worse. What must the wearer pull then, and "
        "what gives more by it?",
        because="efficiency left out, or put in upside down",
    ),
    Law(
        label="too-much-of-it-leaves-less",
        points=1,
        inputs=lambda _: ((60, 0.5, 40, 1.0, 1.0), (60, 0.5, 40, 1.5, 1.0), (60, 0.5, 40, 2.6, 1.0)),
        holds=_too_much,
        met="a ratio that is too large leaves less travel than a smaller one.",
        ask="raise the ratio step by step on a harness that gives much. Does the travel go on growing?",
        because="the greater pull left out, or the give not multiplied by the ratio",
    ),
)

RIGHT = "ratio * (generated - give * ratio * pull / efficiency)"

FORMULAS = (
    WrongFormula(
        label="nothing-gives",
        formula="ratio * generated",
        ask="In your formula straps and skin do not give at all. What does the wearer's pull do to them before "
        "the cable moves?",
        held_because="what a motion generates is taken for what a cable gets",
        share=0.25,
    ),
    WrongFormula(
        label="gives-by-the-cables-pull",
        formula=("ratio * (generated - give * pull)", "ratio * generated - ratio * give * pull"),
        ask="You let the harness give by the tension beyond the amplifier. What does the control strap pull before it?",
        held_because="the price of an amplifier in force is forgotten as soon as travel is asked for",
        share=0.5,
    ),
    WrongFormula(
        label="ratio-counted-once",
        formula="ratio * (generated - give * pull / efficiency)",
        ask="The amplifier makes the pull another one, and what a millimetre lost before it is worth behind it. "
        "Does what you take off hold both?",
        held_because="the ratio is put in once, as if one thing followed from it",
        share=0.5,
    ),
    WrongFormula(
        label="loses-nothing",
        formula="ratio * (generated - give * ratio * pull)",
        ask="Your amplifier hands on all the work that goes in. What does one that rubs ask for?",
        held_because="a lever in a drawing does not rub",
        share=0.5,
    ),
    WrongFormula(
        label="efficiency-upside-down",
        formula="ratio * (generated - give * ratio * pull * efficiency)",
        ask="In your formula an amplifier that rubs more asks for less pull. Should it?",
        held_because="efficiencies are multiplied by habit",
        share=0.25,
    ),
    WrongFormula(
        label="give-is-not-amplified",
        formula=("ratio * generated - give * pull", "ratio * generated - give * pull / efficiency"),
        ask="You took the give off behind the amplifier. On which side of it does the harness give?",
        held_because="losses are taken off at the end",
        share=0.5,
    ),
    WrongFormula(
        label="friction-eats-travel",
        formula=(
            "efficiency * ratio * (generated - give * ratio * pull / efficiency)",
            "efficiency * ratio * generated",
            "efficiency * ratio * (generated - give * ratio * pull)",
        ),
        ask="You took a part of the travel for friction. Can cable be rubbed shorter?",
        held_because="an efficiency is put to whatever comes out",
        share=0.25,
    ),
    WrongFormula(
        label="travel-divided",
        formula=(
            "(generated - give * ratio * pull / efficiency) / ratio",
            "(generated - give * pull) / ratio",
            "generated / ratio",
        ),
        ask="In your formula a larger ratio makes less travel even where nothing gives. What is the amplifier "
        "built in for?",
        held_because="the ratio is remembered, not which way it works",
    ),
)
