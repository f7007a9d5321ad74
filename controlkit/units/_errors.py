"""The one error that speaks to the person who typed."""

from __future__ import annotations


class InputError(ValueError):
    """Say what was given, what is allowed and what to do next.

    A notebook shows the sentence alone, without the lines of program around it.

    Parameters
    ----------
    message : str
        One to three sentences for the person who gave the input

    Examples
    --------
    >>> str(InputError("You gave nothing. Write a number with its unit."))
    'You gave nothing. Write a number with its unit.'
    """

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message

    def _render_traceback_(self) -> list[str]:
        """Return what a notebook prints in place of a traceback."""
        return [self.message]
