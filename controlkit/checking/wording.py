"""Answers in words: which of some named statements a student means."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import KW_ONLY, dataclass

from controlkit.checking.case.cases import pick
from controlkit.units import InputError


@dataclass(frozen=True)
class Statement:
    """One thing to choose, with a word that stands for it in the answer.

    Parameters
    ----------
    word : str
        One or a few words, free of numbers; what the student writes, and the label for a tally
    says : str
        The statement in full
    ask : str
        The question to give back where it is wrong; it holds no part of the answer
    held_because : str
        For the instructor: why learners hold it
    share : float
        Share of the points that it still earns where it is wrong [-]
    """

    word: str
    says: str
    _: KW_ONLY
    ask: str = ""
    held_because: str = ""
    share: float = 0.0


def checked(item: str, statements: Sequence[Statement]) -> None:
    """Refuse statements that cannot be told apart by their words.

    Parameters
    ----------
    item : str
        Name of the item
    statements : sequence of Statement
        Its statements

    Raises
    ------
    InputError
        If there are fewer than two, two have one word, or a word holds a digit
    """
    words = [bare(statement.word) for statement in statements]
    if len(words) < 2 or len(set(words)) < len(words) or not all(words):
        raise InputError(
            given=f"The statements of item {item} have the words {', '.join(words) or 'none'}.",
            do="Give two statements or more, each with a word of its own.",
        )
    if any(re.search(r"\d", word) for word in words):
        raise InputError(
            given=f"Item {item} has a word with a digit in it.",
            allowed="Labels are free of numbers.",
        )


def shuffled(item: str, seed: str, statements: Sequence[Statement]) -> tuple[Statement, ...]:
    """Statements of an item, mixed in an order of the student's own; the seed is what her case was drawn from."""
    return tuple(sorted(statements, key=lambda one: pick(2**32, item, seed, one.word)))


def listed(words: Sequence[tuple[str, str]]) -> str:
    """Words to choose from in one phrase, in straight quotes, so that a word can be copied as it stands."""
    return ", ".join(f'"{word}"' for word, _ in words)


def in_rows(statements: Sequence[Statement]) -> tuple[tuple[str, str], ...]:
    """Words to choose from, each with its statement, as rows of a table."""
    return tuple((statement.word, statement.says) for statement in statements)


def by_word(statements: Sequence[Statement]) -> dict[str, Statement]:
    """Each statement under its word."""
    return {statement.word: statement for statement in statements}


def others(statements: Sequence[Statement], word: str) -> tuple[str, ...]:
    """All words but one."""
    return tuple(statement.word for statement in statements if statement.word != word)


def bare(text: str) -> str:
    """A text without capitals, marks and needless blanks."""
    plain_text = unicodedata.normalize("NFKC", text).casefold()
    return " ".join(re.sub(r"[^\w]+", " ", plain_text.replace("_", " ")).split())
