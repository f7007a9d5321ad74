"""Feedback: nbgrader's own command for a whole class, several students at a time, past whatever goes wrong."""

from __future__ import annotations

import contextlib
import io
import logging
import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from controlkit.classroom.records.class_folder import ClassFolder
from controlkit.classroom.stock import make_ready
from controlkit.executors import SetApart, carry_out

TEMPLATES = Path(__file__).resolve().parent / "templates"
"""Pages that take the place of nbgrader's, or of parts of them."""

_NO_MARKS = "nothing is marked"
_AT_ONCE = 8


@dataclass(frozen=True)
class HandedBack:
    """Who got feedback.

    Parameters
    ----------
    pages : tuple of (str, Path)
        Id of a student, and her page
    without : tuple of (str, str)
        Id of a student, and why she got none
    """

    pages: tuple[tuple[str, Path], ...] = ()
    without: tuple[tuple[str, str], ...] = ()


def hand_back(
    folder: ClassFolder, exercise: str, *, done: Callable[[str], None] | None = None, processes: int | None = None
) -> HandedBack:
    """Make the feedback page of each student, as ``nbgrader generate_feedback --force`` does.

    Parameters
    ----------
    folder : ClassFolder
        The class; marks are entered in its gradebook
    exercise : str
        Name of the exercise
    done : callable, optional
        Told the id of each student who is done, page or not
    processes : int, optional
        How many students at a time; as many as there are cores if left out [-]

    Returns
    -------
    HandedBack
        Everybody on the roster, once

    Notes
    -----
    nbgrader is loaded once in each process, and not at all where nothing is marked. A page that cannot be made
    stops no other.
    """
    folder.sheet(exercise)  # says which there are, if there is none of that name
    ready, without = [], []
    for student in folder.roster:
        there = folder.path / "autograded" / student.id / exercise / f"{exercise}.ipynb"
        if there.is_file():
            ready.append(student.id)
        else:
            why = "nothing was handed in" if folder.submission(exercise, student.id) is None else _NO_MARKS
            without.append((student.id, why))
            if done is not None:
                done(student.id)
    at_once = processes or os.cpu_count() or 1
    why_not = _converted(folder.path, exercise, ready, done=done, processes=at_once) if ready else {}
    pages = []
    for student_id in ready:
        page = folder.path / "feedback" / student_id / exercise / f"{exercise}.html"
        if not why_not.get(student_id) and page.is_file():
            pages.append((student_id, page))
        else:
            without.append((student_id, why_not.get(student_id) or "nbgrader made no page"))
    order = {student.id: place for place, student in enumerate(folder.roster)}
    return HandedBack(tuple(pages), tuple(sorted(without, key=lambda one: order[one[0]])))


def _converted(
    folder: Path, exercise: str, students: Sequence[str], *, done: Callable[[str], None] | None, processes: int
) -> dict[str, str]:
    """Each student, and why she has no page; empty where she has one."""
    why: dict[str, str] = {}

    def keep(made: tuple[str, str]) -> None:
        student, why[student] = made[0], made[1]
        if done is not None:
            done(student)

    apart = SetApart(begin=_begin, given=(str(folder), exercise), lost=_lost, most=min(processes, _AT_ONCE))
    carry_out(_page, students, keep=keep, apart=apart)
    return why


def _lost(student: str) -> tuple[str, str]:
    return student, "the program that makes the page was ended"


_app: Any = None


def _begin(folder: str, exercise: str) -> None:
    """Load nbgrader with the configuration of the class."""
    global _app
    os.chdir(folder)
    make_ready()
    from nbgrader.apps import GenerateFeedbackApp

    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        _app = GenerateFeedbackApp()
        _app.initialize([exercise, "--force"])
    _app.coursedir.assignment_id = exercise
    _app.log.setLevel(logging.CRITICAL)


def _page(student: str) -> tuple[str, str]:
    """Make one page; whose, and why not, if not."""
    from nbgrader.converters import GenerateFeedback

    _app.coursedir.student_id = student
    kept: list[str] = []

    class Keep(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            kept.append(record.getMessage())

    handler = Keep(logging.ERROR)
    _app.log.addHandler(handler)
    _app.log.setLevel(logging.ERROR)
    try:
        with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
            GenerateFeedback(coursedir=_app.coursedir, parent=_app).start()
    except (Exception, SystemExit) as trouble:  # noqa: BLE001 - whatever it is, the next student gets her page
        last = [row.strip() for said in kept for row in said.splitlines() if row.strip() and "Traceback" not in row]
        cause = next((row for row in reversed(last) if "Error" in row.split(":")[0]), str(trouble))
        return student, cause[:300] or type(trouble).__name__
    finally:
        _app.log.removeHandler(handler)
    return student, ""
