"""The folder of one class: where what lies, and what is kept there as data."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from controlkit.checking import Case, KeptBack, Sheet
from controlkit.classroom.begin import module_of
from controlkit.classroom.private import private
from controlkit.classroom.records.answers import Submission
from controlkit.classroom.records.kept import keep, kept
from controlkit.classroom.records.marks import Marked
from controlkit.classroom.records.roster import Roster, read_roster
from controlkit.units import InputError

ROSTER = "roster.csv"

FROM_EXCHANGE = ("timestamp.txt", "submission_secret.txt")
"""What nbgrader's exchange lays beside a notebook: when it was submitted, and by what its feedback is found."""


@dataclass(frozen=True)
class ClassFolder:
    """A class folder that is there.

    Parameters
    ----------
    path : Path
        The folder

    Raises
    ------
    InputError
        If it is none
    """

    path: Path

    def __post_init__(self) -> None:
        if not (self.path / "nbgrader_config.py").is_file() or not (self.path / "solutions").is_dir():
            raise InputError(
                given=f"{self.path.name} is no class folder.",
                do="Go into the folder that controlkit class new made, or make one.",
            )

    @cached_property
    def roster(self) -> Roster:
        """Who is in the class; read anew in every run.

        Returns
        -------
        Roster
            Every student
        """
        if not (self.path / ROSTER).is_file():
            raise InputError(given="This class has no list of students.", do=f"Write one line a student in {ROSTER}.")
        return read_roster(self.path / ROSTER)

    @property
    def exercises(self) -> tuple[str, ...]:
        """Every exercise whose source lies here.

        Returns
        -------
        tuple of str
            Their names, sorted
        """
        return tuple(sorted(path.parent.name for path in self.path.glob("solutions/*/*.ipynb")))

    def own(self, exercise: str) -> bool:
        """Whether an exercise is the class's own, and not one of the package.

        Parameters
        ----------
        exercise : str
            Its name

        Returns
        -------
        bool
            Whether its items stand in a file beside its notebook
        """
        return (self.path / "solutions" / exercise / f"{exercise}.py").is_file()

    def sheet(self, exercise: str) -> Sheet:
        """An exercise as judging knows it: of the package, or a file of the class's own.

        Parameters
        ----------
        exercise : str
            Its name

        Returns
        -------
        Sheet
            The exercise

        Raises
        ------
        InputError
            If there is none of that name
        """
        if exercise not in self.exercises:
            raise InputError(
                given=f"There is no exercise {exercise} in solutions/.",
                allowed=f"There are: {', '.join(self.exercises)}.",
            )
        found: Sheet = module_of(exercise, self.path).exercise
        return found

    def kept_back(self, exercise: str) -> KeptBack:
        """What is kept back of an exercise.

        Parameters
        ----------
        exercise : str
            Its name

        Returns
        -------
        KeptBack
            Unseen inputs, other bodies
        """
        return private(exercise, self.path)

    def cases(self, exercise: str) -> dict[str, Case]:
        """The cases that were handed out.

        Parameters
        ----------
        exercise : str
            Its name

        Returns
        -------
        dict of str to Case
            By student; empty if it was not handed out
        """
        found = kept(self._cases(exercise)) or {"cases": {}}
        return {
            student: Case(exercise, one["seed"], one["draw"], one["values"]) for student, one in found["cases"].items()
        }

    def keep_cases(self, exercise: str, cases: dict[str, Case], kit: str) -> None:
        """Keep the cases that are handed out.

        Parameters
        ----------
        exercise : str
            Its name
        cases : dict of str to Case
            By student
        kit : str
            Version of the package that drew them
        """
        drawn = {
            student: {"seed": case.seed, "draw": case.draw, "values": case.as_data()} for student, case in cases.items()
        }
        keep(self._cases(exercise), {"exercise": exercise, "kit": kit, "cases": drawn})

    def _cases(self, exercise: str) -> Path:
        return self.path / "cases" / f"{exercise}.json"

    def submission(self, exercise: str, student: str) -> Submission | None:
        """What a student handed in, as data; None if nothing.

        Parameters
        ----------
        exercise, student : str
            Name and id

        Returns
        -------
        Submission or None
            The last one taken in
        """
        found = kept(self.path / "answers" / exercise / f"{student}.json")
        return None if found is None else Submission.from_data(found)

    def keep_submission(self, one: Submission) -> None:
        """Keep what a student handed in.

        Parameters
        ----------
        one : Submission
            It replaces the one before, which is kept under its number
        """
        path = self.path / "answers" / one.exercise / f"{one.student}.json"
        before: Any = kept(path)
        if before is not None and before["attempt"] != one.attempt:
            keep(path.parent / "earlier" / f"{one.student}-{before['attempt']}.json", before)
        keep(path, one.as_data())

    def submissions(self, exercise: str) -> Iterator[Submission]:
        """Everything that was handed in of an exercise, in the order of the roster.

        Parameters
        ----------
        exercise : str
            Its name

        Yields
        ------
        Submission
            The last one of each student
        """
        for student in self.roster:
            found = self.submission(exercise, student.id)
            if found is not None:
                yield found

    def marked(self, exercise: str, student: str) -> Marked | None:
        """What a submission earned; None if it was not marked yet.

        Parameters
        ----------
        exercise, student : str
            Name and id

        Returns
        -------
        Marked or None
            Of the last run
        """
        found = kept(self.path / "marks" / exercise / f"{student}.json")
        return None if found is None else Marked.from_data(found)

    def keep_marked(self, one: Marked) -> None:
        """Keep what a submission earned.

        Parameters
        ----------
        one : Marked
            It replaces the one before
        """
        keep(self.path / "marks" / one.exercise / f"{one.student}.json", one.as_data())
