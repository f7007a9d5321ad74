"""nbgrader's gradebook: what the checks give, what waits for a person, and what a person gave stays."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from controlkit.classroom.handing_back import enter_marks
from controlkit.classroom.handing_back.gradebook import first_and_last
from controlkit.classroom.handing_back.standing import standings
from controlkit.classroom.records import ClassFolder
from tests.checking.hands import Hands
from tests.classroom.a_class import take_in

Book = Callable[[ClassFolder], dict[str, dict[str, dict[str, Any]]]]


def by_hand(folder: ClassFolder, student: str, cell: str, points: float | None, comment: str = "") -> None:
    """What nbgrader's form does when a person marks a cell."""
    from nbgrader.api import Gradebook

    with Gradebook(f"sqlite:///{folder.path / 'gradebook.db'}") as book:
        grade = book.find_grade(cell, "ex03", "ex03", student)
        grade.manual_score, grade.needs_manual_grade = points, False
        if comment:
            book.find_comment(cell.removeprefix("t-"), "ex03", "ex03", student).manual_comment = comment
        book.db.commit()


def test_every_check_has_its_points_and_every_written_answer_waits(
    marked_class: ClassFolder, ex03: Hands, gradebook: Book
) -> None:
    book = gradebook(marked_class)
    assert sorted(book) == ["s01", "s02", "s03", "s04", "s05", "s06", "s07"]  # s08 handed in nothing
    for student, cells in book.items():
        marked = marked_class.marked("ex03", student)
        assert marked is not None
        for mark in marked.items:
            cell = cells[mark.item if mark.by_hand else f"t-{mark.item}"]
            assert cell["max_score"] == mark.out_of
            if not mark.by_hand:
                assert cell["auto_score"] == mark.points
                assert cell["needs_manual_grade"] == (mark.points is None)
    assert sum(book["s01"][f"t-{item.name}"]["auto_score"] for item in ex03.exercise.items if not item.by_hand) == 20
    assert book["s01"]["why"]["auto_score"] is None
    assert book["s01"]["why"]["needs_manual_grade"]


def test_nothing_written_is_nought_and_waits_for_nobody(marked_class: ClassFolder, gradebook: Book) -> None:
    cell = gradebook(marked_class)["s03"]["why"]
    assert cell["auto_score"] == 0
    assert not cell["needs_manual_grade"]
    assert cell["auto_comment"] == "No response."


def test_what_was_not_run_is_left_for_a_person(marked_class: ClassFolder, gradebook: Book) -> None:
    cell = gradebook(marked_class)["s06"]["t-design"]
    assert cell["auto_score"] is None
    assert cell["needs_manual_grade"]


def test_everybody_of_the_roster_is_a_student_with_a_harmless_name(marked_class: ClassFolder) -> None:
    from nbgrader.api import Gradebook

    with Gradebook(f"sqlite:///{marked_class.path / 'gradebook.db'}") as book:
        names = {one.id: (one.first_name, one.last_name) for one in book.students}
    assert set(names) == {one.id for one in marked_class.roster}
    assert names["s01"] == ("Ana", "Lima")
    assert names["s03"] == ("Zoë", "van der Berg")
    assert names["s04"] == ("Okoye", "Ines")
    said = "".join(part for both in names.values() for part in both if part)
    assert not set(said) & set("<>&\"',\n\x1b\x7f\x9b")
    assert all(part[0] not in "=+-@" for both in names.values() for part in both if part)


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("Bo", (None, "Bo")),
        ("de la Cruz", ("de", "la Cruz")),
        ("Ana María de la Cruz", ("Ana María", "de la Cruz")),
        ("Doe, John Q.", ("John Q.", "Doe")),
        ("+1 Two", ("’+1", "Two")),
    ],
)
def test_a_name_in_two_parts(name: str, parts: tuple[str | None, str]) -> None:
    assert first_and_last(name) == parts


def test_the_moment_is_kept_in_utc(marked_class: ClassFolder) -> None:
    from nbgrader.api import Gradebook

    with Gradebook(f"sqlite:///{marked_class.path / 'gradebook.db'}") as book:
        assert book.find_submission("ex03", "s01").timestamp.isoformat() == "2026-03-02T09:30:00"


