"""A student's own case: drawn on an integer grid, the same on every machine, admitted only if it tells ideas apart."""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import combinations
from types import MappingProxyType
from typing import Any

from controlkit.units import InputError

Value = int | float | str
"""What one entry of a case can be."""

MOST_DRAWS = 400
"""After so many refused draws the author of the exercise is told, instead of the student kept waiting."""

HOLD = 20
"""Steady values are drawn anew after so many draws [-]."""


@dataclass(frozen=True)
class Range:
    """Equally spaced values of one quantity, as a case may show them.

    Parameters
    ----------
    low, high : int or float
        First and last value, in the unit shown to the student
    step : int or float
        Distance between neighbours, in the same unit
    unit : str
        The unit shown beside the value

    Raises
    ------
    InputError
        If the step is not positive or does not lead from low to high

    Examples
    --------
    >>> Range(30, 70, step=10, unit="N").values()
    (30, 40, 50, 60, 70)
    >>> Range(0.1, 0.3, step=0.1).values()
    (0.1, 0.2, 0.3)
    """

    low: int | float
    high: int | float
    step: int | float = 1
    unit: str = ""

    def __post_init__(self) -> None:
        low, high, step = (Fraction(str(number)) for number in (self.low, self.high, self.step))
        if step <= 0 or high < low or (high - low) % step:
            raise InputError(
                given=f"A range from {self.low} to {self.high} in steps of {self.step} does not work out.",
                allowed="The step must be positive and lead from the first value to the last.",
            )

    def __len__(self) -> int:
        low, high, step = (Fraction(str(number)) for number in (self.low, self.high, self.step))
        return int((high - low) / step) + 1

    def values(self) -> tuple[Value, ...]:
        """Every value of the range, exactly as it is shown and used.

        Returns
        -------
        tuple of int or float
            In rising order, in the unit of the range
        """
        low, step = Fraction(str(self.low)), Fraction(str(self.step))
        exact = (low + number * step for number in range(len(self)))
        return tuple(int(value) if value.denominator == 1 else float(value) for value in exact)


@dataclass(frozen=True)
class OneOf:
    """Values of which a case shows one.

    Parameters
    ----------
    options : tuple
        What can be drawn: words or numbers
    unit : str
        The unit shown beside the value, if it has one
    """

    options: tuple[Value, ...]
    unit: str = ""

    def values(self) -> tuple[Value, ...]:
        """Every value that can be drawn.

        Returns
        -------
        tuple
            As they were given
        """
        return self.options


Draw = Range | OneOf
"""How one entry of a case is drawn."""


@dataclass(frozen=True)
class Case:
    """The numbers of one student's own exercise; what is shown is what is judged.

    Each value is also an attribute and an entry: ``case.pull`` and ``case["pull"]`` are
    ``case.values["pull"]``.

    Parameters
    ----------
    exercise : str
        Name of the exercise
    seed : str
        The normalised name, or class id, that the case was drawn from
    draw : int
        How many draws were refused before this one
    values : mapping
        Name of a quantity to its value, in the unit that the exercise shows
    """

    exercise: str
    seed: str
    draw: int
    values: Mapping[str, Value] = field(hash=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "values", MappingProxyType(dict(self.values)))

    def __getattr__(self, name: str) -> Any:
        if name != "values" and name in self.values:
            return self.values[name]
        raise AttributeError(f"this case has no {name!r}")

    def __getitem__(self, name: str) -> Any:
        return self.values[name]

    def __reduce__(self) -> tuple[Any, ...]:
        return Case, (self.exercise, self.seed, self.draw, dict(self.values))

    def as_data(self) -> dict[str, Value]:
        """The values as plain data, for a grader to compare.

        Returns
        -------
        dict
            A copy; changing it changes nothing here
        """
        return dict(self.values)


def normalise(name: str) -> str:
    """The form of a name from which cases are drawn.

    Composed and decomposed accents, capitals and stray blanks make no difference.

    Parameters
    ----------
    name : str
        As the student typed it

    Returns
    -------
    str
        NFC, casefolded, trimmed, single blanks inside

    Examples
    --------
    >>> normalise("  ZOE\u0308   Marsh ") == normalise("zo\u00eb marsh")
    True
    """
    folded = unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())
    return " ".join(folded.split())


