"""Exercise 7: what a formula of the lift is held against: laws, and what learners write."""

from __future__ import annotations

from collections.abc import Sequence

from controlkit.checking import Law, WrongFormula
from controlkit.exercises.shared.laws import near


def _vertical(found: Sequence[float]) -> bool:
    return near(found[0], 0.0) and near(found[1], found[2]) and near(found[2], found[3]) and found[1] > found[4] > 0.0


def _arm(found: Sequence[float]) -> bool:
    return found[1] > 0.0 and near(found[0], 2 * found[1]) and near(found[2], 4 * found[1])


def _spring(found: Sequence[float]) -> bool:
    return near(found[0], 0.0) and found[2] > found[1] > 0.0


LAWS = (
    Law(
        label="only-the-vertical-counts",
        points=1,
        inputs=lambda _: (
            (1.2, 0, 0, 0.0, 30.0),
            (1.2, 60, 15, 0.0, 30.0),
            (1.2, 15, 60, 0.0, 30.0),
            (1.2, 75, 0, 0.0, 30.0),
            (1.2, 40, 0, 0.0, 30.0),
        ),
        holds=_vertical,
        met="hanging straight down takes nothing, and only the forearm's angle to the vertical counts.",
        ask="let the forearm hang straight down, without a spring; then reach one and the same place of the "
        "forearm with more of the elbow, or more of the upper arm. What should the force be each time?",
        because="the upper arm's inclination left out or taken off, or the wrong one of sine and cosine",
    ),
    Law(
        label="half-the-arm-twice-the-force",
        points=1,
        inputs=lambda _: ((1.2, 70, 20, 0.3, 20.0), (1.2, 70, 20, 0.3, 40.0), (1.2, 70, 20, 0.3, 10.0)),
        holds=_arm,
        met="half the moment arm asks for twice the force.",
        ask="halve the moment arm, and all else stays. What should become of the force?",
        because="the moment arm multiplied, or something taken off the force that is a moment",
    ),
    Law(
        label="spring-carries-its-share",
        points=1,
        inputs=lambda _: ((1.2, 30, 0, 0.6, 30.0), (1.2, 60, 30, 0.6, 30.0), (1.2, 60, 30, 0.0, 30.0)),
        holds=_spring,
        met="a spring that makes the weight's moment leaves nothing to the cable.",
        ask="give the spring just the moment that the weight makes. What is left for the cable?",
        because="the spring added, or taken off the force in place of the moment",
    ),
)

FORMULAS = (
    WrongFormula(
        label="inclination-forgotten",
        formula="1000 * (level * sin(elbow°) - spring) / arm",
        ask="The upper arm does not stand in it. Swing it forward with a bent elbow: what does the forearm do?",
        held_because="the elbow's angle is what one looks at, and the upper arm is taken for a fixed frame",
        share=0.5,
    ),
    WrongFormula(
        label="inclination-taken-off",
        formula="1000 * (level * sin((elbow - tilt)°) - spring) / arm",
        ask="In your formula an arm swung forward makes the forearm hang steeper. Draw it: does it?",
        held_because="two angles are put together without a drawing",
        share=0.25,
    ),
    WrongFormula(
        label="cosine-for-sine",
        formula="1000 * (level * cos((elbow + tilt)°) - spring) / arm",
        ask="Which force does your formula ask for when the forearm hangs straight down?",
        held_because="angles are mostly taken from the horizontal",
        share=0.25,
    ),
    WrongFormula(
        label="spring-against-the-lift",
        formula="1000 * (level * sin((elbow + tilt)°) + spring) / arm",
        ask="In your formula the spring adds to the weight. What is it built in for?",
        held_because="a spring is thought of as something one pulls against",
        share=0.25,
    ),
    WrongFormula(
        label="spring-off-the-force",
        formula="1000 * level * sin((elbow + tilt)°) / arm - spring",
        ask="You took newton metres off newtons. What does the spring make about the elbow: a force, or a moment?",
        held_because="what helps is taken off at the end",
        share=0.5,
    ),
    WrongFormula(
        label="moment-times-arm",
        formula=(
            "(level * sin((elbow + tilt)°) - spring) * arm",
            "(level * sin((elbow + tilt)°) - spring) * arm / 1000",
            "1000 * (level * sin((elbow + tilt)°) - spring) * arm",
        ),
        ask="In your formula a longer moment arm asks for more force. Does a longer lever?",
        held_because="that force, moment and arm belong together is remembered, not how",
        share=0.25,
    ),
    WrongFormula(
        label="millimetres-for-metres",
        formula=(
            "(level * sin((elbow + tilt)°) - spring) / arm",
            "(level * sin((elbow + tilt)°) - spring) / (1000 * arm)",
        ),
        ask="Newton metres over millimetres: how many of the one make one of the other?",
        held_because="numbers are put in as they stand",
        share=0.5,
    ),
)
