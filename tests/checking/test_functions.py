"""Functions of students: right, wrong ideas, laws, unseen inputs; and whatever else a function can do."""

# ruff: noqa: ARG005 - what a student's function ignores is the point

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from controlkit.checking import (
    Exercise,
    Function,
    Judgement,
    KeptBack,
    Ran,
    WrongFunction,
    judge,
)
from controlkit.checking.items.running import Outcome, run
from tests.checking.efficiency import CABLE, CASE, EFFICIENCY, HIDDEN, right


def judged(answer: Any, attempt: int = 1, kept_back: KeptBack | None = None) -> Judgement:
    return judge(CABLE, "efficiency", answer, CASE, attempt=attempt, kept_back=kept_back)


@pytest.mark.parametrize(
    "answer",
    [
        right,
        lambda friction, bend: np.exp(-friction * bend),
        lambda a, b=1.0: np.float32(0) + np.array(math.exp(-a * b)),
        lambda *both: math.exp(-both[0] * both[1]),
        lambda a, b, c=0: math.e ** (-a * b),
    ],
)
def test_a_right_function_earns_everything_however_it_is_written(answer: Any) -> None:
    found = judged(answer)
    assert found.points == 5
    assert found.words.startswith("efficiency: yes, its results are right.\n  Yes: without friction")
    assert judged(answer, kept_back=HIDDEN).points == 5


@pytest.mark.parametrize("idea", EFFICIENCY.ideas, ids=lambda idea: idea.label)
def test_a_wrong_idea_gets_its_own_question(idea: WrongFunction) -> None:
    model = idea.model
    found = judged(lambda friction, bend: model(friction, bend))
    assert found.feedback[0].label == idea.label
    assert idea.ask in found.words
    assert found.feedback[0].justification == idea.held_because
    assert found.points >= 3 * idea.share


def test_laws_earn_apart_and_say_what_they_miss() -> None:
    found = judged(lambda friction, bend: 1 - friction * bend)
    assert [note.label for note in found.feedback] == ["linear", "no-friction:met", "halves:not-met"]
    assert found.points == 0.75 + 1
    assert "What do both leave together?" in found.words


def test_a_constant_keeps_no_law() -> None:
    found = judged(lambda friction, bend: 1.0)
    assert found.points == 0
    assert "too large" in found.words
    assert "Yes" not in found.words


def test_right_on_what_is_shown_only_is_found_out_at_grading() -> None:
    def listed(friction, bend):  # type: ignore[no-untyped-def]
        return math.exp(-friction * bend) if (friction, bend) in ((0.1, 1.0), (0.1, 3.0), (0.25, 2.0)) else 0.5

    seen, unseen = judged(listed), judged(listed, kept_back=HIDDEN)
    assert seen.points == 3
    assert seen.feedback[0].label == "partly"
    assert "its results are right, but not everywhere" in seen.words
    assert unseen.points == 0
    for number in ("0.31", "5.5", "0.05"):
        assert number not in unseen.words


def test_some_right_results_are_counted_out_but_earn_nothing() -> None:
    found = judged(lambda friction, bend: math.exp(-friction * bend) if friction < 0.2 else 0.3)
    assert "Right for 2 of 3 inputs. With friction = 0.25, bend = 2.0 its result is too small." in found.words
    assert "Hint: What does a small piece" in found.words
    assert found.points == 2  # both laws are asked at small friction, where it is right


def test_the_right_result_is_never_told() -> None:
    for answer in (lambda a, b: 0.9 * a * b, lambda a, b: -math.exp(-a * b), lambda a, b: 1 - a * b):
        for attempt in (1, 2, 3):
            words = judged(answer, attempt).words
            for value in (0.9048, 0.7408, 0.6065, 0.8607):
                assert f"{value:.2f}" not in words
    assert "of the wrong sign" in judged(lambda a, b: -math.exp(-a * b)).words


# --- Functions that come to nothing ---------------------------------------------------------------


def empty(friction, bend):  # type: ignore[no-untyped-def]
    """Say how much arrives."""
    ...  # noqa: PIE790


@pytest.mark.parametrize("answer", [None, ..., "", empty, lambda a, b: ..., lambda a, b: None])
def test_blank_is_blank(answer: Any) -> None:
    found = judged(answer)
    assert found.feedback[0].kind == "blank"
    assert "nothing stands here yet" in found.words


def calls_itself(friction, bend):  # type: ignore[no-untyped-def]
    return calls_itself(friction, bend)


def leaves(friction, bend):  # type: ignore[no-untyped-def]
    raise SystemExit


class TrapError(Exception):
    def __str__(self) -> str:
        raise RuntimeError("trap")


def raises_trap(friction, bend):  # type: ignore[no-untyped-def]
    raise TrapError


