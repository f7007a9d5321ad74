"""A diagnosis: the fault behind bench readings, and the reading that decides."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import ClassVar

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement, with_hint
from controlkit.checking.forms.entries import EntriesForm
from controlkit.checking.forms.words import WordForm
from controlkit.checking.items.base import Given, Item, Question
from controlkit.checking.wording import Statement, by_word, checked, in_rows, others, shuffled
from controlkit.tables import Table


@dataclass(frozen=True, kw_only=True)
class Diagnosis(Item):
    """A fault to name from readings, and the reading that tells it from the others.

    Parameters
    ----------
    name : str
        Name of the item, and of the variable in the notebook
    asks : str
        What is asked, in words
    faults : tuple of Statement
        What may be wrong; each carries the question it gives back
    readings : tuple of Statement
        What was read on the bench; the case holds the numbers
    fault : callable
        From the case, the word of the fault
    decides : callable
        From the case, the words of the readings that tell this fault from every other
    fault_points, reading_points : float
        What each earns; a reading earns only beside the right fault [-]
    hints : tuple of str
        What to say at the first, second, ... attempt with a wrong fault

    Notes
    -----
    A wrong fault is answered by its own question, by the kind of step to make, and by a hint: in the same words
    whatever the right fault is, so that guessing tells no more than that the guess was wrong.
    """

    admits_late: ClassVar[bool] = True

    name: str
    asks: str
    faults: tuple[Statement, ...]
    readings: tuple[Statement, ...]
    fault: Callable[[Case], str]
    decides: Callable[[Case], Sequence[str]]
    fault_points: float = 2.0
    reading_points: float = 1.0
    hints: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        checked(self.name, self.faults)
        checked(self.name, self.readings)

    @property
    def points(self) -> float:
        """Most points that the diagnosis can earn.

        Returns
        -------
        float
            Fault and reading together [-]
        """
        return self.fault_points + self.reading_points

    def asked(self, case: Case) -> str:  # noqa: ARG002
        return f"{self.asks}. Write the words of a fault and of a reading, each in quotes"

    def lists(self, case: Case) -> tuple[Table, ...]:
        faults = in_rows(shuffled(self.name, case.seed, self.faults))
        readings = tuple((one.word,) for one in self.readings)
        return Table("Faults", ("word", "what it is"), faults), Table("Readings", ("word",), readings)

    def form(self, case: Case) -> EntriesForm:
        faults = WordForm(called=f"{self.called}, fault", words=in_rows(shuffled(self.name, case.seed, self.faults)))
        readings = WordForm(called=f"{self.called}, reading", words=in_rows(self.readings))
        return EntriesForm(name=self.name, parts=(("fault", faults), ("reading", readings)))

    def stub(self) -> str:
        return f"{self.name} = dict(\n    fault=...,\n    reading=...,\n)"

    def admits(self, given: Given) -> bool:
        # Some reading must decide the case, but not every one.
        words = {reading.word for reading in self.readings}
        deciding = set(self.decides(given.case))
        known = self.fault(given.case) in [fault.word for fault in self.faults]
        return known and bool(deciding) and deciding < words

    def wrong_answers(self, given: Given) -> tuple[dict[str, str], ...]:
        reading = self.readings[0].word
        return tuple({"fault": word, "reading": reading} for word in others(self.faults, self.fault(given.case)))

    def judge(self, question: Question) -> Judgement:
        case = question.case
        named = self.form(case).read(question.answer)
        if isinstance(named, Feedback):
            return self.judged(0.0, named)
        fault, reading = by_word(self.faults)[named["fault"]], by_word(self.readings)[named["reading"]]
        if fault.word != self.fault(case):
            notes = _wrong_fault(self, fault)
            notes = (*notes, *with_hint(notes[0], self.hints, question.attempt)[1:])
            return self.judged(round(fault.share * self.fault_points, 2), *notes)
        if reading.word in self.decides(case):
            said = f"{self.called}: yes, that is the fault, and that reading decides it."
            return self.judged(self.points, Feedback("right", "right", said, "fault and reading"))
        ask = reading.ask or "which other fault would leave that reading as it is here?"
        said = f"{self.called}: yes, that is the fault. But “{reading.word}” does not decide it: {ask}"
        note = Feedback(f"reading: {reading.word}", "partly", said, "right fault, a reading that others share")
        return self.judged(self.fault_points, note)


_STEP = (
    "  Write beside each reading whether that fault would raise it, lower it or leave it alone, and lay that beside "
    "what was read: where do the two not agree?"
)
"""The kind of step by which a fault is ruled out; which reading does it is the student's to find."""


def _wrong_fault(item: Diagnosis, fault: Statement) -> tuple[Feedback, ...]:
    """The question of a wrong fault, and the kind of step that tells why it is wrong."""
    ask = fault.ask or "Which reading would that fault change, and does it?"
    why = fault.held_because or fault.says
    note = Feedback(f"fault: {fault.word}", "idea", f"{item.called}: not yet. {ask}", why)
    return (note, Feedback("lay-beside", "idea", _STEP, "how to hold a fault against readings"))
