"""Formulas of students: ordinary notation read without running anything, wrong ideas, laws, unseen values."""

from __future__ import annotations

import math
import random
import time
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from controlkit.checking import Exercise, Formula, Judgement, KeptBack, Law, OneOf, Plan, WrongFormula, judge
from controlkit.checking.case.cases import Case
from controlkit.checking.items.notation import LONGEST, read_formula
from controlkit.units import InputError

NAMES = ("a", "b", "load")
VALUES = {"a": 3.0, "b": 0.5, "load": 60.0}

HEIGHT = Formula(
    name="height",
    asks="how high the end of a rod lies above its other end [mm]",
    arguments=("rod, its length [mm]", "slope, against the level [deg]"),
    right="rod * sin(slope°)",
    inputs=lambda c: ((float(c.rod), 30.0), (80.0, 50.0), (120.0, 10.0)),
    results_points=3,
    laws=(
        Law(
            label="level",
            points=1,
            inputs=lambda _: ((70.0, 0.0),),
            holds=lambda found: abs(found[0]) < 1e-9,
            met="a level rod has its ends at one height.",
            ask="how high is the end of a level rod?",
            because="cosine for sine",
        ),
    ),
    ideas=(
        WrongFormula(
            label="cosine-for-sine",
            formula="rod * cos(slope°)",
            ask="Which side of the triangle do you want?",
            held_because="no drawing",
            share=0.25,
        ),
        WrongFormula(
            label="slope-times-rod", formula="rod * slope°", ask="Is a height an arc?", held_because="small angles"
        ),
    ),
    hints=("Draw the triangle.",),
)
SHEET = Exercise("rod", "A rod", Plan("rod", {"rod": OneOf((60, 90))}), (HEIGHT,))
CASE = Case("rod", "ana", 0, {"rod": 60})
HIDDEN = KeptBack({"height": lambda _: ((97.0, 41.0), (33.0, 75.0))})


def judged(answer: Any, attempt: int = 1, kept_back: KeptBack | None = None) -> Judgement:
    return judge(SHEET, "height", answer, CASE, attempt=attempt, kept_back=kept_back)


# --- Notation ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("2 a", 6),
        ("2a", 6),
        ("3(a+b)", 10.5),
        ("(a + b)(a - b)", 8.75),
        ("a b load", 90),
        ("a(b)", 1.5),
        ("a × b · 2", 3),
        ("a − b – 1 — 1", 0.5),
        ("load ÷ 2", 30),
        ("load/a/2", 10),
        ("load/a*b", 10),
        ("-a^2", -9),
        ("a^-1", 1 / 3),
        ("2^3^2", 512),
        ("2**a", 8),
        ("a²", 9),
        ("a⁻¹ + 10²", 100 + 1 / 3),
        ("0,5 a + .5 + ,5", 2.5),
        ("1.234", 1.234),
        ("0,125 * 8", 1),
        ("80 % load", 48),
        ("e^b", math.exp(0.5)),
        ("exp(b)", math.exp(0.5)),
        ("2e", 2 * math.e),
        ("2 π", 2 * math.pi),
        ("sin(30°) + cos(π/3)", 1),
        ("tan(radians(45))", 1),
        ("degrees(atan(1))", 45),
        ("degrees(asin(0.5)) + degrees(acos(0.5))", 90),
        ("√(a² + 16)", 5),
        ("sqrt[{a + 1} * 4]", 4),
        ("ln(e^a) + log10(100)", 5),
        ("abs(b - a)", 2.5),
        ("LOAD + Load", 120),
        ("μ + µ", 1),
        ("+a - -a", 6),
        ("--a", 3),
    ],
)
def test_ordinary_notation_is_read(text: str, value: float) -> None:
    assert read_formula(text, NAMES, {"μ": "b"}).value(VALUES) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a +", "Something is missing after “+”"),
        ("* a", "Something is missing before “*”"),
        ("a * (b", "opened and not closed"),
        ("a (b +) 1", "Something is missing after “+”"),
        ("a b)", "one closing bracket too many"),
        ("a ^", "Something is missing after “^”"),
        ("()", "Something is missing after “(”"),
        ("lod", "If you mean load, write it so. The names are a, b, load."),
        ("loada", "If you mean load * a, write it so"),
        ("a * 3 mm", "Units do not stand in a formula"),
        ("zz", "“zz” is none of the names here. The names are a, b, load."),
        ("a / 2 b", "whether “b” stands below the line too, after the division"),
        ("a / b load", "whether “load” stands below the line too"),
        ("e^-a b", "whether “b” still stands in the exponent"),
        ("1,234 a", "Write 1.234 or 1234."),
        ("1.2.3", "is not one number"),
        ("2e-3 a", "may mean a power of ten"),
        ("2e3", "may mean a power of ten"),
        ("2 3", "Two numbers stand side by side"),
        ("e(a)", "For a power of e write e^( )"),
        ("sin a", "sin needs brackets"),
        ("sin^2(a)", "sin needs brackets"),
        ("log(a)", "Write ln for the natural logarithm, log10"),
        ("a = b", "Write only what stands on its right"),
        ("a; b", "“;” is not known"),
        ("a, b", "A comma only stands within a number"),
        ("a.real", "“.” is not known"),
        ("a if b else 1", "none of the names"),
        ("lambda: 1", "“:” is not known"),
        ("__import__('os').system('x')", "is not known"),
        ("a{", "Something is missing after “(”"),
        ("\u202ea", "is not known"),
        ("(" * 10_000, "very long"),
        ("(" * 100 + "a" + ")" * 100, "too many brackets"),
        ("-" * 300 + "a", "too many brackets, powers or signs"),
        ("^".join(["9"] * 150), "too many brackets, powers or signs"),
        ("sin(" * 60 + "a" + ")" * 60, "too many brackets"),
    ],
)
def test_what_cannot_be_read_is_said_to_a_person(text: str, words: str) -> None:
    with pytest.raises(InputError) as trouble:
        read_formula(text, NAMES)
    assert words in str(trouble.value)
    assert len(str(trouble.value)) < 300


