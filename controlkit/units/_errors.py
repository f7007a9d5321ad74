"""The one error that speaks to the person who typed."""

from __future__ import annotations


class InputError(ValueError):
    """Say what was given, what is allowed and what to do next.

    A notebook shows the sentence alone, without the lines of program around it.

    Parameters
    ----------
    given : str
        A sentence: what was given, and what is wrong with it
    allowed : str
        What is allowed: a sentence, or the words of it that stand in `do`; empty where only `do` tells
    do : str
        A sentence: what to do next; empty where `allowed` says it

    Examples
    --------
    >>> trouble = InputError(given="You gave nothing.", do="Write a number with its unit.")
    >>> str(trouble)
    'You gave nothing. Write a number with its unit.'
    >>> trouble.do
    'Write a number with its unit.'
    """

    def __init__(self, *, given: str = "", allowed: str = "", do: str = "") -> None:
        told = "" if allowed in do else allowed
        super().__init__(" ".join(part for part in (given, told, do) if part))
        self.given, self.allowed, self.do = given, allowed, do

    def __reduce__(self) -> tuple[object, ...]:
        return _again, (type(self), self.given, self.allowed, self.do)

    @property
    def message(self) -> str:
        """All of it, as a person reads it."""
        return str(self)

    def _render_traceback_(self) -> list[str]:
        """Return what a notebook prints in place of a traceback."""
        return [self.message]


def _again(kind: type[InputError], given: str, allowed: str, do: str) -> InputError:
    return kind(given=given, allowed=allowed, do=do)
