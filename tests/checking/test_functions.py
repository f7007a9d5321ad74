"""Functions of students: right, wrong ideas, laws, unseen inputs; and whatever else a function can do."""

# ruff: noqa: ARG005 - what a student's function ignores is the point

from __future__ import annotations

import math
import signal
import threading
import time
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from controlkit.checking import (
    Exercise,
    Function,
    Judgement,
    KeptBack,
    Law,
    OneOf,
    Plan,
    Ran,
    WrongFunction,
    judge,
)
from controlkit.checking.case.cases import Case
from controlkit.checking.items.running import Outcome, as_data, run

EFFICIENCY = Function(
    name="efficiency",
    asks="force at the device over force at the harness while pulling [-]",
    arguments=("friction, coefficient [-]", "bend, all bends added [rad]"),
    right=lambda friction, bend: math.exp(-friction * bend),
    inputs=lambda c: ((c.friction, 1.0), (c.friction, 3.0), (0.25, 2.0)),
    results_points=3,
    laws=(
        Law(
            label="no-friction",
            points=1,
            inputs=lambda c: ((0.0, 1.0), (0.0, 9.0)),
            holds=lambda found: all(abs(one - 1) < 1e-9 for one in found),
            met="without friction nothing is lost.",
            ask="what is lost in a cable without friction?",
            because="a constant is added or left out",
        ),
        Law(
            label="halves",
            points=1,
            inputs=lambda c: ((c.friction, 1.5), (c.friction, 3.0)),
            holds=lambda found: abs(found[0] * found[0] - found[1]) < 1e-9,
            met="two half bends are one whole bend.",
            ask="the second half of a bend starts with what the first has left. What do both leave together?",
            because="losses are added",
        ),
    ),
    ideas=(
        WrongFunction(
            label="linear",
            model=lambda f, b: 1 - f * b,
            ask="What would ten radians leave?",
            held_because="small angles",
            share=0.25,
        ),
        WrongFunction(
            label="upside-down", model=lambda f, b: math.exp(f * b), ask="Can it exceed one?", held_because="ratio"
        ),
        WrongFunction(
            label="degrees",
            model=lambda f, b: math.exp(-f * math.degrees(b)),
            ask="In which unit is the bend?",
            held_because="habit",
        ),
    ),
    hints=("What does a small piece of the bend take?",),
)
CABLE = Exercise("cable", "Cable", Plan("cable", {"friction": OneOf((0.1, 0.15))}), (EFFICIENCY,))
CASE = Case("cable", "ana", 0, {"friction": 0.1})
HIDDEN = KeptBack({"efficiency": lambda c: ((0.05, 0.7), (0.31, 5.5))})


def right(friction, bend):  # type: ignore[no-untyped-def]
    return math.exp(-friction * bend)


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


def endless_line(friction, bend):  # type: ignore[no-untyped-def]
    while True: pass  # noqa: E701  # fmt: skip


def endless(friction, bend):  # type: ignore[no-untyped-def]
    left = 1.0
    while bend > 0:
        left *= 1 - friction
    return left


def swallows(friction, bend):  # type: ignore[no-untyped-def]
    while True:
        try:  # noqa: SIM105
            bend += 1
        except BaseException:  # noqa: BLE001
            pass


def waits(friction, bend):  # type: ignore[no-untyped-def]
    time.sleep(30)


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


ENDLESS = [endless, endless_line, swallows, waits]


@pytest.mark.parametrize("answer", ENDLESS, ids=lambda answer: answer.__name__)
def test_a_function_without_end_is_ended(answer: Any) -> None:
    quick = Exercise("cable", "Cable", CABLE.plan, (replace(EFFICIENCY, seconds=0.2),))
    begun = time.monotonic()
    found = judge(quick, "efficiency", answer, CASE)
    assert time.monotonic() - begun < 5.0  # one call is waited for, not seven
    assert "it does not come to an end" in found.words
    assert not found.costs_attempt
    assert run(right, ((0.0, 1.0),))[0].value == 1.0  # nothing of it lingers in the next call


@pytest.mark.parametrize("answer", ENDLESS[:3], ids=lambda answer: answer.__name__)
def test_it_is_ended_in_any_thread(answer: Any) -> None:
    found: list[Outcome] = []

    def work() -> None:
        found.extend(run(answer, ((0.1, 1.0), (0.2, 1.0)), seconds=0.2))
        found.extend(run(right, ((0.0, 1.0),)))

    thread = threading.Thread(target=work)
    thread.start()
    thread.join(20.0)
    assert [one.sort for one in found] == ["endless", "endless", "value"]


@pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="this system has no alarm to put away")
def test_the_clock_is_put_away() -> None:
    before = signal.getsignal(signal.SIGALRM), signal.getitimer(signal.ITIMER_REAL)
    run(right, ((0.1, 1.0),))
    run(endless, ((0.1, 1.0),), seconds=0.1)
    assert (signal.getsignal(signal.SIGALRM), signal.getitimer(signal.ITIMER_REAL)) == before


def test_what_a_function_is_given_stays_as_it_was() -> None:
    def sorts(bends):  # type: ignore[no-untyped-def]
        bends.sort()
        return float(sum(bends))

    given = ([3.0, 1.0],)
    assert run(sorts, (given,))[0].sort == "changed"
    assert given == ([3.0, 1.0],)
    total = Function(
        name="total",
        asks="sum",
        arguments=("bends [rad]",),
        right=sum,
        inputs=lambda c: (([3.0, 1.0],), ([2.0, 2.5],)),
        results_points=2,
    )
    adds = Exercise("adds", "Adds", CABLE.plan, (total,))
    assert "It changes what it was given." in judge(adds, "total", sorts, CASE).words
    assert judge(adds, "total", lambda bends: sum(bends), CASE).points == 2
    zeroes = np.array([1.0, 2.0])
    assert run(lambda row: row.fill(0) or 1.0, ((zeroes,),))[0].sort == "changed"
    assert zeroes.tolist() == [1.0, 2.0]


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
    assert "So far 5 of 5 points." in shown.out


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


def test_results_become_plain_data() -> None:
    assert as_data(np.array([[1, 2], [3, 4]])).value == ((1.0, 2.0), (3.0, 4.0))
    assert as_data(np.int64(3)).value == 3.0
    nested: list[Any] = []
    nested.append(nested)
    assert as_data(nested).sort == "no-number"
    assert as_data([1.0, None]).sort == "nothing"
