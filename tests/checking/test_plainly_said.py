"""What a student is told plainly: who gives which points, which answer counts, how a number was read."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from controlkit.checking import Design, Exercise, Quantity, judge
from controlkit.checking.reading import read_answer
from controlkit.checking.unit_slips import UNIT_WORDS, sizes
from controlkit.exercises.ex10.words import SCENES
from tests.checking.hands import Hands

KINDS = ("length", "force", "angle", "mass", "moment", "line load", "pressure", "ratio", "time")

Captured = pytest.CaptureFixture[str]


def _right(lever: Exercise) -> float:
    return lever.right(lever.own_case("Ana"))["effort"]


def test_a_worse_answer_says_that_the_last_one_counts(lever: Exercise, capsys: Captured) -> None:
    """Once, where the sum falls: not for a better answer, not for the same again, and on the next day too."""
    replaces = "This replaces an answer that earned 4; the last one counts."
    lever("Ana").check("effort", _right(lever))
    assert "replaces" not in capsys.readouterr().out
    mine = lever("Ana")
    for answer, told in ((400, True), (400, False), (_right(lever), False), ("nonsense", False), (400, True)):
        mine.check("effort", answer)
        assert (replaces in capsys.readouterr().out) == told, answer


STANDS = "Your answer before it still stands in your receipt, with 4 of 4 points."


def test_what_does_not_count_leaves_the_answer_before_it_standing(lever: Exercise, capsys: Captured) -> None:
    """In the receipt and on the next day; and it is said what the marks are given for."""
    right = _right(lever)
    lever("Ana").check("effort", right)
    for mine in (lever("Ana"), lever("Ana")):
        assert "stands" not in capsys.readouterr().out
        mine.check("effort", "12 stone of what")
        out = " ".join(capsys.readouterr().out.split())
        assert STANDS in out
        assert "marks are given for what the cell holds when you hand in" in out
        receipt = mine.record()
        assert receipt.data["points"]["effort"] == 4
        assert "Look at the cell again: 1. effort." in repr(receipt)
        mine.check("effort", right)
        assert "Look at the cell again" not in repr(mine.record())
        capsys.readouterr()


def test_a_wrong_sign_does_not_count_and_leaves_the_right_answer_standing(lever: Exercise, capsys: Captured) -> None:
    plain = replace(lever, ideas=())
    mine = plain("Ana")
    mine.check("effort", _right(plain))
    capsys.readouterr()
    mine.check("effort", -_right(plain))
    out = " ".join(capsys.readouterr().out.split())
    assert "This answer: 2 of 4 points." in out
    assert STANDS in out
    assert mine.record().data["points"]["effort"] == 4


def test_the_first_answer_that_cannot_be_read_leaves_nothing_standing(lever: Exercise, capsys: Captured) -> None:
    mine = lever("Ana")
    mine.check("effort", "nonsense")
    assert "stands" not in capsys.readouterr().out
    assert mine.score("effort", "nonsense") == 0.0


def test_while_it_is_marked_the_cell_counts(lever: Exercise, monkeypatch: pytest.MonkeyPatch) -> None:
    mine = lever("Ana")
    mine.check("effort", _right(lever))
    assert mine.score("effort", "nonsense") == 0.0
    monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
    marked = lever("Ana")
    marked.check("effort", "nonsense")
    assert marked.score("effort", "nonsense") == 0.0


def test_points_are_announced_with_who_gives_them(lever: Exercise) -> None:
    assert lever.announced == "9 points (6 by the checks, 3 by your instructor)"
    assert replace(lever, items=lever.items[:-1]).announced == "6 points"
    assert f"{lever.announced}. Of the answers to one question, the last one counts." in repr(lever("Ana").show())


def test_a_bare_number_asks_for_its_unit_next_time(lever: Exercise, capsys: Captured) -> None:
    mine = lever("Ana")
    unit, value = lever.items[0].unit, f"{_right(lever):.4g}"
    for answer, told in (
        (float(value), True),
        (f" {value} ", True),
        (f"{value} {unit}", False),
        ("?", False),
        (..., False),
    ):
        mine.check("effort", answer)
        assert (f'Next time write the unit too, in quotes: "{value} {unit}".' in capsys.readouterr().out) == told, (
            answer
        )


def test_only_the_beginning_of_a_long_answer_is_repeated(lever: Exercise) -> None:
    mine = lever("Ana")
    mine.check("why", "The arms differ, and so do the forces:\nthe longer one needs less of it, every time.")
    said = repr(mine.record())
    assert "“The arms differ, and so do the forces: the longer one needs…”, 17 words" in said
    mine.check("why", "x" * 500)
    assert f"“{'x' * 60}…”, 1 word" in repr(mine.record())


def _item(lever: Exercise, **changes: Any) -> Exercise:
    """The lever with one question of its own."""
    item = Quantity(name="amount", points=4, asks="how much", **changes)
    return replace(lever, items=(item,), ideas=())


def _said(exercise: Exercise, answer: Any) -> tuple[float, str]:
    judged = judge(exercise, "amount", answer, exercise.own_case("Ana"))
    return judged.points, judged.words


@pytest.mark.parametrize(
    ("kind", "unit", "right", "answer", "meant", "wrote"),
    [
        ("pressure", "kPa", 12.0, "12 Pa", "kilopascals", "pascals"),
        ("pressure", "kPa", 12.0, 12000, "pascals", "kilopascals"),
        ("pressure", "kPa", 12.0, 90.007, "millimetres of mercury", "kilopascals"),
        ("pressure", "kPa", 12.0, "12 mmHg", "kilopascals", "millimetres of mercury"),
        ("pressure", "kPa", 12.0, "12 bar", "kilopascals", "“bar”"),
        ("time", "min", 8.5, "8.5 s", "minutes", "seconds"),
        ("time", "min", 8.5, 510, "seconds", "minutes"),
        ("force", "N", 41.3, "41.3 kN", "newtons", "kilonewtons"),
        ("force", "N", 41.3, 0.0413, "kilonewtons", "newtons"),
        ("length", "mm", 417.26, "417.3 m", "millimetres", "metres"),
        ("length", "mm", 417.26, "417.3 cm", "millimetres", "centimetres"),
    ],
)
def test_a_wrong_unit_is_called_by_its_name(
    lever: Exercise, kind: str, unit: str, right: float, answer: Any, meant: str, wrote: str
) -> None:
    exercise = _item(lever, kind=kind, unit=unit, right=lambda *_: right, within=0.05)
    points, words = _said(exercise, answer)
    assert points == 2
    assert f"Your number looks like one in {meant}, and it was read as {wrote}." in words


@pytest.mark.parametrize(
    ("kind", "unit", "right", "answer"),
    [
        ("force", "N", 41.3, "0.0413 kN"),
        ("pressure", "kPa", 12.0, "90 mmHg"),
        ("pressure", "kPa", 12.0, "0.12 bar"),
        ("length", "mm", 417.26, "0.41726 m"),
        ("time", "min", 511 / 60, "8 min 31 s"),
        ("time", "min", 511 / 60, "511 s"),
    ],
)
def test_any_unit_of_the_kind_is_read(lever: Exercise, kind: str, unit: str, right: float, answer: str) -> None:
    assert _said(_item(lever, kind=kind, unit=unit, right=lambda *_: right, within=0.05), answer)[0] == 4


def test_a_step_the_wrong_way_round_is_not_called_another_unit(lever: Exercise) -> None:
    points, words = _said(_item(lever, kind="length", unit="mm", right=lambda *_: 41.0, within=0.05), 410)
    assert points == 2
    assert "looks as if it was made the wrong way round" in words


def test_every_unit_that_can_be_written_has_a_name() -> None:
    assert all(unit in UNIT_WORDS for kind in KINDS for unit in sizes(kind))


@pytest.mark.parametrize("answer", [15, "15", "15 trials", "15 Trials", "15 whole trials", "15 trial."])
def test_a_count_may_be_written_with_what_is_counted(lever: Exercise, answer: Any) -> None:
    counted = _item(lever, kind="ratio", unit="", right=lambda *_: 15.0, within=0.15, counts="trials")
    assert _said(counted, answer)[0] == 4


def test_a_count_that_is_not_whole_is_told_to_be_rounded_up(lever: Exercise) -> None:
    counted = _item(lever, kind="ratio", unit="", right=lambda *_: 15.0, within=0.15, counts="trials")
    points, words = _said(counted, 14.84)
    assert points == 2
    assert "Trials come whole" in words
    assert "round up" in words
    assert "every digit" not in words
    assert _said(counted, "15 bands")[0] == 0  # something else is counted
    assert "round up" not in _said(counted, 15.4)[1]


@pytest.mark.parametrize("name", ["ex03", "ex06", "ex10", "ex12"])
def test_a_design_that_cannot_be_worn_is_told_by_the_name_in_its_cell(every: dict[str, Hands], name: str) -> None:
    hands = every[name]
    item, case = hands.exercise.item("design"), hands.case(3)
    assert isinstance(item, Design)
    right = hands.solved("Student 3")["design"]
    renamed = ("junction", "left_strap", "right_strap", "low", "crossbar", "left_bands", "right_bands")
    for setting in item.settings:
        if setting.name in renamed:
            wild = judge(hands.exercise, "design", {**right, setting.name: 40 if not setting.unit else "900 mm"}, case)
            assert f"`{setting.name}` was given as" in wild.words
            assert not wild.costs_attempt
        if setting.name == "crossbar":
            assert '"40 %"' in wild.words
            cell = next(one.source for one in hands.notebook("exercises").cells if one.id == "design")
            assert '"40 %"' in cell
            assert '"40 %"' in setting.meaning


def test_bands_of_a_design_may_be_written_as_bands(every: dict[str, Hands]) -> None:
    for name in ("ex06", "ex07", "ex09", "ex10", "ex12"):
        item = every[name].exercise.item("design")
        assert isinstance(item, Design)
        counted = [one for one in item.settings if one.name.endswith("bands")]
        assert counted
        for setting in counted:
            assert read_answer("3 bands", setting.kind, setting.unit, setting.name, counts=setting.counts) == 3.0


def test_each_scene_says_which_arm_moves() -> None:
    """The statements speak of this hook and the other, so what is done is done on this side, the other, or on both."""
    for _, moves in SCENES.values():
        assert "one arm" not in moves
        assert "this side" in moves or moves.startswith("both")
