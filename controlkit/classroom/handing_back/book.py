"""nbgrader's gradebook as it lies in a class folder: opened, and read for what a person marked by hand."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from controlkit.classroom.records.class_folder import ClassFolder
from controlkit.classroom.stock import make_ready

BOOK = "gradebook.db"
BLANK = "No response."
"""What nbgrader notes beside an empty answer: its words, and nobody's comment."""
CHECK = "t-"
"""With this the id of a cell begins that checks an answer; the rest is the name of the item."""


@dataclass(frozen=True, kw_only=True)
class HandMark:
    """What a person did with one item of one student.

    Parameters
    ----------
    points : float or None
        Points given by hand; None if none were [-]
    extra : float
        Extra points [-]
    needed : bool
        Whether a person is still asked to look
    comment : str
        What she wrote
    """

    points: float | None = None
    extra: float = 0.0
    needed: bool = False
    comment: str = ""


def item_of(cell: str) -> str:
    """The item that a cell of the notebook belongs to.

    Parameters
    ----------
    cell : str
        Its id, such as "t-reach" or "why"

    Returns
    -------
    str
        Name of the item

    Examples
    --------
    >>> item_of("t-reach"), item_of("why")
    ('reach', 'why')
    """
    return cell.removeprefix(CHECK)


def opened(folder: Path) -> Any:
    """The gradebook of a class folder, by nbgrader's own interface.

    Parameters
    ----------
    folder : Path
        The class folder

    Returns
    -------
    Gradebook
        To be used in a `with`
    """
    make_ready()
    from nbgrader.api import Gradebook

    return Gradebook(f"sqlite:///{(folder / BOOK).resolve()}")


def marks_in_gradebook(folder: ClassFolder, exercise: str) -> dict[str, dict[str, HandMark]]:
    """What persons have marked of an exercise.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise

    Returns
    -------
    dict of str to dict
        Student and item to what was done; empty without a gradebook
    """
    if not (folder.path / BOOK).is_file():
        return {}
    from nbgrader.api import Assignment, BaseCell, Comment, Grade, SubmittedAssignment, SubmittedNotebook

    found: dict[str, dict[str, HandMark]] = {}
    with opened(folder.path) as book:
        for sort, columns in (
            (Comment, (Comment.manual_comment,)),
            (Grade, (Grade.manual_score, Grade.extra_credit, Grade.needs_manual_grade)),
        ):
            rows = (
                book.db.query(SubmittedAssignment.student_id, BaseCell.name, *columns)
                .select_from(sort)
                .join(BaseCell, sort.cell_id == BaseCell.id)
                .join(SubmittedNotebook, sort.notebook_id == SubmittedNotebook.id)
                .join(SubmittedAssignment, SubmittedNotebook.assignment_id == SubmittedAssignment.id)
                .join(Assignment, SubmittedAssignment.assignment_id == Assignment.id)
                .filter(Assignment.name == exercise)
            )
            for student, cell, *values in rows:
                marks = found.setdefault(student, {})
                item = item_of(cell)
                comment = marks[item].comment if item in marks else ""
                if sort is Comment:
                    marks[item] = HandMark(comment=values[0] or "")
                else:
                    points, extra, needed = values
                    marks[item] = HandMark(points=points, extra=extra or 0.0, needed=bool(needed), comment=comment)
    return found
