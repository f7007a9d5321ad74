"""What a student has done of an exercise: points, what is missing, what to hand in; and the same as plain data."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import FunctionType
from typing import Any

from controlkit.checking.items.base import Item
from controlkit.checking.reading import MOST_PARTS, is_blank, plain
from controlkit.tables import Bars, Fold, Handout, Table

RECORD = "application/vnd.controlkit.record+json"
"""Under this name a notebook keeps the plain data of a receipt, for a program that looks for it."""

BEGINNING = 60
"""So much of a written answer is repeated [characters]."""

LONGEST = 200
"""So much of an answer is repeated [characters]."""


@dataclass(frozen=True)
class Done:
    """How far one item is.

    Parameters
    ----------
    place : int
        Which item of the exercise it is, from 1 [-]
    item : Item
        The item
    points : float or None
        Points of the last answer that was checked [-]; None where none was
    answer : str
        That answer, as it was typed
    stale : bool
        Whether the answer that it follows from has changed since
    aside : bool
        Whether the cell holds another answer by now, which does not count
    """

    place: int
    item: Item
    points: float | None = None
    answer: str = ""
    stale: bool = False
    aside: bool = False

    @property
    def name(self) -> str:
        """Place and name, as its heading has it."""
        return f"{self.place}. {self.item.called}"

    @property
    def share(self) -> float:
        """Share of the points, or of the work where a person marks it [-]."""
        if self.points is None:
            return 0.0
        return 1.0 if self.item.by_hand else self.points / self.item.points

    @property
    def words(self) -> str:
        """The same in words."""
        if self.points is None:
            return "nothing stands here yet" if self.item.by_hand else "not answered yet"
        if self.item.by_hand:
            return f"written; your instructor gives up to {self.item.points:g}"
        again = ", check again" if self.stale else ""
        return f"{round(self.points, 2):g} of {self.item.points:g}{again}"


@dataclass(frozen=True)
class Receipt:
    """What a student has done of an exercise.

    Parameters
    ----------
    exercise : str
        Name of the exercise
    done : tuple of Done
        Every item, in order
    data : mapping
        What is handed back beside the answers, as plain data
    who : str
        Whose it is, and which case; or what is needed first
    hand_in : bool
        Whether it says how to hand in
    """

    exercise: str
    done: tuple[Done, ...]
    data: Mapping[str, Any] = field(hash=False)
    who: str
    hand_in: bool = True

    def page(self) -> Handout:
        """The receipt for a person.

        Returns
        -------
        Handout
            Total, a bar for each item, what is missing, how to hand in, and the answers as they were typed
        """
        title = receipt_title(self.exercise)
        if self.data["case"] is None:
            return Handout(title, (self.who,))
        bars = Bars("Points by item", tuple((one.name, one.share, one.words) for one in self.done))
        rows = tuple((one.name, one.answer or "-", one.words) for one in self.done)
        answers = Fold("Your answers as you typed them", (Table("Answers", ("item", "last checked", "points"), rows),))
        end = (self._ends(),) if self.hand_in else ()
        return Handout(title, (self.who, self._total(), bars, self._missing(), *end, answers))

    def _total(self) -> str:
        checked = [one for one in self.done if not one.item.by_hand]
        got, most = sum(one.points or 0.0 for one in checked), sum(one.item.points for one in checked)
        by_hand = sum(one.item.points for one in self.done if one.item.by_hand)
        more = f" by the checks. Your instructor gives up to {by_hand:g} more for what you wrote" if by_hand else ""
        return f"So far {round(got, 2):g} of {most:g} points{more}."

    def _missing(self) -> str:
        blank = [one.name for one in self.done if one.points is None]
        part = [f"{one.name} ({one.words})" for one in self.done if one.points is not None and one.share < 1]
        said = []
        if blank:
            said.append(f"Still without an answer: {', '.join(blank)}.")
        if part:
            said.append(f"Not full yet: {', '.join(part)}. You may try again as often as you like.")
        if old := [one.name for one in self.done if one.stale]:
            said.append(f"Check again: {', '.join(old)}. The earlier answer that it follows from has changed since.")
        if now := [one.name for one in self.done if one.aside]:
            said.append(
                f"Look at the cell again: {', '.join(now)}. It holds an answer by now that does not count, and marks "
                "are given for what it holds when you hand in."
            )
        return "\n".join(said) or "Nothing is missing."

    def _ends(self) -> str:
        return (
            f"To hand in: save this page (Ctrl+S, on a Mac Cmd+S), then hand in the file {self.exercise}.ipynb in the "
            f"way your instructor told you. It lies in the folder exercises/{self.exercise} of your work folder. "
            "If you work alone, saving is all."
        )

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        return {"text/html": self.page()._repr_html_(), "text/plain": repr(self), RECORD: dict(self.data)}

    def __repr__(self) -> str:
        return repr(self.page())


def receipt_title(exercise: str) -> str:
    """What stands above a receipt."""
    return f"Receipt, exercise {exercise.removeprefix('ex0').removeprefix('ex')}"


def as_typed(answer: Any) -> str:
    """An answer as a line of text, nothing of a foreign object called.

    Parameters
    ----------
    answer : object
        Whatever the student's variable holds

    Returns
    -------
    str
        At most `LONGEST` characters; empty for what is blank or foreign

    Examples
    --------
    >>> as_typed({"ring": "45 mm", "bands": 3}), as_typed(["pull", "let go"]), as_typed(...)
    ('ring = 45 mm, bands = 3', 'pull, let go', '')
    """
    kind = type(answer)
    if kind is FunctionType:
        return "a function of your own"
    if issubclass(kind, dict):
        parts = [(key, plain(value)) for key, value in list(dict.items(answer))[:MOST_PARTS] if type(key) is str]
        return _short(", ".join(f"{key} = {_one(value)}" for key, value in parts))
    if kind is list or kind is tuple:
        return _short(", ".join(_one(plain(part)) for part in answer[:MOST_PARTS]))
    return _short(_one(plain(answer)))


def as_seen(answer: Any) -> Any:
    """An answer in a form that can be compared with the one before, nothing of a foreign object called.

    Parameters
    ----------
    answer : object
        Whatever the student's variable holds

    Returns
    -------
    object
        Equal to that of an equal answer
    """
    kind = type(answer)
    if issubclass(kind, dict):
        return {key: plain(value) for key, value in dict.items(answer) if type(key) is str}
    if kind is list or kind is tuple:
        return [plain(part) for part in answer[:MOST_PARTS]]
    return answer.__code__ if kind is FunctionType else plain(answer)


def written(answer: str) -> str:
    """How a written answer begins, and how much was written.

    Parameters
    ----------
    answer : str
        The text

    Returns
    -------
    str
        At most `BEGINNING` characters of it, and its number of words

    Examples
    --------
    >>> written("The arms differ.")
    '“The arms differ.”, 3 words'
    """
    words = answer.split()
    line = textwrap.shorten(answer, BEGINNING, placeholder="…")
    if line in ("", "…"):  # one word without end
        line = "".join(words)[:BEGINNING] + "…"
    return f"“{line}”, {len(words)} word{'s' * (len(words) != 1)}"


def _one(value: Any) -> str:
    if is_blank(value) or isinstance(value, type):
        return ""
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def _short(text: str) -> str:
    line = " ".join(text.split())
    return line if len(line) <= LONGEST else line[: LONGEST - 1] + "…"
