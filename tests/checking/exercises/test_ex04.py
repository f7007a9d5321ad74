"""Exercise 4: its answers beside the mechanics, its formula in wrong hands, three ways of fitting one coefficient."""

from __future__ import annotations

from math import log
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from controlkit.checking import Case, Formula, judge
from controlkit.checking.items.notation import read_formula
from controlkit.classroom import private
from controlkit.exercises.ex04.case import bends
from controlkit.exercises.ex04.ideas import FORMULAS
from controlkit.exercises.ex04.items import right_elbow
from controlkit.mechanics import ControlCable, Housing
from controlkit.mechanics.cable import ArmLine
from controlkit.units import deg, mm

NUMBERS = range(12)


@pytest.fixture(scope="module")
def ex04(modules: dict[str, ModuleType]) -> ModuleType:
    return modules["ex04"]


@pytest.fixture(scope="module")
def cases(ex04: ModuleType) -> list[Case]:
    return [ex04.exercise.own_case(f"Student {number}") for number in NUMBERS]


def test_bowstringing_is_that_of_the_model(ex04: ModuleType, cases: list[Case]) -> None:
    """A free cable held on the limb lines: its take-up, less than nothing, and its moment arm."""
    for case in cases:
        arm = ArmLine(mm(case.above), mm(case.below), upper_offset=0.0, forearm_offset=0.0)
        line = ControlCable(housing=None).line(arm, deg(case.flexion))
        right = ex04.exercise.right(case)
        assert right["slack"] == pytest.approx(-line.take_up / mm(1), abs=0.01)
        assert right["elbow_moment"] == pytest.approx(case.free_pull * line.elbow_arm, rel=1e-4)


def test_what_the_elbow_does_is_what_the_model_says(ex04: ModuleType, cases: list[Case]) -> None:
    """Each set-up built and bent: which of them keeps its path, stops the elbow, stands off, bowstrings."""
    built = {
        "held": Housing(),
        "short": Housing(spare=-0.02),
        "long": Housing(spare=0.12),
        "none": None,
        "loose": Housing(fixed=False),
    }
    case = cases[0]
    for set_up, housing in built.items():
        line = ControlCable(housing=housing).line(ArmLine(), deg(120))
        does = (
            "bowstrings"
            if line.elbow_arm > 0.01 and line.take_up < -0.01
            else "stops"
            if line.elbow_limit < deg(120)
            else "bows"
            if any(state.code == "housing-catches" for state in line.states)
            else "stays"
        )
        there = Case("ex04", "x", 0, {**case.values, "set_up": set_up})
        assert right_elbow(there) == does, set_up
        assert judge(ex04.exercise, "elbow", does, there).points == 2


def test_a_coefficient_may_be_fitted_in_any_usual_way(ex04: ModuleType, cases: list[Case]) -> None:
    from controlkit.exercises.ex04.case import READ_AT, SAMPLES

    for case in cases:
        signs = [-1 if angle == case.let_back else 1 for angle in READ_AT]
        loss = np.array([sign * log(case[f"hanger_{a}"] / case.load) for sign, a in zip(signs, READ_AT, strict=True)])
        turn = np.radians(READ_AT)
        for way in (np.mean(loss / turn), loss.sum() / turn.sum(), turn @ loss / (turn @ turn)):
            assert judge(ex04.exercise, "friction", float(way), case).points == 3
        assert ex04.exercise.right(case)["friction"] == pytest.approx(SAMPLES[case["sample"]], abs=0.005)


def test_return_is_judged_from_her_own_pull(ex04: ModuleType, cases: list[Case]) -> None:
    case = cases[0]
    own = 1.07 * ex04.exercise.right(case)["harness_pull"]
    earlier = {"harness_pull": own}
    judged = judge(ex04.exercise, "return_pull", case.device_pull**2 / own, case, earlier=earlier)
    assert judged.points == 3
    assert "follows from your own harness pull" in judged.words
    judged = judge(ex04.exercise, "return_pull", own, case, earlier=earlier)
    assert judged.feedback[0].label == "same-sign-both-ways"


