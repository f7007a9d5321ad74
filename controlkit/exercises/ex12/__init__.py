"""Exercise 12, fitting a wearer: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.checking import Case, Exercise, Plan
from controlkit.checking.case.cases import Value
from controlkit.checking.items.base import Given
from controlkit.exercises.ex12.case import DRAWS, EACH, STEADY, served, whole
from controlkit.exercises.ex12.ideas import IDEAS
from controlkit.exercises.ex12.items import ITEMS, SCREENED
from controlkit.exercises.ex12.shelf import GROUPS
from controlkit.exercises.ex12.shown import present
from controlkit.exercises.ex12.steps import WORKED

MINUTES = 125
"""What a student needs who has worked the lesson."""

DIFFICULTY = (34, 34)
"""Fewest and most lines of working that a case may need, counted in its worked steps: every case needs as many."""

FEWEST = 5
"""How many people of those tried a harness must serve, and how many it must fail, for the rule of the interval [-]."""


def _screen(values: Mapping[str, Value]) -> bool:
    """A cheap look at a draw before anybody is measured."""
    case, right = Case("", "", 0, values), dict[str, float]()
    if values["history"] == "gaining" and values["bands"] != 1:  # more than such a wearer comes to open
        return False
    if values["sex"] == "female" and int(values["bands"]) > 2:  # hardly a woman pulls so hard
        return False
    if not FEWEST <= served(case) <= EACH * len(GROUPS) - FEWEST:
        return False
    for item in SCREENED:
        right[item.name] = item.number(case, right)
    return all(
        item.admits(Given(case=case, ideas=tuple(one for one in IDEAS if one.item == item.name), right=lambda _: right))
        for item in SCREENED
    )


exercise = Exercise(
    name="ex12",
    title="Fitting a wearer",
    plan=Plan("ex12", DRAWS, derive=whole, screen=_screen, steady=STEADY),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
