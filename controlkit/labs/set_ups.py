"""The set-ups that a lab has seen so far, each remembered; the one on show is a start for the next."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import TypeVar

from controlkit.labs.controls import Value, Values
from controlkit.labs.remembered import Remembered
from controlkit.mechanics import SingleControl

__all__ = ["SetUps"]

Found = TypeVar("Found")

KEPT = 24
"""Set-ups that a lab remembers [-]."""


class SetUps:
    """Set-ups by what was chosen for them.

    Parameters
    ----------
    fitted : callable
        From the choices to the system.
    keys : sequence of str
        Controls that another set-up depends on.
    """

    def __init__(self, fitted: Callable[[Values], SingleControl], keys: Sequence[str]) -> None:
        self._fitted = fitted
        self._keys = tuple(keys)
        self._known = lru_cache(maxsize=KEPT)(self._put_on)
        self._shown: Remembered | None = None

    def _put_on(self, *chosen: Value) -> Remembered:
        return Remembered(self._fitted(dict(zip(self._keys, chosen, strict=True))), self._shown)

    def of(self, setting: Values) -> Remembered:
        """Find the set-up of a setting, and take it as the one on show.

        Parameters
        ----------
        setting : mapping
            The setting [SI].

        Returns
        -------
        Remembered
            Its set-up.
        """
        self._shown = self._known(*(setting[key] for key in self._keys))
        return self._shown

    def aside(self, ask: Callable[[Values], Found], setting: Values) -> Found:
        """Ask for another setting; the next question still starts from the set-up on show.

        Parameters
        ----------
        ask : callable
            Answers a setting, and finds its set-up here.
        setting : mapping
            The other setting [SI].

        Returns
        -------
        Found
            The answer.
        """
        shown = self._shown
        try:
            return ask(setting)
        finally:
            self._shown = shown
