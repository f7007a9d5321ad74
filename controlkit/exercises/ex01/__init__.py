"""Exercise 1, from shoulder to grasp: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from controlkit.checking import Exercise, Plan
from controlkit.exercises.ex01.case import DRAWS, measure, present
from controlkit.exercises.ex01.ideas import IDEAS
from controlkit.exercises.ex01.items import ITEMS
from controlkit.exercises.ex01.steps import WORKED

MINUTES = 30
"""What a student needs who has worked the lesson."""

DIFFICULTY = (15, 24)
"""Fewest and most lines of working that a case may need, counted in its worked steps."""

exercise = Exercise(
    name="ex01",
    title="From shoulder to grasp",
    plan=Plan("ex01", DRAWS, derive=measure),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
