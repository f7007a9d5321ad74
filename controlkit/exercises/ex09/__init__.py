"""Exercise 9, other harness patterns: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.checking import Case, Exercise, Plan, Quantity
from controlkit.checking.case.cases import Value
from controlkit.checking.items.base import Given
from controlkit.exercises.ex09.case import DRAWS, STEADY, present, screen, whole
from controlkit.exercises.ex09.ideas import IDEAS
from controlkit.exercises.ex09.items import ITEMS, UNMEASURED
from controlkit.exercises.ex09.steps import WORKED

MINUTES = 90
"""What a student needs who has worked the lesson."""

DIFFICULTY = (34, 34)
"""Fewest and most lines of working that a case may need, counted in its worked steps."""


def _screen(values: Mapping[str, Value]) -> bool:
    """A cheap look at a draw before the mechanics is asked: whatever needs no harness must tell right from wrong."""
    if not screen(values):
        return False
    case, right = Case("", "", 0, values), dict[str, float]()
    for item in UNMEASURED:
        right[item.name] = item.number(case, right)
    return all(item.admits(_given(item, case, right)) for item in UNMEASURED)


def _given(item: Quantity, case: Case, right: Mapping[str, float]) -> Given:
    return Given(case=case, ideas=tuple(one for one in IDEAS if one.item == item.name), right=lambda _: right)


exercise = Exercise(
    name="ex09",
    title="Other harness patterns",
    plan=Plan("ex09", DRAWS, derive=whole, screen=_screen, steady=STEADY),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
