"""Each student's case: drawn once from the roster, kept in the class folder, and never drawn again."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from controlkit import __version__
from controlkit.checking import Case, Sheet, normalise
from controlkit.classroom.records import ClassFolder
from controlkit.classroom.records.roster import Student
from controlkit.executors import carry_out
from controlkit.units import InputError

EVERY = 20
"""After so many new cases they are kept, so that a run that is stopped goes on from there [-]."""


@dataclass(frozen=True)
class Drawn:
    """The cases of an exercise in a class.

    Parameters
    ----------
    cases : dict of str to Case
        By student
    new : int
        How many were drawn in this run [-]
    renamed : tuple of Student
        Whose name on the roster is no longer the one that her case was drawn from; the case stays
    """

    cases: dict[str, Case]
    new: int
    renamed: tuple[Student, ...]


def draw_cases(
    folder: ClassFolder,
    exercise: str,
    *,
    executor: Executor | None = None,
    told: Callable[[int, int], None] | None = None,
) -> Drawn:
    """Draw the case of every student who has none yet.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise
    executor : Executor, optional
        Where cases are drawn; a process for each core if left out
    told : callable, optional
        Hears how many are drawn, and of how many

    Returns
    -------
    Drawn
        All of them. They are kept on disk, so that a newer package redraws nothing

    Raises
    ------
    InputError
        If the exercise is not there, or finds no case for a name
    """
    folder.sheet(exercise)
    cases = folder.cases(exercise)
    waiting = [student for student in folder.roster if student.id not in cases]
    tasks = [(str(folder.path), exercise, student.id, student.name) for student in waiting]

    def keep(drawn: tuple[str, Case]) -> None:
        cases[drawn[0]] = drawn[1]
        if len(cases) % EVERY == 0:
            folder.keep_cases(exercise, cases, __version__)

    carry_out(
        _drawn,
        tasks,
        keep=keep,
        executor=executor,
        first=lambda: _sheet(str(folder.path), exercise),
        told=told,
        before=len(cases),
    )
    if tasks:
        folder.keep_cases(exercise, cases, __version__)
    renamed = tuple(
        student
        for student in folder.roster
        if student.id in cases and cases[student.id].seed not in (normalise(student.name), normalise(student.id))
    )
    return Drawn(cases, len(tasks), renamed)


def _drawn(task: tuple[str, str, str, str]) -> tuple[str, Case]:
    folder, exercise, student_id, name = task
    return student_id, _sheet(folder, exercise).own_case(name)


@cache
def _sheet(folder: str, exercise: str) -> Sheet:
    return ClassFolder(Path(folder)).sheet(exercise)


def need_cases(folder: ClassFolder, exercise: str) -> dict[str, Case]:
    """The cases of an exercise that was handed out.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise

    Returns
    -------
    dict of str to Case
        By student

    Raises
    ------
    InputError
        If it was not
    """
    cases = folder.cases(exercise)
    if not cases:
        raise InputError(
            given=f"Exercise {exercise} was not handed out, so that nobody has a case.",
            do=f"Hand it out first: controlkit class hand-out {exercise}",
        )
    return cases
