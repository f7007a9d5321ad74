"""Every exercise from source to mark: stock nbgrader for one name, the judging function for six, the same marks."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import nbformat
import pytest

from controlkit.checking import Case, Choice, Diagnosis, Exercise, Function, Order, Quantity, Written
from controlkit.checking.items import Design, Item
from controlkit.classroom import make_class
from tests.checking.hands import NAMES, Hands

WHO = "Zoë Dvořák"
OTHERS = ("Ana Marsh", "李小龍", "José Ibarra", "O'Neill", "Student 9")
HANDED_IN = ("right", "idea", "untouched")

Marks = Mapping[str, float]

STOCK = """
import json, sys
from nbgrader import apps
from nbgrader.api import Gradebook
app = getattr(apps, sys.argv[1])()
app.initialize([sys.argv[2]])
app.start()
with Gradebook("sqlite:///gradebook.db") as book:
    rows = [(s.student.id, g.name, g.auto_score) for s in book.assignment_submissions(sys.argv[2])
            for n in s.notebooks for g in n.grades if g.name.startswith("t-")]
print(json.dumps(rows))
"""
"""What the commands of nbgrader run, and then the marks, in one process."""


def source_of_idea(item: Item) -> str:
    """What a student with a wrong idea types for an item, from the case as she sees it."""
    if isinstance(item, Quantity):
        return (
            f"_about = mine._sheet.about(mine._sheet.item({item.name!r}))\n"
            f"_found = [v for idea in _about for v in idea.values(mine.case, mine._sheet.right(mine.case))]\n"
            f"{item.name} = _found[0]"
        )
    if isinstance(item, Choice):
        return (
            f"_item = mine._sheet.item({item.name!r})\n"
            f"{item.name} = next(s.word for s in _item.statements if s.word != _item.right(mine.case))"
        )
    if isinstance(item, Order):
        return f"{item.name} = list(mine._sheet.item({item.name!r}).right(mine.case)[0])[::-1]"
    if isinstance(item, Function):
        return f"{item.name} = mine._sheet.item({item.name!r}).ideas[0].model"
    if isinstance(item, Diagnosis):
        return (
            f"_item = mine._sheet.item({item.name!r})\n"
            f"{item.name} = dict(fault=next(f.word for f in _item.faults if f.word != _item.fault(mine.case)),\n"
            f"    reading=_item.readings[0].word)"
        )
    return ""


def sources(hands: Hands, how: str) -> dict[str, str]:
    """Sources of the cells that are filled in."""
    if how == "untouched":
        return {}
    filled = hands.filled(WHO)
    if how == "right":
        return filled
    ideas = {item.name: source_of_idea(item) for item in hands.exercise.items}
    return {"who": filled["who"], **{name: source for name, source in ideas.items() if source}}


def answers_of(hands: Hands, who: str, how: str) -> dict[str, Any]:
    """The same answers, without a notebook."""
    if how == "right":
        return hands.solved(who)
    mine = hands.exercise(who)
    there: dict[str, Any] = {"mine": mine}
    for item in hands.exercise.items:
        exec(source_of_idea(item), there)
    return {item.name: there.get(item.name, ...) for item in hands.exercise.items}


def judged(hands: Hands, who: str, how: str) -> Marks:
    """Marks from the judging function alone."""
    mine = hands.exercise(who)
    answers = answers_of(hands, who, how)
    items = [item for item in hands.exercise.items if not isinstance(item, Written)]
    return {f"t-{item.name}": mine.score(item.name, answers[item.name], hands.graded) for item in items}


def run(folder: Path, root: Path, *command: str) -> str:
    own = {name: str(folder.parent / name.lower()) for name in ("IPYTHONDIR", "JUPYTER_CONFIG_DIR")}
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])  # nbgrader calls alembic
    env = {**os.environ, **own, "PATH": path, "PYTHONPATH": str(root), "PYTHONDONTWRITEBYTECODE": "1"}
    ran = subprocess.run([sys.executable, *command], cwd=folder, env=env, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


@pytest.fixture(scope="session")
def classroom(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_class(tmp_path_factory.mktemp("marks") / "CLASS", root)


@pytest.fixture(scope="session")
def stock(hands: Hands, classroom: Path, root: Path) -> dict[str, Marks]:
    """Marks from stock nbgrader, by how the notebook was filled in."""
    name = hands.name
    run(classroom, root, "-c", STOCK, "GenerateAssignmentApp", name)
    released = classroom / "release" / name
    for how in HANDED_IN:
        folder = classroom / "submitted" / how / name
        folder.mkdir(parents=True)
        for path in released.iterdir():
            (folder / path.name).write_bytes(path.read_bytes())
        notebook = nbformat.read(released / f"{name}.ipynb", as_version=4)
        for cell in notebook.cells:
            cell.source = sources(hands, how).get(cell.id, cell.source)
        nbformat.write(notebook, folder / f"{name}.ipynb")
    marks: dict[str, dict[str, float]] = {how: {} for how in HANDED_IN}
    for how, cell, points in json.loads(run(classroom, root, "-c", STOCK, "AutogradeApp", name).splitlines()[-1]):
        marks[how][cell] = points
    return marks  # type: ignore[return-value]


def full(exercise: Exercise) -> Marks:
    return {f"t-{item.name}": item.points for item in exercise.items if not isinstance(item, Written)}


def test_stock_nbgrader_marks_right_untouched_and_wrong_ideas(hands: Hands, stock: dict[str, Marks]) -> None:
    assert stock["right"] == full(hands.exercise)
    assert stock["untouched"] == dict.fromkeys(full(hands.exercise), 0.0)
    assert stock["idea"] == judged(hands, WHO, "idea")


def test_the_judging_function_gives_the_same_marks_to_five_more(hands: Hands) -> None:
    for who in (WHO, *OTHERS):
        assert judged(hands, who, "right") == full(hands.exercise), who
        mine = hands.exercise(who)
        assert all(mine.score(item.name, ..., hands.graded) == 0.0 for item in hands.exercise.items)
        marks = judged(hands, who, "idea")
        for item in hands.exercise.items:
            if not isinstance(item, Written):
                assert marks[f"t-{item.name}"] == pytest.approx(part(item, hands, hands.case(who))), (who, item.name)


def part(item: Item, hands: Hands, case: Case) -> float:
    """The stated part of the points that the wrong idea of this submission earns."""
    if isinstance(item, Quantity):
        return hands.exercise.about(item)[0].share * item.points
    if isinstance(item, Choice):
        return next(s.share for s in item.statements if s.word != item.right(case)) * item.points
    if isinstance(item, Diagnosis):
        return next(f.share for f in item.faults if f.word != item.fault(case)) * item.fault_points
    if isinstance(item, Function):
        calls = {law.label: law.inputs(case) for law in item.laws}
        kept = [
            law.points
            for law in item.laws
            if law.holds(tuple(float(item.ideas[0].model(*call)) for call in calls[law.label]))
        ]
        return item.ideas[0].share * item.results_points + sum(kept)
    assert isinstance(item, Design | Order)
    return 0.0


def test_there_is_a_private_file_for_each(root: Path) -> None:
    for name in NAMES:
        assert (root / "solutions" / f"{name}_graded.py").is_file()
