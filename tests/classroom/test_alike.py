"""What is alike is listed for a person; what may well be alike is not."""

from __future__ import annotations

import pytest

from controlkit.classroom.marking.alike import alike
from controlkit.classroom.records import ReadAnswer, Submission
from controlkit.classroom.records.literal import as_answer
from tests.checking.hands import Hands

WORDS = "the ring goes down within its range so that the strap passes further from the centre of the shoulder "
OTHER = "a snug axilla loop was moved first because numbness came after an hour and that must never be left to stand "


def handed_in(
    hands: Hands, student: str, answers: dict[str, object], *, sources: dict[str, str] | None = None
) -> Submission:
    blank = {item.name: ReadAnswer("blank") for item in hands.exercise.items}
    read = {item: as_answer(value, "typed") for item, value in answers.items()}
    return Submission(
        exercise=hands.name, student=student, answers={**blank, **read}, sources=sources or {}, digest=student
    )


def told(hands: Hands, one: Submission, other: Submission, names: tuple[str, str] = ("Ana", "Bo")) -> str:
    cases = {one.student: hands.case(names[0]), other.student: hands.case(names[1])}
    found = alike(hands.exercise, cases, [one, other])
    assert set(found) in (set(), {one.student, other.student})
    return " ".join(remark.says for remark in found.get(one.student, ()))


@pytest.fixture
def hands(every: dict[str, Hands]) -> Hands:
    return every["ex03"]


def test_equal_numbers_to_different_cases(hands: Hands) -> None:
    three = {"excursion": 61, "moment_arm": "58.3 mm", "loop_tension": 44.1}
    said = told(hands, handed_in(hands, "a", three), handed_in(hands, "b", three))
    assert "equal answers to different cases (excursion, moment arm, loop tension)" in said
    assert told(hands, handed_in(hands, "a", three), handed_in(hands, "b", three), ("Ana", "Ana")) == ""
    two = {"excursion": 61, "moment_arm": "58.3 mm"}
    assert told(hands, handed_in(hands, "a", two), handed_in(hands, "b", two)) == ""


def test_equal_texts_with_a_few_words_changed(hands: Hands) -> None:
    one, other = {"why": WORDS * 2}, {"why": f"{OTHER}{WORDS.replace('ring', 'ring,').upper()}{WORDS}"}
    assert "the text of why" in told(hands, handed_in(hands, "a", one), handed_in(hands, "b", other))
    assert told(hands, handed_in(hands, "a", one), handed_in(hands, "b", {"why": OTHER * 2})) == ""
    short = {"why": "Because the arm is longer."}
    assert told(hands, handed_in(hands, "a", short), handed_in(hands, "b", short)) == ""


def test_equal_programs_whatever_their_blanks(hands: Hands) -> None:
    long = "".join(f"step_{place} = {place} * 3.7 + offset_of_mine\n" for place in range(12))
    one = handed_in(hands, "a", {}, sources={"excursion": long})
    other = handed_in(hands, "b", {}, sources={"excursion": long.replace(" * ", "*") + "# mine\n"})
    assert "program text" in told(hands, one, other)
    brief = handed_in(hands, "a", {}, sources={"excursion": "excursion = 3 * 4"})
    again = handed_in(hands, "b", {}, sources={"excursion": "excursion = 3 * 4"})
    assert told(hands, brief, again) == ""


def test_blank_notebooks_are_not_alike(hands: Hands) -> None:
    assert told(hands, handed_in(hands, "a", {}), handed_in(hands, "b", {})) == ""


def test_files_that_nobody_could_read_are_not_alike(hands: Hands) -> None:
    unread = {item.name: ReadAnswer("not read", why="The file is empty.") for item in hands.exercise.items}
    two = [Submission(exercise=hands.name, student=student, answers=unread, digest="e3b0") for student in ("a", "b")]
    assert alike(hands.exercise, {"a": hands.case("Ana"), "b": hands.case("Bo")}, two) == {}


def test_many_who_are_alike_in_one_thing_stand_in_one_line(hands: Hands) -> None:
    all_of_them = [handed_in(hands, student, {"why": WORDS * 2}) for student in ("a", "b", "c", "d")]
    (told_once,) = alike(hands.exercise, {}, all_of_them)["b"]
    assert told_once.says == "Alike with a, c, d: the text of why."
