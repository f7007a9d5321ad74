"""Exercise 4: its answers beside the mechanics, its function in wrong hands, three ways of fitting one coefficient."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp, log, radians
from types import FunctionType, ModuleType
from typing import Any

import numpy as np
import pytest

from controlkit.checking import Case, Function, judge
from controlkit.classroom import private
from controlkit.exercises.ex04.ideas import WRONG_FUNCTIONS
from controlkit.exercises.ex04.items import right_arrives, right_elbow
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
    assert "follows from your own harness_pull" in judged.words
    judged = judge(ex04.exercise, "return_pull", own, case, earlier=earlier)
    assert judged.feedback[0].label == "same-sign-both-ways"


def added(pull: float, bends: Sequence[float], friction: float) -> float:
    return pull * (1 - sum(1 - exp(-friction * radians(bend)) for bend in bends))


def proportion(pull: float, bends: Sequence[float], friction: float) -> float:
    return pull * (1 - friction * radians(sum(bends)))


def bare_degrees(pull: float, bends: Sequence[float], friction: float) -> float:
    return pull * exp(-friction * sum(bends))


def upside_down(pull: float, bends: Sequence[float], friction: float) -> float:
    return pull * exp(friction * radians(sum(bends)))


def largest(pull: float, bends: Sequence[float], friction: float) -> float:
    return pull * exp(-friction * radians(max(bends, default=0)))


def each_alike(pull: float, bends: Sequence[float], friction: float) -> float:
    return pull * (1 - friction) ** len(bends)


def all_of_it(pull: float, bends: Sequence[float], friction: float) -> float:
    return pull


def always_the_same(pull: float, bends: Sequence[float], friction: float) -> float:
    return 40.0


@pytest.mark.parametrize(
    ("wrong", "label", "points"),
    [
        (added, "losses-of-bends-add", 1.5 + 1),
        (proportion, "loss-in-proportion", 0.75 + 2),
        (bare_degrees, "degrees-in-the-exponential", 0.75 + 3),
        (upside_down, "efficiency-upside-down", 0.75 + 2),
        (largest, "largest-bend-only", 0.75 + 1),
        (each_alike, "loss-for-each-bend", 2),
        (all_of_it, "some-results", 2),
        (always_the_same, "results", 0),
    ],
    ids=lambda one: one.__name__ if isinstance(one, FunctionType) else None,
)
def test_a_wrong_function_gets_its_question_and_what_its_laws_earn(
    ex04: ModuleType, cases: list[Case], root: Any, wrong: Callable[..., float], label: str, points: float
) -> None:
    asks = {idea.label: idea.ask for idea in WRONG_FUNCTIONS}
    for case in cases[:4]:
        for kept_back in (None, private("ex04", root)):
            judged = judge(ex04.exercise, "arrives", wrong, case, kept_back=kept_back)
            assert judged.feedback[0].label in (label, label.removeprefix("some-"))  # no bend at all is right by luck
            assert judged.points == pytest.approx(points)
            assert asks.get(label, "not yet") in judged.words


def test_unseen_inputs_are_other_than_those_of_the_notebook_and_not_told(
    ex04: ModuleType, cases: list[Case], root: Any
) -> None:
    item, kept_back = ex04.exercise.item("arrives"), private("ex04", root)
    assert isinstance(item, Function)

    def only_what_was_seen(pull, bends, friction):  # type: ignore[no-untyped-def]
        known = {(one[0], tuple(one[1]), one[2]): right_arrives(*one) for one in item.calls(cases[0])}
        return known.get((pull, tuple(bends), friction), 0.5 * pull)

    assert judge(ex04.exercise, "arrives", only_what_was_seen, cases[0]).points == 6
    judged = judge(ex04.exercise, "arrives", only_what_was_seen, cases[0], kept_back=kept_back)
    assert judged.points == 3  # the laws stand on inputs that may be seen
    assert "With" not in judged.words.split("\n")[0]
