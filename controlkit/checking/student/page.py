"""What a page of an exercise shows of a case and of each question, and how its lines are laid out."""

from __future__ import annotations

import textwrap
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import numpy as np

from controlkit.checking.case.cases import Case
from controlkit.checking.items.base import Item
from controlkit.tables import Table

if TYPE_CHECKING:
    from controlkit.checking.student.exercise import Exercise

Parts = tuple[str | Table, ...]
"""Words and tables in order."""

WIDE = 100
"""Longest line of a check [characters]."""


def first_page(sheet: Exercise, case: Case) -> Parts:
    """What belongs to all questions of an exercise, and what they ask in short.

    Parameters
    ----------
    sheet : Exercise
        The exercise
    case : Case
        The student's case

    Returns
    -------
    tuple of str or Table
        In order
    """
    rows = tuple(
        (f"{place}. {item.called}", f"{item.points:g}", item.asks) for place, item in enumerate(sheet.items, 1)
    )
    counts = f"{sheet.announced}. Of the answers to one question, the last one counts."
    return (*about("", sheet.present(case)), counts, Table("What is asked", ("item", "points", "what"), rows))


def beside(sheet: Exercise, item: Item, case: Case) -> Parts:
    """What one item asks, and the tables that it needs.

    Parameters
    ----------
    sheet : Exercise
        The exercise
    item : Item
        One of its items
    case : Case
        The student's case

    Returns
    -------
    tuple of str or Table
        In order
    """
    return (*about(item.name, sheet.present(case)), f"Asked: {item.asked(case)}.", *item.lists(case))


def about(item: str, parts: Parts) -> Parts:
    """The tables that one item needs; without an item, what belongs to all of them."""
    return tuple(part for part in parts if item in (getattr(part, "about", ()) or ("",)))


def wrapped(text: str) -> str:
    """Lines of at most `WIDE` characters, broken at spaces: what a notebook shows breaks words."""
    return "\n".join(
        textwrap.fill(
            line,
            WIDE,
            subsequent_indent=" " * (len(line) - len(line.lstrip()) + 2),
            break_long_words=False,
            break_on_hyphens=False,
            drop_whitespace=True,
        )
        for line in text.split("\n")
    )


@contextmanager
def quiet() -> Iterator[None]:
    """Keep warnings off the page: in a graded cell any of them would cost the marks."""
    with warnings.catch_warnings(), np.errstate(all="ignore"):
        warnings.simplefilter("ignore")
        yield
