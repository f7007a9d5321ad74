"""Readings as a case shows them: rounded where that is safe, and read between the rows of a table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from controlkit.checking.case.cases import Value

EDGE = 0.002
"""A measured value this near to the edge of rounding is not used: machines might round it apart [mm, deg or %]."""


def rounded(raw: Mapping[str, float], edge: float = EDGE) -> dict[str, Value] | None:
    """Whole numbers for a case; None where one lies on the edge of rounding."""
    if any(abs(abs(value % 1) - 0.5) < edge for value in raw.values()):
        return None
    return {name: round(value) for name, value in raw.items()}


def step_of(given: Sequence[float], value: float) -> int:
    """The step of a rising or falling column in which a value lies, or to whose side it lies beyond the ends [-]."""
    falling = given[0] > given[-1]
    last = len(given) - 2
    return next((k for k in range(last) if (value >= given[k + 1] if falling else value <= given[k + 1])), last)


def between(given: Sequence[float], wanted: Sequence[float], value: float) -> float:
    """Read between two rows of a table; beyond its ends, go on as between the nearest two [as wanted]."""
    k = step_of(given, value)
    return float(wanted[k] + (wanted[k + 1] - wanted[k]) * (value - given[k]) / (given[k + 1] - given[k]))
