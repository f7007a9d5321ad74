"""The one judging function: from an answer and a case to points and words.

It is pure. A check in the notebook prints its words, a score returns its points, and a class is
graded with it outside the notebook; so the three cannot disagree. Points never depend on attempts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import singledispatch
from typing import Any

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement, with_hint
from controlkit.checking.items.choice import Choice, judge_choice
from controlkit.checking.items.design_judged import judge_design
from controlkit.checking.items.diagnosis import Diagnosis, judge_diagnosis
from controlkit.checking.items.function import Function, judge_function
from controlkit.checking.items.order import Order, judge_order
from controlkit.checking.items.quantity import Design, Graded, Quantity, Written
from controlkit.checking.items.wrong import Earlier
from controlkit.checking.reading import UNIT_WORDS, is_blank, plain, read_answer, slips
from controlkit.checking.student.sheet import Sheet

SLIP_SHARE = 0.5
"""Share of the points for the right size with the wrong unit or the wrong sign [-]."""


def judge(
    sheet: Sheet,
    name: str,
    answer: Any,
    case: Case,
    *,
    earlier: Earlier | None = None,
    attempt: int = 1,
    graded: Graded | None = None,
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
    graded : Graded, optional
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
    judged = _judge(sheet.item(name), _Question(sheet, answer, case, earlier or {}, attempt, graded))
    assert 0 <= judged.points <= judged.out_of
    return judged


@dataclass(frozen=True)
class _Question:
    """Everything that is known when one answer is judged; see `judge`."""

    sheet: Sheet
    answer: Any
    case: Case
    earlier: Earlier
    attempt: int
    graded: Graded | None


@singledispatch
def _judge(item: object, question: _Question) -> Judgement:
    raise TypeError(f"no judging of {question.sheet.name} is known for items of the sort {type(item).__name__}")


@_judge.register
def _(item: Written, question: _Question) -> Judgement:
    lines = "\n".join(f"  {points:g} point{'s' if points != 1 else ''}: {text}" for points, text in item.rubric)
    said = f"{item.name}: a person reads this answer, along these lines:\n{lines}"
    if is_blank(plain(question.answer)):
        return Judgement(item.name, 0.0, item.points, (Feedback("blank", "blank", said, "no answer"),))
    return Judgement(item.name, 0.0, item.points, (Feedback("written", "review", said, "marked by rubric"),))


@_judge.register
def _(item: Design, question: _Question) -> Judgement:
    return judge_design(item, question.answer, question.case, question.graded)


@_judge.register
def _(item: Choice, question: _Question) -> Judgement:
    return judge_choice(item, question.answer, question.case, question.attempt)


@_judge.register
def _(item: Order, question: _Question) -> Judgement:
    return judge_order(item, question.answer, question.case, question.attempt)


@_judge.register
def _(item: Diagnosis, question: _Question) -> Judgement:
    return judge_diagnosis(item, question.answer, question.case, question.attempt)


@_judge.register
def _(item: Function, question: _Question) -> Judgement:
    unseen = None if question.graded is None else question.graded.inputs.get(item.name)
    return judge_function(item, question.answer, question.case, question.attempt, unseen)


@_judge.register
def _(item: Quantity, question: _Question) -> Judgement:
    reading = read_answer(question.answer, item.kind, item.unit, item.name)
    if reading.value is None:
        assert reading.trouble is not None
        return Judgement(item.name, 0.0, item.points, (reading.trouble,))
    share, notes = _quantity(item, reading.value, question)
    return Judgement(item.name, share * item.points, item.points, notes, reading.value)


def _quantity(item: Quantity, value: float, question: _Question) -> tuple[float, tuple[Feedback, ...]]:
    """Share of the points and what to say for a value in the unit of the item."""
    sheet, case, attempt = question.sheet, question.case, question.attempt
    truth = sheet.right(case)
    right = truth[item.name]
    if abs(value - right) <= item.tolerance(right, right):
        return 1.0, (Feedback("right", "right", f"{item.name}: yes, that is right.", "the right answer"),)

    own = _own_earlier(item, sheet, question.earlier, truth)
    if own is not None:
        carried = float(item.right(case, own))
        if abs(value - carried) <= item.tolerance(carried, carried):
            said = (
                f"{item.name}: yes, it follows from your own {item.follows}. "
                f"That earlier value still needs work; when you change it, change this one too."
            )
            return 1.0, (Feedback("right-from-own", "right", said, f"right from the student's own {item.follows}"),)

    # Known wrong ideas, on the right earlier value and on her own.
    for basis in (truth, own):
        if basis is None:
            continue
        for idea in sheet.about(item):
            if any(abs(value - wrong) <= item.tolerance(wrong, right) for wrong in idea.values(case, basis)):
                note = Feedback(idea.label, "idea", f"{item.name}: not yet. {idea.ask}", idea.held_because)
                return idea.share, with_hint(note, item.hints, attempt - 1)

    slip = _slip(item, value, right)
    if slip is not None:
        return SLIP_SHARE, (slip,)
    return 0.0, with_hint(_by_size(item, value, right), item.hints, attempt)


def _own_earlier(item: Quantity, sheet: Sheet, earlier: Earlier, truth: Mapping[str, float]) -> dict[str, float] | None:
    """The earlier answers with the student's own value, where it can be carried forward."""
    if not item.follows or item.follows not in earlier:
        return None
    before = sheet.item(item.follows)
    own = earlier[item.follows]
    if not isinstance(before, Quantity) or not before.credible[0] <= own <= before.credible[1]:
        return None
    return {**truth, item.follows: own}


def _slip(item: Quantity, value: float, right: float) -> Feedback | None:
    """The right size with another unit or the other sign."""
    tolerance = item.tolerance(right, right)
    if abs(value + right) <= tolerance:
        said = (
            f"{item.name}: the size is right, the sign is not. {_convention(right)} This does not count as an attempt."
        )
        return Feedback("other-sign", "sign", said, "the right size with the other sign")
    for unit, factor, number_right in slips(item.kind, item.unit):
        if abs(value - right * factor) <= item.tolerance(right * factor, right):
            wrote, meant = (unit, item.unit) if number_right else (item.unit, unit)
            said = (
                f"{item.name}: the size is right, the unit is not. Your number looks like one in "
                f"{UNIT_WORDS[meant]}, and it was read as {UNIT_WORDS[wrote]}."
            )
            return Feedback(f"unit:{unit}", "unit", said, f"right size: {meant} given as {wrote}")
    return None


def _convention(right: float) -> str:
    """Which sign an item takes, and what to type."""
    if right >= 0:
        return "Here it counts as positive: type it without the minus sign."
    return "Here it counts as negative: type a minus sign before it."


def _by_size(item: Quantity, value: float, right: float) -> Feedback:
    """How a value that matches nothing known differs from the right one."""
    if value * right < 0:
        said = f"not yet. The sign is the wrong way round, and the size does not fit either. {_convention(right)}"
        return Feedback("sign-and-size", "size", f"{item.name}: {said}", "other sign, other size")
    much = abs(value) > abs(right)
    if abs(value - right) <= 5 * item.tolerance(right, right):
        said = f"close, but a little too {'large' if much else 'small'}. Keep every digit until the last step."
        return Feedback("close", "size", f"{item.name}: {said}", "within five tolerances")
    far = abs(value) > 2 * abs(right) or 2 * abs(value) < abs(right)
    said = f"not yet. Your value is {'far ' if far else ''}too {'large' if much else 'small'}."
    return Feedback("too-large" if much else "too-small", "size", f"{item.name}: {said}", "matches no known idea")