def test_marking_again_changes_nothing(own_class: ClassFolder, gradebook: Book) -> None:
    before, pages = gradebook(own_class), _pages(own_class)
    enter_marks(own_class, "ex03")
    assert gradebook(own_class) == before
    assert _pages(own_class) == pages


def test_a_mark_and_a_comment_by_hand_survive_marking_again(own_class: ClassFolder, gradebook: Book) -> None:
    by_hand(own_class, "s01", "why", 3.0, "Well seen.")
    by_hand(own_class, "s06", "t-design", 5.0)
    enter_marks(own_class, "ex03")
    book = gradebook(own_class)
    assert (book["s01"]["why"]["manual_score"], book["s01"]["why"]["needs_manual_grade"]) == (3.0, False)
    assert book["s01"]["why"]["manual_comment"] == "Well seen."
    assert (book["s06"]["t-design"]["manual_score"], book["s06"]["t-design"]["needs_manual_grade"]) == (5.0, False)
    stands = {one.student.id: one for one in standings(own_class, "ex03")}
    assert stands["s01"].total == 23
    assert stands["s06"].says == "not yet read"  # its design has points now, what it wrote has none


def test_a_written_answer_that_is_another_one_is_read_again_and_its_mark_kept(
    own_class: ClassFolder, ex03: Hands, gradebook: Book
) -> None:
    by_hand(own_class, "s01", "why", 3.0, "Well seen.")
    take_in(own_class, ex03, "s01", {**ex03.solved("Ana Lima"), "why": "Something else."}, attempt=2)
    for _ in range(2):  # and it stays asked for, however often it is marked
        enter_marks(own_class, "ex03")
        cell = gradebook(own_class)["s01"]["why"]
        assert (cell["manual_score"], cell["manual_comment"]) == (3.0, "Well seen.")
        assert cell["needs_manual_grade"]
    stands = next(one for one in standings(own_class, "ex03") if one.student.id == "s01")
    assert stands.total is None
    assert stands.says == "not yet read"


def test_killed_between_gradebook_and_page_it_is_still_read_again(
    own_class: ClassFolder, ex03: Hands, gradebook: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    by_hand(own_class, "s01", "why", 3.0)
    take_in(own_class, ex03, "s01", {**ex03.solved("Ana Lima"), "why": "Something else."}, attempt=2)

    def full(*_: object) -> None:
        raise OSError("no room")

    with monkeypatch.context() as broken:
        broken.setattr("controlkit.classroom.handing_back.enter.keep_text", full)
        with pytest.raises(OSError, match="no room"):
            enter_marks(own_class, "ex03")
    enter_marks(own_class, "ex03")
    assert gradebook(own_class)["s01"]["why"]["needs_manual_grade"]


def test_points_of_a_check_that_a_person_gave_stay_and_another_verdict_is_shown_her(
    own_class: ClassFolder, gradebook: Book
) -> None:
    by_hand(own_class, "s02", "t-excursion", 4.0)
    marked = own_class.marked("ex03", "s02")
    assert marked is not None
    items = tuple(replace(one, points=2.5) if one.item == "excursion" else one for one in marked.items)
    own_class.keep_marked(replace(marked, items=items))  # a tolerance was mended
    enter_marks(own_class, "ex03")
    cell = gradebook(own_class)["s02"]["t-excursion"]
    assert (cell["auto_score"], cell["manual_score"], cell["needs_manual_grade"]) == (2.5, 4.0, True)


def test_a_lost_gradebook_is_made_anew(own_class: ClassFolder, gradebook: Book) -> None:
    before = gradebook(own_class)
    (own_class.path / "gradebook.db").unlink()
    enter_marks(own_class, "ex03")

    def points(book: dict[str, dict[str, dict[str, Any]]]) -> dict[tuple[str, str], Any]:
        return {(who, cell): one.get("auto_score") for who, cells in book.items() for cell, one in cells.items()}

    assert points(gradebook(own_class)) == points(before)


def _pages(folder: ClassFolder) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in folder.path.glob("autograded/**/*.ipynb")}
