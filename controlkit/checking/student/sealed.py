"""A sealed exercise in the hands of one student: checks say what was read, and never what it is worth.

It knows no exercise: what it shows and how it reads stand in a file beside the notebook.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from controlkit import __version__
from controlkit.checking.case.cases import Case, normalise
from controlkit.checking.feedback import Feedback, without_attempts
from controlkit.checking.reading import is_blank, plain
from controlkit.checking.student.page import quiet, wrapped
from controlkit.checking.student.progress import Progress
from controlkit.checking.student.python_slips import listen
from controlkit.checking.student.receipt import as_seen, as_typed, written
from controlkit.checking.student.sealed_case import SealedCase, SealedItem, read_sealed, sealed_name
from controlkit.checking.student.sealed_receipt import READ, LookedAt, SealedReceipt
from controlkit.checking.student.sheet import item_named
from controlkit.tables import Handout
from controlkit.units import InputError

_SEALED = (
    "This exercise was handed out sealed, as an assessment. The line below an answer says whether it can be read and "
    "as what, not whether it is right: that you learn when it is marked. Right answers, hints and worked steps are "
    "with your instructor, whatever else this page says of them."
)


def sealed(exercise: str, name: Any) -> OwnSealed:
    """A sealed exercise, from the file that was handed out beside the notebook.

    Parameters
    ----------
    exercise : str
        Name of the exercise
    name : object
        What the student typed for her name

    Returns
    -------
    OwnSealed
        Never fails: without the file, or without her name, it says what to do

    Notes
    -----
    In a notebook: ``mine = sealed("ex42", "Zoë Marsh")``, then ``mine.show()``. The file holds her questions, worded,
    and how answers are read: no right answer, no wrong idea, no hint, no worked step. An exercise that ships with
    the package is not secret by that, since the package itself holds what is right; one of an instructor's own is.
    """
    return OwnSealed(exercise, name)


class OwnSealed:
    """One student's sealed exercise.

    Parameters
    ----------
    exercise : str
        Name of the exercise
    name : object
        What the student typed for her name
    """

    def __init__(self, exercise: str, name: Any) -> None:
        self._exercise = exercise
        self._sealed: SealedCase | None = None
        self._before: dict[str, Any] = {}
        self._done: dict[str, LookedAt] = {}
        self._read: dict[str, float] = {}
        try:
            held = read_sealed(Path.cwd() / sealed_name(exercise))
            self._needed = _not_hers(plain(name), held)
            self._sealed = None if self._needed else held
        except InputError as trouble:
            self._needed = str(trouble)
        asked = {exercise: [(one.name, one.points, True) for one in self._items]}
        self._progress = Progress(None if "NBGRADER_EXECUTION" in os.environ else Path.cwd(), asked=asked)
        listen([one.name for one in self._items])

    @property
    def _items(self) -> tuple[SealedItem, ...]:
        return () if self._sealed is None else self._sealed.items

    @property
    def case(self) -> Case | None:
        """Whose case it is.

        Returns
        -------
        Case or None
            Without values, which may hold answers: the numbers to work with stand in words and tables. None as long
            as the name or the file is missing
        """
        return None if self._sealed is None else self._sealed.case

    def show(self) -> Handout:
        """Whose case it is, and what is asked in short.

        Returns
        -------
        Handout
            HTML in a notebook, text elsewhere
        """
        if self._sealed is None:
            return Handout(self._exercise, (self._needed,))
        return Handout(f"{self._sealed.title}: the case of {self._sealed.name}", (_SEALED, *self._sealed.page))

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
        if self._sealed is None:
            return Handout(self._exercise, (self._needed,))
        try:
            parts = item_named(self._items, str(plain(item))).given
        except InputError as trouble:
            parts = (str(trouble),)
        return Handout(f"Given to you, {self._sealed.name}", parts)

    def check(self, item: str, answer: Any = None) -> None:
        """Say as what an answer was read, or why it cannot be read. Never fails, never tells what it is worth.

        Parameters
        ----------
        item : str
            Name of the item
        answer : object
            The student's answer
        """
        try:
            for line in self._check(item, answer):
                print(wrapped(line))
        except Exception:  # noqa: BLE001 - a student must never meet a trace
            print("This answer could not be read. Please check how it is written, or tell your instructor.")

    def steps(self, item: str | None = None) -> Handout:  # noqa: ARG002 - the same for all
        """Say that worked steps were kept back.

        Parameters
        ----------
        item : str, optional
            Name of an item

        Returns
        -------
        Handout
            HTML in a notebook, text elsewhere
        """
        said = self._needed or "This exercise was handed out sealed. Its worked steps are with your instructor."
        return Handout("Worked steps", (said,))

    def record(self) -> SealedReceipt:
        """What was read, what is missing, how to hand in.

        Returns
        -------
        SealedReceipt
            A page in a notebook, text elsewhere; its ``data`` are numbers, texts, and dicts of them, and no points
        """
        done = tuple((f"{place}. {one.called}", self._last(one.name)) for place, one in enumerate(self._items, 1))
        held = self._sealed
        data = {
            "exercise": self._exercise,
            "kit_version": __version__,
            "name": "" if held is None else held.name,
            "seed": None if held is None else held.seed,
            "case_number": "" if held is None else held.number,
            "case": None if held is None else {},
            "answers": self._numbers(),
            "typed": {one.name: self._last(one.name).answer for one in self._items if self._last(one.name).read},
            "sealed": True,
        }
        who = self._needed
        if held is not None:
            who = f"{held.name}, case number {held.number}, controlkit {__version__}"
        return SealedReceipt(self._exercise, done, data, who)

    def _check(self, item: Any, answer: Any) -> list[str]:
        if self._sealed is None:
            return [self._needed]
        try:
            wanted = item_named(self._items, str(plain(item)))
        except InputError as trouble:
            return [str(trouble)]
        name, seen = wanted.name, as_seen(answer)
        with quiet():
            value = wanted.form.read(answer)
        self._read.pop(name, None)
        again = name in self._before and self._before[name] == seen
        self._before[name] = seen
        if isinstance(value, Feedback):
            typed = "" if value.kind == "blank" else as_typed(answer)
            self._done[name] = LookedAt(typed, label=value.kind)
            if self._progress.outcome(self._exercise, self._sealed.seed, name):  # else nothing is kept of it
                self._note(name, typed, again=again)
            return [without_attempts(value.message)]
        typed = written(value) if wanted.by_hand and type(value) is str else as_typed(answer)
        self._done[name] = LookedAt(typed, label=READ)
        if type(value) is float:
            self._read[name] = value
        self._note(name, typed, again=again)
        notes, self._progress.notes = self._progress.notes, []
        return [*wanted.form.said(answer, value), *notes]

    def _note(self, item: str, typed: str, *, again: bool) -> None:
        assert self._sealed is not None
        label, value = self._done[item].label, self._read.get(item)
        self._progress.add_read(self._exercise, self._sealed.seed, item, typed, label=label, value=value, again=again)

    def _last(self, item: str) -> LookedAt:
        """What became of the last answer to an item, today or before."""
        if item in self._done or self._sealed is None:
            return self._done.get(item, LookedAt())
        label = self._progress.outcome(self._exercise, self._sealed.seed, item)
        _, answer = self._progress.last(self._exercise, self._sealed.seed, item)
        return LookedAt(answer, label=label if label in ("", "blank", "unreadable") else READ)

    def _numbers(self) -> dict[str, float]:
        """Her answers that are numbers, of today, and of another day where they were not checked anew."""
        if self._sealed is None:
            return {}
        kept = self._progress.values(self._exercise, self._sealed.seed)
        return {**{name: value for name, value in kept.items() if name not in self._done}, **self._read}


def _not_hers(name: Any, held: SealedCase) -> str:
    """What to say where no name stands, or not that of the student to whom it was handed out."""
    if type(name) is not str or is_blank(name):
        wrong = "" if is_blank(name) else " A name is a text: it stands between quotes."
        return f"Your name is needed first.{wrong} Write it in the cell above, then run that cell and this."
    if normalise(name) in {normalise(held.name), normalise(held.student)}:
        return ""
    shown = name.strip() if len(name.strip()) <= 40 else f"{name.strip()[:40]}…"
    return (
        f"These questions were handed out to “{held.name}”, and “{shown}” stands in the cell above. If you are "
        f"“{held.name}”, write just that, accents and all; run that cell and this again. If you are not, these are "
        "another student's: ask your instructor for yours."
    )
