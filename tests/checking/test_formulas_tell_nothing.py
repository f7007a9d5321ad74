"""What a check says of a wrong formula is no answer to another question of the same exercise."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

from controlkit.checking import Exercise, Formula, Quantity
from controlkit.checking.case.cases import Case

NAMES = ("Ana Dvořák", "Zoë Marsh", "Student 1", "Student 7", "A-17")
TIMES = (0.25, 0.5, 1.0, 2.0, 4.0, 100.0, 0.01)
"""What a number may be multiplied by and still be told: halves and doubles, per cent and shares."""


def _told(formula: Formula, case: Case) -> Iterator[tuple[str, float]]:
    """What comes of typing one argument, or one over or times another, as the first values show it."""
    values = dict(zip((word.split(",")[0] for word in formula.arguments), formula.inputs(case)[0], strict=True))
    for name, value in values.items():
        yield name, float(value)
    for one, other in permutations(values, 2):
        if values[other]:
            yield f"{one} / {other}", values[one] / values[other]
        yield f"{one} * {other}", values[one] * values[other]


def test_no_formula_shows_what_another_question_asks_for(exercises: dict[str, Exercise]) -> None:
    """A number that some short formula shows for every name would be handed in for marks."""
    looked_at = 0
    for exercise in exercises.values():
        formulas = [item for item in exercise.items if isinstance(item, Formula)]
        cases = [exercise.own_case(name) for name in NAMES] if formulas else []
        asked = [item.name for item in exercise.items if isinstance(item, Quantity)]
        for formula in formulas:
            shows = [dict(_told(formula, case)) for case in cases]
            rights = [exercise.right(case) for case in cases]
            for name in asked:
                for typed in shows[0]:
                    for times in TIMES:
                        near = [
                            abs(times * told[typed] - right[name]) <= 0.004 * abs(right[name])
                            for told, right in zip(shows, rights, strict=True)
                        ]
                        assert not all(near), f"{exercise.name}: {times:g} times {typed} of {formula.name} is {name}"
            looked_at += 1
    assert looked_at > 4
