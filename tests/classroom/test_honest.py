"""Honest notebooks get from stock nbgrader the same marks, cell by cell, as from a class that reads answers as data."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest

from controlkit import __version__
from controlkit.classroom import make_class
from controlkit.classroom.confined.run import confinement
from controlkit.classroom.marking.mark import mark
from controlkit.classroom.records import ClassFolder, Roster, Student
from controlkit.classroom.taking_in.take_in import take_in
from tests.checking import school
from tests.checking.hands import ROOT, Hands
from tests.classroom.honest import SORTS, cells, everybody
from tests.classroom.walled import walled

Marks = dict[tuple[str, str, str], float | None]


@pytest.mark.long
@pytest.mark.parametrize("count", [9, 50])
def test_the_same_marks_as_from_stock_cell_by_cell(
    count: int, every: dict[str, Hands], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)  # solving an exercise leaves a student's progress beside it
    handed_in: dict[str, dict[str, dict[str, str]]] = defaultdict(dict)
    people = dict[str, str]()
    sorts = dict[str, str]()
    for place, (exercise, name, sort) in enumerate(everybody(count)):
        student = f"s{place:02}"
        people[student], sorts[student] = name, sort
        handed_in[exercise][student] = cells(every[exercise], name, sort)
    assert set(sorts.values()) == set(SORTS)
    stock = school.mark(tmp_path / "stock", handed_in)
    theirs: Marks = {
        (exercise, student, cell): points
        for exercise, students in stock.marks.items()
        for student, marks in students.items()
        for cell, points in marks.items()
        if cell.startswith("t-")
    }
    ours = _ours(tmp_path / "ours", handed_in, people, every)
    assert ours.keys() == theirs.keys()
    assert len({student for _, student, _ in ours}) == count
    differ = {one: (sorts[one[1]], ours[one], theirs[one]) for one in ours if ours[one] != pytest.approx(theirs[one])}
    assert differ == {}
    full = sum(points == every[exercise].exercise.item(cell[2:]).points for (exercise, _, cell), points in ours.items())
    nothing = sum(points == 0 for points in ours.values())
    print(f"{count} notebooks, {len(ours)} cells: {full} full, {nothing} nothing, {len(ours) - full - nothing} between")
    assert min(full, nothing, len(ours) - full - nothing) > 0


def _ours(
    folder: Path, handed_in: dict[str, dict[str, dict[str, str]]], people: dict[str, str], every: dict[str, Hands]
) -> Marks:
    """The same notebooks taken in and marked: by exercise, student and cell."""
    roster = Roster(tuple(Student(student, name) for student, name in people.items()))
    made = ClassFolder(make_class(folder, ROOT, roster=roster))
    walled()  # says why, where this machine has no wall
    found: Marks = {}
    for exercise, students in handed_in.items():
        hands = every[exercise]
        made.keep_cases(exercise, {student: hands.case(people[student]) for student in students}, __version__)
        for student, sources in students.items():
            school.fill(ROOT / "exercises" / exercise, made.path / "submitted" / student / exercise, sources)
        take_in(made, exercise, confinement=confinement(workers=2))
        for one in mark(made, exercise).marked:
            found |= {(exercise, one.student, f"t-{item.item}"): item.points for item in one.items if not item.by_hand}
    return found
