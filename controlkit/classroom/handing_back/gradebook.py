"""Marks into nbgrader's gradebook; what a person marked or wrote there is never touched."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from controlkit.classroom.handing_back.book import BLANK, CHECK, item_of
from controlkit.classroom.handing_back.standing import is_blank
from controlkit.classroom.records.harmless import for_gradebook
from controlkit.classroom.records.marks import ItemMark, Marked
from controlkit.classroom.records.roster import Student

_PARTICLES = frozenset(
    {"al", "bin", "da", "de", "del", "della", "den", "der", "di", "dos", "du", "el", "ibn", "la", "le", "ten", "ter"}
    | {"van", "von", "zu"}
)


@dataclass(frozen=True, kw_only=True)
class GradeEntry:
    """One student's marks for the gradebook.

    Parameters
    ----------
    marked : Marked
        What the submission earned
    handed_in : str
        When, ISO 8601; empty if that is not known
    changed : collection of str
        Items whose answer is another one than a person may have seen
    """

    marked: Marked
    handed_in: str = ""
    changed: Collection[str] = frozenset()


def first_and_last(name: str) -> tuple[str | None, str]:
    """A name in the two parts that a gradebook sorts by.

    Parameters
    ----------
    name : str
        As on the roster: "Ana Lima" or "Lima, Ana"

    Returns
    -------
    tuple of (str or None, str)
        First and last name, harmless; no first where there is one word only

    Examples
    --------
    >>> first_and_last("Ana Lima"), first_and_last("Lima, Ana"), first_and_last("Jan van der Berg")
    (('Ana', 'Lima'), ('Ana', 'Lima'), ('Jan', 'van der Berg'))
    """
    last, comma, first = name.partition(",")
    if not comma:
        words = name.split()
        at = len(words) - 1
        while at > 1 and words[at - 1].casefold() in _PARTICLES:
            at -= 1
        first, last = " ".join(words[:at]), " ".join(words[at:])
    return for_gradebook(first) or None, for_gradebook(last)


def write(book: Any, exercise: str, *, students: Iterable[Student], entries: Iterable[GradeEntry]) -> None:
    """Write students and marks, all or nothing.

    Parameters
    ----------
    book : Gradebook
        nbgrader's, open; the exercise is in it
    exercise : str
        Name of the exercise
    students : iterable of Student
        Everybody on the roster
    entries : iterable of GradeEntry
        Every submission that is marked

    Notes
    -----
    A grade that a person gave stays, and so does her comment. She is asked to look again only if the answer, or
    what the checks make of it, is no longer what she saw.
    """
    from nbgrader.api import Student as InBook
    from nbgrader.api import SubmittedAssignment

    assignment = book.find_assignment(exercise)
    known = {one.id: one for one in book.db.query(InBook)}
    for student in students:
        first, last = first_and_last(student.name)
        if student.id not in known:
            known[student.id] = InBook(id=student.id)
            book.db.add(known[student.id])
        known[student.id].first_name, known[student.id].last_name = first, last
    book.db.flush()
    there = {one.student_id: one for one in assignment.submissions}
    with book.db.no_autoflush:
        for entry in entries:
            student_id = entry.marked.student
            if student_id not in there:
                there[student_id] = SubmittedAssignment(assignment_id=assignment.id, student_id=student_id)
                book.db.add(there[student_id])
            submission = there[student_id]
            if (when := _when(entry.handed_in)) is not None:
                submission.timestamp = when
            for notebook in assignment.notebooks:
                _notebook(submission, notebook, entry)
    book.db.commit()


def _notebook(submission: Any, notebook: Any, entry: GradeEntry) -> None:
    """Every grade and every comment of one notebook that was handed in."""
    from nbgrader.api import Comment, Grade, SubmittedNotebook

    marks = {one.item: one for one in entry.marked.items}
    held = next((one for one in submission.notebooks if one.notebook_id == notebook.id), None)
    if held is None:
        held = SubmittedNotebook(notebook_id=notebook.id)
        submission.notebooks.append(held)
    grades = {one.cell_id: one for one in held.grades}
    for cell in notebook.grade_cells:
        if cell.id not in grades:
            grades[cell.id] = Grade(cell_id=cell.id, needs_manual_grade=True)
            held.grades.append(grades[cell.id])
        mark = marks.get(item_of(cell.name))
        if mark is not None and mark.by_hand != cell.name.startswith(CHECK):
            _grade(grades[cell.id], mark, changed=mark.item in entry.changed)
    comments = {one.cell_id: one for one in held.comments}
    for cell in notebook.solution_cells:
        if cell.id not in comments:
            comments[cell.id] = Comment(cell_id=cell.id)
            held.comments.append(comments[cell.id])
        mark = marks.get(cell.name)
        comments[cell.id].auto_comment = None if mark is None else BLANK if is_blank(mark) else _unread(mark)


def _unread(mark: ItemMark) -> str | None:
    """What stands beside an answer that nobody could read."""
    return f"Not read. {mark.noted[0].because}" if mark.how == "not read" else None


def _grade(grade: Any, mark: ItemMark, *, changed: bool) -> None:
    """One grade: what the checks give, and whether a person is asked to look."""
    if mark.by_hand:
        given = 0.0 if is_blank(mark) else None
    else:
        given = None if mark.points is None else min(max(float(mark.points), 0.0), float(mark.out_of))
    other = changed or (grade.manual_score is not None and grade.auto_score != given)
    grade.auto_score = given
    if grade.manual_score is None:
        grade.needs_manual_grade = given is None
    elif other:
        grade.needs_manual_grade = True


def _when(handed_in: str) -> datetime | None:
    """A moment as the gradebook keeps it: in UTC, without saying so."""
    try:
        moment = datetime.fromisoformat(handed_in)
    except ValueError:
        return None
    return moment.astimezone(UTC).replace(tzinfo=None) if moment.tzinfo else moment
