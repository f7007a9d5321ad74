"""A small class with submissions and marks, as taking in and marking write them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from controlkit import __version__
from controlkit.checking import Item, judge
from controlkit.classroom import make_class
from controlkit.classroom.records import ClassFolder, ItemMark, Marked, ReadAnswer, Roster, Student, Submission
from controlkit.classroom.records.answers import Remark
from controlkit.classroom.records.marks import Noted
from tests.checking.hands import ROOT, Hands

NAMES = {
    "s01": "Ana Lima",
    "s02": "Bo Ek",
    "s03": "Zoë van der Berg",
    "s04": "Ines, Okoye",
    "s05": "<script>window.hit=1</script>",
    "s06": "=HYPERLINK(0) Jo",
    "s07": "Mo\x7f Ito",
    "s08": "Nothing Yet",
}


def new_class(folder: Path, names: Mapping[str, str] = NAMES) -> ClassFolder:
    """A class folder with a roster and nothing handed out."""
    made = make_class(folder, ROOT)
    roster = Roster(tuple(Student(student, name) for student, name in names.items()))
    (made / "roster.csv").write_text(roster.as_text(), encoding="utf-8")
    return ClassFolder(made)


def hand_out(folder: ClassFolder, hands: Hands) -> None:
    """Draw and keep everybody's case."""
    cases = {one.id: hands.exercise.own_case(one.name) for one in folder.roster}
    folder.keep_cases(hands.name, cases, __version__)


def take_in(
    folder: ClassFolder, hands: Hands, student: str, answers: Mapping[str, Any], **more: Any
) -> tuple[Submission, Marked]:
    """Keep what a student handed in, and what it earns; an item that is not named is blank."""
    submission = submitted(folder, hands, student, answers, **more)
    marked = marked_by_checks(folder, hands, submission)
    folder.keep_submission(submission)
    folder.keep_marked(marked)
    return submission, marked


def submitted(folder: ClassFolder, hands: Hands, student: str, answers: Mapping[str, Any], **more: Any) -> Submission:
    """The record of a notebook in which these values were typed."""
    read = {item.name: _answer(answers.get(item.name, ...)) for item in hands.exercise.items}
    sources = {item.name: _source(item, answers.get(item.name, ...)) for item in hands.exercise.items}
    said = json.dumps({name: one.says for name, one in read.items()})
    whose = folder.roster.student(student)
    assert whose is not None
    told = {"name": whose.name, "kit": __version__, "handed_in": "2026-03-02T10:30:00+01:00", **more}
    told["sources"] = {**sources, **more.get("sources", {})}
    return Submission(
        exercise=hands.name,
        student=student,
        answers={**read, **more.get("read", {})},
        file=f"{hands.name}.ipynb",
        digest=hashlib.sha256(said.encode()).hexdigest(),
        **{key: value for key, value in told.items() if key != "read"},
    )


def marked_by_checks(folder: ClassFolder, hands: Hands, submission: Submission) -> Marked:
    """What a submission earns, by the one judging function."""
    case = folder.cases(hands.name)[submission.student]
    earlier: dict[str, float] = {}
    marks = []
    for item in hands.exercise.items:
        answer = submission.answers[item.name]
        if answer.awaited:
            marks.append(ItemMark(item=item.name, points=None, out_of=item.points, how=answer.how, words=answer.why))
            continue
        judged = judge(hands.exercise, item.name, answer.value, case, earlier=earlier, kept_back=hands.kept_back)
        if judged.value is not None:
            earlier[item.name] = judged.value
        marks.append(
            ItemMark(
                item=item.name,
                points=None if item.by_hand else judged.points,
                out_of=item.points,
                by_hand=item.by_hand,
                how=answer.how,
                words=judged.words,
                noted=tuple(Noted(one.label, one.kind, one.justification) for one in judged.feedback),
                value=judged.value,
            )
        )
    return Marked(
        exercise=hands.name,
        student=submission.student,
        digest=submission.digest,
        kit=__version__,
        items=tuple(marks),
    )


def not_run(folder: ClassFolder, exercise: str, student: str, item: str) -> None:
    """Say of an item that its cell was not run here."""
    marked = folder.marked(exercise, student)
    assert marked is not None
    items = tuple(
        replace(one, points=None, how="not run", words="", noted=()) if one.item == item else one
        for one in marked.items
    )
    folder.keep_marked(replace(marked, items=items))


def remark(folder: ClassFolder, exercise: str, student: str, *remarks: Remark) -> None:
    """Add remarks to what was marked."""
    marked = folder.marked(exercise, student)
    assert marked is not None
    folder.keep_marked(replace(marked, remarks=marked.remarks + remarks))


def _answer(value: Any) -> ReadAnswer:
    return ReadAnswer("blank") if value is ... else ReadAnswer("typed", repr(value))


def _source(item: Item, value: Any) -> str:
    if value is ...:
        return item.stub()
    if item.by_hand:
        return f'{item.name} = """\n{value}\n"""'
    return f"{item.name} = {value!r}"
