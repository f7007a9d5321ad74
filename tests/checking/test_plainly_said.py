"""What a student is told plainly: who gives which points, which answer counts, how a number was read."""

from __future__ import annotations

from dataclasses import replace

import pytest

from controlkit.checking import Exercise

Captured = pytest.CaptureFixture[str]


def _right(lever: Exercise) -> float:
    return lever.right(lever.own_case("Ana"))["effort"]


def test_a_worse_answer_says_that_the_last_one_counts(lever: Exercise, capsys: Captured) -> None:
    """Once, where the sum falls: not for a better answer, not for the same again, and on the next day too."""
    replaces = "This replaces an answer that earned 4; the last one counts."
    lever("Ana").check("effort", _right(lever))
    assert "replaces" not in capsys.readouterr().out
    mine = lever("Ana")
    for answer, told in ((400, True), (400, False), (_right(lever), False), ("nonsense", True), (_right(lever), False)):
        mine.check("effort", answer)
        assert (replaces in capsys.readouterr().out) == told, answer


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
