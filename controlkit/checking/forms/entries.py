"""Several entries by name, each read by a form of its own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

from controlkit.checking.feedback import Feedback, in_words
from controlkit.checking.forms.base import ByName, Form
from controlkit.checking.reading import read_entries


@dataclass(frozen=True, kw_only=True)
class EntriesForm(ByName, Form[dict[str, Any]]):
    """Several entries by name: a diagnosis, or the settings of a design.

    Parameters
    ----------
    name : str
        Name of the item
    parts : tuple of (str, Form)
        Name of each entry, and how it is read
    """

    sort: ClassVar[str] = "entries"

    name: str
    parts: tuple[tuple[str, Form[Any]], ...]

    def read(self, answer: Any) -> dict[str, Any] | Feedback:
        given = read_entries(answer, [name for name, _ in self.parts], self.name)
        if isinstance(given, Feedback):
            return given
        found: dict[str, Any] = {}
        for name, form in self.parts:
            value = form.read(given[name])
            if isinstance(value, Feedback):
                return value
            found[name] = value
        return found

    def shown(self, value: dict[str, Any]) -> str:
        return "; ".join(f"{in_words(name)} {form.shown(value[name])}" for name, form in self.parts)
