"""Exercise 7, dual control: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.checking import Case, Exercise, Plan, Quantity
from controlkit.checking.case.cases import Value
from controlkit.checking.items.base import Given
from controlkit.exercises.ex07.case import DRAWS, STEADY, on_the_way, present, whole, worth_measuring
from controlkit.exercises.ex07.ideas import IDEAS
from controlkit.exercises.ex07.items import ITEMS, UNMEASURED
from controlkit.exercises.ex07.steps import WORKED

MINUTES = 130
"""What a student needs who has worked the lesson."""

DIFFICULTY = (39, 39)
"""Fewest and most lines of working that a case may need, counted in its worked steps: every case needs as many."""


def _screen(values: Mapping[str, Value]) -> bool:
    """A cheap look at a draw before the mechanics is asked: whatever needs no harness must tell right from wrong."""
    if not worth_measuring(values):
        return False
    case = Case("", "", 0, {**values, **on_the_way(values)})
    right: dict[str, float] = {}
    for item in UNMEASURED:
        right[item.name] = item.number(case, right)
    return all(item.admits(_given(item, case, right)) for item in UNMEASURED)


def _given(item: Quantity, case: Case, right: Mapping[str, float]) -> Given:
    return Given(case=case, ideas=tuple(one for one in IDEAS if one.item == item.name), right=lambda _: right)


exercise = Exercise(
    name="ex07",
    title="Dual control",
    plan=Plan("ex07", DRAWS, derive=whole, screen=_screen, steady=STEADY),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
