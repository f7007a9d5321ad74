"""Exercise 10, bilateral wearers and the very short residual limb: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.checking import Case, Exercise, Plan, Quantity
from controlkit.checking.case.cases import Value
from controlkit.checking.items.base import Given
from controlkit.exercises.ex10.case import DRAWS, STEADY, derived, present, whole, worth_measuring
from controlkit.exercises.ex10.ideas import IDEAS
from controlkit.exercises.ex10.items import ITEMS, UNMEASURED
from controlkit.exercises.ex10.steps import WORKED

MINUTES = 90
"""What a student needs who has worked the lesson."""

DIFFICULTY = (39, 42)
"""Fewest and most lines of working that a case may need, counted in its worked steps."""


def _screen(values: Mapping[str, Value]) -> bool:
    """A cheap look at a draw before the mechanics is asked: whatever needs no harness must tell right from wrong."""
    if not worth_measuring(values):
        return False
    case = Case("", "", 0, {**values, **derived(values)})
    right: dict[str, float] = {}
    for item in UNMEASURED:
        right[item.name] = item.number(case, right)
    return all(item.admits(_given(item, case, right)) for item in UNMEASURED)


def _given(item: Quantity, case: Case, right: Mapping[str, float]) -> Given:
    return Given(case=case, ideas=tuple(one for one in IDEAS if one.item == item.name), right=lambda _: right)


exercise = Exercise(
    name="ex10",
    title="Bilateral wearers and the very short residual limb",
    plan=Plan("ex10", DRAWS, derive=whole, screen=_screen, steady=STEADY),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