@pytest.mark.parametrize(
    "text", ["9^9^9^9", "1 / (a - 3)", "sqrt(-a)", "ln(0)", "(-a)^b", "asin(a)", "10^400 - 10^400"]
)
def test_what_has_no_finite_value_has_none(text: str) -> None:
    assert read_formula(text, NAMES).value(VALUES) is None


@given(st.text(alphabet="ab 0123,.+-*/^()°%e²πsincosqrtlg=μ√−", max_size=60))
def test_whatever_is_typed_ends_as_a_number_or_a_sentence(text: str) -> None:
    try:
        value = read_formula(text, NAMES).value(VALUES)
    except InputError:
        return
    assert value is None or math.isfinite(value)


@given(st.integers(0, 2**32))
def test_a_formula_comes_to_what_arithmetic_comes_to(seed: int) -> None:
    """Sums, products and powers put together at random, beside Python's own arithmetic of the same text."""
    draw = random.Random(seed)

    def part(depth: int) -> str:
        if depth == 0:
            return draw.choice(["a", "b", "load", "2", "0.5", "3"])
        one, two = part(depth - 1), part(depth - 1)
        return draw.choice(
            [f"({one} + {two})", f"({one} - {two})", f"{one} * {two}", f"({one}) / ({two})", f"(-{one})^2"]
        )

    text = part(draw.randint(1, 3))
    found = read_formula(text, NAMES).value(VALUES)
    try:
        wanted = eval(text.replace("^", "**"), {"__builtins__": {}}, dict(VALUES))
    except ZeroDivisionError:
        assert found is None
        return
    assert found == pytest.approx(wanted, rel=1e-9, abs=1e-9)


def test_nothing_takes_long() -> None:
    start = time.perf_counter()
    for text in (
        "(" * 10**6,
        "9^" * 199 + "9",
        "a+" * 199 + "a",
        "a" * LONGEST,
        "1" * LONGEST,
        "a " * 199,
        "²" * LONGEST,
    ):
        try:
            read_formula(text, NAMES).value(VALUES)
        except InputError:
            continue
    assert time.perf_counter() - start < 2.0


# --- Judging ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "answer", [HEIGHT.right, "rod sin(radians(slope))", "rod cos(pi/2 - slope pi/180)", "= rod*sin(slope°)"]
)
def test_a_right_formula_earns_everything_however_it_is_written(answer: str) -> None:
    assert judged(answer).points == 4
    assert judged(answer).words.startswith("height: yes, its results are right.\n  Yes: a level rod")
    assert judged(answer, kept_back=HIDDEN).points == 4


def test_degrees_for_radians_are_found_in_any_formula_with_a_sine() -> None:
    for kept_back in (None, HIDDEN):
        found = judged("rod * sin(slope)", kept_back=kept_back)
        assert found.feedback[0].label == "degrees-for-radians"
        assert "right on a calculator set to degrees" in found.words
        assert found.points == 1.5 + 1


@pytest.mark.parametrize("idea", HEIGHT.ideas, ids=lambda idea: idea.label)
def test_a_wrong_idea_gets_its_own_question(idea: WrongFormula) -> None:
    for form in idea.forms:
        found = judged(form)
        assert found.feedback[0].label == idea.label
        assert idea.ask in found.words
        assert found.feedback[0].justification == idea.held_because


