"""What a check says: a label that can be tallied, words for the student, a reason for the instructor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

Kind = Literal["right", "partly", "idea", "unit", "sign", "size", "blank", "unreadable", "impossible", "review"]
"""What sort of answer it was."""

FREE: frozenset[Kind] = frozenset({"sign", "blank", "unreadable", "impossible", "review"})
"""Kinds that cost no attempt."""


NO_ATTEMPT = "This does not count as an attempt."
"""Said by an open check of answers that cost none; where attempts are not counted, nobody needs it."""


@dataclass(frozen=True)
class Feedback:
    """One thing to say about one answer.

    Parameters
    ----------
    label : str
        Fixed name of the outcome, free of numbers, so that a class can be tallied
    kind : str
        Sort of outcome, one of `Kind`
    message : str
        For the student: a sentence or a question, never the answer
    justification : str
        For the instructor: what the answer matched, and how
    """

    label: str
    kind: Kind
    message: str
    justification: str


@dataclass(frozen=True, kw_only=True)
class Judgement:
    """What one answer to one item is worth, and what is said about it.

    Parameters
    ----------
    item : str
        Name of the item
    points : float
        Points earned [-]
    out_of : float
        Most points that the item gives [-]
    feedback : tuple of Feedback
        What to say, the most important first; never empty
    value : float or None
        The answer as it was read; None where it could not be read [unit]
    """

    item: str
    points: float
    out_of: float
    feedback: tuple[Feedback, ...]
    value: float | None = None

    @property
    def costs_attempt(self) -> bool:
        """Whether this answer counts as an attempt.

        Returns
        -------
        bool
            False for blank, unreadable and impossible answers, and for the right size with the other sign
        """
        return self.feedback[0].kind not in FREE

    @property
    def words(self) -> str:
        """All messages for the student, one below the other.

        Returns
        -------
        str
            Plain text
        """
        return "\n".join(note.message for note in self.feedback)


def with_hint(note: Feedback, hints: Sequence[str], attempt: int) -> tuple[Feedback, ...]:
    """The note, and the hint of this attempt: the last hint stays, and below attempt 1 there is none yet."""
    if attempt < 1 or not hints:
        return (note,)
    return (note, Feedback("hint", note.kind, f"  Hint: {hints[min(attempt, len(hints)) - 1]}", "hint by attempt"))


def in_words(name: str) -> str:
    """A name of program text as it stands in a sentence."""
    return name.replace("_", " ").replace("c7", "C7")


def nothing_yet(what: str, do: str = "") -> Feedback:
    """Feedback on an answer that is still empty: what it is called, and what to write there."""
    return Feedback("blank", "blank", f"{what}: nothing stands here yet. {do}".rstrip(), "no answer")


def without_attempts(words: str) -> str:
    """The same words where no attempts are counted: on a marked page, in a sealed exercise."""
    return words.replace(f" {NO_ATTEMPT}", "")


def unreadable(what: str, reason: str) -> Feedback:
    """Feedback on an answer that could not be read: what it is called, what was given, and what to write."""
    said = f"{what}: {reason} {NO_ATTEMPT}"
    return Feedback("unreadable", "unreadable", said, f"could not be read: {reason}")
