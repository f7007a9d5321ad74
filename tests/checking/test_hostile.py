"""Anything may stand in a student's variable: a sentence comes back, no trace, no answer, no attempt lost."""

from __future__ import annotations

import io
import math
import re
import warnings
from collections.abc import Iterator
from contextlib import redirect_stdout
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from IPython.core.interactiveshell import InteractiveShell

from controlkit.checking import Exercise, judge
from controlkit.checking.case.cases import Case

CASE = Case("lever", "ana", 0, {"load": 50, "short": 40, "long": 200})  # effort 10 N


class EqualToAll:
    def __eq__(self, other: object) -> bool:
        return True

    def __lt__(self, other: object) -> bool:
        return True

    __le__ = __gt__ = __ge__ = __lt__
    __hash__ = None  # type: ignore[assignment]


class FloatsToRight:
    def __float__(self) -> float:
        return 10.0


class FloatThatFails:
    def __float__(self) -> float:
        raise SystemExit


class ClaimsToBeFloat:
    __class__ = float  # type: ignore[assignment]


class ForgedFloat(float):
    def __sub__(self, other: object) -> float:
        return 0.0

    __rsub__ = __sub__

    def __abs__(self) -> float:
        return 0.0

    def __float__(self) -> float:
        return 10.0

    def __eq__(self, other: object) -> bool:
        return True

    __hash__ = float.__hash__


class ForgedText(str):
    def strip(self, *_: object) -> str:
        return "10 N"

    def __str__(self) -> str:
        raise RuntimeError("trap")

    __repr__ = __format__ = __str__  # type: ignore[assignment]


class SpeaksBadly:
    def __str__(self) -> str:
        raise RuntimeError("trap")

    __repr__ = __str__

    def __getattr__(self, name: str) -> Any:
        raise KeyboardInterrupt


class Counts(dict[str, Any]):
    def items(self) -> Any:
        raise RuntimeError("trap")

    __iter__ = items


BLANK = [None, ..., "", "   ", "...", "…"]
MALFORMED = [
    "ten", "10 Nn", "10 kg", "10 mm", "1,234", "10 10", "N", "ten newtons", (12, 5), [10], [10, 10],
    {"effort": 10}, {10}, math.nan, math.inf, -math.inf, "nan", "inf", 10 + 0j, 1j, True, False, np.True_, np.nan,
    np.array([10.0, 2.0]),
    10**400, "9" * 5000, "1e999 N", b"10", Decimal("NaN"), print, int, object(),
    "import os", "__import__('os')", "\x00",
]  # fmt: skip
HOSTILE = {
    "equal to all": EqualToAll,
    "floats to the right answer": FloatsToRight,
    "float that leaves": FloatThatFails,
    "claims to be a float": ClaimsToBeFloat,
    "forged float": lambda: ForgedFloat(77.0),
    "forged text": lambda: ForgedText("77 N"),
    "speaks badly": SpeaksBadly,
    "forged dict": Counts,
    "a class": lambda: EqualToAll,
    "array of objects": lambda: np.array(10.0, dtype=object),
    "iterator": lambda: iter(()),
}


def said(lever: Exercise, answer: Any, capsys: pytest.CaptureFixture[str]) -> Iterator[str]:
    mine = lever("Ana")
    mine._case = CASE
    mine.check("effort", answer)
    shown = capsys.readouterr()
    assert shown.err == ""
    yield shown.out
    assert mine._attempts("effort") == 0


@pytest.mark.parametrize("answer", BLANK, ids=repr)
def test_blank_is_blank(lever: Exercise, answer: Any, capsys: pytest.CaptureFixture[str]) -> None:
    for words in said(lever, answer, capsys):
        assert "nothing stands here yet" in words
    assert judge(lever, "effort", answer, CASE).points == 0


