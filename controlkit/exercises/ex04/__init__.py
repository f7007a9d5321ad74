"""Exercise 4, cable and housing: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from controlkit.checking import Exercise, Plan
from controlkit.exercises.ex04.case import DRAWS, present, scale_readings
from controlkit.exercises.ex04.ideas import IDEAS
from controlkit.exercises.ex04.items import ITEMS
from controlkit.exercises.ex04.steps import WORKED

MINUTES = 75
"""What a student needs who has worked the lesson."""

DIFFICULTY = (32, 32)
"""Fewest and most lines of working that a case may need, counted in its worked steps: every case needs as many."""

exercise = Exercise(
    name="ex04",
    title="Cable and housing",
    plan=Plan("ex04", DRAWS, derive=scale_readings),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
