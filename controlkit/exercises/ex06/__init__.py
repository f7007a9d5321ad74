"""Exercise 6, the whole chain: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from controlkit.checking import Exercise, Plan
from controlkit.exercises.ex06.case import DRAWS, STEADY, present, whole
from controlkit.exercises.ex06.ideas import IDEAS
from controlkit.exercises.ex06.items import ITEMS
from controlkit.exercises.ex06.steps import WORKED

MINUTES = 100
"""What a student needs who has worked the lesson."""

DIFFICULTY = (19, 19)
"""Fewest and most lines of working that a case may need, counted in its worked steps: every case needs as many."""

exercise = Exercise(
    name="ex06",
    title="The whole chain",
    plan=Plan("ex06", DRAWS, derive=whole, steady=STEADY),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