@pytest.mark.parametrize("answer", MALFORMED, ids=lambda answer: f"{type(answer).__name__}-{str(answer)[:12]!r}")
def test_malformed_costs_nothing(lever: Exercise, answer: Any, capsys: pytest.CaptureFixture[str]) -> None:
    for words in said(lever, answer, capsys):
        assert "This does not count as an attempt." in " ".join(words.split())
        assert "Traceback" not in words
        assert "Error" not in words
        assert len(words) < 500
    judged = judge(lever, "effort", answer, CASE)
    assert judged.points == 0
    assert judged.feedback[0].kind == "unreadable"


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        ((12, 5), "two numbers, 12 and 5"),
        ("1,234", "1,234"),
        ("10 kg", "mass"),
        ("10 Nn", "not a unit"),
        ([10, 10], "several values"),
        (True, "yes or no"),
        (1j, "imaginary part"),
        (FloatsToRight(), "of the sort FloatsToRight"),
    ],
)
def test_each_trouble_has_its_own_sentence(lever: Exercise, answer: Any, words: str) -> None:
    assert words in judge(lever, "effort", answer, CASE).words


@pytest.mark.parametrize("answer", ["ten", "force 10", "10 20", "9" * 5000], ids=lambda answer: answer[:12])
@pytest.mark.parametrize(("item", "example"), [("effort", "“12.5 N”"), ("moment", "“12.5 N m”")])
def test_an_example_is_in_the_unit_that_is_asked_for(lever: Exercise, answer: str, item: str, example: str) -> None:
    assert example in judge(lever, item, answer, CASE).words


@pytest.mark.parametrize("what", HOSTILE)
def test_hostile_objects_earn_nothing(lever: Exercise, what: str, capsys: pytest.CaptureFixture[str]) -> None:
    answer = HOSTILE[what]()
    mine = lever("Ana")
    mine._case = CASE
    mine.check("effort", answer)
    shown = capsys.readouterr()
    assert shown.err == ""
    assert "Traceback" not in shown.out
    assert "trap" not in shown.out
    assert "yes, that is right" not in shown.out
    assert mine.score("effort", answer) == 0.0
    mine.check("why", answer)
    mine.check(answer, 10)
    assert "has no item" in capsys.readouterr().out


def test_subclasses_count_as_what_they_hold(lever: Exercise) -> None:
    assert judge(lever, "effort", ForgedFloat(10.0), CASE).points == 4
    assert judge(lever, "effort", ForgedText("10 N"), CASE).points == 4
    assert judge(lever, "effort", ForgedFloat(50.0), CASE).feedback[0].label == "no-lever"


@pytest.mark.parametrize("answer", [np.float64(10), np.float32(10), np.int64(10), np.array(10.0)[()]], ids=repr)
def test_numpy_numbers_are_numbers(lever: Exercise, answer: Any) -> None:
    assert judge(lever, "effort", answer, CASE).points == 4


def test_score_is_a_plain_float_without_a_warning(lever: Exercise) -> None:
    mine = lever("Ana")
    for answer in [*BLANK, *MALFORMED, *(make() for make in HOSTILE.values()), 10, 250, "10 lbf", 17]:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            points = mine.score("effort", answer)
        assert type(points) is float
        assert 0 <= points <= 4


def test_no_message_holds_the_right_number(lever: Exercise) -> None:
    case = Case("lever", "ana", 0, {"load": 85, "short": 35, "long": 170})  # effort 17.5 N, moment 2.975 N m
    answers = [85, 412.857, -17.5, 23, 4, 17.9, "17.5 lbf", "seventeen", "", (17, 4), 17.5 / 4.448, -85]
    for attempt in (1, 2, 3):
        for answer in answers:
            words = judge(lever, "effort", answer, case, attempt=attempt).words
            given = str(answer)
            assert not re.search(r"17[.,]5", words.replace(given, "")), words


