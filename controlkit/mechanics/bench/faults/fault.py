"""One thing set up wrongly, more or less: a change to a healthy system, below the elbow or above it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

from controlkit.units import InputError, show

HEALTHY = "healthy"
S = TypeVar("S")
"""What is set up: a system below the elbow, or a fitted prosthesis above it."""


@dataclass(frozen=True, kw_only=True)
class Fault(Generic[S]):
    """One thing set up wrongly, more or less.

    Parameters
    ----------
    name : str
        What is wrong
    remedy : str
        What to try first; reasoned, no source
    low, high : float
        How much may be wrong [SI]
    kind : str
        Kind of that quantity
    change : callable
        From a healthy system and a size [SI] to the system with the fault

    Examples
    --------
    >>> from controlkit.mechanics.bench.faults import FAULTS
    >>> FAULTS[0].name, FAULTS[0].low
    ('control attachment strap slack', 0.01)
    """

    name: str
    remedy: str
    low: float
    high: float
    kind: str
    change: Callable[[S, float], S]

    @property
    def sizes(self) -> tuple[float, ...]:
        """Small, middling, large; one size where it can't be more or less [SI]."""
        if self.low == self.high:
            return (self.low,)
        return self.low, 0.5 * (self.low + self.high), self.high

    def drawn(self, share: float) -> float:
        """A size between the smallest and the largest.

        Parameters
        ----------
        share : float
            Part of the way, 0 to 1 [-]

        Returns
        -------
        float
            Size [SI]

        Examples
        --------
        >>> from controlkit.mechanics.bench.faults import FAULTS
        >>> round(FAULTS[0].drawn(0.5), 4)
        0.025
        """
        return self.low + share * (self.high - self.low)

    def at(self, system: S, size: float) -> S:
        """The system with this fault.

        Parameters
        ----------
        system : S
            A healthy system
        size : float
            How much is wrong [SI]

        Returns
        -------
        S
            The same with one change

        Raises
        ------
        InputError
            If the fault can't be made in this system or of this size

        Examples
        --------
        >>> from controlkit.mechanics.bench.faults import FAULTS
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> FAULTS[0].at(SingleControl(figure_of_eight(Wearer.average("male"))), 0.02).harness.control_strap
        0.02
        """
        if not self.low - 1e-9 <= size <= self.high + 1e-9:
            raise InputError(
                given=f'The fault "{self.name}" was asked for at {show(size, self.kind)}.',
                do=f"Give between {show(self.low, self.kind)} and {show(self.high, self.kind)}.",
            )
        return self.change(system, size)
