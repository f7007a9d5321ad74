"""One judging function: right, each wrong idea, wrong units, signs, sizes, own earlier values; words and points."""

from __future__ import annotations

import math

import pytest

from controlkit.checking import Exercise, judge
from controlkit.checking.case.cases import Case
from controlkit.units import InputError

CASE = Case("lever", "ana", 0, {"load": 50, "short": 40, "long": 200})  # effort 10 N, moment 2 N m


def test_right_in_any_unit_and_spelling(lever: Exercise) -> None:
    for answer in (10, 10.0, "10", "10 N", "10,0 N", "10.1 N", f"{10 / 4.4482216} lbf", "1.0197 kgf"):
        judged = judge(lever, "effort", answer, CASE)
        assert judged.points == 4, answer
        assert judged.feedback[0].kind == "right"


def test_tolerance_is_a_border(lever: Exercise) -> None:
    assert judge(lever, "effort", 10.199, CASE).points == 4
    assert judge(lever, "effort", 10.201, CASE).points == 2  # right to two figures
    assert judge(lever, "effort", 10.501, CASE).points == 0


@pytest.mark.parametrize(
    ("answer", "label", "points"),
    [(250, "arms-swapped", 1.0), (50, "no-lever", 0.0), (-50, "no-lever", 0.0), ("250 N", "arms-swapped", 1.0)],
)
def test_wrong_idea_gets_its_own_question(lever: Exercise, answer: object, label: str, points: float) -> None:
    judged = judge(lever, "effort", answer, CASE)
    idea = next(idea for idea in lever.ideas if idea.label == label)
    assert judged.feedback[0].label == label
    assert judged.feedback[0].kind == "idea"
    assert idea.ask in judged.words
    assert judged.feedback[0].justification == idea.held_because
    assert judged.points == points


@pytest.mark.parametrize(
    ("answer", "label"),
    [
        (10 / 4.4482216, "unit:lbf"),  # pounds, written bare
        ("10 lbf", "unit:lbf"),  # newtons, called pounds
        ("10 kgf", "unit:kgf"),
    ],
)
def test_right_size_in_the_wrong_unit_is_said_to_be_just_that(lever: Exercise, answer: object, label: str) -> None:
    judged = judge(lever, "effort", answer, CASE)
    assert judged.feedback[0].label == label
    assert "the size is right, the unit is not" in judged.words
    assert judged.points == 2


def test_newton_millimetres_for_newton_metres(lever: Exercise) -> None:
    judged = judge(lever, "moment", 2000, CASE)
    assert judged.feedback[0].label == "unit:N mm"
    assert "newton millimetres" in judged.words


def test_sign_is_said_apart(lever: Exercise) -> None:
    judged = judge(lever, "effort", -10, CASE)
    assert judged.feedback[0].label == "other-sign"
    assert judged.points == 2
    assert judge(lever, "effort", -17, CASE).feedback[0].label == "sign-and-size"


@pytest.mark.parametrize(
    ("answer", "label", "words"),
    [
        (17, "too-large", "not yet. Your value is too large"),
        (33, "too-large", "far too large"),
        (7, "too-small", "too small"),
        (0.3, "too-small", "far too small"),
        (10.6, "close", "a little too large"),
        (9.5, "close", "a little too small"),
    ],
)
def test_size_is_said_in_words(lever: Exercise, answer: float, label: str, words: str) -> None:
    judged = judge(lever, "effort", answer, CASE)
    assert judged.feedback[0].label == label
    assert words in judged.words


def test_hints_follow_attempts_and_points_do_not(lever: Exercise) -> None:
    said = [judge(lever, "effort", 17, CASE, attempt=attempt) for attempt in (1, 2, 3, 99)]
    assert "moments about the pivot" in said[0].words
    assert "Which arm is longer?" in said[1].words
    assert said[2].words == said[1].words == said[3].words
    for answer in (10, 250, 50, "10 lbf", -10, 17, "", "ten"):
        assert len({judge(lever, "effort", answer, CASE, attempt=attempt).points for attempt in (1, 2, 3, 9)}) == 1


def test_idea_gets_a_hint_only_when_it_comes_again(lever: Exercise) -> None:
    assert "Hint" not in judge(lever, "effort", 250, CASE, attempt=1).words
    assert "Hint" in judge(lever, "effort", 250, CASE, attempt=2).words


def test_later_item_is_judged_from_the_own_earlier_value(lever: Exercise) -> None:
    own = judge(lever, "moment", 5.0, CASE, earlier={"effort": 25.0})
    assert own.points == 2
    assert own.feedback[0].label == "right-from-own"
    assert judge(lever, "moment", 2.0, CASE, earlier={"effort": 25.0}).points == 2
    assert judge(lever, "moment", 5.0, CASE).points == 0
    assert judge(lever, "moment", 5.0, CASE, earlier={"effort": 26.0}).points == 0
    assert judge(lever, "moment", 1.0, CASE, earlier={"effort": 25.0}).feedback[0].label == "short-arm"


@pytest.mark.parametrize("earlier", [0.0, -25.0, 1e9, math.nan, math.inf])
def test_an_incredible_earlier_value_is_not_carried_forward(lever: Exercise, earlier: float) -> None:
    """Else nothing, answered twice, would earn the second mark."""
    judged = judge(lever, "moment", earlier * 0.2 if math.isfinite(earlier) else 1.0, CASE, earlier={"effort": earlier})
    assert judged.points < 2


def test_written_is_left_to_a_person(lever: Exercise) -> None:
    judged = judge(lever, "why", "because", CASE)
    assert judged.points == 0
    assert judged.feedback[0].kind == "review"
    assert judged.words == "why: 1 word stands here. A person reads and marks it."
    item = lever.item("why")
    assert "- 2 points: names both arms\n- 1 point: says what stays the same" in item.heading()


def test_labels_hold_no_numbers(lever: Exercise) -> None:
    answers = (10, 250, 50, "10 lbf", -10, 17, 10.6, "", "ten")
    labels = {note.label for answer in answers for note in judge(lever, "effort", answer, CASE, attempt=2).feedback}
    assert not any(character.isdigit() for label in labels for character in label)


def test_judging_is_pure(lever: Exercise) -> None:
    earlier = {"effort": 25.0}
    first = judge(lever, "moment", 5.0, CASE, earlier=earlier, attempt=2)
    assert first == judge(lever, "moment", 5.0, CASE, earlier=earlier, attempt=2)
    assert earlier == {"effort": 25.0}


def test_unknown_item_names_those_there_are(lever: Exercise) -> None:
    with pytest.raises(InputError, match=r'no item "efort".*"effort", "moment", "why"'):
        judge(lever, "efort", 10, CASE)