@pytest.mark.parametrize(
    "make", [*(lambda name=name: name for name in (..., None, "", " ", 5, ["Ana"], True)), SpeaksBadly]
)
def test_without_a_usable_name_it_says_what_to_do(
    lever: Exercise, make: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    mine = lever(make())
    assert "Your name is needed first" in repr(mine.show())
    mine.check("effort", 10)
    assert "Your name is needed first" in repr(mine.steps())
    assert "Your name is needed first" in repr(mine.given("effort"))
    assert "Your name is needed first" in repr(mine.record())
    shown = capsys.readouterr()
    assert shown.out.count("Your name is needed first") == 1
    assert shown.err == ""
    assert mine.score("effort", 10) == 0.0
    assert mine.record().data["case"] is None


@pytest.mark.parametrize(
    ("cell", "words"),
    [
        ("effort = 12.5 mm", 'A number with its unit stands between straight quotes, as in "12.5 mm"'),
        ("effort = “12.5 mm”", "Its quotes are curly. Type straight ones"),
        ("effort = (12.5", "Are all quotes and brackets closed"),
        ("effort = \n  12", "Python cannot read"),
        ('mine.check("effort", effort)', "effort: the cell above gave no answer"),
        ("effort = the load is held by both arms", 'Type effort = """ before the first word and """ behind the last'),
        ('effort = 80 - "12 mm"', "Numbers to work with stand without quotes and units, as in 474 - 381"),
        ("effort = ... * 2", "Do dots still stand in it?"),
        ('effort = float("12 mm")', "One of its numbers cannot be used so"),
        ("effort = 1\neffort = 80 / 0", "line 2 of this cell: effort = 80 / 0\nIt divides by nought."),
        ("mine.chek(effort=1)", "What stands behind the dot is not there"),
        ('effort = {"a": 1}["b"]', "What it looks up is not there"),
        ("effort = 10.0 ** 400", "Its number becomes too large"),
        ("import controlkitt", "What it asks for is not installed here"),
        ("effort = twelve", 'If it is a word of an answer, put it between straight quotes: "twelve"'),
    ],
)
def test_a_cell_that_cannot_run_fails_with_words_and_no_trace(lever: Exercise, cell: str, words: str) -> None:
    """In a shell as a kernel has it: the cell stays a failed one, so that no grader takes it for a point."""
    shown = run_in_a_shell(lever, cell)
    assert words in shown
    assert "Traceback" not in shown
    assert "line 1, in" not in shown


def test_other_errors_of_a_cell_stay_as_they_are(lever: Exercise) -> None:
    assert "RuntimeError" in run_in_a_shell(lever, "raise RuntimeError")
    assert "ZeroDivisionError" in run_in_a_shell(lever, "def own():\n    return 1 / 0\nown()")
    assert "NameError" in run_in_a_shell(lever, "def own():\n    return missing\nown()")


def run_in_a_shell(lever: Exercise, cell: str) -> str:
    before = InteractiveShell._instance
    shell = InteractiveShell()
    InteractiveShell._instance = shell
    try:
        shell.user_ns["mine"] = lever
        assert shell.run_cell("mine = mine('Ana')").success
        with redirect_stdout(io.StringIO()) as out:
            ran = shell.run_cell(cell)
        assert not ran.success
        return out.getvalue()
    finally:
        InteractiveShell._instance = before


@pytest.mark.parametrize(
    ("answer", "typed"),
    [
        ("372 mm - 319 mm", "effort = 372 - 319"),
        ("372 - 319", "effort = 372 - 319"),
        ("12,5 N × 3", "effort = 12.5 * 3"),
        ("40 N / 0.8", "effort = 40 / 0.8"),
    ],
)
def test_what_is_still_to_be_worked_out_is_shown_as_it_is_typed(lever: Exercise, answer: str, typed: str) -> None:
    judged = judge(lever, "effort", answer, lever.own_case("Ana"))
    assert f"Type it without quotes and units: `{typed}`." in judged.words
    assert not judged.costs_attempt


@pytest.mark.parametrize("answer", ["-12 N", "5 ft 11 in", "1 1/2 in", "1/2 in", "3e-2 N", "12.5"])
def test_a_number_with_a_sign_or_a_fraction_is_none_such(lever: Exercise, answer: str) -> None:
    assert "still to be worked out" not in judge(lever, "effort", answer, lever.own_case("Ana")).words
