"""Mark a class: every submission judged once, in several processes; stopped anywhere, it goes on from there."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from controlkit.checking import Case, KeptBack, Sheet
from controlkit.classroom.marking.ahead import simulate_ahead
from controlkit.classroom.marking.alike import alike
from controlkit.classroom.marking.judging import judged, unread
from controlkit.classroom.marking.simulated import remembering
from controlkit.classroom.records import ClassFolder, Marked, Submission
from controlkit.classroom.records.answers import Remark
from controlkit.executors import carry_out
from controlkit.executors.program import PACKAGE, of_files
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
        How many were judged in this run; the others were judged before, and nothing has changed, or could not be
        read [-]
    simulated : int
        How many designs an executor simulated for it [-]
    """

    marked: tuple[Marked, ...]
    judged: int
    simulated: int = 0


@dataclass(frozen=True)
class Task:
    """One submission to judge: it can be sent to another process.

    Parameters
    ----------
    folder : str
        The class folder
    exercise, program : str
        Name of the exercise, and fingerprint of all that judges it
    submission : Submission
        Her answers
    case : Case or None
        As it was handed out; None if she has none yet
    seen : tuple
        Remarks of a look at the whole class
    digest : str
        Of all of it
    """

    folder: str
    exercise: str
    program: str
    submission: Submission
    case: Case | None
    seen: tuple[Remark, ...]
    digest: str


def mark(
    folder: ClassFolder,
    exercise: str,
    *,
    executor: Executor | None = None,
    told: Callable[[int, int], None] | None = None,
    told_designs: Callable[[int, int], None] | None = None,
) -> ClassMarked:
    """Mark what was taken in of an exercise.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise
    executor : Executor, optional
        Who simulates designs before they are judged, such as a `Cluster` of other machines. Judging stays here, in a
        process for each core; without it, designs are simulated there too
    told, told_designs : callable, optional
        Hears how many are judged, or simulated before that, and of how many

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
    ahead = 0
    if executor is not None and not folder.own(exercise):
        work = [(one.submission, one.case) for one in waiting if one.case is not None]
        store, kept_back = folder.path / SIMULATED / exercise, folder.kept_back(exercise)
        ahead = simulate_ahead(sheet, work, kept_back, store=store, executor=executor, told=told_designs)
    carry_out(
        judge_task,
        waiting,
        keep=folder.keep_marked,
        first=None if executor is not None else lambda: _exercise(str(folder.path), exercise, program),
        told=told,
        before=len(tasks) - len(waiting),
    )
    marked = [folder.marked(exercise, one.student) for one in submissions]
    now = sum(one.case is not None and not one.submission.unread for one in waiting)
    return ClassMarked(tuple(one for one in marked if one is not None), now, ahead)


def _digest_before(folder: ClassFolder, task: Task) -> str:
    try:
        before = folder.marked(task.exercise, task.submission.student)
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
    drawn = None if case is None else case.as_data()
    text = json.dumps([one.as_data(), drawn, program, [remark.says for remark in seen]], sort_keys=True)
    digest = hashlib.sha256(text.encode("utf-8", "backslashreplace")).hexdigest()
    return Task(
        folder=str(folder.path),
        exercise=one.exercise,
        program=program,
        submission=one,
        case=case,
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
    if task.case is None:  # nothing can be judged without it, and every item says so
        return unread(sheet, task.submission, digest=task.digest)
    return judged(sheet, task.submission, task.case, kept_back, digest=task.digest, seen=task.seen)


@cache
def _exercise(folder: str, exercise: str, program: str) -> tuple[Sheet, KeptBack]:  # noqa: ARG001 - loaded anew
    own = ClassFolder(Path(folder))
    return remembering(own.sheet(exercise), own.path / SIMULATED / exercise), own.kept_back(exercise)
