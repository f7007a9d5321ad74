"""What an item of any kind can be asked. A kind is one file beside this one, and nothing else knows it by name."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement, in_words
from controlkit.checking.forms.base import AnyForm, Form
from controlkit.checking.items.wrong import Earlier, WrongIdea
from controlkit.tables import Table


@dataclass(frozen=True, kw_only=True)
class Given:
    """An item as it is given to one student: her case, what is right in it, and which wrong ideas there are.

    Parameters
    ----------
    case : Case
        The student's case
    ideas : tuple of WrongIdea
        Known wrong ideas about this item, in the order in which they are recognised
    right : callable
        From a case, the right answer of every item that is a number, each in the unit of its item
    """

    case: Case
    ideas: tuple[WrongIdea, ...]
    right: Callable[[Case], Mapping[str, float]]

    @cached_property
    def truth(self) -> Mapping[str, float]:
        """The right answers of the case; computed when first needed, since not every kind looks at them."""
        return self.right(self.case)


@dataclass(frozen=True, kw_only=True)
class Question(Given):
    """One answer to judge, with everything that is known about it.

    Parameters
    ----------
    case : Case
        The student's case
    ideas : tuple of WrongIdea
        Known wrong ideas about this item, in the order in which they are recognised
    right : callable
        From a case, the right answer of every item that is a number, each in the unit of its item
    answer : object
        Whatever the student's variable holds
    earlier : mapping
        The student's own earlier answers that may be carried forward, each in the unit of its item
    attempt : int
        Which attempt this is, from 1: chooses hints, never points [-]
    kept_back : object
        What the instructor keeps back of this item; None in the notebook
    """

    answer: Any
    earlier: Earlier = field(default_factory=dict)
    attempt: int = 1
    kept_back: Any = None


@dataclass(frozen=True)
class KeptBack:
    """What an instructor keeps back of an exercise, and grades with.

    Parameters
    ----------
    items : mapping
        Name of an item to what is kept back of it: for a function its unseen inputs, from the case; for a
        design the `OtherBodies` on which it is tried
    """

    items: Mapping[str, Any] = field(default_factory=dict)


class Item(ABC):
    """One thing that an exercise asks.

    A kind derives from this and has, as fields or properties, ``name`` (of the item, and of its variable in
    the notebook), ``points`` (the most it can earn) and ``asks`` (what is asked, in words). It must judge;
    the rest has a usual answer.
    """

    keeps_back: ClassVar[bool] = False
    """Whether grading uses something that students do not see."""

    by_hand: ClassVar[bool] = False
    """Whether a person marks it."""

    admits_late: ClassVar[bool] = False
    """Whether `admits` takes long, and is asked only of cases that all other items admit."""

    if TYPE_CHECKING:  # read-only here: fields in some kinds, computed in others

        @property
        def name(self) -> str: ...
        @property
        def points(self) -> float: ...
        @property
        def asks(self) -> str: ...

    @property
    def called(self) -> str:
        """What it is called in a sentence for a student.

        Returns
        -------
        str
            Its name in words, as in the table of what is asked
        """
        return in_words(self.name)

    @abstractmethod
    def judge(self, question: Question) -> Judgement:
        """Judge one answer.

        Parameters
        ----------
        question : Question
            The answer, and what is known about it

        Returns
        -------
        Judgement
            Points and what to say
        """

    def form(self, case: Case) -> Form[Any]:  # noqa: ARG002
        """How an answer is read, without a word of what is right; `judge` reads by it too.

        Parameters
        ----------
        case : Case
            The student's case

        Returns
        -------
        Form
            Unless a kind gives its own, one that only tells whether anything stands there
        """
        return AnyForm(name=self.name)

    def asked(self, case: Case) -> str:  # noqa: ARG002 - the same for every case, unless a kind says otherwise
        """What is asked, with everything that an answer needs to know.

        Parameters
        ----------
        case : Case
            The student's case

        Returns
        -------
        str
            For the table of items
        """
        return self.asks

    def lists(self, case: Case) -> tuple[Table, ...]:  # noqa: ARG002
        """The words that an answer is made of, where there is a list of them.

        Parameters
        ----------
        case : Case
            The student's case

        Returns
        -------
        tuple of Table
            A word and what it says, line by line; empty for most kinds
        """
        return ()

    def heading(self) -> str:
        """What is asked, as it stands above the cell in a notebook.

        Returns
        -------
        str
            Markdown
        """
        return f"{self.asks[:1].upper()}{self.asks[1:]}."

    def stub(self) -> str:
        """What a student fills in.

        Returns
        -------
        str
            The source of its cell, dots where the answer belongs
        """
        return f"{self.name} = ..."

    def admits(self, given: Given) -> bool:  # noqa: ARG002
        """Whether a case can tell the right answer of this item from wrong ones.

        Parameters
        ----------
        given : Given
            The item with a drawn case

        Returns
        -------
        bool
            True if the case can be handed out
        """
        return True

    def number(self, case: Case, earlier: Earlier) -> float | None:  # noqa: ARG002
        """The right answer, where it is a number.

        Parameters
        ----------
        case : Case
            The student's case
        earlier : mapping
            Right or own answers of the items before, each in the unit of its item

        Returns
        -------
        float or None
            None for every other kind [unit]
        """
        return None

    def carries(self, value: float) -> bool:  # noqa: ARG002
        """Whether a student's own value may be carried forward to a later item.

        Parameters
        ----------
        value : float
            Her answer [unit]

        Returns
        -------
        bool
            True if it is credible
        """
        return False

    def explains(self, given: Given, value: float) -> bool:  # noqa: ARG002
        """Whether a known wrong idea answers so; then it is carried forward however far off it is.

        Parameters
        ----------
        given : Given
            The item with the student's case
        value : float
            Her answer [unit]

        Returns
        -------
        bool
            True if one does; never for nought, which answered twice would earn a later mark
        """
        return False

    def wrong_answers(self, given: Given) -> tuple[Any, ...]:  # noqa: ARG002
        """What students answer who hold a known wrong idea about this item.

        Parameters
        ----------
        given : Given
            The item with the student's case

        Returns
        -------
        tuple
            One answer an idea, or more where an idea has several forms; empty where none is known
        """
        return ()

    def judged(self, points: float, *notes: Feedback, value: float | None = None) -> Judgement:
        """A judgement of this item.

        Parameters
        ----------
        points : float
            Points earned [-]
        *notes : Feedback
            What to say, the most important first
        value : float, optional
            The answer as it was read [unit]

        Returns
        -------
        Judgement
            With name and points of the item
        """
        return Judgement(item=self.name, points=points, out_of=self.points, feedback=notes, value=value)
