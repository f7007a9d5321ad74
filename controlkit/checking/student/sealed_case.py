"""A student's case of an exercise that is handed out sealed: its questions as data, and nothing of what is right."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from controlkit import __version__
from controlkit.checking.case.cases import Case, case_number
from controlkit.checking.forms.base import Form
from controlkit.checking.forms.data import form_data, form_from
from controlkit.checking.student.exercise import Exercise
from controlkit.checking.student.page import Parts, beside, first_page
from controlkit.tables import Table
from controlkit.units import InputError

FORMAT = 1
"""What stands in the file and how; a higher number is another way."""

_MOST = 5_000_000
"""A larger file is none of ours [bytes]."""


@dataclass(frozen=True, kw_only=True)
class SealedItem:
    """One question.

    Parameters
    ----------
    name, called : str
        Of the item and its variable, and in a sentence
    by_hand : bool
        Whether nobody but a person marks it
    points : float
        Most points [-]
    given : tuple of str or Table
        What it asks, and what it needs
    form : Form
        How its answer is read
    """

    name: str
    called: str
    by_hand: bool
    points: float
    given: Parts
    form: Form[Any]


@dataclass(frozen=True, kw_only=True)
class SealedCase:
    """An exercise with one student's case, worded.

    Parameters
    ----------
    exercise, title : str
        Name of the exercise, and its title
    student, name : str
        Her id and name, as on the roster
    seed : str
        What her case was drawn from
    draw : int
        How many draws were refused before it [-]
    number : str
        The number of her case
    kit : str
        Version of the package that wrote it
    page : tuple of str or Table
        What belongs to all questions
    items : tuple of SealedItem
        What is asked, in order

    Notes
    -----
    The values of the case are not in it: an exercise may draw what it asks for, such as the fault of a diagnosis, and
    keep it in the case. What a student needs of them stands in the words and tables, as the exercise shows them.
    """

    exercise: str
    title: str
    student: str
    name: str
    seed: str
    draw: int
    number: str
    kit: str
    page: Parts
    items: tuple[SealedItem, ...]

    @property
    def case(self) -> Case:
        """Whose case it is, without its values.

        Returns
        -------
        Case
            With seed and draw
        """
        return Case(self.exercise, self.seed, self.draw, {})

    def as_data(self) -> dict[str, Any]:
        """The same as plain data.

        Returns
        -------
        dict
            For JSON

        Raises
        ------
        InputError
            If an item holds what cannot be kept
        """
        same = {name: getattr(self, name) for name in _SAME}
        return {"format": FORMAT, **same, "page": _kept(self.page), "items": [_item_data(one) for one in self.items]}

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> SealedCase:
        """The same from its plain data.

        Parameters
        ----------
        data : mapping
            As `as_data` gave it

        Returns
        -------
        SealedCase
            The same

        Raises
        ------
        ValueError, TypeError, KeyError
            If it is none
        """
        if data["format"] != FORMAT:
            raise ValueError("another format")
        draw = data["draw"]
        if type(draw) is not int or not all(type(data[name]) is str for name in _SAME if name != "draw"):
            raise TypeError("no texts")
        items = tuple(
            SealedItem(
                name=str(one["name"]),
                called=str(one["called"]),
                by_hand=bool(one["by_hand"]),
                points=float(one["points"]),
                given=_parts(one["given"]),
                form=form_from(one["form"]),
            )
            for one in data["items"]
        )
        return cls(**{name: data[name] for name in _SAME}, page=_parts(data["page"]), items=items)


_SAME = ("exercise", "title", "student", "name", "seed", "draw", "number", "kit")
"""Fields that are plain as they are."""


def sealed_name(exercise: str) -> str:
    """Name of the file beside the notebook.

    Parameters
    ----------
    exercise : str
        Name of the exercise

    Returns
    -------
    str
        Such as ``ex42-sealed.json``
    """
    return f"{exercise}-sealed.json"


def seal(sheet: Exercise, case: Case, *, student: str, name: str) -> SealedCase:
    """Word an exercise for one student, and leave out what is right.

    Parameters
    ----------
    sheet : Exercise
        The exercise
    case : Case
        Her case
    student, name : str
        Her id and name

    Returns
    -------
    SealedCase
        Questions, what is given for each, and how its answer is read

    Notes
    -----
    What it shows is what the open exercise shows beside a question: what an author writes there, she reads. Right
    answers, wrong ideas, hints, worked steps, criteria, other bodies and the values of the case stay out.
    """
    items = tuple(
        SealedItem(
            name=item.name,
            called=item.called,
            by_hand=item.by_hand,
            points=float(item.points),
            given=beside(sheet, item, case),
            form=item.form(case),
        )
        for item in sheet.items
    )
    return SealedCase(
        exercise=sheet.name,
        title=sheet.title,
        student=student,
        name=name,
        seed=case.seed,
        draw=case.draw,
        number=case_number(case),
        kit=__version__,
        page=first_page(sheet, case),
        items=items,
    )


def read_sealed(path: Path) -> SealedCase:
    """Read the file beside a notebook.

    Parameters
    ----------
    path : Path
        The file

    Returns
    -------
    SealedCase
        What it holds

    Raises
    ------
    InputError
        If it is not there, or is damaged
    """
    try:
        if path.stat().st_size > _MOST:
            raise ValueError("too large")
        return SealedCase.from_data(json.loads(path.read_text(encoding="utf-8")))
    except FileNotFoundError:
        raise InputError(
            given=f"The file {path.name} does not lie beside this notebook.",
            do="It came with it: put both into one folder, then run this cell again.",
        ) from None
    except (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        raise InputError(
            given=f"The file {path.name} cannot be read: it is damaged, or of another version of controlkit.",
            do="Put the one that you were handed out in its place, then run this cell again.",
        ) from None


def _item_data(item: SealedItem) -> dict[str, Any]:
    try:
        form = form_data(item.form)
    except ValueError as trouble:
        raise InputError(
            given=f"The item {item.name} cannot be handed out sealed: {trouble}.",
            do="Let its inputs be numbers and rows of numbers, and its form one of the package.",
        ) from None
    same = {name: getattr(item, name) for name in ("name", "called", "by_hand", "points")}
    return {**same, "given": _kept(item.given), "form": form}


def _kept(parts: Parts) -> list[Any]:
    return [part if isinstance(part, str) else part.as_data() for part in parts]


def _parts(kept: Sequence[Any]) -> Parts:
    return tuple(part if isinstance(part, str) else Table.from_data(part) for part in kept)
