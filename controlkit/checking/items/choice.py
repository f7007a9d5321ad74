"""A choice: one of several statements, answered by a word of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement, with_hint
from controlkit.checking.wording import Statement, checked, meant, shuffled


@dataclass(frozen=True)
class Choice:
    """One of several statements.

    Parameters
    ----------
    name : str
        Name of the item, and of the variable in the notebook
    points : float
        What the right statement earns [-]
    asks : str
        What is asked, in words
    statements : tuple of Statement
        What there is to choose; each wrong one carries the question it gives back
    right : callable
        From the case, the word of the right statement
    hints : tuple of str
        What to say at the second, third, ... attempt
    """

    name: str
    points: float
    asks: str
    statements: tuple[Statement, ...]
    right: Callable[[Case], str]
    hints: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        checked(self.name, self.statements)

    def admits(self, case: Case) -> bool:
        """Whether the case has its right answer among the statements.

        Parameters
        ----------
        case : Case
            A drawn case

        Returns
        -------
        bool
            True if it has
        """
        return self.right(case) in [statement.word for statement in self.statements]

    def asked(self, case: Case) -> str:
        """What is asked, with the statements in an order of the student's own.

        Parameters
        ----------
        case : Case
            The student's case

        Returns
        -------
        str
            For the table of items
        """
        said = "; ".join(f'"{one.word}": {one.says}' for one in shuffled(self.name, case.seed, self.statements))
        return f"{self.asks}. Write the word of one: {said}"


def judge_choice(item: Choice, answer: Any, case: Case, attempt: int) -> Judgement:
    """Judge the statement that a student chose.

    Parameters
    ----------
    item : Choice
        What was asked
    answer : object
        Whatever the student's variable holds
    case : Case
        The student's case
    attempt : int
        Which attempt this is, from 1 [-]

    Returns
    -------
    Judgement
        Points, and the question that belongs to a wrong statement
    """
    chosen = meant(answer, shuffled(item.name, case.seed, item.statements), item.name)
    if isinstance(chosen, Feedback):
        return Judgement(item.name, 0.0, item.points, (chosen,))
    if chosen.word == item.right(case):
        note = Feedback("right", "right", f"{item.name}: yes, that is right.", "the right statement")
        return Judgement(item.name, item.points, item.points, (note,))
    ask = chosen.ask or "What would be different if that were so?"
    note = Feedback(chosen.word, "idea", f"{item.name}: not yet. {ask}", chosen.held_because or f"chose: {chosen.says}")
    return Judgement(item.name, chosen.share * item.points, item.points, with_hint(note, item.hints, attempt - 1))