def unknown_name(friction, bend):  # type: ignore[no-untyped-def]
    share = friction * bend
    return expp(-share)  # noqa: F821


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (unknown_name, "With friction = 0.1, bend = 1.0 it stops in its line 3: name 'expp' is not defined."),
        (lambda a, b: 1 / 0, "it stops in its line 1: division by zero"),
        (lambda a, b: a + "b", "unsupported operand"),
        (calls_itself, "it calls itself without end"),
        (leaves, "it ends the program instead of returning"),
        (raises_trap, "it stops in its line 2."),
        (lambda a, b: print(a), "It hands nothing back. Write return"),
        (lambda a, b: f"{a} N", "It returns a text."),
        (lambda a, b: a > b, "It returns a yes or no."),
        (lambda a, b: complex(a, b), "imaginary part"),
        (lambda a, b: {"x": a}, "It returns a dict."),
        (lambda a, b: judged, "It returns a function."),
        (lambda a, b: [], "It returns an empty list."),
        (lambda a, b: [a, b], "it returns 2 numbers, and one number is asked for"),
        (lambda a, b: np.ones((2, 3)), "it returns 2 by 3 numbers"),
        (lambda a, b: np.ones(5000), "neither a number nor a list of numbers"),
        (lambda a, b: np.array([None]), "neither a number"),
        (lambda a, b: math.nan, "not a finite number"),
        (lambda a, b: 10**400, "not a finite number"),
        (lambda a: a, "It takes 1 argument and is called with 2 arguments, in this order: friction"),
        (lambda a, b, c: a, "It takes 3 arguments and is called with 2 arguments"),
        (3, "A function is needed here, not its result"),
        (0.9048, "hand over its name, efficiency, without brackets"),
        ("efficiency", "A function is needed"),
        (math.exp, "A function is needed"),
        (object(), "A function is needed"),
        (Ran((Outcome("value", 1.0),)), "A function is needed"),
    ],
)
def test_a_function_that_comes_to_nothing_gets_a_sentence(answer: Any, words: str) -> None:
    found = judged(answer)
    assert words in found.words
    assert found.points == 0
    assert not found.costs_attempt
    assert "Traceback" not in found.words
    assert "Error" not in found.words
    assert "trap" not in found.words


def test_lists_are_compared_number_by_number() -> None:
    item = Function(
        name="both",
        asks="both",
        arguments=("angle [rad]",),
        right=lambda a: [a, 2 * a],
        inputs=lambda c: ((1.0,), (2.0,)),
        results_points=2,
    )
    pair = Exercise("pair", "Pair", CABLE.plan, (item,))
    for answer in (lambda a: [a, 2 * a], lambda a: (a, a + a), lambda a: np.array([a, 2 * a])):
        assert judge(pair, "both", answer, CASE).points == 2
    assert judge(pair, "both", lambda a: [a, 3 * a], CASE).points == 0
    assert "2 numbers is asked for" in judge(pair, "both", lambda a: a, CASE).words


def test_what_a_function_prints_stays_off_the_page(capsys: pytest.CaptureFixture[str]) -> None:
    def chatty(friction, bend):  # type: ignore[no-untyped-def]
        import sys
        import warnings

        print("noise")
        print("noise", file=sys.stderr)
        warnings.warn("noise", stacklevel=1)
        return (
            np.exp(-friction * bend) + 0.0 * np.log(np.zeros(1))[0] * 0.0
            if friction < 0
            else math.exp(-friction * bend)
        )

    mine = CABLE("Ana")
    mine._case = CASE
    mine.check("efficiency", chatty)
    shown = capsys.readouterr()
    assert "noise" not in shown.out
    assert shown.err == ""
    assert "This answer: 5 of 5 points." in shown.out


# --- In a student's hands, and run elsewhere ----------------------------------------------------------


def test_a_changed_function_is_a_new_attempt_and_the_same_is_not() -> None:
    mine = CABLE("Ana")
    mine._case = CASE
    for answer in (lambda a, b: a, lambda a, b: a * b, right, right, empty, unknown_name):
        mine.check("efficiency", answer)
    assert mine._attempts("efficiency") == 3
    assert type(mine.score("efficiency", right)) is float
    assert mine.score("efficiency", right, HIDDEN) == 5.0


def test_a_run_in_confinement_is_judged_the_same() -> None:
    for answer in (right, lambda a, b: 1 - a * b, lambda a, b: 1 / 0, lambda a, b: "x", lambda a, b: [a, b]):
        for kept_back in (None, HIDDEN):
            unseen = kept_back.items["efficiency"] if kept_back else None
            ran = Ran(run(answer, EFFICIENCY.calls(CASE, unseen)))
            assert judged(ran, kept_back=kept_back) == judged(answer, kept_back=kept_back)


def test_a_forged_run_is_no_run() -> None:
    class Equal(float):
        def __sub__(self, other: object) -> float:
            return 0.0

        __rsub__ = __sub__

    count = len(EFFICIENCY.calls(CASE))
    forged = Ran(tuple(Outcome("value", Equal(0.5)) for _ in range(count)))
    assert judged(forged).points == 0
    assert judged(Ran(())).points == 0


def test_points_do_not_depend_on_attempts_and_labels_hold_no_numbers() -> None:
    for answer in (right, lambda a, b: 1 - a * b, lambda a, b: 2.0 * a, lambda a, b: 1 / 0, ...):
        many = [judged(answer, attempt) for attempt in (1, 2, 5)]
        assert len({found.points for found in many}) == 1
        labels = [note.label for found in many for note in found.feedback]
        assert not any(character.isdigit() for label in labels for character in label)


def test_a_case_that_cannot_tell_ideas_apart_is_not_admitted() -> None:
    assert CABLE.admits(CASE)
    same = replace(EFFICIENCY, inputs=lambda c: ((0.0, 1.0), (0.0, 2.0)))
    assert not replace(CABLE, items=(same,)).admits(CASE)
    twice = replace(EFFICIENCY, ideas=(*EFFICIENCY.ideas, replace(EFFICIENCY.ideas[0], label="linear-again")))
    assert not replace(CABLE, items=(twice,)).admits(CASE)
