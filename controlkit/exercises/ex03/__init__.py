"""Exercise 3, the figure-of-eight harness: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.checking import Exercise, Plan
from controlkit.checking.case.cases import Value
from controlkit.exercises.ex03.bench import can_be_asked, measure
from controlkit.exercises.ex03.case import DRAWS, STEADY, present, worth_measuring
from controlkit.exercises.ex03.ideas import IDEAS
from controlkit.exercises.ex03.items import ITEMS, LOOP_TENSION
from controlkit.exercises.ex03.steps import WORKED
from controlkit.exercises.shared.drawn import can_tell

MINUTES = 45
"""What a student needs who has worked the lesson."""

DIFFICULTY = (20, 22)
"""Fewest and most lines of working that a case may need, counted in its worked steps."""


def _screen(values: Mapping[str, Value]) -> bool:
    """A cheap look at a draw before the mechanics is asked; the loop's tension needs nothing measured."""
    return can_be_asked(values) and worth_measuring(values) and can_tell(LOOP_TENSION, IDEAS, values)


exercise = Exercise(
    name="ex03",
    title="The figure-of-eight harness",
    plan=Plan("ex03", DRAWS, derive=measure, screen=_screen, steady=STEADY),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
