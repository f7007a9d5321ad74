"""What marks are fair: one slip costs once, nearly right earns more than half-wrong, a share is read in either form."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from typing import Any

import pytest

from controlkit.checking import Case, Choice, Design, Exercise, Formula, Item, Judgement, Quantity, judge
from controlkit.checking.feedback import in_words
from controlkit.checking.items.quantity import SLIP_SHARE
from controlkit.exercises.ex03.case import generated, stretched
from tests.checking.hands import Hands

NAMES = range(30)


def carried_on(exercise: Exercise, case: Case, first: Item, value: float) -> list[tuple[Item, Judgement]]:
    """What later items earn that were worked rightly from a wrong value, and again from what followed from it."""
    truth = exercise.right(case)
    hers: dict[str, float] = {first.name: value}
    found: list[tuple[Item, Judgement]] = []
    for item in exercise.items:
        if isinstance(item, Quantity) and item.follows in hers:
            answer: Any = item.right(case, {**truth, **hers})
        elif isinstance(item, Choice) and item.follows in hers:
            assert item.right_from is not None
            answer = item.right_from(case, hers[item.follows])[0]
        else:
            continue
        judged = judge(exercise, item.name, answer, case, earlier=dict(hers))
        found.append((item, judged))
        if isinstance(item, Quantity):
            hers[item.name] = answer
    return found


def test_one_slip_costs_once_for_every_known_idea(hands: Hands) -> None:
    """The value of each wrong idea, carried on into every later item that follows from it, for thirty names."""
    exercise = hands.exercise
    followed = {item.follows for item in exercise.items if isinstance(item, Quantity | Choice) and item.follows}
    tried = set()
    for number in NAMES:
        case = hands.case(number)
        for name in followed:
            first = exercise.item(name)
            for idea in exercise.about(first):
                for value in idea.values(case, exercise.right(case)):
                    for item, judged in carried_on(exercise, case, first, value) if value else ():
                        assert judged.points == item.points, (number, idea.label, item.name, judged.words)
                        tried.add((idea.label, item.name))
    assert len(tried) >= 2 * len(followed)


def test_nought_is_not_carried_on(hands: Hands) -> None:
    """Else nothing, answered twice, would earn the later mark."""
    exercise, case = hands.exercise, hands.case(4)
    for item in exercise.items:
        if isinstance(item, Quantity) and item.follows and not exercise.item(item.follows).carries(0.0):
            assert exercise.carried({item.follows: 0.0}, case) == {}
            assert judge(exercise, item.name, 0.0, case, earlier={item.follows: 0.0}).points < item.points


def test_a_moment_arm_of_no_shoulder_is_not_carried_on(every: dict[str, Hands]) -> None:
    """Else the bare pull, from an arm of one metre, would earn the moment."""
    hands = every["ex03"]
    for number in NAMES:
        case = hands.case(number)
        judged = judge(hands.exercise, "shoulder_moment", case.pull, case, earlier={"moment_arm": 1000.0})
        assert judged.points < judged.out_of, number


def test_right_to_two_figures_earns_what_a_wrong_unit_earns(hands: Hands) -> None:
    for number in NAMES:
        case = hands.case(number)
        for item in hands.exercise.items:
            if isinstance(item, Quantity):
                right = hands.exercise.right(case)[item.name]
                for figures in (2, 3):
                    judged = judge(hands.exercise, item.name, float(f"{right:.{figures - 1}e}"), case)
                    assert judged.points >= SLIP_SHARE * item.points, (number, item.name, judged.words)
                assert judge(hands.exercise, item.name, 1.13 * right, case).feedback[0].label != "rounded"


def test_rounding_is_said_and_is_not_an_idea(lever: Exercise) -> None:
    case = Case("lever", "ana", 0, {"load": 85, "short": 30, "long": 190})  # effort 13.421 N
    found = judge(lever, "effort", 13, case)
    assert found.feedback[0].label == "rounded"
    assert "Keep every digit until the last step" in found.words
    assert found.points == SLIP_SHARE * 4
    assert judge(lever, "effort", 13.9, case).feedback[0].label == "rounded"  # rounded on the way
    assert judge(lever, "effort", 14.1, case).feedback[0].label == "close"
    assert judge(lever, "effort", "13.4 N", case).points == 4


# --- A share, in per cent or plain -------------------------------------------------------------


@pytest.mark.parametrize("unit", ["", "%"])
def test_a_share_is_read_in_per_cent_and_plain(lever: Exercise, unit: str) -> None:
    size = 100.0 if unit == "%" else 1.0
    share = Quantity(
        name="share",
        points=2,
        kind="ratio",
        unit=unit,
        asks="which share of the load the effort is",
        right=lambda c, _: size * c.short / c.long,
        relative=0.01,
    )
    sheet = replace(lever, items=(*lever.items, share))
    case = Case("lever", "ana", 0, {"load": 50, "short": 160, "long": 200})
    for answer in ("80 %", "80%", "0.8", "0,8", 0.8, " 0.80 ", "80 percent"):
        judged = judge(sheet, "share", answer, case)
        assert judged.points == 2, (answer, judged.words)
        assert judged.value == pytest.approx(80.0 if unit == "%" else 0.8)
    assert judge(sheet, "share", 80, case).points == (2 if unit == "%" else 1)
    for answer in ("0.8 %", "8000 %"):
        assert judge(sheet, "share", answer, case).points == 1
        assert "the size is right, the unit is not" in judge(sheet, "share", answer, case).words
    assert judge(sheet, "share", 0.4, case).points == 0


def test_every_share_of_the_exercises_is_read_in_both(hands: Hands) -> None:
    for number in NAMES:
        case = hands.case(number)
        for item in hands.exercise.items:
            if isinstance(item, Quantity) and item.kind == "ratio":
                plain = hands.exercise.right(case)[item.name] / (100 if item.unit == "%" else 1)
                for answer in (plain, f"{plain:.6f}", f"{100 * plain:.6f} %", f"{100 * plain:.6f}%".replace(".", ",")):
                    assert judge(hands.exercise, item.name, answer, case).points == item.points, (item.name, answer)


# --- Losses of excursion, in order -------------------------------------------------------------


def test_each_loss_that_is_counted_earns_more(every: dict[str, Hands]) -> None:
    """None of three losses taken off, one, two, all: every partial sum is known by name, for thirty names."""
    hands = every["ex03"]
    exercise = hands.exercise
    for number in NAMES:
        case = hands.case(number)
        losses = {"slack": case.slack, "ring": case.ring_travel, "stretch": stretched(case)}
        earned: dict[int, set[float]] = {}
        labels = {}
        for many in range(4):
            for kept in combinations(losses, many):
                judged = judge(exercise, "excursion", generated(case) - sum(losses[one] for one in kept), case)
                earned.setdefault(many, set()).add(judged.points)
                labels[kept] = judged.feedback[0].label
        assert [sorted(earned[many]) for many in range(4)] == [[1.0], [1.5], [2.0], [4.0]]
        assert labels["slack", "ring"] == "stretch-forgotten"
        assert labels["slack", "stretch"] == "ring-is-fixed"
        assert labels["ring", "stretch"] == "slack-forgotten"
        assert {labels[one,] for one in losses} == {"one-loss-only"}


def test_captured_excursion_over_the_angle_is_asked_back(every: dict[str, Hands]) -> None:
    from math import radians

    hands = every["ex03"]
    for number in NAMES:
        case = hands.case(number)
        captured = hands.exercise.right(case)["excursion"]
        judged = judge(hands.exercise, "moment_arm", captured / radians(case.arm_angle), case)
        assert judged.feedback[0].label == "captured-over-angle"
        assert judged.points == 2


# --- A statement that follows from a number ------------------------------------------------------


def test_a_choice_from_her_own_number_is_right_and_says_so(every: dict[str, Hands]) -> None:
    asked = (("ex02", "task", 0.3), ("ex06", "runs_out_first", 3.0), ("ex07", "opens_first", 0.4))
    for name, item_name, factor in asked:
        hands = every[name]
        item = hands.exercise.item(item_name)
        assert isinstance(item, Choice)
        assert item.right_from is not None
        moved = 0
        for number in NAMES:
            case = hands.case(number)
            own = factor * hands.exercise.right(case)[item.follows]
            for word in item.right_from(case, own):
                judged = judge(hands.exercise, item_name, word, case, earlier={item.follows: own})
                assert judged.points == item.points
                if word != item.right(case):
                    assert f"it follows from your own {in_words(item.follows)}" in judged.words
                    assert judge(hands.exercise, item_name, word, case).points < item.points
                    moved += 1
            assert item.right(case) in item.right_from(case, hands.exercise.right(case)[item.follows])
        assert moved >= 5, name


# --- Other bodies -------------------------------------------------------------------------------


def test_a_check_of_a_design_names_the_kinds_of_the_grading_beforehand(every: dict[str, Hands]) -> None:
    """Kinds and not people; what the notebook tells is what grading tries."""
    for name in ("ex03", "ex06", "ex07"):
        hands = every[name]
        item = hands.exercise.item("design")
        assert isinstance(item, Design)
        kept = hands.kept_back.items["design"].bodies
        assert set(item.graded_on) == {body.kind for body in kept}
        design = hands.solved("Student 1")["design"]
        seen = judge(hands.exercise, "design", design, hands.case(1))
        graded = judge(hands.exercise, "design", design, hands.case(1), kept_back=hands.kept_back)
        assert seen.points == graded.points == item.points
        told = seen.words.split("At grading it is tried on other people still: ")[1]
        assert all(kind in told for kind in item.graded_on)
        assert not any(character.isdigit() for character in told)
        assert "At grading" not in graded.words


# --- Formulas -----------------------------------------------------------------------------------


def test_worked_steps_and_hints_lead_to_a_formula_and_do_not_write_it(hands: Hands) -> None:
    """No part of a line, taken over as it stands, is the formula that is asked for."""
    case = hands.case(2)
    for item in hands.exercise.items:
        if isinstance(item, Formula):
            steps = hands.exercise.worked[item.name]
            told = [*item.hints, *(steps if isinstance(steps, str) else steps(case)).splitlines()]
            parts = [part.strip(" .") for line in told for part in re.split(r"[:=?\"]|\. ", line)]
            assert len(parts) > len(told)
            assert all(judge(hands.exercise, item.name, part, case).points < item.points for part in parts)
            assert judge(hands.exercise, item.name, item.right, case).points == item.points
