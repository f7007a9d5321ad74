"""Mark a class: every submission judged once, in several processes; stopped anywhere, it goes on from there."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from controlkit.checking import Case, KeptBack, Sheet
from controlkit.classroom.marking.alike import alike
from controlkit.classroom.marking.judging import judged
from controlkit.classroom.marking.simulated import PACKAGE, of_files, remembering
from controlkit.classroom.processes import each, processes
from controlkit.classroom.records import ClassFolder, Marked, Submission
from controlkit.classroom.records.answers import Remark
from controlkit.units import InputError

SIMULATED = ".simulated"
"""Folder of a class in which results of designs are kept."""


@dataclass(frozen=True)
class ClassMarked:
    """What a run came to.

    Parameters
    ----------
    marked : tuple of Marked
        Everybody's, in the order of the roster
    judged : int
        How many were judged in this run; the others were judged before, and nothing has changed [-]
    """

    marked: tuple[Marked, ...]
    judged: int


@dataclass(frozen=True)
class Task:
    """One submission to judge, as plain data: it can be sent to another process.

    Parameters
    ----------
    folder : str
        The class folder
    exercise, program : str
        Name of the exercise, and fingerprint of all that judges it
    submission, case : mapping
        As plain data
    seen : tuple
        Remarks of a look at the whole class
    digest : str
        Of all of it
    """

    folder: str
    exercise: str
    program: str
    submission: Mapping[str, Any]
    case: Mapping[str, Any]
    seen: tuple[Remark, ...]
    digest: str


def mark(
    folder: ClassFolder,
    exercise: str,
    *,
    executor: Executor | None = None,
    told: Callable[[int, int], None] | None = None,
) -> ClassMarked:
    """Mark what was taken in of an exercise.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise
    executor : Executor, optional
        Where submissions are judged; a process for each core if left out
    told : callable, optional
        Hears how many are done, and of how many

    Returns
    -------
    ClassMarked
        Marks, which are on disk too, each as soon as it was made

    Raises
    ------
    InputError
        If nothing was taken in
    """
    sheet, cases = folder.sheet(exercise), folder.cases(exercise)
    submissions = list(folder.submissions(exercise))
    if not submissions:
        raise InputError(
            given=f"Nothing of {exercise} was taken in yet.",
            do=f"Take in first: controlkit class take-in {exercise} FOLDER",
        )
    seen = alike(sheet, cases, submissions)
    program = _program(folder, exercise)
    tasks = [_task(folder, one, cases, program=program, seen=seen.get(one.student, ())) for one in submissions]
    waiting = [one for one in tasks if _digest_before(folder, one) != one.digest]
    count, done = len(tasks), len(tasks) - len(waiting)
    if told is not None:
        told(done, count)
    with processes(len(waiting), executor, first=lambda: _exercise(str(folder.path), exercise, program)) as where:
        for found in each(where, judge_task, waiting):
            folder.keep_marked(found)
            done += 1
            if told is not None:
                told(done, count)
    marked = [folder.marked(exercise, one.student) for one in submissions]
    return ClassMarked(tuple(one for one in marked if one is not None), len(waiting))


def _digest_before(folder: ClassFolder, task: Task) -> str:
    try:
        before = folder.marked(task.exercise, str(task.submission["student"]))
    except (ValueError, KeyError, TypeError):  # changed by hand: judged again
        return ""
    return before.digest if before is not None else ""


def _program(folder: ClassFolder, exercise: str) -> str:
    """A fingerprint of all that judges an exercise: the package, and the files of the class's own."""
    own = folder.path / "solutions"
    return of_files(PACKAGE, own / f"{exercise}_graded.py", *sorted((own / exercise).glob("*.py")))


def _task(
    folder: ClassFolder, one: Submission, cases: Mapping[str, Case], *, program: str, seen: tuple[Remark, ...]
) -> Task:
    case = cases.get(one.student)
    drawn = {} if case is None else {"seed": case.seed, "draw": case.draw, "values": case.as_data()}
    submission = one.as_data()
    text = json.dumps([submission, drawn, program, [remark.says for remark in seen]], sort_keys=True)
    digest = hashlib.sha256(text.encode("utf-8", "backslashreplace")).hexdigest()
    return Task(
        folder=str(folder.path),
        exercise=one.exercise,
        program=program,
        submission=submission,
        case=drawn,
        seen=seen,
        digest=digest,
    )


def judge_task(task: Task) -> Marked:
    """Judge one submission: the same in any process that can see the class folder.

    Parameters
    ----------
    task : Task
        What to judge

    Returns
    -------
    Marked
        Points and words
    """
    sheet, kept_back = _exercise(task.folder, task.exercise, task.program)
    submission = Submission.from_data(task.submission)
    if not task.case:  # she has no case yet: nothing can be judged, and the remark says so
        return Marked(
            exercise=task.exercise,
            student=submission.student,
            digest=task.digest,
            kit="",
            items=(),
            remarks=submission.remarks,
        )
    case = Case(task.exercise, task.case["seed"], task.case["draw"], task.case["values"])
    return judged(sheet, submission, case, kept_back, digest=task.digest, seen=task.seen)


@cache
def _exercise(folder: str, exercise: str, program: str) -> tuple[Sheet, KeptBack]:  # noqa: ARG001 - loaded anew
    own = ClassFolder(Path(folder))
    return remembering(own.sheet(exercise), own.path / SIMULATED / exercise), own.kept_back(exercise)
