"""Exercise 10: what a formula of the mass that a limb holds is held against: laws, and what learners write."""

from __future__ import annotations

from collections.abc import Sequence

from controlkit.checking import Law, WrongFormula
from controlkit.exercises.shared.laws import near

RIGHT = "1000 * (limb * efficiency / ratio - level) / (9.807 * reach)"
"""The mass that a limb holds level through a step-up hinge [kg]."""


def _forearm_first(found: Sequence[float]) -> bool:
    return near(found[0], 0.0) and near(found[1], 0.0) and found[2] > found[3] > 0.0


def _ratio(found: Sequence[float]) -> bool:
    return found[0] > 0.0 and near(found[0], found[1]) and near(found[0], found[2]) and found[0] > found[3]


def _reach(found: Sequence[float]) -> bool:
    return found[1] > 0.0 and near(found[0], 2 * found[1]) and near(found[2], 4 * found[1])


LAWS = (
    Law(
        label="the-forearm-comes-first",
        points=1,
        inputs=lambda _: (
            (2.0, 1.6, 0.8, 1.0, 300.0),
            (1.5, 1.5, 0.9, 0.9, 260.0),
            (6.0, 1.6, 0.8, 1.0, 300.0),
            (6.0, 1.6, 0.8, 1.4, 300.0),
        ),
        holds=_forearm_first,
        met="a limb that just holds the forearm holds nothing more.",
        ask="give the limb just the moment that holds the empty forearm through the hinge. Which mass should be left?",
        because="the forearm's own moment left out, or taken off on the wrong side of the hinge",
    ),
    Law(
        label="what-the-ratio-costs",
        points=1,
        inputs=lambda _: (
            (4.0, 1.5, 0.9, 0.8, 300.0),
            (8.0, 3.0, 0.9, 0.8, 300.0),
            (8.0, 1.5, 0.45, 0.8, 300.0),
            (4.0, 2.0, 0.9, 0.8, 300.0),
        ),
        holds=_ratio,
        met="a hinge that doubles the angle, or loses half, asks the limb for twice the moment.",
        ask="double the ratio, then halve the efficiency in its place. What must the limb make each time, for "
        "the same mass?",
        because="the ratio multiplied, as if a hinge gave moment, or the efficiency upside down",
    ),
    Law(
        label="twice-as-far-half-as-much",
        points=1,
        inputs=lambda _: (
            (4.0, 1.5, 0.9, 0.8, 150.0),
            (4.0, 1.5, 0.9, 0.8, 300.0),
            (4.0, 1.5, 0.9, 0.8, 75.0),
        ),
        holds=_reach,
        met="held twice as far out, half the mass is all.",
        ask="hold the load twice as far from the elbow, and all else stays. What becomes of the mass?",
        because="the distance multiplied, or something taken off the mass that is a moment",
    ),
)

FORMULAS = (
    WrongFormula(
        label="hinge-helps-the-limb",
        formula="1000 * (limb * efficiency * ratio - level) / (9.807 * reach)",
        ask="In your formula a hinge of a larger ratio lets the limb hold more. Where would the work come from?",
        held_because="what makes more of an angle is thought to make more of everything",
        share=0.25,
    ),
    WrongFormula(
        label="loss-helps-the-limb",
        formula="1000 * (limb / (efficiency * ratio) - level) / (9.807 * reach)",
        ask="In your formula a hinge that rubs more lets the limb hold more. Can a loss help?",
        held_because="a ratio is remembered without which side stands on top",
        share=0.5,
    ),
    WrongFormula(
        label="hinge-without-loss",
        formula="1000 * (limb / ratio - level) / (9.807 * reach)",
        ask="The efficiency does not stand in it. Does all that the limb makes come out of the hinge?",
        held_because="a hinge is taken for a number of teeth",
        share=0.5,
    ),
    WrongFormula(
        label="empty-forearm-weighs-nothing",
        formula="1000 * limb * efficiency / (ratio * 9.807 * reach)",
        ask="In your formula the empty forearm weighs nothing. What must the limb hold before anything is in the hook?",
        held_because="what is asked for is the load, and the rest is forgotten",
        share=0.25,
    ),
    WrongFormula(
        label="forearm-before-the-hinge",
        formula="1000 * (limb * efficiency - level) / (ratio * 9.807 * reach)",
        ask="You took the forearm's moment off before the hinge. On which side of the hinge does the forearm hang?",
        held_because="moments are added up without asking about which axis each is",
        share=0.5,
    ),
    WrongFormula(
        label="weight-for-mass",
        formula="1000 * (limb * efficiency / ratio - level) / reach",
        ask="That is a force. How many newtons does a kilogram weigh?",
        held_because="weight and mass are one word in daily life",
        share=0.5,
    ),
    WrongFormula(
        label="millimetres-for-metres",
        formula="(limb * efficiency / ratio - level) / (9.807 * reach)",
        ask="Newton metres over millimetres: how many of the one make one of the other?",
        held_because="numbers are put in as they stand",
        share=0.5,
    ),
)
