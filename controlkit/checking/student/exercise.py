"""An exercise in the hands of one student: show the case, check an answer, score it, step through it."""

from __future__ import annotations

import os
import warnings
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from types import FunctionType
from typing import Any

import numpy as np

from controlkit import __version__
from controlkit.checking.case.cases import Case
from controlkit.checking.case.names import class_id as id_beside
from controlkit.checking.case.names import not_listed, other_spelling
from controlkit.checking.feedback import Judgement
from controlkit.checking.items.base import KeptBack
from controlkit.checking.judging import judge
from controlkit.checking.reading import MOST_PARTS, is_blank, plain
from controlkit.checking.student.handed_out import with_worked_steps
from controlkit.checking.student.progress import Progress
from controlkit.checking.student.python_slips import listen
from controlkit.checking.student.sheet import Sheet
from controlkit.tables import Handout, Table
from controlkit.units import InputError


@dataclass(frozen=True)
class Exercise(Sheet):
    """An exercise that can be called with a name.

    Parameters
    ----------
    name : str
        Name of the exercise, also of its folder and its file
    title : str
        For the student
    plan : Plan
        How cases are drawn
    items : tuple
        What is asked, in order
    ideas : tuple of WrongIdea
        Known wrong ideas
    present : callable
        From a case, the parts of the handout that shows it
    worked : mapping
        Item to a function from the case to its worked steps

    Notes
    -----
    In a notebook: ``mine = exercise("Zoë Marsh")``, then ``mine.show()``.
    """

    present: Callable[[Case], tuple[str | Table, ...]] = field(default_factory=lambda: lambda _: ())
    worked: Mapping[str, Callable[[Case], str]] = field(default_factory=dict)

    def __call__(self, name: Any, class_id: str | None = None) -> OwnExercise:
        """This exercise with a student's own case.

        Parameters
        ----------
        name : str
            The student's name, as typed
        class_id : str, optional
            The student's id in the class; replaces the name as the seed

        Returns
        -------
        OwnExercise
            Never fails: without a usable name it says what to do
        """
        return OwnExercise(self, name, class_id)


