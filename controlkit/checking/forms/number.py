"""A number with its unit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from controlkit.checking.feedback import Feedback
from controlkit.checking.forms.base import ByName, Form
from controlkit.checking.reading import plain, read_answer, unit_assumed


@dataclass(frozen=True, kw_only=True)
class NumberForm(ByName, Form[float]):
    """A number with its unit.

    Parameters
    ----------
    name : str
        What is asked, as it is typed
    kind : str
        Kind of quantity, as `controlkit.units.read` knows it
    unit : str
        Unit in which a bare number is taken, and of the value
    counts : str, optional
        What is counted, such as "bands", where it may stand behind the number

    Examples
    --------
    >>> excursion = NumberForm(name="excursion", kind="length", unit="mm")
    >>> excursion.said("2 in", round(excursion.read("2 in"), 3))
    ('excursion: read as 50.8 mm.',)
    """

    sort: ClassVar[str] = "number"

    name: str
    kind: str
    unit: str
    counts: str = ""

    def read(self, answer: Any) -> float | Feedback:
        return read_answer(answer, self.kind, self.unit, self.name, counts=self.counts)

    def meanings(self, answer: Any, value: float) -> tuple[float, ...]:
        """The values that an answer may mean: a bare number, asked for in per cent, may be a plain share too.

        Parameters
        ----------
        answer : object
            As it was given
        value : float
            As it was read [unit]

        Returns
        -------
        tuple of float
            One, or both of these [unit]
        """
        given = plain(answer)
        bare = "%" not in given if type(given) is str else True
        return (value, 100 * value) if self.kind == "ratio" and self.unit == "%" and bare else (value,)

    def shown(self, value: float) -> str:
        size = f"{value:.6g}" if abs(value) < 1e6 else f"{value:.0f}"
        return f"{size} {self.unit}".rstrip()

    def said(self, answer: Any, value: float) -> tuple[str, ...]:
        bare = [note.message for note in unit_assumed(answer, value, self.kind, self.unit)]
        if bare:
            return (f"{self.called}: read.", *bare)
        first, *share = (self.shown(one) for one in self.meanings(answer, value))
        also = f" or, as a plain share, as {share[0]}; the better of the two counts" if share else ""
        return (f"{self.called}: read as {first}{also}.",)
