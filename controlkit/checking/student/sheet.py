"""An exercise as data, and the admission of cases: each must be able to tell ideas apart."""

from __future__ import annotations

from dataclasses import dataclass, field

from controlkit.checking.case.cases import Candidate, Case, Plan, apart
from controlkit.checking.items.quantity import Design, Item, Quantity, Written
from controlkit.checking.items.wrong import WrongIdea
from controlkit.checking.reading import slips
from controlkit.units import InputError


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
        for item in self.items:
            if item.name == name:
                return item
        names = ", ".join(f'"{item.name}"' for item in self.items)
        raise InputError(f'This exercise has no item "{name}". Its items are {names}.')

    def right(self, case: Case) -> dict[str, float]:
        """The right answer of every quantity.

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
            if isinstance(item, Quantity):
                answers[item.name] = float(item.right(case, answers))
        return answers

    def candidates(self, item: Quantity, case: Case) -> list[Candidate]:
        """Everything that an answer to a quantity could be taken for, wrong units apart.

        Parameters
        ----------
        item : Quantity
            The item
        case : Case
            The case to answer

        Returns
        -------
        list of Candidate
            The right answer first, then every wrong model, in the unit of the item
        """
        truth = self.right(case)
        right = truth[item.name]
        found = [("right", right)]
        found += [(idea.label, value) for idea in self.about(item) for value in idea.values(case, truth)]
        return [Candidate(label, value, item.tolerance(value, right)) for label, value in found]

    def about(self, item: Quantity) -> tuple[WrongIdea, ...]:
        """The wrong ideas about one item.

        Parameters
        ----------
        item : Quantity
            The item

        Returns
        -------
        tuple of WrongIdea
            In the order in which they are recognised
        """
        return tuple(idea for idea in self.ideas if idea.item == item.name)

    def admits(self, case: Case) -> bool:
        """Whether a case can tell the right answer and all wrong ideas apart.

        Five tolerances must lie between any two of them; the right size read in another unit must
        not be taken for one of them either.

        Parameters
        ----------
        case : Case
            A drawn case

        Returns
        -------
        bool
            True if it can be handed out
        """
        for item in self.items:
            if isinstance(item, Design | Written):
                continue
            if not isinstance(item, Quantity):
                if not item.admits(case):
                    return False
                continue
            answers = self.candidates(item, case)
            right = answers[0].value
            low, high = item.credible
            if not (low <= right <= high and apart(answers)):
                return False
            for _, factor, _ in slips(item.kind, item.unit):
                slip = Candidate("slip", right * factor, item.tolerance(right * factor, right))
                if not all(apart([answer, slip]) for answer in answers):
                    return False
        return True

    def own_case(self, name: str) -> Case:
        """The case of one student.

        Parameters
        ----------
        name : str
            Name or class id, as typed

        Returns
        -------
        Case
            Always the same for the same name
        """
        return self.plan.draw(name, self.admits)
