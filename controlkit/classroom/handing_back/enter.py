"""Marks entered where nbgrader looks for them: its gradebook, and the notebook that its form and feedback show."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from controlkit.checking import Case, Sheet
from controlkit.classroom.handing_back.autograded import autograded, cell_id, sources_in
from controlkit.classroom.handing_back.book import BOOK, opened
from controlkit.classroom.handing_back.gradebook import GradeEntry, write
from controlkit.classroom.records.class_folder import FROM_EXCHANGE, ClassFolder
from controlkit.classroom.records.kept import keep_bytes, keep_text
from controlkit.classroom.records.marks import Marked
from controlkit.classroom.release import release
from controlkit.tables import Handout

_LONGEST_BESIDE = 1000
"""A longer one is none of the exchange's [bytes]."""


def enter_marks(folder: ClassFolder, exercise: str, *, done: Callable[[str], None] | None = None) -> list[str]:
    """Enter every mark of an exercise into nbgrader's gradebook, and lay the notebooks for its form and feedback.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise; what was handed in is marked
    done : callable, optional
        Told the id of each student whose notebook lies there

    Returns
    -------
    list of str
        Ids of the students whose marks were entered

    Raises
    ------
    InputError
        If there is no such exercise, or nbgrader refuses to release it

    Notes
    -----
    May be called as often as wanted: a grade or a comment that a person gave stays. Where her answer was replaced
    since, or the checks say something else, the grade stays too and nbgrader's form asks for another look.
    """
    sheet = folder.sheet(exercise)
    released = _released(folder, exercise)
    cases = folder.cases(exercise)
    entries: list[GradeEntry] = []
    pages: list[tuple[str, Path, str]] = []
    for student in folder.roster:
        marked, submission = folder.marked(exercise, student.id), folder.submission(exercise, student.id)
        if marked is None or submission is None:
            continue
        handouts = _handouts(sheet, cases.get(student.id))
        page = autograded(released, submission, marked, name=student.name, handouts=handouts)
        path = folder.path / "autograded" / student.id / exercise / f"{exercise}.ipynb"
        entries.append(GradeEntry(marked=marked, handed_in=submission.handed_in, changed=_changed(page, path, marked)))
        text = json.dumps(page, indent=1, ensure_ascii=False) + "\n"
        pages.append((student.id, path, text))
    with opened(folder.path) as book:
        write(book, exercise, students=folder.roster, entries=entries)
    for student_id, path, text in pages:  # the gradebook first: what was seen before is only known from the old page
        if not path.is_file() or path.read_text(encoding="utf-8", errors="replace") != text:
            keep_text(path, text)
        _for_exchange(folder.path / "submitted" / student_id / exercise, path.parent)
        if done is not None:
            done(student_id)
    return [student_id for student_id, _, _ in pages]


def _for_exchange(submitted: Path, beside: Path) -> None:
    """What came with a submission out of nbgrader's exchange, by which feedback finds its way back, laid beside it."""
    for name in FROM_EXCHANGE:
        there = submitted / name
        if there.is_symlink() or not there.is_file() or there.stat().st_size > _LONGEST_BESIDE:
            continue
        content = there.read_bytes()
        if not (beside / name).is_file() or (beside / name).read_bytes() != content:
            keep_bytes(beside / name, content)


def _released(folder: ClassFolder, exercise: str) -> dict[str, Any]:
    """The notebook that was handed out; made, and known to the gradebook, if it is not yet."""
    path = folder.path / "release" / exercise / f"{exercise}.ipynb"
    if not path.is_file() or not _known(folder, exercise):
        release(folder.path, [exercise], folder.path / "release")
    found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return found


def _known(folder: ClassFolder, exercise: str) -> bool:
    if not (folder.path / BOOK).is_file():
        return False
    with opened(folder.path) as book:
        from nbgrader.api import Assignment

        found = book.db.query(Assignment).filter(Assignment.name == exercise).first()
        return found is not None and any(one.name == exercise for one in found.notebooks)


def _changed(page: Mapping[str, Any], path: Path, marked: Marked) -> frozenset[str]:
    """Items whose answer is not the one that lay there before; all of them where none did."""
    before = sources_in(path)
    now = {cell_id(cell): cell["source"] for cell in page["cells"]}
    names = [one.item for one in marked.items]
    if before is None:
        return frozenset(names)
    return frozenset(name for name in names if _text(now.get(name)) != before.get(name))


def _text(source: Any) -> str | None:
    return "".join(source) if isinstance(source, list) else source


def _handouts(sheet: Sheet, case: Case | None) -> dict[str, str]:
    """What the cells of the kit showed a student, as text: who marks her words needs her numbers."""
    present = getattr(sheet, "present", None)
    if case is None or present is None:
        return {}
    parts = present(case)
    shown = {"case": _as_text(part for part in parts if not getattr(part, "about", ()))}
    for item in sheet.items:
        tables = [part for part in parts if item.name in getattr(part, "about", ())]
        shown[f"given-{item.name}"] = _as_text([*tables, f"Variable: {item.asked(case)}."])
    return shown


def _as_text(parts: Any) -> str:
    return repr(Handout("", tuple(parts))).strip()
