"""Who is in the class: one line a student, an id and a name."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from controlkit.checking import normalise
from controlkit.units import InputError

_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}")
_ID_COLUMNS = ("id", "student id", "id number", "student number", "student", "user id", "username", "login", "number")
_NAME_COLUMNS = ("name", "full name", "student name")
_FIRST, _LAST = ("first name", "given name", "firstname"), ("last name", "family name", "surname", "lastname")
_LONGEST = 100


@dataclass(frozen=True)
class Student:
    """One student of a class.

    Parameters
    ----------
    id : str
        Under which all her files lie: letters, digits, dots, hyphens, underscores
    name : str
        As she types it; her case is drawn from it
    """

    id: str
    name: str


@dataclass(frozen=True)
class Roster:
    """Every student of a class.

    Parameters
    ----------
    students : tuple of Student
        In the order of the list

    Raises
    ------
    InputError
        If nobody is on it, an id cannot name a folder, or an id or a name stands there twice
    """

    students: tuple[Student, ...]

    def __post_init__(self) -> None:
        if not self.students:
            raise InputError(given="Nobody is on the list of the class.", do="Write one line a student: id,name.")
        ids: dict[str, int] = {}
        names: dict[str, int] = {}
        for line, one in enumerate(self.students, 1):
            if not _ID.fullmatch(one.id):
                raise InputError(
                    given=f"“{one.id[:40]}”, student {line} of the list, cannot be an id.",
                    allowed="An id is of letters, digits, dots, hyphens and underscores, and names a folder.",
                )
            said = normalise(one.name)
            if not said or len(one.name) > _LONGEST or any(ord(char) < 32 for char in one.name):
                raise InputError(given=f"Student {one.id} has no name that can be used.", do="Write it on the list.")
            for what, known, key in (("id", ids, one.id.casefold()), ("name", names, said)):
                if key in known:
                    raise InputError(
                        given=f"Students {known[key]} and {line} of the list have the same {what}, “{key}”.",
                        do="Give each student a line of her own; a name that two bear needs a mark, such as a year.",
                    )
                known[key] = line

    def __iter__(self) -> Iterator[Student]:
        return iter(self.students)

    def __len__(self) -> int:
        return len(self.students)

    def student(self, student_id: str) -> Student | None:
        """The student of an id; None if nobody on the list has it.

        Parameters
        ----------
        student_id : str
            Her id, capitals or not

        Returns
        -------
        Student or None
            As on the list
        """
        return next((one for one in self.students if one.id.casefold() == student_id.casefold()), None)

    def named(self, name: str) -> Student | None:
        """The student of a name; None if nobody on the list has it.

        Parameters
        ----------
        name : str
            As it was typed; capitals, blanks and the form of accents make no difference

        Returns
        -------
        Student or None
            As on the list
        """
        return next((one for one in self.students if normalise(one.name) == normalise(name)), None)

    def as_text(self) -> str:
        """The list as a table of two columns.

        Returns
        -------
        str
            CSV with a heading
        """
        out = io.StringIO()
        rows = csv.writer(out, lineterminator="\n")
        rows.writerow(("id", "name"))
        rows.writerows((one.id, one.name) for one in self.students)
        return out.getvalue()


def read_roster(path: Path | str) -> Roster:
    """Read the list of a class.

    Parameters
    ----------
    path : Path or str
        A table with a heading and columns for id and name (comma, semicolon or tab), as most learning platforms
        give it; or one name a line, which then get the ids s01, s02, ...

    Returns
    -------
    Roster
        Every student

    Raises
    ------
    InputError
        If it cannot be read, or `Roster` refuses it

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     list_of_class = Path(folder) / "class.csv"
    ...     _ = list_of_class.write_text("ID;Name\\na7;Ana Lima\\nb2;Bo Ek\\n")
    ...     [(one.id, one.name) for one in read_roster(list_of_class)]
    [('a7', 'Ana Lima'), ('b2', 'Bo Ek')]
    """
    try:
        text = Path(path).read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        raise InputError(
            given=f"The list {Path(path).name} is not there, or is no text in UTF-8.",
            do="Save it as CSV (UTF-8), and name it with its folder.",
        ) from None
    lines = [line for line in text.splitlines() if line.strip()]
    if not lines:
        return Roster(())
    separator = max(",;\t", key=lines[0].count)
    heading = [cell.strip().casefold() for cell in next(csv.reader([lines[0]], delimiter=separator))]
    place_id, place_name = _column(heading, _ID_COLUMNS), _column(heading, _NAME_COLUMNS)
    first, last = _column(heading, _FIRST), _column(heading, _LAST)
    if place_name is None and (first is None or last is None):
        if place_id is not None or len(heading) > 1:
            raise InputError(
                given=f"The heading of {Path(path).name} is: {lines[0][:80]}",
                do="It needs the columns id and name.",
            )
        names = [line.strip() for line in lines]
        digits = max(2, len(str(len(names))))
        return Roster(tuple(Student(f"s{place:0{digits}}", name) for place, name in enumerate(names, 1)))
    students = []
    digits = max(2, len(str(len(lines) - 1)))
    for place, row in enumerate(csv.reader(lines[1:], delimiter=separator), 1):
        name = _cell(row, place_name) if place_name is not None else f"{_cell(row, first)} {_cell(row, last)}"
        student_id = _cell(row, place_id) if place_id is not None else f"s{place:0{digits}}"
        students.append(Student(student_id, " ".join(name.split())))
    return Roster(tuple(students))


def _column(heading: Sequence[str], names: Sequence[str]) -> int | None:
    return next((heading.index(name) for name in names if name in heading), None)


def _cell(row: Sequence[str], place: int | None) -> str:
    return row[place].strip() if place is not None and place < len(row) else ""
