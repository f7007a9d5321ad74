"""Wrong ideas as wrong models: each computes what a student who holds it would answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from controlkit.checking.case.cases import Case

Earlier = Mapping[str, float]
"""The student's own earlier answers by item, each in the unit of its item."""


@dataclass(frozen=True)
class WrongIdea:
    """A named misunderstanding, as a function of the same case as the right answer.

    Parameters
    ----------
    label : str
        Fixed name, free of numbers
    item : str
        The item that it answers wrongly
    model : callable
        From the case and the student's earlier answers, what this idea gives, in the unit of the item:
        one number, or a tuple where the idea has several forms
    ask : str
        The question to give back; it holds no number of the answer
    held_because : str
        For the instructor: why learners hold it
    share : float
        Share of the points that such an answer still earns [-]
    repeats_given : bool
        Whether it answers a number of the case as it stands: given for an earlier item too, it follows from nothing
    """

    label: str
    item: str
    model: Callable[[Case, Earlier], float | tuple[float, ...]]
    ask: str
    held_because: str
    share: float = 0.0
    repeats_given: bool = False

    def values(self, case: Case, earlier: Earlier) -> tuple[float, ...]:
        """What this idea answers for one case.

        Parameters
        ----------
        case : Case
            The student's case
        earlier : mapping
            Earlier answers by item

        Returns
        -------
        tuple of float
            One value a form of the idea [unit]
        """
        answer = self.model(case, earlier)
        return tuple(float(value) for value in answer) if isinstance(answer, tuple) else (float(answer),)
