"""What a rule of the student's own is held against: laws that must hold, and results that are near enough."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback
from controlkit.checking.items.running import Data

Inputs = tuple[Any, ...]
"""What one call is given, in the order of the arguments, in the units that the item names."""


@dataclass(frozen=True, kw_only=True)
class Law:
    """Something that must hold whatever the numbers are.

    Parameters
    ----------
    label : str
        Fixed name, free of numbers
    points : float
        What it earns [-]
    inputs : callable
        From the case, the calls that it looks at
    holds : callable
        From their results, in the same order, whether it holds
    met : str
        What to say when it does
    ask : str
        What to ask when it does not
    because : str
        For the instructor: what lies behind a failure
    """

    label: str
    points: float
    inputs: Callable[[Case], tuple[Inputs, ...]]
    holds: Callable[[tuple[Any, ...]], bool]
    met: str
    ask: str
    because: str


def held(
    laws: Sequence[Law], case: Case, values: Sequence[Data | None], *, depends: bool
) -> tuple[float, tuple[Feedback, ...]]:
    """Points and words law by law.

    Parameters
    ----------
    laws : sequence of Law
        What must hold
    case : Case
        The student's case
    values : sequence
        Results of the laws' calls, one after the other; None where a call came to none
    depends : bool
        Whether results depend on inputs at all; those that are always the same earn nothing

    Returns
    -------
    tuple
        Points, and a line for each law [-]
    """
    points, notes, start = 0.0, [], 0
    for law in laws:
        many = len(law.inputs(case))
        found = tuple(values[start : start + many])
        holds = depends and all(one is not None for one in found) and _holds(law, found)
        start += many
        points += law.points if holds else 0.0
        if holds:
            notes.append(Feedback(f"{law.label}:met", "right", f"  Yes: {law.met}", "met"))
        elif depends:
            notes.append(Feedback(f"{law.label}:not-met", "idea", f"  Not yet: {law.ask}", law.because))
    return points, tuple(notes)


def _holds(law: Law, found: tuple[Any, ...]) -> bool:
    """Whether a law holds; one that cannot be computed, from results too large, does not."""
    try:
        return bool(law.holds(found))
    except (ArithmeticError, ValueError):
        return False


def near(one: Data, other: Data, *, within: float, relative: float, times: float = 1.0) -> bool:
    """Whether a result is taken for another: within a size or a share of the other, so many times over [unit and -]."""
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= times * max(within, relative * abs(other))
    if isinstance(one, float) or isinstance(other, float) or len(one) != len(other):
        return False
    return all(
        near(first, second, within=within, relative=relative, times=times)
        for first, second in zip(one, other, strict=True)
    )


def varies(results: Sequence[Data]) -> bool:
    """Whether results are not always the same."""
    return len(set(results)) > 1


def in_words(arguments: Sequence[str], call: Inputs) -> str:
    """A call in words: the name of each argument, and its value."""
    return ", ".join(f"{named(meaning)} = {value}" for meaning, value in zip(arguments, call, strict=True))


def named(meaning: str) -> str:
    """The name of an argument: what stands in its meaning before a comma or a unit."""
    return meaning.split(",")[0].split(" [")[0]
