"""Exercise 11, checkout and fault-finding: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.checking import Exercise, Plan
from controlkit.checking.case.cases import Value
from controlkit.exercises.ex11.case import DRAWS, STEADY, by_scale, present, whole
from controlkit.exercises.ex11.ideas import IDEAS
from controlkit.exercises.ex11.items import BY_SCALE, ITEMS
from controlkit.exercises.ex11.steps import WORKED
from controlkit.exercises.shared.drawn import can_tell

MINUTES = 120
"""What a student needs who has worked the lesson."""

DIFFICULTY = (41, 42)
"""Fewest and most lines of working that a case may need, counted in its worked steps."""


def _screen(values: Mapping[str, Value]) -> bool:
    """A cheap look at a draw before the wearer is measured: what needs the scales alone must tell right from wrong."""
    read = by_scale(values)
    return read is not None and all(can_tell(item, IDEAS, {**values, **read}) for item in BY_SCALE)


exercise = Exercise(
    name="ex11",
    title="Checkout and fault-finding",
    plan=Plan("ex11", DRAWS, derive=whole, screen=_screen, steady=STEADY),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
