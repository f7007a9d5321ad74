"""Is an answer right: own cases, items, wrong ideas as models, one judging function, progress.

Nothing here draws, and nothing here knows a notebook or a class.
"""

from .bench import BenchReadings, read_bench
from .cases import Case, OneOf, Plan, Range, normalise
from .choice import Choice
from .diagnosis import Diagnosis
from .exercise import Exercise, OwnExercise
from .feedback import Feedback, Judgement
from .function import Function, Law, Ran, WrongFunction
from .handout import Handout, Table
from .items import Body, Criterion, Design, Graded, Quantity, Setting, Written
from .judging import judge
from .order import Order
from .progress import Progress
from .sheet import Sheet
from .wearers import body, own_wearer
from .wording import Statement
from .wrong import WrongIdea

__all__ = [
    "BenchReadings",
    "Body",
    "Case",
    "Choice",
    "Criterion",
    "Design",
    "Diagnosis",
    "Exercise",
    "Feedback",
    "Function",
    "Graded",
    "Handout",
    "Judgement",
    "Law",
    "OneOf",
    "Order",
    "OwnExercise",
    "Plan",
    "Progress",
    "Quantity",
    "Ran",
    "Range",
    "Setting",
    "Sheet",
    "Statement",
    "Table",
    "Written",
    "WrongFunction",
    "WrongIdea",
    "body",
    "judge",
    "normalise",
    "own_wearer",
    "read_bench",
]
