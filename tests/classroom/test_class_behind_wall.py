"""A class whose cells compute every answer: behind the wall they earn what typed ones earn, whoever is beside."""

from __future__ import annotations

from pathlib import Path

import pytest

from controlkit.classroom.confined.job import Confinement
from controlkit.classroom.confined.run import confinement
from controlkit.classroom.marking.mark import mark
from controlkit.classroom.records import ClassFolder
from controlkit.classroom.taking_in.take_in import take_in
from tests.checking.hands import Hands
from tests.classroom.handed_in import PEOPLE, new_class, notebook, put, typed
from tests.classroom.walled import walled


@pytest.fixture(
    params=[
        pytest.param("unconfined", marks=pytest.mark.long),
        pytest.param("behind the wall", marks=pytest.mark.sandbox),
    ]
)
def here(request: pytest.FixtureRequest) -> Confinement:
    return confinement(unconfined=True) if request.param == "unconfined" else walled(workers=2)


@pytest.mark.parametrize("exercise", ["ex04", "ex06"])
def test_what_is_computed_earns_what_is_typed(
    exercise: str, here: Confinement, every: dict[str, Hands], tmp_path: Path
) -> None:
    hands = every[exercise]
    made = new_class(tmp_path / "class", hands)
    computed = {
        item.name: f"(lambda: {hands.solved(PEOPLE[1])[item.name]!r})()"
        for item in hands.exercise.items
        if not item.by_hand
    }
    first = hands.exercise.items[0].name
    work = {
        "s01": typed(hands, PEOPLE[0]),
        "s02": typed(hands, PEOPLE[1], **computed),
        "s03": typed(hands, PEOPLE[2], **{first: "__import__('os')._exit(0)"}),
        "s04": typed(hands, PEOPLE[3], **{first: "[1, 2, 3][5:][0]\nmine.score = mine.check = lambda *_: 4.0"}),
        "s05": typed(hands, PEOPLE[4], **{first: "max((4.0, 9.0), key=abs)"}),
    }
    for student, cells in work.items():
        put(made.path / "submitted", f"{student}/{exercise}/{exercise}.ipynb", notebook(hands, cells))
    taken = take_in(made, exercise, confinement=here)
    assert taken.protection == here.words
    mark(made, exercise)
    full = points(made, exercise, "s01")
    assert points(made, exercise, "s02") == full
    assert {one.answers[first].how for one in taken.new if one.student == "s02"} == {"ran"}
    for student in ("s03", "s04"):
        assert points(made, exercise, student)[first] == 0.0
    assert all(one.points is not None for one in marked(made, exercise, "s05") if not one.by_hand)


def marked(folder: ClassFolder, exercise: str, student: str):  # type: ignore[no-untyped-def]
    found = folder.marked(exercise, student)
    assert found is not None
    return found.items


def points(folder: ClassFolder, exercise: str, student: str) -> dict[str, float | None]:
    return {one.item: one.points for one in marked(folder, exercise, student)}
