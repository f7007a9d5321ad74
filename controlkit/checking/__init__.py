"""Is an answer right: own cases, items, wrong ideas as models, one judging function, progress.

Nothing here draws, and nothing here knows a notebook or a class.
"""

from .cases import Case, OneOf, Plan, Range, normalise
from .exercise import Exercise, OwnExercise
from .feedback import Feedback, Judgement
from .handout import Handout, Table
from .items import Body, Criterion, Design, Graded, Quantity, Setting, Written
from .judging import judge
from .progress import Progress
from .sheet import Sheet
from .wrong import WrongIdea

__all__ = [
    "Body",
    "Case",
    "Criterion",
    "Design",
    "Exercise",
    "Feedback",
    "Graded",
    "Handout",
    "Judgement",
    "OneOf",
    "OwnExercise",
    "Plan",
    "Progress",
    "Quantity",
    "Range",
    "Setting",
    "Sheet",
    "Table",
    "Written",
    "WrongIdea",
    "judge",
    "normalise",
]
