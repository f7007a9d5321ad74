"""Exercise 3, the figure-of-eight harness: how it is put together.

Everything in this folder is for the student's eyes too.
"""

from __future__ import annotations

from controlkit.checking import Exercise, Plan
from controlkit.exercises.ex03.bench import measure
from controlkit.exercises.ex03.case import DRAWS, STEADY, present, worth_measuring
from controlkit.exercises.ex03.ideas import IDEAS
from controlkit.exercises.ex03.items import ITEMS
from controlkit.exercises.ex03.steps import WORKED

MINUTES = 45
"""What a student needs who has worked the lesson."""

DIFFICULTY = (20, 22)
"""Fewest and most lines of working that a case may need, counted in its worked steps."""

exercise = Exercise(
    name="ex03",
    title="The figure-of-eight harness",
    plan=Plan("ex03", DRAWS, derive=measure, screen=worth_measuring, steady=STEADY),
    items=ITEMS,
    ideas=IDEAS,
    present=present,
    worked=WORKED,
)
