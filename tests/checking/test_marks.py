"""From source to mark: stock nbgrader for one name, the judging function for six and every exercise: the same marks."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from controlkit.checking import (
    Case,
    Choice,
    Design,
    Diagnosis,
    Exercise,
    Formula,
    Item,
    Order,
    Quantity,
    Written,
    judge,
)
from controlkit.checking.items.notation import read_formula
from tests.checking.golden import PEOPLE
from tests.checking.hands import NAMES, Hands
from tests.checking.school import SHORT, WHO, School, answers_with_ideas, mark, sorts, turns, with_ideas

OTHERS = PEOPLE[1:]

Marks = Mapping[str, float]


def judged(hands: Hands, who: str, answers: Mapping[str, Any]) -> Marks:
    """Marks from the judging function alone."""
    mine = hands.exercise(who)
    items = [item for item in hands.exercise.items if not isinstance(item, Written)]
    return {f"t-{item.name}": mine.score(item.name, answers[item.name], hands.kept_back) for item in items}


def full(exercise: Exercise) -> Marks:
    return {f"t-{item.name}": item.points for item in exercise.items if not isinstance(item, Written)}


def check_sorts(hands: Hands, school: School) -> None:
    assert school.tested(hands.name, "right") == full(hands.exercise)
    assert school.tested(hands.name, "blank") == dict.fromkeys(full(hands.exercise), 0.0)
    assert school.tested(hands.name, "idea") == judged(hands, WHO, answers_with_ideas(hands, WHO))


@pytest.mark.parametrize("name", SHORT)
def test_stock_nbgrader_marks_right_untouched_and_wrong_ideas(
    name: str, every: dict[str, Hands], school: School
) -> None:
    check_sorts(every[name], school)


def test_every_kind_of_item_is_marked_by_stock_nbgrader(every: dict[str, Hands]) -> None:
    there, short = ({type(item) for name in names for item in every[name].exercise.items} for names in (NAMES, SHORT))
    assert short == there


@pytest.mark.long
def test_stock_nbgrader_marks_every_exercise_and_every_wrong_idea(every: dict[str, Hands], tmp_path: Path) -> None:
    handed_in = {
        name: sorts(hands) | {f"idea-{turn}": with_ideas(hands, turn) for turn in range(turns(hands))}
        for name, hands in every.items()
    }
    school = mark(tmp_path / "CLASS", handed_in)
    for name, hands in every.items():
        check_sorts(hands, school)
        for turn in range(turns(hands)):
            assert school.tested(name, f"idea-{turn}") == judged(hands, WHO, answers_with_ideas(hands, WHO, turn))


def test_the_judging_function_gives_the_same_marks_to_five_more(hands: Hands) -> None:
    assert len({WHO, *OTHERS}) == 6
    for who in (WHO, *OTHERS):
        assert judged(hands, who, hands.solved(who)) == full(hands.exercise), who
        mine = hands.exercise(who)
        assert all(mine.score(item.name, ..., hands.kept_back) == 0.0 for item in hands.exercise.items)
        for turn in range(turns(hands)):
            answers = answers_with_ideas(hands, who, turn)
            for item in hands.exercise.items:
                if not isinstance(item, Written | Design):
                    earned = judge(
                        hands.exercise, item.name, answers[item.name], mine.case, kept_back=hands.kept_back
                    ).points
                    assert earned == pytest.approx(part(item, hands, mine.case, turn)), (who, item.name, turn)


def part(item: Item, hands: Hands, case: Case, turn: int) -> float:
    """The stated part of the points that the wrong idea of this turn earns."""
    if isinstance(item, Quantity):
        truth = hands.exercise.right(case)
        held = [idea.share for idea in hands.exercise.about(item) for _ in idea.values(case, truth)]
        return held[turn % len(held)] * item.points
    if isinstance(item, Choice):
        shares = [one.share for one in item.statements if one.word != item.right(case)]
        return shares[turn % len(shares)] * item.points
    if isinstance(item, Diagnosis):
        shares = [one.share for one in item.faults if one.word != item.fault(case)]
        return shares[turn % len(shares)] * item.fault_points
    if isinstance(item, Formula):
        form, idea = [(form, one) for one in item.ideas for form in one.forms][
            turn % sum(len(one.forms) for one in item.ideas)
        ]
        read = read_formula(form, item.names, item.also)
        calls = {law.label: law.inputs(case) for law in item.laws}
        kept = [
            law.points
            for law in item.laws
            if law.holds(tuple(read.value(dict(zip(item.names, call, strict=True))) for call in calls[law.label]))
        ]
        return idea.share * item.results_points + sum(kept)
    assert isinstance(item, Order)
    return 0.0


def test_there_is_a_private_file_for_each(root: Path) -> None:
    for name in NAMES:
        assert (root / "solutions" / f"{name}_graded.py").is_file()
