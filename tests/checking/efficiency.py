"""A small exercise whose answer is a function: what a cable leaves of a pull."""

# ruff: noqa: ARG005 - what a student's function ignores is the point

from __future__ import annotations

import math

from controlkit.checking import Exercise, Function, KeptBack, Law, OneOf, Plan, WrongFunction
from controlkit.checking.case.cases import Case

EFFICIENCY = Function(
    name="efficiency",
    asks="force at the device over force at the harness while pulling [-]",
    arguments=("friction, coefficient [-]", "bend, all bends added [rad]"),
    right=lambda friction, bend: math.exp(-friction * bend),
    inputs=lambda c: ((c.friction, 1.0), (c.friction, 3.0), (0.25, 2.0)),
    results_points=3,
    laws=(
        Law(
            label="no-friction",
            points=1,
            inputs=lambda c: ((0.0, 1.0), (0.0, 9.0)),
            holds=lambda found: all(abs(one - 1) < 1e-9 for one in found),
            met="without friction nothing is lost.",
            ask="what is lost in a cable without friction?",
            because="a constant is added or left out",
        ),
        Law(
            label="halves",
            points=1,
            inputs=lambda c: ((c.friction, 1.5), (c.friction, 3.0)),
            holds=lambda found: abs(found[0] * found[0] - found[1]) < 1e-9,
            met="two half bends are one whole bend.",
            ask="the second half of a bend starts with what the first has left. What do both leave together?",
            because="losses are added",
        ),
    ),
    ideas=(
        WrongFunction(
            label="linear",
            model=lambda f, b: 1 - f * b,
            ask="What would ten radians leave?",
            held_because="small angles",
            share=0.25,
        ),
        WrongFunction(
            label="upside-down", model=lambda f, b: math.exp(f * b), ask="Can it exceed one?", held_because="ratio"
        ),
        WrongFunction(
            label="degrees",
            model=lambda f, b: math.exp(-f * math.degrees(b)),
            ask="In which unit is the bend?",
            held_because="habit",
        ),
    ),
    hints=("What does a small piece of the bend take?",),
)
CABLE = Exercise("cable", "Cable", Plan("cable", {"friction": OneOf((0.1, 0.15))}), (EFFICIENCY,))
CASE = Case("cable", "ana", 0, {"friction": 0.1})
HIDDEN = KeptBack({"efficiency": lambda c: ((0.05, 0.7), (0.31, 5.5))})


def right(friction, bend):  # type: ignore[no-untyped-def]
    return math.exp(-friction * bend)
