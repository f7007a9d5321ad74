"""A table of marks: one line a student, every student of the roster, ready for a spreadsheet or a learning platform."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from controlkit.checking import Sheet
from controlkit.classroom.handing_back.standing import ItemStanding, StudentStanding, standings
from controlkit.classroom.handing_back.told import moment_called
from controlkit.classroom.records.class_folder import ClassFolder
from controlkit.classroom.records.harmless import for_table
from controlkit.classroom.records.kept import keep_bytes


def export_marks(folder: ClassFolder, exercise: str, to: Path | None = None) -> Path:
    """Write the table of marks of one exercise.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise
    to : Path, optional
        Where; ``reports/ex03-marks.csv`` of the class folder if left out

    Returns
    -------
    Path
        The file

    Raises
    ------
    InputError
        If there is no such exercise, or no roster

    Notes
    -----
    ``id``, ``name`` and ``total`` are what a learning platform asks for. A total stands there only once every item
    is settled, so that an unread answer is never uploaded as nought; ``waits for`` says what is missing.
    """
    path = to or folder.path / "reports" / f"{exercise}-marks.csv"
    text = marks_as_text(folder.sheet(exercise), standings(folder, exercise))
    keep_bytes(path, text.encode("utf-8-sig"))  # by the mark at its head a spreadsheet knows that it is UTF-8
    return path


def marks_as_text(sheet: Sheet, class_: tuple[StudentStanding, ...]) -> str:
    """The table of marks.

    Parameters
    ----------
    sheet : Sheet
        The exercise
    class_ : tuple of StudentStanding
        One a student

    Returns
    -------
    str
        CSV, every cell in quotes
    """
    out = io.StringIO()
    rows = csv.writer(out, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    items = [f"{item.name} (of {item.points:g})" for item in sheet.items]
    settled = ("by checks", "by hand", "handed in", "late", "attempt", "remarks")
    rows.writerow(("id", "name", "total", "out of", "waits for", *items, *settled))
    for one in class_:
        rows.writerow([for_table(cell) for cell in _row(sheet, one)])
    return out.getvalue()


def _row(sheet: Sheet, one: StudentStanding) -> list[str]:
    by_name = {item.mark.item: item for item in one.items}
    handed = one.submission
    return [
        one.student.id,
        one.student.name,
        _number(one.total),
        _number(sum(item.points for item in sheet.items)),
        one.says,
        *(_cell(by_name.get(item.name)) for item in sheet.items),
        _by_checks(one),
        _by_hand(one),
        moment_called(handed.handed_in) if handed else "",
        ("late" if handed.late else "") if handed else "",
        str(handed.attempt) if handed else "",
        " ".join(remark.says for remark in one.remarks),
    ]


def _by_checks(one: StudentStanding) -> str:
    if one.unread:
        return "not read"
    return _number(one.by_checks) if one.items else ""


def _by_hand(one: StudentStanding) -> str:
    if one.unread:
        return "not read"
    written = [item for item in one.items if item.mark.by_hand]
    if any(item.points is None for item in written):
        return "not yet read"
    return _number(sum(item.points or 0.0 for item in written)) if written else ""


def _cell(item: ItemStanding | None) -> str:
    if item is None:
        return ""
    return item.state if item.points is None else _number(item.points)


def _number(points: float | None) -> str:
    return "" if points is None else f"{round(points, 2):g}"
