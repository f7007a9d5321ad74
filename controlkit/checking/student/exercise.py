"""An exercise in the hands of one student: show the case, check an answer, score it, step through it."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from controlkit import __version__
from controlkit.checking.case.cases import Case, case_number
from controlkit.checking.case.names import class_id as id_beside
from controlkit.checking.case.names import not_listed, other_spelling
from controlkit.checking.feedback import FREE, Judgement, Kind
from controlkit.checking.items.base import Item, KeptBack
from controlkit.checking.judging import judge
from controlkit.checking.reading import is_blank, plain
from controlkit.checking.student.handed_out import with_worked_steps
from controlkit.checking.student.page import about, beside, first_page, quiet, wrapped
from controlkit.checking.student.progress import Progress
from controlkit.checking.student.python_slips import listen
from controlkit.checking.student.receipt import Done, Receipt, as_seen, as_typed, written
from controlkit.checking.student.sheet import Sheet
from controlkit.checking.student.siblings import Siblings, Worked
from controlkit.tables import Fold, Handout, Table
from controlkit.units import InputError

ASIDE: frozenset[Kind] = FREE - {"blank", "review"}
"""Kinds of answers that do not count: the answer before them stands."""


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
        From a case, the parts of the handout that shows it; a table that is `about` items stands beside these
    worked : mapping
        Item to its worked steps: a function from a case, or words that hold for every case

    Notes
    -----
    In a notebook: ``mine = exercise("Zoë Marsh")``, then ``mine.show()``.
    """

    present: Callable[[Case], tuple[str | Table, ...]] = field(default_factory=lambda: lambda _: ())
    worked: Mapping[str, Worked] = field(default_factory=dict)

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
        self._name = self._spelling = self._review = ""
        self._answers: dict[str, float] = {}
        self._before: dict[str, Any] = {}
        self._seen: set[str] = set()
        self._aside: set[str] = set()
        self._done: dict[str, tuple[float | None, str]] = {}
        self._basis: dict[str, float | None] = {}
        self._siblings: Siblings | None = None
        self._grading = grading = "NBGRADER_EXECUTION" in os.environ
        self._progress = Progress(
            None if grading else Path.cwd(),
            asked={sheet.name: [(item.name, item.points, item.by_hand) for item in sheet.items]},
        )
        listen([item.name for item in sheet.items])
        given = plain(name)
        if type(given) is not str or is_blank(given):
            wrong = "" if is_blank(given) else " A name is a text: it stands between quotes."
            self._nameless = (
                f"Your name is needed first.{wrong} Write it in the cell above, then run that cell and this."
            )
            return
        if any("\ud800" <= char <= "\udfff" for char in given):
            self._nameless = "Your name holds a character that is none. Type it anew in the cell above, then run it."
            return
        self._name = given.strip()
        own_id = class_id or id_beside(Path.cwd())
        unknown = "" if own_id else not_listed(given, Path.cwd())
        if unknown and not grading:
            self._nameless = unknown
            return
        self._review = f"Needs review: {unknown.split('. ')[0]}." if unknown else ""
        with quiet():
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
        """Whose case it is, and what is asked in short.

        Returns
        -------
        Handout
            HTML in a notebook, text elsewhere
        """
        if self._case is None:
            return Handout(self._sheet.title, (self._nameless,))
        said = tuple(one for one in (self._review, self._spelling) if one)
        parts = first_page(self._sheet, self._case)
        return Handout(f"{self._sheet.title}: the case of {self._name}", (*said, *parts))

    def given(self, item: str) -> Handout:
        """What one item asks, and the tables that it needs.

        Parameters
        ----------
        item : str
            Name of the item

        Returns
        -------
        Handout
            HTML in a notebook, text elsewhere
        """
        if self._case is None:
            return Handout(self._sheet.title, (self._nameless,))
        try:
            wanted = self._sheet.item(str(plain(item)))
        except InputError as trouble:
            return Handout(self._sheet.title, (str(trouble),))
        return Handout(f"Given to you, {self._name}", beside(self._sheet, wanted, self._case))

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
            said, missed = self._check(item, answer)
            for line in said:
                print(wrapped(line))
            if missed:
                self._offer(missed)
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
        try:
            return float(self._judge(item, answer, 1, kept_back).points)
        except Exception:  # noqa: BLE001 - as a check: what cannot be judged earns nothing
            return 0.0

    def steps(self, item: str | None = None) -> Handout:
        """Worked steps, open once an item was attempted: on a like case, with its own numbers.

        Parameters
        ----------
        item : str, optional
            Name of the item; without it, every item that was attempted

        Returns
        -------
        Handout
            HTML in a notebook, text elsewhere
        """
        title = "Worked steps"
        if self._case is None:
            return Handout(title, (self._nameless,))
        if not self._sheet.worked or not with_worked_steps(Path.cwd()):
            return Handout(title, ("This exercise was handed out without worked steps. Your instructor has them.",))
        name = "" if item is None else str(plain(item))
        if name and name not in self._sheet.worked:
            there = ", ".join(self._sheet.worked)
            return Handout(title, (f'There are no worked steps for "{name}". There are some for {there}.',))
        wanted = [one for one in ([name] if name else self._sheet.worked) if self._attempts(one)]
        if not wanted:
            return Handout(title, ("Worked steps open after your first attempt. Check a value first.",))
        parts = tuple(part for one in wanted for part in (*((one,) if not name else ()), *self._walk(one)))
        return Handout(title, parts)

    def record(self) -> Receipt:
        """What is done, what is missing, how to hand in; with the case and the version of the kit as plain data.

        Returns
        -------
        Receipt
            A page in a notebook, text elsewhere; its ``data`` are numbers, texts, and dicts of them
        """
        done = tuple(
            Done(place, item, *self._last(item.name), stale=self._stale(item), aside=item.name in self._aside)
            for place, item in enumerate(self._sheet.items, 1)
        )
        data = {
            "exercise": self._sheet.name,
            "kit_version": __version__,
            "name": self._name,
            "seed": self._case.seed if self._case else None,
            "case_number": self._number(),
            "case": self._case.as_data() if self._case else None,
            "answers": dict(self._answers),
            "typed": {one.item.name: one.answer for one in done if one.points is not None},
            "points": {one.item.name: one.points for one in done if one.points is not None and not one.item.by_hand},
        }
        who = f"{self._name}, case number {self._number()}, controlkit {__version__}" if self._case else self._nameless
        if self._review:
            data["needs_review"], who = self._review, f"{who}. {self._review}"
        return Receipt(self._sheet.name, done, data, who, hand_in=not self._grading)

    def _check(self, item: Any, answer: Any) -> tuple[list[str], str]:
        """What to say; and the name of the item, if the answer counted and is not full."""
        if self._case is None:
            return [self._nameless], ""
        name = plain(item)
        try:
            wanted = self._sheet.item(name if type(name) is str else "?")
        except InputError as trouble:
            return [str(trouble)], ""
        seen = as_seen(answer)
        again = name in self._before and self._before[name] == seen
        attempt = max(1, self._attempts(name) + (0 if again else 1))
        judged = self._judge(name, answer, attempt, None)
        kind = judged.feedback[0].kind
        typed = written(str(seen)) if wanted.by_hand else as_typed(answer)
        kept = self._last(name)[0] if self._set_aside(judged) else None
        if kept is not None:
            self._aside.add(name)
            return [judged.words, *self._stood_by(judged, kept), *self._told()], ""
        self._aside.discard(name)
        stands = kind == "review" if wanted.by_hand else kind != "blank"
        replaced = 0.0 if again or self._grading else self._last(name)[0] or 0.0
        self._done[name] = (judged.points, typed) if stands else (None, "")
        counts = stands if wanted.by_hand else judged.costs_attempt
        self._basis[name] = basis = self._earlier().get(_follows(wanted))
        if counts and (not again or self._progress.basis(self._sheet.name, self._case.seed, name) != basis):
            self._progress.add(self._sheet.name, self._case.seed, judged, typed, basis=basis, again=again)
        self._before[name] = seen
        said = [judged.words]
        if not wanted.by_hand and kind not in ("blank", "unreadable", "impossible"):
            said.append(f"  This answer: {judged.points:g} of {judged.out_of:g} points.{self._running()}")
        if not wanted.by_hand and judged.points < replaced:
            said.append(f"  This replaces an answer that earned {round(replaced, 2):g}; the last one counts.")
        missed = not wanted.by_hand and judged.costs_attempt and judged.points < judged.out_of
        return said + self._told(), name if missed else ""

    def _told(self) -> list[str]:
        """What is to be said of the progress file, once."""
        notes, self._progress.notes = self._progress.notes, []
        return notes

    def _set_aside(self, judged: Judgement) -> bool:
        """Whether an answer does not count and leaves the one before it standing; while it is marked, there is none."""
        return judged.feedback[0].kind in ASIDE and not self._grading

    def _stood_by(self, judged: Judgement, kept: float) -> list[str]:
        """What is said of an answer that leaves the one before it standing."""
        said = []
        if judged.points:
            said.append(f"  This answer: {judged.points:g} of {judged.out_of:g} points.")
        said.append(
            f"  Your answer before it still stands in your receipt, with {round(kept, 2):g} of {judged.out_of:g} "
            "points. But marks are given for what the cell holds when you hand in: mend it, or put that answer back."
        )
        return said

    def _judge(self, item: str, answer: Any, attempt: int, kept_back: KeptBack | None) -> Judgement:
        assert self._case is not None
        earlier = self._earlier()
        with quiet():
            judged = judge(self._sheet, item, answer, self._case, earlier=earlier, attempt=attempt, kept_back=kept_back)
        self._seen.add(item)
        if judged.value is not None:
            self._answers[item] = judged.value
        else:
            self._answers.pop(item, None)
        return judged

    def _running(self) -> str:
        """What stands of the whole exercise; nothing while it is marked."""
        if self._grading:
            return ""
        asked = [item for item in self._sheet.items if not item.by_hand]
        whose = " by the checks" if len(asked) < len(self._sheet.items) else ""
        got, most = sum(self._last(item.name)[0] or 0.0 for item in asked), sum(item.points for item in asked)
        return f" The exercise so far: {round(got, 2):g} of {most:g}{whose}."

    def _earlier(self) -> dict[str, float]:
        """Her own answers that are numbers: of today, and of another day where they were not checked anew."""
        assert self._case is not None
        kept = self._progress.values(self._sheet.name, self._case.seed)
        return {**{name: value for name, value in kept.items() if name not in self._seen}, **self._answers}

    def _stale(self, item: Item) -> bool:
        """Whether the answer that an item follows from has changed since the item was checked."""
        follows = _follows(item)
        if self._case is None or not follows or self._last(item.name)[0] is None:
            return False
        if item.name not in self._basis:
            self._basis[item.name] = self._progress.basis(self._sheet.name, self._case.seed, item.name)
        return self._basis[item.name] != self._earlier().get(follows)

    def _offer(self, name: str) -> None:
        """Lay worked steps of an item below its check: folded, or how to ask for them; never while it is marked."""
        if self._grading or name not in self._sheet.worked or not with_worked_steps(Path.cwd()):
            return
        ask = f'Steps, on a like case: mine.steps("{name}")'
        ipython = sys.modules.get("IPython")
        if ipython is None or ipython.get_ipython() is None:
            print(ask)
        elif parts := self._walk(name):
            fold = Fold("Show the steps on a like case", parts)
            ipython.display.display({"text/html": fold.html(), "text/plain": ask}, raw=True)

    def _walk(self, item: str) -> tuple[str | Table, ...]:
        """The worked steps of an item: the like case first, if they walk one."""
        assert self._case is not None
        if self._siblings is None:
            self._siblings = Siblings(self._sheet, self._case, self._sheet.worked)
        with quiet():
            found = self._siblings.walk(item)
            if found is None:
                return ()
            told, like = found
            if like is None:
                return (told,)
            tables = (part for part in about(item, self._sheet.present(like)) if isinstance(part, Table))
        return ("A like case, not yours:", *tables, told, "Now the same with your own numbers.")

    def _last(self, item: str) -> tuple[float | None, str]:
        """Points and answer of the last check of an item, today or before; None and nothing where there is none."""
        if item in self._done or self._case is None:
            return self._done.get(item, (None, ""))
        points, answer = self._progress.last(self._sheet.name, self._case.seed, item)
        most = self._sheet.item(item).points
        return (None if points is None else min(max(points, 0.0), most)), answer

    def _number(self) -> str:
        """A short number by which two people tell whether they speak of the same case."""
        return "" if self._case is None else case_number(self._case)

    def _attempts(self, item: str) -> int:
        assert self._case is not None
        return self._progress.attempts(self._sheet.name, self._case.seed, item)


def _follows(item: Item) -> str:
    """The item from whose own answer one is judged; empty for none."""
    return str(getattr(item, "follows", ""))
