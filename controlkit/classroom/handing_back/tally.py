"""A class counted: which items are too hard, and which wrong ideas how many hold. No names."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from typing import Any

from controlkit.checking import Item, Sheet
from controlkit.classroom.handing_back.standing import StudentStanding, is_blank
from controlkit.classroom.handing_back.told import NOT_MET, idea_called
from controlkit.classroom.records.harmless import for_table
from controlkit.classroom.records.marks import Noted

_IDEA = "idea"
_BESIDE = frozenset({"comes-to", "lay-beside"})
"""Labels of what is said besides an idea that stands there already."""


@dataclass(frozen=True, kw_only=True)
class ItemTally:
    """How a class did in one item.

    Parameters
    ----------
    place : int
        Which item it is, from 1 [-]
    called : str
        Its name in words
    share : float or None
        Mean share of its points over everybody whose points are settled; None where nobody's are [-]
    settled, full, nothing, blank, waits : int
        How many students are settled; of them how many have all points, none, or left it blank; and how many wait
        for a person [-]
    """

    place: int
    called: str
    share: float | None
    settled: int
    full: int
    nothing: int
    blank: int
    waits: int


@dataclass(frozen=True, kw_only=True)
class IdeaTally:
    """How many hold one wrong idea.

    Parameters
    ----------
    place : int
        Of which item, from 1 [-]
    called : str
        The item in words
    label, name : str
        Fixed name of the idea, and what a teacher calls it
    because : str
        Why learners hold it
    asks : str
        The question that the check gives back; empty where it depends on the case
    students : int
        How many answered so [-]
    """

    place: int
    called: str
    label: str
    name: str
    because: str
    asks: str
    students: int


@dataclass(frozen=True, kw_only=True)
class Tally:
    """A class in one exercise.

    Parameters
    ----------
    students, handed_in, late, unread : int
        How many there are, handed in, did so late, and handed in a file that could not be read [-]
    shares : tuple of float
        Share of the settled points of everybody who has some, from 0 to 1 [-]
    items : tuple of ItemTally
        The hardest first; of which most waits for a person, and only what was left blank is settled, behind these
    ideas : tuple of IdeaTally
        What most hold first
    """

    students: int
    handed_in: int
    late: int
    unread: int
    shares: tuple[float, ...]
    items: tuple[ItemTally, ...]
    ideas: tuple[IdeaTally, ...]

    def as_text(self) -> str:
        """The tally as a table.

        Returns
        -------
        str
            CSV, a line an item and a line an idea, every cell in quotes
        """
        out = io.StringIO()
        rows = csv.writer(out, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
        rows.writerow(
            ("what", "item", "label", "in words", "students", "of", "share of points", "held because", "asks")
        )
        for item in self.items:
            share = "" if item.share is None else f"{item.share:.2f}"
            rows.writerow(
                _safe(("item", item.called, "marked", "", str(item.settled), str(self.handed_in), share, "", ""))
            )
            for label, count in (("all points", item.full), ("no points", item.nothing), ("blank", item.blank)):
                rows.writerow(_safe(("item", item.called, label, "", str(count), str(item.settled), "", "", "")))
        for idea in self.ideas:
            of = str(self.handed_in)
            rows.writerow(
                _safe(
                    ("idea", idea.called, idea.label, idea.name, str(idea.students), of, "", idea.because, idea.asks)
                ),
            )
        return out.getvalue()


def tally(sheet: Sheet, class_: Sequence[StudentStanding]) -> Tally:
    """Count a class.

    Parameters
    ----------
    sheet : Sheet
        The exercise
    class_ : sequence of StudentStanding
        One a student

    Returns
    -------
    Tally
        No names in it
    """
    items = [_item(place, item, class_) for place, item in enumerate(sheet.items, 1)]
    shares = [one.share for one in class_ if one.share is not None]
    return Tally(
        students=len(class_),
        handed_in=sum(one.submission is not None or one.marked is not None for one in class_),
        late=sum(one.submission is not None and one.submission.late for one in class_),
        unread=sum(bool(one.unread) for one in class_),
        shares=tuple(shares),
        items=tuple(sorted(items, key=lambda one: (one.share is None, one.waits > one.settled, one.share or 0.0))),
        ideas=tuple(sorted(_ideas(sheet, class_), key=lambda one: (-one.students, one.place, one.label))),
    )


def _item(place: int, item: Item, class_: Sequence[StudentStanding]) -> ItemTally:
    theirs = [found for one in class_ for found in one.items if found.mark.item == item.name]
    settled = [(found, found.points) for found in theirs if found.points is not None]
    most = item.points or 1.0
    return ItemTally(
        place=place,
        called=item.called,
        share=sum(points / most for _, points in settled) / len(settled) if settled else None,
        settled=len(settled),
        full=sum(points >= item.points for _, points in settled),
        nothing=sum(points <= 0 for _, points in settled),
        blank=sum(is_blank(found.mark) for found, _ in settled),
        waits=len(theirs) - len(settled),
    )


def _ideas(sheet: Sheet, class_: Sequence[StudentStanding]) -> Iterator[IdeaTally]:
    held: Counter[tuple[str, str]] = Counter()
    because: dict[tuple[str, str], str] = {}
    for one in class_:
        for mark in one.marked.items if one.marked else ():
            found = {(mark.item, note.label): note.because for note in mark.noted if _is_idea(note)}
            held.update(found.keys())
            because |= found
    for place, item in enumerate(sheet.items, 1):
        asks = _asks(sheet, item)
        for (name, label), students in held.items():
            if name == item.name:
                yield IdeaTally(
                    place=place,
                    called=item.called,
                    label=label,
                    name=idea_called(sheet.name, item, label),
                    because=because[name, label],
                    asks=asks.get(label, ""),
                    students=students,
                )


def _is_idea(note: Noted) -> bool:
    return note.kind == _IDEA and note.label not in _BESIDE


def _asks(sheet: Sheet, item: Item) -> dict[str, str]:
    """By the label of an outcome, the question that is given back: of ideas, and of whatever parts of an item ask."""
    asks = {idea.label: idea.ask for idea in sheet.about(item)}
    held = [getattr(item, one.name) for one in fields(item)]  # type: ignore[arg-type]  # every kind is a dataclass
    parts: list[Any] = [part for value in held if isinstance(value, tuple) for part in value]
    for part in parts:
        ask, label = getattr(part, "ask", ""), getattr(part, "label", "") or getattr(part, "word", "")
        if isinstance(ask, str) and ask and isinstance(label, str):
            asks |= dict.fromkeys((label, f"fault: {label}", f"{label}{NOT_MET}"), ask)
    return asks


def _safe(cells: Sequence[str]) -> list[str]:
    return [for_table(cell) for cell in cells]
