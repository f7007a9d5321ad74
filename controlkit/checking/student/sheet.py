"""An exercise as data, and the admission of cases: each must be able to tell ideas apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any, Protocol, TypeVar

from controlkit.checking.case.cases import Case, Plan
from controlkit.checking.items.base import Given, Item
from controlkit.checking.items.wrong import Earlier, WrongIdea
from controlkit.units import InputError


class HasName(Protocol):
    """Whatever bears a name."""

    @property
    def name(self) -> str:
        """Its name."""


One = TypeVar("One", bound=HasName)


def item_named(items: Sequence[One], name: str) -> One:
    """The item of that name.

    Parameters
    ----------
    items : sequence
        Those of an exercise
    name : str
        Its name

    Returns
    -------
    object
        One of them

    Raises
    ------
    InputError
        If there is none of that name
    """
    for item in items:
        if item.name == name:
            return item
    names = ", ".join(f'"{item.name}"' for item in items)
    raise InputError(given=f'This exercise has no item "{name}".', allowed=f"Its items are {names}.")


@dataclass(frozen=True)
class Sheet:
    """An exercise as data: how cases are drawn, what is asked, which wrong ideas are known.

    Parameters
    ----------
    name : str
        Name of the exercise, also of its folder and its file
    title : str
        For the student
    plan : Plan
        How cases are drawn
    items : tuple
        What is asked, in order
    ideas : tuple of WrongIdea
        Known wrong ideas
    """

    name: str
    title: str
    plan: Plan
    items: tuple[Item, ...]
    ideas: tuple[WrongIdea, ...] = field(default=())

    @property
    def announced(self) -> str:
        """All its points in words, and who gives them where a person marks some.

        Returns
        -------
        str
            Such as "24 points (20 by the checks, 4 by your instructor)"
        """
        by_hand = sum(item.points for item in self.items if item.by_hand)
        points = sum(item.points for item in self.items)
        shared = f" ({points - by_hand:g} by the checks, {by_hand:g} by your instructor)" if by_hand else ""
        return f"{points:g} points{shared}"

    def item(self, name: str) -> Item:
        """The item of that name.

        Parameters
        ----------
        name : str
            Its name

        Returns
        -------
        Item
            Of any kind

        Raises
        ------
        InputError
            If there is none of that name
        """
        return item_named(self.items, name)

    def right(self, case: Case) -> dict[str, float]:
        """The right answer of every item that is a number.

        Parameters
        ----------
        case : Case
            The case to answer

        Returns
        -------
        dict of str to float
            Name of the item to its right answer, in the unit of the item
        """
        answers: dict[str, float] = {}
        for item in self.items:
            number = item.number(case, answers)
            if number is not None:
                answers[item.name] = number
        return answers

    def carried(self, earlier: Earlier, case: Case) -> dict[str, float]:
        """What may be carried forward of a student's own earlier answers.

        Parameters
        ----------
        earlier : mapping
            Her answers by item, each in the unit of its item
        case : Case
            Her case

        Returns
        -------
        dict of str to float
            Those that are credible, or that a known wrong idea explains: one slip costs once
        """
        given = {item.name: item for item in self.items if item.name in earlier}
        return {
            name: earlier[name]
            for name, item in given.items()
            if item.carries(earlier[name]) or item.explains(self.given(item, case), earlier[name])
        }

    def about(self, item: Item) -> tuple[WrongIdea, ...]:
        """The wrong ideas about one item.

        Parameters
        ----------
        item : Item
            The item

        Returns
        -------
        tuple of WrongIdea
            In the order in which they are recognised
        """
        return tuple(idea for idea in self.ideas if idea.item == item.name)

    def given(self, item: Item, case: Case) -> Given:
        """An item as it is given with one case.

        Parameters
        ----------
        item : Item
            The item
        case : Case
            The case to answer

        Returns
        -------
        Given
            The case, and what is known to be right and wrong in it
        """
        return Given(case=case, ideas=self.about(item), right=self.right)

    def wrong_answers(self, name: str, case: Case) -> tuple[Any, ...]:
        """What students answer who hold a known wrong idea about an item.

        Parameters
        ----------
        name : str
            Name of the item
        case : Case
            The case to answer

        Returns
        -------
        tuple
            As they would stand in the variable of the notebook
        """
        item = self.item(name)
        return item.wrong_answers(self.given(item, case))

    def admits(self, case: Case) -> bool:
        """Whether a case can tell the right answer and all wrong ideas apart, in every item.

        Parameters
        ----------
        case : Case
            A drawn case

        Returns
        -------
        bool
            True if it can be handed out
        """
        right = cache(self.right)  # worked out once for all items
        asked = sorted(self.items, key=lambda item: item.admits_late)
        return all(item.admits(Given(case=case, ideas=self.about(item), right=right)) for item in asked)

    def own_case(self, name: str, *, like: int = 0) -> Case:
        """The case of one student.

        Parameters
        ----------
        name : str
            Name or class id, as typed
        like : int, optional
            Which other case of this name, from 1, that no name draws for itself; 0 for its own [-]

        Returns
        -------
        Case
            Always the same for the same name
        """
        return self.plan.draw(name, self.admits, like=like)
