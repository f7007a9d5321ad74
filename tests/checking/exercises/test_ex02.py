"""Exercise 2 alone: the laws that a formula for the strength is held against. The rest is in test_exercises.py."""

from __future__ import annotations

import pytest

from controlkit.checking import Formula, judge
from tests.checking.hands import Hands

LAWS = {"nothing-lost-all-used", "better-cable-needs-less"}


@pytest.mark.parametrize(
    ("formula", "kept"),
    [
        ("pull / efficiency / share", LAWS),
        ("pull / (share * efficiency)", LAWS),
        ("pull * efficiency / share", {"nothing-lost-all-used"}),
        ("pull / share", {"nothing-lost-all-used"}),
        ("2 * pull / efficiency / share", {"better-cable-needs-less"}),
        ("pull / efficiency / share + 1", {"better-cable-needs-less"}),
        ("pull", set()),
        ("pull * share", set()),
    ],
)
def test_a_formula_for_the_strength_keeps_the_laws_that_it_should(
    every: dict[str, Hands], formula: str, kept: set[str]
) -> None:
    """Which laws hold for a rule follows from the rule alone: no case and no bench decides it."""
    hands = every["ex02"]
    item = hands.exercise.item("strength_needed")
    assert isinstance(item, Formula)
    assert {law.label for law in item.laws} == LAWS
    for number in range(6):
        judged = judge(hands.exercise, item.name, formula, hands.case(number))
        labels = {note.label for note in judged.feedback}
        assert {law for law in LAWS if f"{law}:met" in labels} == kept, judged.words
        full = item.results_points if kept == LAWS else 0
        assert judged.points >= full + len(kept)


def test_a_strength_that_ignores_a_share_of_it_breaks_the_first_law(every: dict[str, Hands]) -> None:
    """Three calls: two where strength is pull, and one where it must be more; the pull alone passes only two."""
    hands = every["ex02"]
    item = hands.exercise.item("strength_needed")
    assert isinstance(item, Formula)
    (law,) = (one for one in item.laws if one.label == "nothing-lost-all-used")
    calls = law.inputs(hands.case(1))
    assert law.holds(tuple(pull / kept / share for pull, kept, share in calls))
    assert not law.holds(tuple(pull for pull, *_ in calls))
