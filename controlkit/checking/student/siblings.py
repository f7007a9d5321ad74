"""Worked steps: they walk a case like the student's own, and stop before her own number."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from controlkit.checking.case.cases import Case
from controlkit.checking.judging import judge
from controlkit.checking.student.sheet import Sheet
from controlkit.units import InputError

Worked = str | Callable[[Case], str]
"""Worked steps of one item: from a case, the answer in the last line; or the same words for every case."""

MOST = 12
"""So many like cases are looked at for one whose answer is another [-]."""


class Siblings:
    """Cases like a student's own: drawn only when asked for, and always the same for the same student.

    Parameters
    ----------
    sheet : Sheet
        The exercise
    case : Case
        The student's own case
    worked : mapping
        Item to its worked steps
    """

    def __init__(self, sheet: Sheet, case: Case, worked: Mapping[str, Worked]) -> None:
        self._sheet, self._case, self._worked = sheet, case, worked
        self._drawn: list[Case] = []

    def walk(self, item: str) -> tuple[str, Case | None] | None:
        """The worked steps of one item.

        Parameters
        ----------
        item : str
            Name of the item

        Returns
        -------
        tuple of str and (Case or None), or None
            The steps, and the like case that they walk, none where they hold for every case; nothing where there
            are no steps, or no like case with another answer
        """
        steps = self._worked.get(item)
        if steps is None or isinstance(steps, str):
            return None if steps is None else (steps, None)
        own = steps(self._case)
        for number in range(MOST):
            like = self._like(number)
            if like is None:
                return None
            told = steps(like)
            if self._differs(item, like, told, own):
                return told, like
        return None

    def _like(self, number: int) -> Case | None:
        while len(self._drawn) <= number:
            try:
                self._drawn.append(self._sheet.own_case(self._case.seed, like=len(self._drawn) + 1))
            except InputError:
                return None
        return self._drawn[number]

    def _differs(self, item: str, like: Case, told: str, own: str) -> bool:
        """Whether what the steps end at would be no full answer to the student's own case."""
        number = self._sheet.right(like).get(item)
        if number is None:
            return told.splitlines()[-1] != own.splitlines()[-1]
        judged = judge(self._sheet, item, number, self._case)
        return judged.points < judged.out_of
