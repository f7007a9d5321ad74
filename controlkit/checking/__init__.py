"""Is an answer right: own cases, items, wrong ideas as models, one judging function, progress.

Nothing here draws, and nothing here knows a notebook or a class.
"""

from controlkit.checking.case.cases import Case, OneOf, Plan, Range, normalise
from controlkit.checking.case.wearers import body, own_wearer
from controlkit.checking.feedback import Feedback, Judgement
from controlkit.checking.items.base import Given, Item, KeptBack, Question
from controlkit.checking.items.choice import Choice
from controlkit.checking.items.design import Body, Criterion, Design, OtherBodies, Setting, read_settings
from controlkit.checking.items.diagnosis import Diagnosis
from controlkit.checking.items.formula import Formula, WrongFormula
from controlkit.checking.items.function import Function, WrongFunction
from controlkit.checking.items.laws import Law
from controlkit.checking.items.order import Order
from controlkit.checking.items.quantity import Quantity
from controlkit.checking.items.running import Ran
from controlkit.checking.items.written import Written
from controlkit.checking.items.wrong import WrongIdea
from controlkit.checking.judging import judge
from controlkit.checking.student.exercise import Exercise, OwnExercise
from controlkit.checking.student.progress import Progress
from controlkit.checking.student.sealed import OwnSealed, sealed
from controlkit.checking.student.sheet import Sheet
from controlkit.checking.wording import Statement

__all__ = [
    "Body",
    "Case",
    "Choice",
    "Criterion",
    "Design",
    "Diagnosis",
    "Exercise",
    "Feedback",
    "Formula",
    "Function",
    "Given",
    "Item",
    "Judgement",
    "KeptBack",
    "Law",
    "OneOf",
    "Order",
    "OtherBodies",
    "OwnExercise",
    "OwnSealed",
    "Plan",
    "Progress",
    "Quantity",
    "Question",
    "Ran",
    "Range",
    "Setting",
    "Sheet",
    "Statement",
    "Written",
    "WrongFormula",
    "WrongFunction",
    "WrongIdea",
    "body",
    "judge",
    "normalise",
    "own_wearer",
    "read_settings",
    "sealed",
]
