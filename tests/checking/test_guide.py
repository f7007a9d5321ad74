"""The instructor's guide: its objectives, its map of objectives to controls and graded items, its worked example."""

from __future__ import annotations

import re
import shutil
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import nbformat
import pytest

from controlkit.checking import Exercise, KeptBack, judge
from controlkit.classroom import begin, private
from controlkit.units import InputError
from tests.checking.hands import Hands

LESSONS = 12
"""An exercise with a higher number belongs to no lesson, and needs no objective."""

PENDING: set[str] = set()
"""Exercises that the map names and that do not exist yet. One that exists must leave this list."""

VERBS = (
    "choose compare compute decide describe draw explain find follow judge measure name plan predict "
    "put recognise say set state tell write"
)
"""What a student does that can be seen; "know" and "understand" cannot."""


@pytest.fixture(scope="module")
def guide(root: Path) -> str:
    return (root / "solutions" / "guide.md").read_text(encoding="utf-8")


def objectives(guide: str) -> list[tuple[str, str]]:
    return re.findall(r"^- \*\*(L\d\d\.\d)\*\* (.+)[;.]$", guide, re.MULTILINE)


def rows(guide: str) -> dict[str, tuple[list[tuple[str, str]], list[tuple[str, str]]]]:
    """Objective to its controls and its graded items, each as (where, name)."""
    found = re.findall(r"^\| (L\d\d\.\d) \| (.+) \| (.+) \|$", guide, re.MULTILINE)
    assert len({row[0] for row in found}) == len(found)
    pairs = re.compile(r"`(\w+): (\w+)`")
    return {one: (pairs.findall(controls), pairs.findall(items)) for one, controls, items in found}


def test_twelve_lessons_with_three_to_six_objectives_each(guide: str) -> None:
    found = objectives(guide)
    assert len(found) == guide.count("- **L")
    assert len({key for key, _ in found}) == len(found)
    lessons = Counter(key[1:3] for key, _ in found)
    assert sorted(lessons) == [f"{number:02}" for number in range(1, 13)]
    assert all(3 <= many <= 6 for many in lessons.values())
    for lesson, many in lessons.items():
        numbers = [int(key[-1]) for key, _ in found if key[1:3] == lesson]
        assert numbers == list(range(1, many + 1)), lesson


def test_each_objective_is_something_that_can_be_seen(guide: str) -> None:
    for key, words in objectives(guide):
        assert words.split()[0] in VERBS.split(), (key, words)


def test_a_lessons_page_has_the_objectives_of_the_guide(guide: str, root: Path) -> None:
    checked = 0
    for path in sorted((root / "course").glob("[0-9][0-9]-*.ipynb")):
        cells = nbformat.read(path, as_version=4).cells
        said = next(cell.source for cell in cells if "you can**" in cell.source).replace("*", "")
        listed = [re.sub(r"[;.]$", "", line) for line in re.findall(r"^\d\. (.+)$", said, re.MULTILINE)]
        assert listed == [words for key, words in objectives(guide) if key[1:3] == path.name[:2]], path.name
        checked += 1
    assert checked


def test_every_objective_is_practised_and_graded(guide: str) -> None:
    mapped = rows(guide)
    assert list(mapped) == [key for key, _ in objectives(guide)]
    for key, (controls, items) in mapped.items():
        assert controls, key
        assert items, key
        assert {where for where, _ in items} == {f"ex{key[1:3]}"}


def test_graded_items_exist_and_pending_ones_are_not_forgotten(guide: str, exercises: dict[str, Exercise]) -> None:
    named = {item for _, items in rows(guide).values() for item in items}
    there = {(name, item.name) for name, exercise in exercises.items() for item in exercise.items}
    assert {item for item in named if item[0] not in PENDING} <= there
    assert {where for where, _ in named} - set(exercises) == PENDING  # else take it off the list, or put it on
    assert {item for item in there if int(item[0][2:]) <= LESSONS} <= named  # no item of a lesson without an objective


def test_controls_of_labs_are_theirs(guide: str) -> None:
    from controlkit import labs

    named = {control for controls, _ in rows(guide).values() for control in controls}
    for lab in {lab for lab, _ in named}:
        keys = {control["key"] for control in getattr(labs, lab)().plan["controls"]}
        assert {name for where, name in named if where == lab} <= keys, lab