def pick(count: int, *words: str | int) -> int:
    """An index from 0 to ``count - 1`` that depends on the words alone, on any machine and any version [-]."""
    text = "\x1f".join(str(word) for word in words)
    return int.from_bytes(hashlib.sha256(text.encode("utf-8")).digest(), "big") % count


@dataclass(frozen=True)
class Plan:
    """How the cases of an exercise are drawn.

    Parameters
    ----------
    exercise : str
        Name of the exercise, part of the seed
    draws : mapping
        Name of each drawn value to its Range or OneOf
    derive : callable, optional
        From the drawn values, further values that the mechanics computes; already rounded as shown.
        Returns None where the draw is of no use (an impossible body, a value on the edge of rounding)
    screen : callable, optional
        A cheap test of the drawn values before ``derive`` is called
    steady : frozenset of str
        Values that stay for `HOLD` draws: what ``derive`` is asked about, so that it is asked seldom
    """

    exercise: str
    draws: Mapping[str, Draw]
    derive: Callable[[Mapping[str, Value]], Mapping[str, Value] | None] | None = None
    screen: Callable[[Mapping[str, Value]], bool] | None = None
    steady: frozenset[str] = frozenset()

    def candidates(self, seed: str) -> Iterator[Case]:
        """The cases of one seed, in their fixed order, before admission.

        Parameters
        ----------
        seed : str
            A normalised name or class id

        Yields
        ------
        Case
            The next draw that passes ``screen`` and ``derive``
        """
        tables = {name: draw.values() for name, draw in self.draws.items()}
        for number in range(MOST_DRAWS):
            turns = {name: number // HOLD if name in self.steady else number for name in tables}
            values = {
                name: table[pick(len(table), self.exercise, seed, turns[name], name)] for name, table in tables.items()
            }
            if self.screen is not None and not self.screen(values):
                continue
            derived = self.derive(values) if self.derive is not None else {}
            if derived is not None:
                yield Case(self.exercise, seed, number, {**values, **derived})

    def draw(self, name: str, admit: Callable[[Case], bool], *, like: int = 0) -> Case:
        """The case of one student: the first draw that is admitted.

        Parameters
        ----------
        name : str
            The student's name or class id, as typed
        admit : callable
            Says whether a case can be used
        like : int, optional
            Which other case of this name, from 1, that no name draws for itself; 0 for its own [-]

        Returns
        -------
        Case
            The same for the same name, always

        Raises
        ------
        InputError
            If no draw is admitted: the ranges of the exercise need mending
        """
        beside = f"\x1flike\x1f{like}" if like else ""  # `normalise` leaves no such mark in a typed name
        for case in self.candidates(normalise(name) + beside):
            if admit(case):
                return case
        raise InputError(
            given=f"No usable case was found for exercise {self.exercise} in {MOST_DRAWS} draws.",
            do="This is a fault of the exercise, not yours: please tell your instructor.",
        )


@dataclass(frozen=True)
class Candidate:
    """One value that an answer can be taken for.

    Parameters
    ----------
    label : str
        "right", or the label of a wrong idea
    value : float
        What it answers [unit]
    tolerance : float
        What is still taken for it [unit]
    """

    label: str
    value: float
    tolerance: float


def apart(answers: Sequence[Candidate], times: float = 5.0) -> bool:
    """Whether answers with different labels are so far apart that none can be taken for another.

    Parameters
    ----------
    answers : sequence of Candidate
        The right answer and every wrong model, in one unit
    times : float
        How many tolerances, of the coarser of two, must lie between two labels [-]

    Returns
    -------
    bool
        False also where a value is not finite

    Examples
    --------
    >>> right = Candidate("right", 80.0, 1.0)
    >>> apart([right, Candidate("chord", 74.0, 1.0)]), apart([right, Candidate("chord", 76.0, 1.0)])
    (True, False)
    """
    if not all(abs(answer.value) < float("inf") for answer in answers):
        return False
    return all(
        one.label == other.label or abs(one.value - other.value) >= times * max(one.tolerance, other.tolerance)
        for one, other in combinations(answers, 2)
    )
