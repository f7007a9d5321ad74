"""Wrong ideas of every exercise: enough of them, truly different, each with its question and why it is held; hints."""

from __future__ import annotations

import re

from controlkit.checking import Choice, Design, Diagnosis, Exercise, Formula, Order, Quantity, Written, judge
from tests.checking.hands import Hands

NUMBER = re.compile(r"\d+(?:\.\d+)?")


def ideas_of(exercise: Exercise) -> dict[tuple[str, str], tuple[str, str]]:
    """Item and label of every named wrong idea, to its question and the reason why it is held."""
    found = {(idea.item, idea.label): (idea.ask, idea.held_because) for idea in exercise.ideas}
    for item in exercise.items:
        if isinstance(item, Formula):
            found |= {(item.name, idea.label): (idea.ask, idea.held_because) for idea in item.ideas}
    return found


def test_each_wrong_idea_asks_and_says_why_it_is_held(hands: Hands) -> None:
    found = ideas_of(hands.exercise)
    assert len({label for _, label in found}) >= 3
    for (item, label), (ask, because) in found.items():
        assert ask.strip().endswith("?"), (item, label)
        assert because, (item, label)
        assert not NUMBER.search(label), label


def test_there_are_twenty_different_wrong_ideas_and_every_kind_of_item(exercises: dict[str, Exercise]) -> None:
    assert len({label for exercise in exercises.values() for _, label in ideas_of(exercise)}) >= 20
    kinds = {type(item) for exercise in exercises.values() for item in exercise.items}
    assert kinds == {Quantity, Choice, Order, Formula, Design, Diagnosis, Written}
    numbers = [i for e in exercises.values() for i in e.items if isinstance(i, Quantity) and i.unit == ""]
    assert numbers  # a plain number


def test_no_wrong_idea_stands_under_two_names(exercises: dict[str, Exercise]) -> None:
    """Two labels with one question would be one idea counted twice, in whichever exercises they stand."""
    asks: dict[str, set[str]] = {}
    for exercise in exercises.values():
        for (_, label), (ask, _) in ideas_of(exercise).items():
            asks.setdefault(ask, set()).add(label)
    assert {ask: labels for ask, labels in asks.items() if len(labels) > 1} == {}


def apart_by_more_than_a_factor(hands: Hands) -> set[str]:
    """Labels of ideas about numbers of which none is another of the same item times one factor in every case."""
    exercise, cases = hands.exercise, [hands.case(number) for number in range(20)]
    found: set[str] = set()
    for item in exercise.items:
        if not isinstance(item, Quantity):
            continue
        kept: list[list[float]] = []
        for idea in exercise.about(item):
            held = [idea.values(case, exercise.right(case)) for case in cases]
            row = [values[0] if values else 0.0 for values in held]
            if not any(is_a_factor(row, other) for other in kept):
                kept.append(row)
                found.add(idea.label)
    return found


def is_a_factor(one: list[float], other: list[float]) -> bool:
    """Whether one row is the other times the same number throughout."""
    pairs = [(a, b) for a, b in zip(one, other, strict=True) if a or b]
    ratios = [a / b for a, b in pairs if b]
    return len(ratios) == len(pairs) > 0 and max(ratios) - min(ratios) <= 1e-6 * abs(ratios[0])


def test_wrong_ideas_are_not_one_idea_with_other_factors(every: dict[str, Hands]) -> None:
    distinct = {name: apart_by_more_than_a_factor(hands) for name, hands in every.items()}
    assert all(len(labels) >= 3 for labels in distinct.values()), distinct
    assert len(set().union(*distinct.values())) >= 20
    reasons = {
        idea.held_because
        for name, hands in every.items()
        for idea in hands.exercise.ideas
        if idea.label in distinct[name]
    }
    assert len(reasons) >= 20  # learners hold them for as many reasons


def test_wrong_statements_ask_too_and_say_why_they_are_held(hands: Hands) -> None:
    for item in hands.exercise.items:
        if isinstance(item, Choice):
            ever_right = {item.right(hands.case(number)) for number in range(50)}
            for one in item.statements:
                if one.word not in ever_right or len(ever_right) > 1:
                    assert one.ask.strip().endswith(("?", ".")), (item.name, one.word)
                    assert one.held_because, (item.name, one.word)
        elif isinstance(item, Diagnosis):
            assert all(fault.ask.endswith("?") and fault.held_because for fault in item.faults)


def test_hints_come_one_by_one_and_never_twice_the_same(hands: Hands) -> None:
    for item in hands.exercise.items:
        if not isinstance(item, Quantity):
            continue
        case = hands.case(3)
        wrong = 1.37 * hands.exercise.right(case)[item.name] + 0.1
        judged = [judge(hands.exercise, item.name, wrong, case, attempt=attempt) for attempt in (1, 2, 3, 9)]
        assert len(item.hints) >= 2
        assert len(set(item.hints)) == len(item.hints)
        for place, one in enumerate(judged):
            assert one.points == judged[0].points
            if one.feedback[0].kind == "size":
                assert "too large" in one.words or "too small" in one.words or "sign" in one.words
                assert f"Hint: {item.hints[min(place, len(item.hints) - 1)]}" in one.words


def test_a_formula_with_a_wrong_idea_gets_its_question(hands: Hands) -> None:
    for item in hands.exercise.items:
        if isinstance(item, Formula):
            for idea, form in [(one, form) for one in item.ideas for form in one.forms]:
                for kept_back in (None, hands.kept_back):
                    judged = judge(hands.exercise, item.name, form, hands.case(3), kept_back=kept_back)
                    assert judged.feedback[0].label == idea.label
                    assert idea.ask in judged.words
                    assert idea.share * item.results_points <= judged.points < item.points
