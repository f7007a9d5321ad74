"""Taking in and filling the gradebook, killed anywhere, end as if nothing had stopped them."""

from __future__ import annotations

import os
import random
import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from controlkit.checking import Exercise
from controlkit.classroom.handing_back import enter_marks
from controlkit.classroom.handing_out.openly import hand_out_openly
from controlkit.classroom.marking.mark import mark
from controlkit.classroom.records import ClassFolder
from controlkit.classroom.taking_in.take_in import take_in
from tests.checking.hands import Hands
from tests.classroom.handed_in import PEOPLE, Nowhere, new_class, notebook, put, typed
from tests.classroom.killed import Step, holds, killed, moments

EXERCISE = "ex05"

pytestmark = pytest.mark.skipif(os.name != "posix", reason="kill -9 is of POSIX systems")

DRAWS = [pytest.param(seed, marks=[pytest.mark.long] if seed >= 3 else []) for seed in range(60)]


@pytest.fixture(scope="module")
def begun(every: dict[str, Hands], tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    """A class that has handed in, is marked, and has a gradebook in which a person gave marks; then it hands in again.

    New are answers of two, one whom the person has marked; a damaged file after a good one; a first file of one more.
    """
    hands = every[EXERCISE]
    made = new_class(tmp_path_factory.mktemp("killed") / "class", hands)
    hand_out_openly(made, EXERCISE)
    first = made.path / "first"
    for student, name in (("s01", PEOPLE[0]), ("s02", PEOPLE[1]), ("s03", PEOPLE[2])):
        put(first, f"{student}/{EXERCISE}.ipynb", notebook(hands, typed(hands, name)))
    for path in first.rglob("*.ipynb"):
        os.utime(path, (1e9, 1e9))
    take_in(made, EXERCISE, first, confinement=Nowhere())
    _fill(str(made.path))
    from controlkit.classroom.handing_back.book import opened

    with opened(made.path) as book:
        for cell, points in (("t-pull", 1.5), ("t-pinch", 0.5)):
            grade = book.find_grade(cell, EXERCISE, EXERCISE, "s01")
            grade.manual_score, grade.needs_manual_grade = points, False
        book.find_comment("pull", EXERCISE, EXERCISE, "s01").manual_comment = "Well drawn."
        book.db.commit()
    second = made.path / "second"
    put(second, f"s01/{EXERCISE}.ipynb", notebook(hands, typed(hands, PEOPLE[0], pull='"1 N"')))
    put(second, f"s02/{EXERCISE}.ipynb", notebook(hands, {"who": f"name = {PEOPLE[1]!r}"}))
    put(second, f"s03/{EXERCISE}.ipynb", b'{"cells"')
    put(second, f"s05/{EXERCISE}.ipynb", notebook(hands, typed(hands, PEOPLE[4])))
    put(second, "nobody.ipynb", notebook(hands, {}))
    return made


def _take_in(folder: str) -> None:
    take_in(ClassFolder(Path(folder)), EXERCISE, Path(folder) / "second", confinement=Nowhere())


def _fill(folder: str) -> None:
    made = ClassFolder(Path(folder))
    if not (made.path / "marks" / EXERCISE).is_dir():
        mark(made, EXERCISE)
    enter_marks(made, EXERCISE)


def in_book(folder: Path) -> list[Any]:
    """Everything that the gradebook says of everybody, by nbgrader's own interface."""
    from controlkit.classroom.handing_back.book import opened

    with opened(folder) as book:
        return sorted(
            (submission.student.id, str(submission.timestamp), one.name, str(sorted(_plain(one.to_dict()).items())))
            for submission in book.assignment_submissions(EXERCISE)
            for held in submission.notebooks
            for one in (*held.grades, *held.comments)
        )


def _plain(held: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in held.items() if name != "id"}


def _killed_and_begun_again(step: Step, folder: Path, count: int, seed: int) -> Sequence[int]:
    drawn = random.Random(seed)
    at = [drawn.randint(1, count) for _ in range(2)]
    died = [killed(step, folder, moment) for moment in at]
    assert died[0]
    step(str(folder))
    return at


@pytest.fixture(scope="module")
def taken(begun: ClassFolder, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, int]:
    """The class in which nothing stopped the second taking in, and how many moments that has."""
    whole = tmp_path_factory.mktemp("whole") / "class"
    shutil.copytree(begun.path, whole)
    return whole, moments(_take_in, whole)


@pytest.fixture(scope="module")
def filled(taken: tuple[Path, int], tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, int]:
    """The class marked anew before and after its gradebook was filled, and how many moments that has."""
    before = tmp_path_factory.mktemp("before") / "class"
    shutil.copytree(taken[0], before)
    mark(ClassFolder(before), EXERCISE)
    whole = before.with_name("filled")
    shutil.copytree(before, whole)
    return before, whole, moments(_fill, whole)


ROOMS = ("answers", "submitted", "earlier", "unclaimed", "cases")


@pytest.mark.parametrize("seed", DRAWS)
def test_taking_in_killed_anywhere_ends_with_the_same_answers(
    seed: int, begun: ClassFolder, taken: tuple[Path, int], tmp_path: Path
) -> None:
    whole, count = taken
    assert count > 20
    own = tmp_path / "class"
    shutil.copytree(begun.path, own)
    at = _killed_and_begun_again(_take_in, own, count, seed)
    assert holds(own, *ROOMS) == holds(whole, *ROOMS), at


@pytest.mark.parametrize("seed", DRAWS)
def test_filling_the_gradebook_killed_anywhere_ends_with_the_same_book(
    seed: int, filled: tuple[Path, Path, int], tmp_path: Path
) -> None:
    before, whole, count = filled
    assert count > 20
    own = tmp_path / "class"
    shutil.copytree(before, own)
    at = _killed_and_begun_again(_fill, own, count, seed)
    assert in_book(own) == in_book(whole), at
    assert holds(own, "autograded") == holds(whole, "autograded"), at


def test_what_a_person_gave_is_in_the_book_and_she_is_asked_to_look_again(
    filled: tuple[Path, Path, int], every: dict[str, Hands]
) -> None:
    """So that the comparison above compares something."""
    sheet: Exercise = every[EXERCISE].exercise
    book = {(student, name): said for student, _, name, said in in_book(filled[1])}
    assert "('manual_score', 1.5)" in book["s01", "t-pull"]
    assert "('needs_manual_grade', True)" in book["s01", "t-pull"]
    assert "('needs_manual_grade', False)" in book["s01", "t-pinch"]
    assert "Well drawn." in book["s01", "pull"]
    assert {student for student, _ in book} == {"s01", "s02", "s03", "s05"}
    assert len(book) >= 4 * len(sheet.items)
