"""A formula in ordinary notation."""

from __future__ import annotations

import re
from dataclasses import dataclass
from types import FunctionType
from typing import Any, ClassVar

from controlkit.checking.feedback import Feedback, nothing_yet, unreadable
from controlkit.checking.forms.base import ByName, Form
from controlkit.checking.items.laws import Inputs, in_words, named
from controlkit.checking.items.notation import Read, read_formula
from controlkit.checking.reading import is_blank, plain
from controlkit.checking.unit_slips import UNIT_WORDS
from controlkit.units import InputError

_NUMBER_AND_UNIT = re.compile(r"[-+−]?\s*\d[\d.,]*\s*([^\d\s].*)?")


@dataclass(frozen=True, kw_only=True)
class FormulaForm(ByName, Form[Read]):
    """A formula as text.

    Parameters
    ----------
    name : str
        Name of the item
    arguments : tuple of str
        Meaning of each name that may stand in it, with its unit
    also : tuple of (str, str)
        Other spellings, each with the name it stands for
    tries : tuple of tuple
        Values on which it must come to a number
    told : bool
        Whether these values may be told
    """

    sort: ClassVar[str] = "formula"

    name: str
    arguments: tuple[str, ...]
    also: tuple[tuple[str, str], ...] = ()
    tries: tuple[Inputs, ...] = ()
    told: bool = True

    @property
    def names(self) -> tuple[str, ...]:
        """Names that may stand in the formula.

        Returns
        -------
        tuple of str
            In the order of the values
        """
        return tuple(named(meaning) for meaning in self.arguments)

    def read(self, answer: Any) -> Read | Feedback:
        read = self._understood(answer)
        if isinstance(read, Feedback):
            return read
        for call in self.tries:
            if read.value(dict(zip(self.names, call, strict=True))) is None:
                where = f"With {in_words(self.arguments, call)}" if self.told else "With values of the grading"
                says = f"{where} it comes to no finite number. Is there a division by zero, or a power without end?"
                return unreadable(self.called, says)
        return read

    def shown(self, value: Read) -> str:
        used = [name for name in self.names if name in value.uses]
        return f"a formula with {', '.join(used[:-1])}{' and ' * (len(used) > 1)}{used[-1]}"

    def _understood(self, answer: Any) -> Read | Feedback:
        """The formula as it was read, or what to say where there is none."""
        given = plain(answer)
        names = ", ".join(self.names)
        if is_blank(given):
            return nothing_yet(self.called, f"Write your formula between the quotes, with the names {names}.")
        if type(given) is not str:
            what = (
                "a function"
                if isinstance(answer, FunctionType)
                else "its result"
                if type(given) in (int, float)
                else ""
            )
            instead = f", not {what}" if what else ""
            return unreadable(
                self.called, f"A formula between quotes is needed here{instead}: a text with the names {names}."
            )
        text = re.sub(rf"^\s*(?:{re.escape(self.name)}\s*)?=", "", given, flags=re.IGNORECASE)
        number = _NUMBER_AND_UNIT.fullmatch(text.strip())
        if number and (number[1] is None or number[1].strip() in UNIT_WORDS):
            return unreadable(
                self.called,
                f"That is a number, and a formula is asked for: one for any values, with the names {names}.",
            )
        try:
            read = read_formula(text, self.names, dict(self.also))
        except InputError as trouble:
            return unreadable(self.called, str(trouble))
        if not read.uses:
            return unreadable(
                self.called, f"None of the names stands in it, so it is always the same. They are {names}."
            )
        return read
