"""What a form of any kind can be asked. A kind is one class in a file beside this one."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar, Generic, TypeVar

from controlkit.checking.feedback import Feedback, in_words, nothing_yet
from controlkit.checking.reading import is_blank, plain

Value = TypeVar("Value")
"""What an answer of a kind becomes when it is read."""


class Form(ABC, Generic[Value]):
    """How an answer to one item is read.

    A kind derives from this as a frozen dataclass whose fields are plain: texts, numbers, tuples of such, other
    forms. It knows nothing of what is right, and is kept as data by `controlkit.checking.forms.data`.
    """

    sort: ClassVar[str]
    """Fixed name of the kind, as it stands in the data."""

    if TYPE_CHECKING:  # read-only here: fields in some kinds, computed in others

        @property
        def called(self) -> str: ...

    @abstractmethod
    def read(self, answer: Any) -> Value | Feedback:
        """Read one answer.

        Parameters
        ----------
        answer : object
            Whatever the student's variable holds; nothing of a foreign object is called

        Returns
        -------
        object or Feedback
            The answer as it was read, else what to say
        """

    @abstractmethod
    def shown(self, value: Value) -> str:
        """An answer that was read, in words.

        Parameters
        ----------
        value : object
            As `read` gave it

        Returns
        -------
        str
            A part of a sentence
        """

    def said(self, answer: Any, value: Value) -> tuple[str, ...]:  # noqa: ARG002 - some kinds look at what was typed
        """What to say of an answer that was read, and nothing of what it is worth.

        Parameters
        ----------
        answer : object
            As it was given
        value : object
            As `read` gave it

        Returns
        -------
        tuple of str
            Lines for the student
        """
        return (f"{self.called}: read as {self.shown(value)}.",)


class ByName:
    """A form that knows its item's name, as it is typed."""

    if TYPE_CHECKING:

        @property
        def name(self) -> str: ...

    @property
    def called(self) -> str:
        """The name in a sentence."""
        return in_words(self.name)


@dataclass(frozen=True, kw_only=True)
class AnyForm(ByName, Form[Any]):
    """How a kind that gives no form of its own is read: whether anything stands there.

    Parameters
    ----------
    name : str
        Name of the item
    """

    sort: ClassVar[str] = "anything"

    name: str

    def read(self, answer: Any) -> Any:
        return nothing_yet(self.called) if is_blank(plain(answer)) else answer

    def shown(self, value: Any) -> str:  # noqa: ARG002 - nothing is known of it
        return "it stands"

    def said(self, answer: Any, value: Any) -> tuple[str, ...]:  # noqa: ARG002
        return (f"{self.called}: something stands here. Whether it can be read shows when it is marked.",)