def test_a_formula_that_is_nothing_known_is_told_what_it_comes_to_and_never_what_is_right() -> None:
    found = judged("rod / 3 + slope / 30")
    assert "With rod = 60.0, slope = 30.0 it comes to 21, which is too small." in found.words
    assert "Hint: Draw the triangle." in found.words
    assert "Right for 1 of 3 tries." in judged("rod / 2").words
    for answer in ("rod / 3", "-rod", "rod * slope"):
        for kept_back in (None, HIDDEN):
            words = judged(answer, kept_back=kept_back).words
            assert not any(f"{right:.1f}" in words for right in (61.3, 20.8, 63.6, 31.9))
            assert kept_back is None or "With" not in words


def test_right_on_what_is_shown_only_is_found_out_at_grading() -> None:
    fitted = "30 + 0 rod"
    only = replace(SHEET, items=(replace(HEIGHT, inputs=lambda _: ((60.0, 30.0), (60.0, 30.0))),))
    assert judge(only, "height", fitted, CASE).points == 3  # it never varies, so no law is met
    assert judge(only, "height", fitted, CASE, kept_back=HIDDEN).points == 0


def test_a_law_without_a_finite_value_is_not_met_and_the_results_still_count() -> None:
    found = judged("rod * sin(slope°) * slope / slope")
    assert found.points == 3
    assert "its results are right, but not everywhere" in found.words


@pytest.mark.parametrize("answer", [None, ..., "", "...", " . . . "])
def test_blank_is_blank(answer: Any) -> None:
    found = judged(answer)
    assert found.feedback[0].kind == "blank"
    assert "with the names rod, slope" in found.words
    assert not found.costs_attempt


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        (30, "A formula between quotes is needed here, not its result"),
        (judged, "not a function"),
        (["rod"], "A formula between quotes is needed here: a text"),
        ({"rod": 1}, "A formula between quotes is needed here"),
        (object(), "A formula between quotes is needed here"),
        ("30 mm", "That is a number, and a formula is asked for"),
        ("12,5", "That is a number"),
        ("2 pi", "None of the names stands in it"),
        ("rod / (slope - slope)", "With rod = 60.0, slope = 30.0 it comes to no finite number"),
        ("rod sin(slope", "opened and not closed"),
    ],
)
def test_what_is_no_formula_costs_no_attempt(answer: Any, words: str) -> None:
    found = judged(answer)
    assert words in found.words
    assert found.points == 0
    assert not found.costs_attempt


def test_points_do_not_depend_on_attempts_and_labels_hold_no_numbers() -> None:
    for answer in (HEIGHT.right, "rod * cos(slope°)", "rod / 7", "rod (", ...):
        many = [judged(answer, attempt) for attempt in (1, 2, 5)]
        assert len({found.points for found in many}) == 1
        labels = [note.label for found in many for note in found.feedback]
        assert not any(character.isdigit() for label in labels for character in label)


def test_a_case_that_cannot_tell_ideas_apart_is_not_admitted() -> None:
    assert SHEET.admits(CASE)
    flat = replace(HEIGHT, inputs=lambda _: ((60.0, 0.01), (90.0, 0.01)))
    assert not replace(SHEET, items=(flat,)).admits(CASE)
    twice = replace(HEIGHT, ideas=(*HEIGHT.ideas, replace(HEIGHT.ideas[0], label="cosine-again")))
    assert not replace(SHEET, items=(twice,)).admits(CASE)
    always = replace(HEIGHT, inputs=lambda _: ((60.0, 40.0),))
    assert not replace(SHEET, items=(always,)).admits(CASE)


def test_a_formula_of_the_exercise_must_be_readable_and_its_names_free() -> None:
    with pytest.raises(InputError, match="calls something e, which every formula knows"):
        replace(HEIGHT, arguments=("rod, its length [mm]", "E, its modulus [GPa]"))
    with pytest.raises(InputError, match="none of the names"):
        replace(HEIGHT, right="rod * sin(tilt°)")


def test_in_a_students_hands(capsys: pytest.CaptureFixture[str]) -> None:
    mine = SHEET("Ana")
    for answer in ("...", "rod (", "rod / 7", "rod / 7", "rod/8", HEIGHT.right):
        mine.check("height", answer)
    assert mine._attempts("height") == 3
    assert "This answer: 4 of 4 points." in capsys.readouterr().out
    asked = HEIGHT.asked(CASE)
    assert "A formula between quotes, with these names: rod, its length [mm]; slope, against the level [deg]." in asked
    assert asked.endswith("Sine, cosine and tangent take radians")
    assert "radians" not in replace(HEIGHT, right="rod / 2").asked(CASE)
    assert HEIGHT.stub() == 'height = "..."'
