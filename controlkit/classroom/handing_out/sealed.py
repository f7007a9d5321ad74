"""A sealed hand-out, for assessment: each student's folder holds her questions, and nothing of what is right."""

from __future__ import annotations

import json
from collections.abc import Collection
from pathlib import Path
from typing import Any

from controlkit.checking import Exercise
from controlkit.checking.student.sealed_case import seal, sealed_name
from controlkit.classroom.handing_out.cases import need_cases
from controlkit.classroom.handing_out.sealed_words import sealed_words
from controlkit.classroom.records import ClassFolder
from controlkit.classroom.records.kept import keep, keep_text
from controlkit.units import InputError

CASE_CELL = "case"
"""Id of the cell that brings the exercise into the notebook: the only program text that differs from an open one."""

FOLDER = "handed-out"
"""Where the students' folders lie, in the class folder."""


def hand_out_sealed(folder: ClassFolder, exercise: str, *, students: Collection[str] | None = None) -> list[Path]:
    """Write each student's own folder of an exercise.

    Parameters
    ----------
    folder : ClassFolder
        The class; the exercise is released in it, and its cases are drawn
    exercise : str
        Name of the exercise
    students : collection of str, optional
        Ids of those for whom; everybody who has a case if left out

    Returns
    -------
    list of Path
        ``handed-out/ID/EXERCISE`` of each, in the order of the roster: the notebook and one file of data, and nothing
        else, whatever lies beside the released notebook

    Raises
    ------
    InputError
        If the exercise is not released, a student has no case, or the exercise cannot be handed out so

    Notes
    -----
    The notebook is the released one, with one cell of program text changed, and with what its text cells say of
    checks worded as it holds for sealed ones. In the data are the worded case, what is asked, and how
    answers are read: words in the order in which the student sees them, units, names. Right answers, wrong ideas,
    hints, worked steps, criteria, reference designs and the values of the case stay in the class folder.

    What that hides depends on the exercise. The twelve of the course ship with the package, which students have:
    whoever looks finds what is right in it (``exercise.right(case)``), sealed or not. An exercise of the class's
    own, whose file lies in its ``solutions/``, is really sealed, as long as these folders are handed out and not
    ``release/EXERCISE``, which holds that file too. What its tables and questions say, students read in either case.
    """
    sheet, cases = folder.sheet(exercise), need_cases(folder, exercise)
    if not isinstance(sheet, Exercise):
        raise InputError(given=f"{exercise} has nothing to show.", do="Let its file define an Exercise.")
    page = _released(folder, exercise)
    wanted = [one for one in folder.roster if (one.id in cases if students is None else one.id in students)]
    unknown = sorted(set(students or ()) - {one.id for one in wanted})
    without = [one.id for one in wanted if one.id not in cases]
    if unknown or without:
        raise InputError(
            given=f"There is no case of {exercise} for {', '.join(unknown + without)}.",
            do="Draw the cases first, for students that are on the list of the class.",
        )
    written = []
    for student in wanted:
        target = folder.path / FOLDER / student.id / exercise
        own = seal(sheet, cases[student.id], student=student.id, name=student.name).as_data()
        keep(target / sealed_name(exercise), own)
        keep_text(target / f"{exercise}.ipynb", page)
        written.append(target)
    return written


def is_sealed(folder: ClassFolder, exercise: str) -> bool:
    """Whether anybody was handed out an exercise sealed.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise

    Returns
    -------
    bool
        Then cells that compute must not see its file either: it would tell them the right answers
    """
    return any((folder.path / FOLDER).glob(f"*/{exercise}/{sealed_name(exercise)}"))


def _released(folder: ClassFolder, exercise: str) -> str:
    """The released notebook with another cell that brings the exercise, and with words that hold for a sealed one."""
    path = folder.path / "release" / exercise / f"{exercise}.ipynb"
    try:
        page: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        (cell,) = (one for one in page["cells"] if one["metadata"]["nbgrader"]["grade_id"] == CASE_CELL)
    except FileNotFoundError:
        raise InputError(given=f"Exercise {exercise} is not released.", do="Release it first.") from None
    except (KeyError, TypeError, ValueError):
        raise InputError(
            given=f"The released notebook of {exercise} is damaged, or lacks its cell “{CASE_CELL}”.",
            do="Release it anew. Leave the ids of cells as they are.",
        ) from None
    lines = f'from controlkit.checking import sealed\n\nmine = sealed("{exercise}", name)\nmine.show()'
    cell["source"] = lines.splitlines(keepends=True)
    for text in page["cells"]:
        if text["cell_type"] == "markdown":
            text["source"] = sealed_words("".join(text["source"])).splitlines(keepends=True)
    return json.dumps(page, indent=1, ensure_ascii=False) + "\n"
