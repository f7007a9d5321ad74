"""A diagnosis: the fault behind bench readings, and the reading that decides."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement, with_hint
from controlkit.checking.reading import is_blank, plain
from controlkit.checking.wording import Statement, checked, listed, meant, shuffled, unreadable


@dataclass(frozen=True)
class Diagnosis:
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
    speaks_against : callable, optional
        From the case and the word of a wrong fault, the word of a reading that does not go with it
    fault_points, reading_points : float
        What each earns; a reading earns only beside the right fault [-]
    hints : tuple of str
        What to say at the first, second, ... attempt with a wrong fault
    """

    name: str
    asks: str
    faults: tuple[Statement, ...]
    readings: tuple[Statement, ...]
    fault: Callable[[Case], str]
    decides: Callable[[Case], Sequence[str]]
    speaks_against: Callable[[Case, str], str] | None = None
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

    def admits(self, case: Case) -> bool:
        """Whether some reading, but not every one, decides the case.

        Parameters
        ----------
        case : Case
            A drawn case

        Returns
        -------
        bool
            True if it can be handed out
        """
        words = {reading.word for reading in self.readings}
        deciding = set(self.decides(case))
        known = self.fault(case) in [fault.word for fault in self.faults]
        return known and bool(deciding) and deciding < words

    def asked(self, case: Case) -> str:
        """What is asked, with the faults in an order of the student's own.

        Parameters
        ----------
        case : Case
            The student's case

        Returns
        -------
        str
            For the table of items
        """
        faults = "; ".join(f'"{one.word}": {one.says}' for one in shuffled(self.name, case.seed, self.faults))
        return f"{self.asks}. Faults: {faults}. Readings: {listed(self.readings)}"


def judge_diagnosis(item: Diagnosis, answer: Any, case: Case, attempt: int) -> Judgement:
    """Judge a fault and the reading that is to decide.

    Parameters
    ----------
    item : Diagnosis
        What was asked
    answer : object
        A dict with the entries fault and reading
    case : Case
        The student's case
    attempt : int
        Which attempt this is, from 1 [-]

    Returns
    -------
    Judgement
        Points for both, and what to look at again
    """
    named = _read(item, answer, case)
    if isinstance(named, Feedback):
        return Judgement(item.name, 0.0, item.points, (named,))
    fault, reading = named
    if fault.word != item.fault(case):
        ask = fault.ask or "Which reading would that fault change, and does it?"
        note = Feedback(
            f"fault: {fault.word}", "idea", f"{item.name}: not yet. {ask}", fault.held_because or fault.says
        )
        notes: tuple[Feedback, ...] = (note,)
        against = item.speaks_against(case, fault.word) if item.speaks_against is not None else ""
        if against:
            look = f"  Look at the reading “{against}”: what would it be with that fault?"
            notes += (Feedback("speaks-against", "idea", look, f"{against} does not go with {fault.word}"),)
        notes += with_hint(note, item.hints, attempt)[1:]
        return Judgement(item.name, round(fault.share * item.fault_points, 2), item.points, notes)
    if reading.word in item.decides(case):
        said = f"{item.name}: yes, that is the fault, and that reading decides it."
        return Judgement(item.name, item.points, item.points, (Feedback("right", "right", said, "fault and reading"),))
    said = (
        f"{item.name}: yes, that is the fault. But “{reading.word}” does not decide it: "
        f"{reading.ask or 'which other fault would leave that reading as it is here?'}"
    )
    note = Feedback(f"reading: {reading.word}", "partly", said, "right fault, a reading that others share")
    return Judgement(item.name, item.fault_points, item.points, (note,))


def _read(item: Diagnosis, answer: Any, case: Case) -> tuple[Statement, Statement] | Feedback:
    if not issubclass(type(answer), dict):
        if is_blank(plain(answer)):
            said = f"{item.name}: nothing stands here yet. Give fault and reading by name, as the cell shows them."
            return Feedback("blank", "blank", said, "no answer")
        return unreadable(item.name, "Fault and reading are needed together, by name, as the cell shows them.")
    given = {key: plain(value) for key, value in dict.items(answer) if type(key) is str}
    if set(given) != {"fault", "reading"} or dict.__len__(answer) != 2:
        missing = [name for name in ("fault", "reading") if name not in given]
        lacks = f" Missing: {' and '.join(missing)}." if missing else ""
        return unreadable(item.name, f"The entries are fault and reading, and no others.{lacks}")
    if all(is_blank(value) for value in given.values()):
        said = f"{item.name}: nothing stands here yet. Replace the dots by a fault and a reading, in quotes."
        return Feedback("blank", "blank", said, "no answer")
    fault = meant(given["fault"], shuffled(item.name, case.seed, item.faults), f"{item.name}, fault")
    if isinstance(fault, Feedback):
        return fault
    reading = meant(given["reading"], item.readings, f"{item.name}, reading")
    return reading if isinstance(reading, Feedback) else (fault, reading)
