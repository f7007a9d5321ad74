"""What goes wrong on a person's machine, said to that person."""

from __future__ import annotations

__all__ = ["Trouble"]


class Trouble(Exception):  # noqa: N818  (it is told, not debugged)
    """
    Something is in the way: what was found, and the next step.

    Parameters
    ----------
    found : str
        What was found, one sentence.
    next_step : str
        What the person can do now, one sentence.
    """

    def __init__(self, found: str, next_step: str) -> None:
        super().__init__(f"{found}\n{next_step}")
        self.found = found
        self.next_step = next_step
