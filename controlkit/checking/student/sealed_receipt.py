"""What a student has answered of a sealed exercise: what was read, and nothing of what it is worth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from controlkit.checking.student.receipt import RECORD, receipt_title
from controlkit.tables import Bars, Fold, Handout, Table

READ = "read"
"""Label of an answer that was read."""


@dataclass(frozen=True)
class LookedAt:
    """What became of the last answer to one item.

    Parameters
    ----------
    answer : str
        As it was typed; empty where none stands
    label : str
        `READ`, or "unreadable"; empty or "blank" where nothing stands there
    """

    answer: str = ""
    label: str = ""

    @property
    def read(self) -> bool:
        """Whether it could be read.

        Returns
        -------
        bool
            False also where there is none
        """
        return self.label == READ

    @property
    def blank(self) -> bool:
        """Whether nothing stands there.

        Returns
        -------
        bool
            False where something could not be read
        """
        return self.label in ("", "blank")

    @property
    def words(self) -> str:
        """The same in words.

        Returns
        -------
        str
            Whether it was read
        """
        if self.read:
            return "read"
        return "not answered yet" if self.blank else "cannot be read yet"


@dataclass(frozen=True)
class SealedReceipt:
    """What a student has answered of a sealed exercise.

    Parameters
    ----------
    exercise : str
        Name of the exercise
    done : tuple of (str, LookedAt)
        Every item, as its heading has it, in order
    data : mapping
        What is handed back beside the answers, as plain data, without points
    who : str
        Whose it is, and which case; or what is needed first
    """

    exercise: str
    done: tuple[tuple[str, LookedAt], ...]
    data: Mapping[str, Any] = field(hash=False)
    who: str

    def page(self) -> Handout:
        """The receipt for a person.

        Returns
        -------
        Handout
            A bar for each item, what is missing, how to hand in, and the answers as they were typed
        """
        title = receipt_title(self.exercise)
        if self.data["case"] is None:
            return Handout(title, (self.who,))
        read = sum(one.read for _, one in self.done)
        total = f"{read} of {len(self.done)} answers were read. What they are worth you learn when they are marked."
        bars = Bars("Answers by item", tuple((name, float(one.read), one.words) for name, one in self.done))
        rows = tuple((name, one.answer or "-", one.words) for name, one in self.done)
        answers = Fold("Your answers as you typed them", (Table("Answers", ("item", "last checked", "so far"), rows),))
        end = (
            f"To hand in: save this page (Ctrl+S, on a Mac Cmd+S), then hand in the file {self.exercise}.ipynb in the "
            "way your instructor told you."
        )
        return Handout(title, (self.who, total, bars, self._missing(), end, answers))

    def _missing(self) -> str:
        said = []
        if blank := [name for name, one in self.done if one.blank]:
            said.append(f"Still without an answer: {', '.join(blank)}.")
        if unread := [name for name, one in self.done if not one.read and not one.blank]:
            said.append(f"Cannot be read yet: {', '.join(unread)}. The line below each says why.")
        return "\n".join(said) or "Nothing is missing."

    def _repr_mimebundle_(self, **_: Any) -> dict[str, Any]:
        return {"text/html": self.page()._repr_html_(), "text/plain": repr(self), RECORD: dict(self.data)}

    def __repr__(self) -> str:
        return repr(self.page())