def example_code(guide: str) -> str:
    (code,) = (block for block in re.findall(r"```python\n(.*?)```", guide, re.DOTALL) if "Exercise(" in block)
    return code


def test_the_notebook_of_the_example_is_begun_from_its_items(guide: str, tmp_path: Path) -> None:
    folder = tmp_path / "solutions" / "ex42"
    with pytest.raises(InputError, match="Write the items first"):
        begin("ex42", tmp_path)
    folder.mkdir(parents=True)
    (folder / "ex42.py").write_text(example_code(guide), encoding="utf-8")
    assert [path.name for path in begin("ex42", tmp_path)] == ["ex42.ipynb", "ex42_graded.py"]
    assert "ex42" not in sys.modules
    nbformat.validate(nbformat.read(folder / "ex42.ipynb", as_version=4))
    with pytest.raises(InputError, match="never overwritten"):
        begin("ex42", tmp_path)
    assert private("ex42", tmp_path) == KeptBack()


def test_two_exercises_of_one_name_are_two(guide: str, tmp_path: Path) -> None:
    """Begun one after the other in one program, each notebook has its own items."""
    asked = []
    for place, item in (("A", "effort"), ("B", "pull_needed")):
        folder = tmp_path / place / "solutions" / "ex42"
        folder.mkdir(parents=True)
        (folder / "ex42.py").write_text("from words import ITEM\n\n" + example_code(guide).replace('"effort"', "ITEM"))
        (folder / "words.py").write_text(f"ITEM = {item!r}\n")
        begin("ex42", tmp_path / place)
        asked.append({cell.id for cell in nbformat.read(folder / "ex42.ipynb", as_version=4).cells})
    assert asked[0] ^ asked[1] == {
        f"{p}{n}{s}"
        for n in ("effort", "pull_needed")
        for p, s in (("", ""), ("t-", ""), ("given-", ""), ("", "-asks"))
    }


def test_a_begun_notebook_has_the_cells_of_those_there_are(hands: Hands, root: Path, tmp_path: Path) -> None:
    """For every exercise: the same cells in the same order, with the same points, stubs and tests; the words differ."""
    (tmp_path / "solutions" / hands.name).mkdir(parents=True)
    for own in (root / "solutions" / hands.name).glob("*.py"):
        shutil.copy(own, tmp_path / "solutions" / hands.name)
    begin(hands.name, tmp_path)
    begun = nbformat.read(tmp_path / "solutions" / hands.name / f"{hands.name}.ipynb", as_version=4)
    nbformat.validate(begun)
    ours = {cell.id: cell for cell in hands.notebook().cells}
    assert [cell.id for cell in begun.cells] == [name for name in ours if not name.startswith("sitting-")]
    for cell in begun.cells:
        assert cell.metadata == ours[cell.id].metadata, cell.id
        if cell.id.startswith(("t-", "given-", "check-")) or cell.id in ("who-asks", "hand-in", "record"):
            assert cell.source == ours[cell.id].source
        if cell.cell_type == "code" and cell.metadata.nbgrader.solution:
            stub = cell.source.split("### BEGIN")[0].split("(")[0].strip()
            assert ours[cell.id].source.startswith(stub)
        if cell.id == "title":
            said = r"\d+ points(?: \(.*\))?, about \d+ minutes once lesson \d+ is worked"
            assert re.findall(said, cell.source) == re.findall(said, ours["title"].source)


def test_the_example_of_a_new_exercise_works(guide: str) -> None:
    there: dict[str, Any] = {}
    exec(example_code(guide), there)
    assert there["MINUTES"] > 0
    example = there["exercise"]
    for number in range(20):
        case = example.own_case(f"Student {number}")
        right = example.right(case)["effort"]
        assert judge(example, "effort", f"{right} N", case).points == 4
        for idea in example.ideas:
            found = judge(example, "effort", idea.values(case, {})[0], case)
            assert (found.feedback[0].label, found.points) == (idea.label, 4 * idea.share)
        assert f"= {right:.2f} N." in example.worked["effort"](case)


def test_it_says_plainly_what_it_cannot_do(guide: str) -> None:
    assert "A student who holds the package holds the mechanics." in guide
    for word in ("autograde", "generate_feedback", "class-id.txt", "fits nobody"):
        assert word in guide
