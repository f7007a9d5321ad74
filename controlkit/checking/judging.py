"""The one judging function: from an answer and a case to points and words.

It is pure. A check in the notebook prints its words, a score returns its points, and a class is
graded with it outside the notebook; so the three cannot disagree. Points never depend on attempts.
How an answer of one kind is judged stands with that kind, in `items`.
"""

from __future__ import annotations

from typing import Any

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Judgement
from controlkit.checking.items.base import KeptBack, Question
from controlkit.checking.items.wrong import Earlier
from controlkit.checking.student.sheet import Sheet


def judge(
    sheet: Sheet,
    name: str,
    answer: Any,
    case: Case,
    *,
    earlier: Earlier | None = None,
    attempt: int = 1,
    kept_back: KeptBack | None = None,
) -> Judgement:
    """Judge one answer to one item.

    Parameters
    ----------
    sheet : Sheet
        The exercise
    name : str
        Name of the item
    answer : object
        Whatever the student's variable holds
    case : Case
        The student's case
    earlier : mapping, optional
        The student's own earlier answers, each in the unit of its item
    attempt : int
        Which attempt this is, from 1: chooses hints, never points [-]
    kept_back : KeptBack, optional
        What the instructor keeps back

    Returns
    -------
    Judgement
        Points and what to say

    Raises
    ------
    InputError
        If the exercise has no item of that name
    """
    item = sheet.item(name)
    question = Question(
        case=case,
        ideas=sheet.about(item),
        right=sheet.right,
        answer=answer,
        earlier=sheet.carried(earlier or {}, case),
        attempt=attempt,
        kept_back=kept_back.items.get(name) if kept_back is not None else None,
    )
    judged = item.judge(question)
    assert 0 <= judged.points <= judged.out_of
    return judged
