"""An order: the steps of an operating sequence, put one after the other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement, Kind, with_hint
from controlkit.checking.forms.words import OrderForm
from controlkit.checking.items.base import Given, Item, Question
from controlkit.checking.wording import Statement, checked, in_rows, shuffled
from controlkit.tables import Table


@dataclass(frozen=True, kw_only=True)
class Order(Item):
    """Steps to put in order; a step may be needed more than once.

    Parameters
    ----------
    name : str
        Name of the item, and of the variable in the notebook
    points : float
        What a right order earns [-]
    asks : str
        What is asked, in words
    steps : tuple of Statement
        What there is to do
    right : callable
        From the case, every right order of words; more than one where steps may change places
    comes_to : callable, optional
        From the case and the student's order, what it does, in words: the mechanics of a wrong step
    unfinished : str
        The question to give back where steps are missing at the end
    hints : tuple of str
        What to say at the first, second, ... attempt that is not right

    Notes
    -----
    A step counts if it stands in the longest sequence that the answer shares with a right order, others
    left out between. The share of the points is twice the share of such steps less one, so that an order
    drawn by lot earns about nothing.
    """

    admits_late: ClassVar[bool] = True

    name: str
    points: float
    asks: str
    steps: tuple[Statement, ...]
    right: Callable[[Case], Sequence[tuple[str, ...]]]
    comes_to: Callable[[Case, tuple[str, ...]], str] | None = None
    unfinished: str = "What is still held, or still pulled?"
    hints: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        checked(self.name, self.steps)

    def asked(self, case: Case) -> str:  # noqa: ARG002
        return f"{self.asks}. Write the words one after the other, as often as each is needed"

    def lists(self, case: Case) -> tuple[Table, ...]:
        return (Table("Steps, in no order", ("word", "what is done"), self.form(case).words),)

    def form(self, case: Case) -> OrderForm:
        return OrderForm(called=self.called, words=in_rows(_mixed(self, case)))

    def admits(self, given: Given) -> bool:
        words = {step.word for step in self.steps}
        orders = self.right(given.case)
        return bool(orders) and all(order and set(order) <= words for order in orders)

    def wrong_answers(self, given: Given) -> tuple[list[str], ...]:
        return ([*self.right(given.case)[0]][::-1],)

    def judge(self, question: Question) -> Judgement:
        case = question.case
        order = self.form(case).read(question.answer)
        if isinstance(order, Feedback):
            return self.judged(0.0, order)
        orders = [tuple(one) for one in self.right(case)]
        if order in orders:
            note = Feedback("right", "right", f"{self.called}: yes, this order works.", "a right order")
            return self.judged(self.points, note)
        nearest = max(orders, key=lambda one: (_together(order, one), _begins(order, one)))
        share = max(0.0, 2.0 * _together(order, nearest) / max(len(order), len(nearest)) - 1.0)
        note = _first_wrong(self, order, max(orders, key=lambda one: _begins(order, one)))
        found = [note]
        if self.comes_to is not None and (does := self.comes_to(case, order)):
            found.append(Feedback("comes-to", note.kind, f"  What it comes to: {does}", "mechanics of this order"))
        hints = with_hint(note, self.hints, question.attempt)[1:]
        return self.judged(round(share * self.points, 2), *found, *hints)


def _first_wrong(item: Order, order: tuple[str, ...], right: tuple[str, ...]) -> Feedback:
    """Where the answer leaves the right order, without the step that belongs there."""
    good = _begins(order, right)
    begun = f" Up to “{order[good - 1]}” it works." if good else ""
    start = f"{item.called}: not yet.{begun}"
    kind: Kind = "partly" if good else "idea"
    if good == len(order):
        said = f"{start} There it stops, and the task is not done. {item.unfinished}"
        return Feedback("stops-early", "partly", said, "steps are missing at the end")
    word, then = order[good], "Then " if good else ""
    if word in right[good:]:
        said = f"{start} {then}“{word}” comes too early. What must hold before it can do its work?"
        return Feedback(f"too-early: {word}", kind, said, f"{word} before what it needs")
    said = f"{start} {then}“{word}” is not needed. What would it change there?"
    return Feedback(f"not-needed: {word}", kind, said, f"{word} once too often")


def _mixed(item: Order, case: Case) -> tuple[Statement, ...]:
    """The steps mixed, and not by chance in a right order."""
    steps = shuffled(item.name, case.seed, item.steps)
    words = tuple(step.word for step in steps)
    first = [tuple(dict.fromkeys(order)) for order in item.right(case)]
    return steps[::-1] if words in first else steps


def _begins(order: tuple[str, ...], right: tuple[str, ...]) -> int:
    """How many steps at the start agree [-]."""
    for place, (one, other) in enumerate(zip(order, right, strict=False)):
        if one != other:
            return place
    return min(len(order), len(right))


def _together(order: tuple[str, ...], right: tuple[str, ...]) -> int:
    """Length of the longest sequence that two orders share [-]."""
    row = [0] * (len(right) + 1)
    for one in order:
        before = row[:]
        for place, other in enumerate(right, 1):
            row[place] = before[place - 1] + 1 if one == other else max(before[place], row[place - 1])
    return row[-1]
