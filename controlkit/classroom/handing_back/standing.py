"""Where each student of a class stands in one exercise: what the checks gave, and what a person gave by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from controlkit.classroom.handing_back.book import HandMark, marks_in_gradebook
from controlkit.classroom.records.answers import Remark, Submission
from controlkit.classroom.records.class_folder import ClassFolder
from controlkit.classroom.records.marks import ItemMark, Marked
from controlkit.classroom.records.roster import Student

State = Literal["marked", "by hand", "blank", "not yet read", "not run here", "not read"]
"""How an item stands: marked by the checks, by a person, nothing written, waiting for a person, its cell not run, or
its file no notebook that could be read."""


@dataclass(frozen=True, kw_only=True)
class ItemStanding:
    """How one item of one student stands.

    Parameters
    ----------
    mark : ItemMark
        What judging made of it
    points : float or None
        Points that are sure; None while it waits [-]
    state : str
        One of `State`
    comment : str
        Of the person who marked
    """

    mark: ItemMark
    points: float | None
    state: State
    comment: str = ""


@dataclass(frozen=True, kw_only=True)
class StudentStanding:
    """How one student stands in one exercise.

    Parameters
    ----------
    student : Student
        As on the roster
    submission : Submission or None
        What she handed in
    marked : Marked or None
        What it earned
    items : tuple of ItemStanding
        In the order of the exercise; empty where nothing is marked
    """

    student: Student
    submission: Submission | None
    marked: Marked | None
    items: tuple[ItemStanding, ...] = ()

    @property
    def total(self) -> float | None:
        """All points, once none is waited for.

        Returns
        -------
        float or None
            None while an item waits, or where nothing is marked [-]
        """
        points = [one.points for one in self.items if one.points is not None]
        return round(sum(points), 2) if self.items and len(points) == len(self.items) else None

    @property
    def by_checks(self) -> float:
        """Points of the items that checks mark, of what is sure [-]."""
        return round(sum(one.points or 0.0 for one in self.items if not one.mark.by_hand), 2)

    @property
    def share(self) -> float | None:
        """Share of the points that could be earned so far.

        Returns
        -------
        float or None
            From 0 to 1; None where nothing is sure [-]
        """
        sure = [one for one in self.items if one.points is not None and one.mark.out_of > 0]
        most = sum(one.mark.out_of for one in sure)
        return sum(one.points or 0.0 for one in sure) / most if most else None

    @property
    def awaited(self) -> tuple[ItemStanding, ...]:
        """Items that wait for a person."""
        return tuple(one for one in self.items if one.points is None)

    @property
    def unread(self) -> str:
        """Why nothing that she handed in was read.

        Returns
        -------
        str
            A sentence; empty where it was, or where a person has marked it all the same
        """
        waits = any(one.state == "not read" for one in self.items) or not self.items
        return self.submission.unread if self.submission is not None and waits else ""

    @property
    def blank(self) -> bool:
        """Whether nothing was answered at all."""
        return bool(self.items) and all(is_blank(one.mark) for one in self.items)

    @property
    def says(self) -> str:
        """In a word or two, what is not settled.

        Returns
        -------
        str
            Empty where all is
        """
        if self.submission is None and self.marked is None:
            return "nothing handed in"
        if self.marked is None:
            return "not marked yet"
        states = [one.state for one in self.awaited]
        return ", ".join(dict.fromkeys(states))

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """What is not as it should be, each once."""
        found = (self.submission.remarks if self.submission else ()) + (self.marked.remarks if self.marked else ())
        return tuple(dict.fromkeys(found))


def is_blank(mark: ItemMark) -> bool:
    """Whether nothing stands in an answer.

    Parameters
    ----------
    mark : ItemMark
        What judging made of it

    Returns
    -------
    bool
        True for dots and for an empty text
    """
    return mark.how == "blank" or (bool(mark.noted) and mark.noted[0].kind == "blank")


def standings(folder: ClassFolder, exercise: str) -> tuple[StudentStanding, ...]:
    """How each student of the roster stands.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise

    Returns
    -------
    tuple of StudentStanding
        In the order of the roster, every student
    """
    by_hand = marks_in_gradebook(folder, exercise)
    return tuple(_standing(folder, exercise, student, by_hand.get(student.id, {})) for student in folder.roster)


def _standing(folder: ClassFolder, exercise: str, student: Student, by_hand: Mapping[str, HandMark]) -> StudentStanding:
    marked = folder.marked(exercise, student.id)
    return StudentStanding(
        student=student,
        submission=folder.submission(exercise, student.id),
        marked=marked,
        items=tuple(_item(one, by_hand.get(one.item)) for one in marked.items) if marked else (),
    )


def _item(mark: ItemMark, hand: HandMark | None) -> ItemStanding:
    comment = hand.comment if hand else ""
    extra = hand.extra if hand else 0.0
    if hand and hand.points is not None and not hand.needed:
        return ItemStanding(mark=mark, points=hand.points + extra, state="by hand", comment=comment)
    if mark.how == "not read":
        return ItemStanding(mark=mark, points=None, state="not read", comment=comment)
    if mark.by_hand and is_blank(mark) and not (hand and hand.needed):
        return ItemStanding(mark=mark, points=extra, state="blank", comment=comment)
    if mark.by_hand:
        return ItemStanding(mark=mark, points=None, state="not yet read", comment=comment)
    if mark.points is None:
        return ItemStanding(mark=mark, points=None, state="not run here", comment=comment)
    points = hand.points if hand and hand.points is not None else mark.points
    return ItemStanding(mark=mark, points=points + extra, state="marked", comment=comment)
