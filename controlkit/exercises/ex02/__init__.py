"""Exercise 2, body control motions: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from controlkit.checking import Exercise, Plan
from controlkit.exercises.ex02.bench import measure
from controlkit.exercises.ex02.case import DRAWS, STEADY, present, worth_measuring
from controlkit.exercises.ex02.ideas import IDEAS
from controlkit.exercises.ex02.items import ITEMS
from controlkit.exercises.ex02.steps import WORKED

MINUTES = 45
"""What a student needs who has worked the lesson."""

DIFFICULTY = (14, 18)
"""Fewest and most lines of working that a case may need, counted in its worked steps."""

exercise = Exercise(
    name="ex02",
    title="Body control motions",
    plan=Plan("ex02", DRAWS, derive=measure, screen=worth_measuring, steady=STEADY),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
