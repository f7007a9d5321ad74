"""One submission judged, item by item, as a student's own check would."""

from __future__ import annotations

import warnings
from collections.abc import Iterator

import numpy as np

from controlkit import __version__
from controlkit.checking import Case, Item, Judgement, KeptBack, Sheet, judge
from controlkit.checking.feedback import without_attempts
from controlkit.classroom.records import ItemMark, Marked, ReadAnswer, Submission
from controlkit.classroom.records.answers import Remark
from controlkit.classroom.records.marks import Noted

_NO_CASE = "This student's case is not there any more: hand the exercise out again, which draws it, then mark again."


def judged(
    sheet: Sheet, submission: Submission, case: Case, kept_back: KeptBack, *, digest: str, seen: tuple[Remark, ...] = ()
) -> Marked:
    """Judge everything that a student handed in of an exercise.

    Parameters
    ----------
    sheet : Sheet
        The exercise
    submission : Submission
        Her answers
    case : Case
        Her case, as it was handed out
    kept_back : KeptBack
        What the instructor keeps back
    digest : str
        By which the mark is known to be of these answers and this exercise
    seen : tuple of Remark
        What a look at the whole class found

    Returns
    -------
    Marked
        Points and words for every item. Points never depend on attempts
    """
    items = tuple(_judged(sheet, submission, case, kept_back))
    broken = [one.item for one in items if one.noted and one.noted[0].label == "not-judged"]
    told = Remark("not-judged", f"Could not be judged, look yourself: {', '.join(broken)}.")
    return Marked(
        exercise=sheet.name,
        student=submission.student,
        digest=digest,
        kit=__version__,
        items=items,
        remarks=(*submission.remarks, *seen, *((told,) if broken else ())),
    )


def unread(sheet: Sheet, submission: Submission, *, digest: str) -> Marked:
    """What a submission earns of which nothing was read, or whose case is missing: no points, and no nought either.

    Parameters
    ----------
    sheet : Sheet
        The exercise
    submission : Submission
        As it was handed in
    digest : str
        By which the mark is known to be of this submission

    Returns
    -------
    Marked
        Every item waits
    """
    answer = ReadAnswer("not read", why=submission.unread or _NO_CASE)
    items = tuple(_without_value(item, answer) for item in sheet.items)
    return Marked(
        exercise=sheet.name,
        student=submission.student,
        digest=digest,
        kit=__version__,
        items=items,
        remarks=submission.remarks,
    )


def _judged(sheet: Sheet, submission: Submission, case: Case, kept_back: KeptBack) -> Iterator[ItemMark]:
    earlier: dict[str, float] = {}
    for item in sheet.items:
        answer = submission.answers.get(item.name, ReadAnswer("blank"))
        if answer.awaited or answer.how in ("failed", "not read"):
            yield _without_value(item, answer)
            continue
        with warnings.catch_warnings(), np.errstate(all="ignore"):
            warnings.simplefilter("ignore")
            try:
                found = judge(sheet, item.name, answer.value, case, earlier=earlier, kept_back=kept_back)
            except Exception as trouble:  # noqa: BLE001 - one answer stops no class
                yield _broken(item, answer, trouble)
                continue
        if found.value is not None:
            earlier[item.name] = found.value
        yield _mark(item, answer, found)


def _mark(item: Item, answer: ReadAnswer, found: Judgement) -> ItemMark:
    return ItemMark(
        item=item.name,
        points=None if item.by_hand else found.points,
        out_of=item.points,
        by_hand=item.by_hand,
        how=answer.how,
        words=without_attempts(found.words),
        noted=tuple(Noted(one.label, one.kind, one.justification) for one in found.feedback),
        value=found.value,
    )


def _without_value(item: Item, answer: ReadAnswer) -> ItemMark:
    """What was not run or not read waits for a person; a cell that came to nothing earns nothing."""
    lost = 0.0 if answer.how == "failed" else None
    return ItemMark(
        item=item.name,
        points=None if item.by_hand else lost,
        out_of=item.points,
        by_hand=item.by_hand,
        how=answer.how,
        words=f"{item.called}: {answer.why}",
        noted=(Noted(answer.how.replace(" ", "-"), "unreadable", answer.why),),
    )


def _broken(item: Item, answer: ReadAnswer, trouble: Exception) -> ItemMark:
    words = f"{item.called}: this answer could not be judged. Your instructor looks at it."
    noted = (Noted("not-judged", "unreadable", type(trouble).__name__),)
    return ItemMark(item=item.name, points=None, out_of=item.points, how=answer.how, words=words, noted=noted)