@pytest.mark.parametrize(
    ("wrong", "label", "points"),
    [
        ("pull (1 - mu bends π / 180)", "loss-in-proportion", 0.75 + 1),
        ("pull e^(-mu bends)", "degrees-in-the-exponential", 0.75 + 3),
        ("pull e^(mu radians(bends))", "efficiency-upside-down", 0.75),
        ("pull - pull e^(-mu bends°)", "lost-for-left", 0.75),
        ("pull * e^-mu * bends°", "brackets-forgotten", 1.5),
        ("exp(-mu bends°)", "share-for-force", 1.5),
        ("pull (1 - μ)", "loss-whatever-the-bend", 1),
        ("pull", "some-results", 0),
        ("pull*2^(-mu*bends)", "some-results", 3),
        ("pull*e^(mu*bends*2)", "some-results", 0),
        ("40 + 0 pull", "results", 0),
    ],
)
def test_a_wrong_formula_gets_its_question_and_what_its_laws_earn(
    ex04: ModuleType, cases: list[Case], root: Any, wrong: str, label: str, points: float
) -> None:
    asks = {idea.label: idea.ask for idea in FORMULAS}
    for case in cases[:4]:
        for kept_back in (None, private("ex04", root)):
            judged = judge(ex04.exercise, "arrives", wrong, case, kept_back=kept_back)
            assert judged.feedback[0].label in (label, label.removeprefix("some-"))  # no bend at all is right by luck
            assert judged.points == pytest.approx(points)
            assert asks.get(label, "not yet") in judged.words


@pytest.mark.parametrize(
    "right",
    [
        "pull * e^(-mu * bends * pi / 180)",
        "pull·e^(−μ·bends°)",
        "pull / exp(friction * radians(bends))",
        "arrives = pull × e^(-mu × bends × 3,14 / 180)",
        "pull e^(-mu bends/57.3)",
        "pull e^(-0.0175 mu bends)",
        "pull (e^-mu)^(bends π/180)",
        "pull * 2^(-mu * bends° / ln(2))",
    ],
)
def test_the_law_may_be_written_in_any_usual_way(ex04: ModuleType, cases: list[Case], root: Any, right: str) -> None:
    for case in cases:
        for kept_back in (None, private("ex04", root)):
            assert judge(ex04.exercise, "arrives", right, case, kept_back=kept_back).points == 6


def test_values_of_the_grading_are_others_and_not_told(ex04: ModuleType, cases: list[Case], root: Any) -> None:
    kept_back = private("ex04", root)
    for case in cases:
        item = ex04.exercise.item("arrives")
        assert isinstance(item, Formula)
        unseen = kept_back.items["arrives"](case)
        assert not set(unseen) & set(item.inputs(case))
        judged = judge(ex04.exercise, "arrives", "pull - bends mu", case, kept_back=kept_back)
        assert "With" not in judged.words.split("\n")[0]
        for value in {number for call in unseen for number in call} - {0, 0.12}:
            assert f"{value:g}" not in judged.words


def test_the_formula_is_what_the_exercise_computes(ex04: ModuleType, cases: list[Case]) -> None:
    """The pull that the first item finds at the hanger, put into the formula of the fourth, is the device's again."""
    item = ex04.exercise.item("arrives")
    assert isinstance(item, Formula)
    right = read_formula(item.right, item.names)
    for case in cases:
        pull = ex04.exercise.right(case)["harness_pull"]
        arrives = right.value({"pull": pull, "bends": sum(bends(case)), "mu": case.friction})
        assert arrives == pytest.approx(case.device_pull, rel=1e-12)


def test_a_given_answered_twice_earns_nothing(ex04: ModuleType, cases: list[Case]) -> None:
    """What the device pulls back with, first for the way out and then for the way back, carries nothing on."""
    for case in cases:
        judged = judge(
            ex04.exercise, "return_pull", case.device_pull, case, earlier={"harness_pull": float(case.device_pull)}
        )
        assert judged.feedback[0].label == "no-friction-back"
        assert judged.points == 0
        own = 1.2 * ex04.exercise.right(case)["harness_pull"]
        back = case.device_pull**2 / own
        assert judge(ex04.exercise, "return_pull", back, case, earlier={"harness_pull": own}).points == 3
