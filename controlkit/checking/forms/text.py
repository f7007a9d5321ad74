"""A written answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from controlkit.checking.feedback import Feedback, nothing_yet, unreadable
from controlkit.checking.forms.base import ByName, Form
from controlkit.checking.reading import is_blank, plain


@dataclass(frozen=True, kw_only=True)
class TextForm(ByName, Form[str]):
    """A written answer, which a person reads.

    Parameters
    ----------
    name : str
        Name of the item
    """

    sort: ClassVar[str] = "text"

    name: str

    def read(self, answer: Any) -> str | Feedback:
        given = plain(answer)
        if is_blank(given):
            say = "Write in place of the dots, between the two rows of quotes, then run that cell and this one."
            return nothing_yet(self.called, say)
        if type(given) is not str:
            return unreadable(self.called, 'Written words stand between """ and """, three quotes at each end.')
        return given

    def shown(self, value: str) -> str:
        many = len(value.split())
        return f"{many} word{'s' * (many != 1)}"

    def said(self, answer: Any, value: str) -> tuple[str, ...]:  # noqa: ARG002
        stand = "stands" if len(value.split()) == 1 else "stand"
        return (f"{self.called}: {self.shown(value)} {stand} here. A person reads and marks it.",)