class OwnExercise:
    """One student's exercise.

    Parameters
    ----------
    sheet : Exercise
        The exercise
    name : object
        What the student typed for her name
    class_id : str, optional
        Her id in the class; else a file ``class-id.txt`` beside the notebook; else the name counts
    """

    def __init__(self, sheet: Exercise, name: Any, class_id: str | None = None) -> None:
        self._sheet = sheet
        self._case: Case | None = None
        self._name = self._spelling = ""
        self._answers: dict[str, float] = {}
        self._before: dict[str, Any] = {}
        grading = "NBGRADER_EXECUTION" in os.environ
        self._progress = Progress(None if grading else Path.cwd())
        if not grading:
            listen([item.name for item in sheet.items])
        given = plain(name)
        if type(given) is not str or is_blank(given):
            wrong = "" if is_blank(given) else " A name is a text: it stands between quotes."
            self._nameless = (
                f"Your name is needed first.{wrong} Write it in the cell above, then run that cell and this."
            )
            return
        self._name = given.strip()
        own_id = class_id or id_beside(Path.cwd())
        if not own_id and not grading and (unknown := not_listed(given, Path.cwd())):
            self._nameless = unknown
            return
        with _quiet():
            try:
                self._case = sheet.own_case(own_id or given)
            except InputError as trouble:
                self._nameless = str(trouble)
                return
        before = self._progress.names(sheet.name)
        if not own_id and self._case.seed not in before and (other := other_spelling(given, before)):
            self._spelling = (
                f"This exercise was worked here before as “{other}”. Another spelling is another case: if that was "
                "you, type your name as you did then."
            )
            self._progress.notes.append(self._spelling)

    @property
    def case(self) -> Case | None:
        """The student's own case.

        Returns
        -------
        Case or None
            None as long as there is no name
        """
        return self._case

    def show(self) -> Handout:
        """The student's own case, as tables.

        Returns
        -------
        Handout
            HTML in a notebook, text elsewhere
        """
        if self._case is None:
            return Handout(self._sheet.title, (self._nameless,))
        rows = tuple((item.name, f"{item.points:g}", item.asked(self._case)) for item in self._sheet.items)
        asked = Table("What is asked", ("item", "points", "what"), rows)
        said = (self._spelling,) if self._spelling else ()
        parts = (*said, *self._sheet.present(self._case), asked)
        return Handout(f"{self._sheet.title}: the case of {self._name}", parts)

    def check(self, item: str, answer: Any = None) -> None:
        """Say whether an answer is right, and if not, ask something useful. Never fails, never tells the answer.

        Parameters
        ----------
        item : str
            Name of the item
        answer : object
            The student's answer
        """
        try:
            for line in self._check(item, answer):
                print(line)
        except Exception:  # noqa: BLE001 - a student must never meet a trace
            print(
                "This answer could not be judged, and that does not count as an attempt. "
                "Please check how it is written; if it looks right to you, tell your instructor."
            )

    def score(self, item: str, answer: Any = None, kept_back: KeptBack | None = None) -> float:
        """Points for an answer: the same judging as `check`, whatever was attempted before.

        Parameters
        ----------
        item : str
            Name of the item
        answer : object
            The student's answer
        kept_back : KeptBack, optional
            What the instructor keeps back

        Returns
        -------
        float
            A plain number from 0 to the points of the item [-]
        """
        if self._case is None:
            return 0.0
        return float(self._judge(item, answer, 1, kept_back).points)

    def worked_steps(self, item: str | None = None) -> None:
        """Print the worked steps for the student's own case, once she has attempted the item.

        Parameters
        ----------
        item : str, optional
            Name of the item; without it, every item that was attempted
        """
        if self._case is None:
            print(self._nameless)
            return
        if not self._sheet.worked or not with_worked_steps(Path.cwd()):
            print("This exercise was handed out without worked steps. Your instructor has them.")
            return
        wanted = list(self._sheet.worked) if item is None else [str(plain(item))]
        told = False
        for name in wanted:
            if name not in self._sheet.worked:
                print(f'There are no worked steps for "{name}". There are some for {", ".join(self._sheet.worked)}.')
                told = True
            elif self._attempts(name):
                with _quiet():
                    print(f"{name}\n{self._sheet.worked[name](self._case)}\n")
                told = True
            elif item is not None:
                print(f"{name}: the worked steps open after your first attempt. Check a value first.")
                told = True
        if not told:
            print("The worked steps of an item open after your first attempt at it. Check a value first.")

    def record(self) -> dict[str, Any]:
        """What is handed back beside the answers: the case and the version of the kit, as plain data.

        Returns
        -------
        dict
            Numbers, texts, and dicts of them
        """
        return {
            "exercise": self._sheet.name,
            "kit_version": __version__,
            "name": self._name,
            "seed": self._case.seed if self._case else None,
            "case": self._case.as_data() if self._case else None,
            "answers": dict(self._answers),
        }

    def _check(self, item: Any, answer: Any) -> list[str]:
        if self._case is None:
            return [self._nameless]
        name = plain(item)
        try:
            wanted = self._sheet.item(name if type(name) is str else "?")
        except InputError as trouble:
            return [str(trouble)]
        seen = _as_seen(answer)
        again = name in self._before and self._before[name] == seen
        attempt = max(1, self._attempts(name) + (0 if again else 1))
        judged = self._judge(name, answer, attempt, None)
        if judged.costs_attempt and not again:
            self._progress.add(self._sheet.name, self._case.seed, judged)
        self._before[name] = seen
        said = [judged.words]
        if not wanted.by_hand and judged.feedback[0].kind not in ("blank", "unreadable", "impossible"):
            said.append(f"  So far {judged.points:g} of {judged.out_of:g} points.")
        notes, self._progress.notes = self._progress.notes, []
        return said + notes

    def _judge(self, item: str, answer: Any, attempt: int, kept_back: KeptBack | None) -> Judgement:
        assert self._case is not None
        with _quiet():
            judged = judge(
                self._sheet, item, answer, self._case, earlier=self._answers, attempt=attempt, kept_back=kept_back
            )
        if judged.value is not None:
            self._answers[item] = judged.value
        else:
            self._answers.pop(item, None)
        return judged

    def _attempts(self, item: str) -> int:
        assert self._case is not None
        return self._progress.attempts(self._sheet.name, self._case.seed, item)


def _as_seen(answer: Any) -> Any:
    """An answer in a form that can be compared with the one before."""
    kind = type(answer)
    if issubclass(kind, dict):
        return {key: plain(value) for key, value in dict.items(answer) if type(key) is str}
    if kind is list or kind is tuple:
        return [plain(part) for part in answer[:MOST_PARTS]]
    return answer.__code__ if kind is FunctionType else plain(answer)


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep warnings off the page: in a graded cell any of them would cost the marks."""
    with warnings.catch_warnings(), np.errstate(all="ignore"):
        warnings.simplefilter("ignore")
        yield
