"""A word of a list, or several in a row."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from controlkit.checking.feedback import Feedback, nothing_yet, unreadable
from controlkit.checking.forms.base import Form
from controlkit.checking.reading import MOST_PARTS, is_blank, plain
from controlkit.checking.wording import bare, listed

Words = tuple[tuple[str, str], ...]
"""What there is to choose, in the order in which the student sees it: a word, and what it says."""


@dataclass(frozen=True, kw_only=True)
class WordForm(Form[str]):
    """One word of a list.

    Parameters
    ----------
    called : str
        What it is called in a sentence
    words : tuple of (str, str)
        Each word and what it says

    Examples
    --------
    >>> part = WordForm(called="part", words=(("axilla loop", "goes round"), ("hanger", "holds")))
    >>> part.read("Axilla-Loop")
    'axilla loop'
    >>> part.read("hangar").message
    'part: “hangar” is none of the words. If you mean “hanger”, write it just so. This does not count as an attempt.'
    """

    sort: ClassVar[str] = "word"

    called: str
    words: Words

    def read(self, answer: Any) -> str | Feedback:
        return meant(answer, self.words, self.called)

    def shown(self, value: str) -> str:
        return f"“{value}”"


@dataclass(frozen=True, kw_only=True)
class OrderForm(Form[tuple[str, ...]]):
    """Words of a list in a row, each as often as it is needed.

    Parameters
    ----------
    called : str
        What it is called in a sentence
    words : tuple of (str, str)
        Each word and what it says
    """

    sort: ClassVar[str] = "order"

    called: str
    words: Words

    def read(self, answer: Any) -> tuple[str, ...] | Feedback:
        given = self._parts(answer)
        if isinstance(given, Feedback):
            return given
        if all(is_blank(part) for part in given):
            return nothing_yet(self.called, f"Replace the dots by the steps in their order: {listed(self.words)}.")
        if len(given) > MOST_PARTS:
            says = f"That is more than {MOST_PARTS} steps. Write each as often as it is needed."
            return unreadable(self.called, says)
        order = []
        for place, part in enumerate(given, 1):
            what = f"{self.called}, step {place}"
            step = meant(part, self.words, what)
            if isinstance(step, Feedback):
                return step if step.kind != "blank" else unreadable(what, "This place is empty.")
            order.append(step)
        return tuple(order)

    def _parts(self, answer: Any) -> list[Any] | Feedback:
        """What stands in the places of the answer."""
        if issubclass(type(answer), list):
            return [plain(part) for part in list.__getitem__(answer, slice(MOST_PARTS + 1))]
        if issubclass(type(answer), tuple):
            return [plain(part) for part in tuple.__getitem__(answer, slice(MOST_PARTS + 1))]
        whole = plain(answer)
        if is_blank(whole):
            return []
        if type(whole) is not str:
            return unreadable(self.called, f'A list of steps is needed, for example ["{self.words[0][0]}", ...].')
        parts = [part for part in re.split(r"[;,>→\n]+|->", whole) if part.strip()]
        return [re.sub(r"^\s*\d+\s*[.):]?\s*", "", part) for part in parts]

    def shown(self, value: tuple[str, ...]) -> str:
        return f"{len(value)} step{'s' * (len(value) != 1)}: {', '.join(value)}"


def meant(answer: Any, words: Sequence[tuple[str, str]], what: str) -> str | Feedback:
    """The word that a student means.

    Parameters
    ----------
    answer : object
        Whatever the student's variable holds
    words : sequence of (str, str)
        What there is to choose: a word, and what it says
    what : str
        What to call it in a sentence

    Returns
    -------
    str or Feedback
        The word, given as it is or by what it says, capitals and blanks aside; else what to say
    """
    given = plain(answer)
    if is_blank(given):
        return nothing_yet(what, f"Replace the dots by one of {listed(words)}, with its quotes.")
    if type(given) is not str:
        return unreadable(what, f"A word is needed here. Write one of {listed(words)}, with its quotes.")
    typed = bare(given)
    for word, says in words:
        if typed in (bare(word), bare(says)):
            return word
    shown = given.strip() if len(given.strip()) <= 40 and given.strip().isprintable() else "This"
    shown = f"“{shown}”" if shown != "This" else shown
    near = difflib.get_close_matches(typed[:80], [bare(word) for word, _ in words], n=1, cutoff=0.7)
    if near:
        word = next(word for word, _ in words if bare(word) == near[0])
        return unreadable(what, f"{shown} is none of the words. If you mean “{word}”, write it just so.")
    return unreadable(what, f"{shown} is none of the words. Write one of {listed(words)}.")
