"""A choice: one of several statements, answered by a word of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement, in_words, with_hint
from controlkit.checking.forms.words import WordForm
from controlkit.checking.items.base import Given, Item, Question
from controlkit.checking.wording import Statement, by_word, checked, in_rows, others, shuffled
from controlkit.tables import Table


@dataclass(frozen=True, kw_only=True)
class Choice(Item):
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
    follows : str
        Item whose own earlier value the choice is made from; empty for none
    right_from : callable, optional
        From the case and that value, the words of the statements that follow from it; two where it lies between
    """

    name: str
    points: float
    asks: str
    statements: tuple[Statement, ...]
    right: Callable[[Case], str]
    hints: tuple[str, ...] = ()
    follows: str = ""
    right_from: Callable[[Case, float], tuple[str, ...]] | None = None

    def __post_init__(self) -> None:
        checked(self.name, self.statements)

    def asked(self, case: Case) -> str:  # noqa: ARG002
        return f"{self.asks}. Write the word of one statement, in quotes"

    def lists(self, case: Case) -> tuple[Table, ...]:
        return (Table("Statements", ("word", "what it says"), self.form(case).words),)

    def form(self, case: Case) -> WordForm:
        return WordForm(called=self.called, words=in_rows(shuffled(self.name, case.seed, self.statements)))

    def admits(self, given: Given) -> bool:
        return self.right(given.case) in [statement.word for statement in self.statements]

    def wrong_answers(self, given: Given) -> tuple[str, ...]:
        return others(self.statements, self.right(given.case))

    def judge(self, question: Question) -> Judgement:
        case = question.case
        word = self.form(case).read(question.answer)
        if isinstance(word, Feedback):
            return self.judged(0.0, word)
        chosen = by_word(self.statements)[word]
        if chosen.word == self.right(case):
            note = Feedback("right", "right", f"{self.called}: yes, that is right.", "the right statement")
            return self.judged(self.points, note)
        own = question.earlier.get(self.follows)
        if own is not None and self.right_from is not None and chosen.word in self.right_from(case, own):
            own_value = f"your own {in_words(self.follows)}"
            said = f"{self.called}: yes, it follows from {own_value}. That earlier value still needs work."
            note = Feedback("right-from-own", "right", said, f"right from the student's own {self.follows}")
            return self.judged(self.points, note)
        ask = chosen.ask or "What would be different if that were so?"
        why = chosen.held_because or f"chose: {chosen.says}"
        note = Feedback(chosen.word, "idea", f"{self.called}: not yet. {ask}", why)
        return self.judged(chosen.share * self.points, *with_hint(note, self.hints, question.attempt - 1))
