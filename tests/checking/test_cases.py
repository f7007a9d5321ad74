"""Cases: the same for the same name on any machine, and never one that cannot tell ideas apart."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from controlkit.checking import Exercise, OneOf, Plan, Range, normalise
from controlkit.checking.case.cases import Candidate, Case, apart, pick
from controlkit.units import InputError

NAMES = ["Zoë Marsh", "Ana", "李小龍", "O'Neill", "Dvořák", "  spaced   out  ", "a", "Ærøskøbing", "🙂", "x" * 400]


def test_range_shows_exact_values() -> None:
    assert Range(0.08, 0.2, 0.04).values() == (0.08, 0.12, 0.16, 0.2)
    assert Range(5, 15, 5).values() == (5, 10, 15)
    assert all(type(value) is int for value in Range(5, 15, 5).values())


@pytest.mark.parametrize("wrong", [(0, 10, 3), (0, 10, 0), (10, 0, 1), (0, 1, -1)])
def test_range_that_does_not_work_out_is_refused(wrong: tuple[int, int, int]) -> None:
    with pytest.raises(InputError, match="does not work out"):
        Range(*wrong)


def test_index_comes_from_sha256_alone() -> None:
    digest = hashlib.sha256(b"ex03\x1fana\x1f0\x1fpull").hexdigest()
    assert pick(11, "ex03", "ana", 0, "pull") == int(digest, 16) % 11


@pytest.mark.parametrize("name", NAMES)
def test_same_name_same_case(lever: Exercise, name: str) -> None:
    first = lever.own_case(name)
    forms = [name, unicodedata.normalize("NFD", name), f"\t {name} ", name.upper() if name.isascii() else name]
    assert all(lever.own_case(form).as_data() == first.as_data() for form in forms)
    assert lever.own_case(name).draw == first.draw


def test_another_process_draws_the_same_case(lever: Exercise, root: Path) -> None:
    """String hashing differs between processes; the case must not."""
    code = (
        "from controlkit.checking import Plan, Range; import json;"
        "p = Plan('lever', {'load': Range(40, 90, 5), 'short': Range(20, 60, 5), 'long': Range(100, 200, 10)});"
        "print(json.dumps([p.draw(n, lambda c: True).as_data() for n in ('Ana', 'Zoë Marsh')]))"
    )
    seen = []
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(root), "PYTHONIOENCODING": "utf-8"}
        ran = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True)
        seen.append(json.loads(ran.stdout))
    assert seen[0] == seen[1]
    assert seen[0] == [lever.plan.draw(name, lambda _: True).as_data() for name in ("Ana", "Zoë Marsh")]


@pytest.mark.long
def test_a_machine_that_computes_otherwise_draws_the_same_cases(root: Path) -> None:
    """Without the newer instructions of the processor sums come out in another order, and round otherwise."""
    features = "AVX2 FMA3 AVX512F AVX512CD AVX512_SKX AVX512_CLX AVX512_CNL AVX512_ICL AVX512_SPR"
    slower = {"OPENBLAS_CORETYPE": "Prescott", "NPY_DISABLE_CPU_FEATURES": features, "OPENBLAS_NUM_THREADS": "1"}
    environment = {**os.environ, **slower, "PYTHONPATH": str(root), "PYTHONIOENCODING": "utf-8"}
    ran = subprocess.run(
        [sys.executable, "-m", "tests.checking.golden", "check"],
        cwd=root,
        env=environment,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert ", 0 other" in ran.stdout


def test_names_differ_so_do_cases(lever: Exercise) -> None:
    seen = {tuple(lever.own_case(f"student {number}").as_data().items()) for number in range(50)}
    assert len(seen) > 40


def test_exercises_differ_so_do_cases(lever: Exercise) -> None:
    draws = lever.plan.draws
    same = sum(
        Plan("a", draws).draw(str(n), lambda _: True).as_data()
        == Plan("b", draws).draw(str(n), lambda _: True).as_data()
        for n in range(50)
    )
    assert same < 5


def test_admitted_cases_tell_every_idea_apart(lever: Exercise) -> None:
    for number in range(50):
        case = lever.own_case(f"student {number}")
        for item in lever.items[:2]:
            answers = item.candidates(lever.given(item, case))
            assert {answer.label for answer in answers} == {"right", *(idea.label for idea in lever.about(item))}
            for one in answers:
                for other in answers:
                    assert one.label == other.label or abs(one.value - other.value) >= 5 * one.tolerance


def test_a_case_that_cannot_tell_apart_is_not_admitted(lever: Exercise) -> None:
    level = Case("lever", "x", 0, {"load": 50, "short": 60, "long": 60})  # both arms alike: no lever at all
    assert not lever.admits(level)
    assert lever.admits(Case("lever", "x", 0, {"load": 50, "short": 40, "long": 200}))


def test_a_case_whose_wrong_unit_looks_like_an_idea_is_not_admitted(lever: Exercise) -> None:
    # 20 to 200 mm: the swapped arms give 100 times the right answer, no unit slip;
    # load equal to the right answer times 9.80665 (kilograms-force) is one.
    slip = Case("lever", "x", 0, {"load": 60, "short": 100, "long": 980.665})
    assert not lever.admits(slip)


def test_redraw_is_counted_and_deterministic() -> None:
    plan = Plan("x", {"n": Range(0, 99)})
    third = list(plan.candidates("ana"))[3]
    case = plan.draw("ana", lambda c: c.draw >= 3)
    assert case == third
    assert case.draw == 3


def test_an_exercise_without_usable_case_says_whose_fault_it_is() -> None:
    with pytest.raises(InputError, match="fault of the exercise"):
        Plan("x", {"n": OneOf((1, 2))}).draw("ana", lambda _: False)


def test_case_cannot_be_changed(lever: Exercise) -> None:
    case = lever.own_case("Ana")
    with pytest.raises(TypeError):
        case.values["load"] = 1  # type: ignore[index]
    case.as_data()["load"] = 1
    assert case.load != 1
    with pytest.raises(AttributeError, match="no 'weight'"):
        _ = case.weight


@settings(max_examples=100)
@given(st.text(max_size=40))
def test_normalise_is_stable(name: str) -> None:
    assert normalise(normalise(name)) == normalise(name)


def test_apart_refuses_what_is_not_finite() -> None:
    right = Candidate("right", 1.0, 0.01)
    assert apart([right, Candidate("a", 3.0, 0.01)])
    assert not apart([right, Candidate("a", float("inf"), 0.01)])
    assert not apart([right, Candidate("a", float("nan"), 0.01)])
