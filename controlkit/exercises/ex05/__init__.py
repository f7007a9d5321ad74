"""Exercise 5, terminal devices: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from controlkit.checking import Exercise, Plan
from controlkit.exercises.ex05.case import DRAWS, measure, present
from controlkit.exercises.ex05.ideas import IDEAS
from controlkit.exercises.ex05.items import ITEMS
from controlkit.exercises.ex05.steps import WORKED

MINUTES = 60
"""What a student needs who has worked the lesson."""

DIFFICULTY = (23, 23)
"""Fewest and most lines of working that a case may need, counted in its worked steps: every case needs as many."""

exercise = Exercise(
    name="ex05",
    title="Terminal devices",
    plan=Plan("ex05", DRAWS, derive=measure),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
