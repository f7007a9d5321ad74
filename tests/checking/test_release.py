"""From source to student notebook: generated, never edited; stub and solution in step; nothing private."""

from __future__ import annotations

import ast
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

from controlkit.checking import Quantity, Written
from controlkit.classroom import make_class, release
from controlkit.classroom.__main__ import main
from controlkit.units import InputError
from tests.checking.hands import Hands

BEGIN, END = "### BEGIN", "### END"


def files(folder: Path) -> dict[str, bytes]:
    """What a release holds; what a student or Python leaves there does not count."""
    left = {"__pycache__", ".ipynb_checkpoints"}
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not left & set(path.parts) and not path.name.startswith("progress")
    }


@pytest.fixture(scope="module")
def copy(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The parts of the repository that a release needs, elsewhere, one saved by another Python, released once."""
    there = tmp_path_factory.mktemp("repository")
    shutil.copy(root / "nbgrader_config.py", there)
    shutil.copytree(root / "solutions", there / "solutions", ignore=shutil.ignore_patterns("__pycache__"))
    path = there / "solutions" / "ex03" / "ex03.ipynb"
    data = json.loads(path.read_text(encoding="utf-8"))
    data["metadata"]["language_info"] |= {"version": "3.99.1", "codemirror_mode": {"name": "ipython", "version": 3}}
    path.write_text(json.dumps(data), encoding="utf-8")
    before = {path.name for path in there.iterdir()}
    release(there)
    assert {path.name for path in there.iterdir()} == before | {"exercises"}  # no gradebook, no log
    return there


def test_exercises_are_what_solutions_make(root: Path, copy: Path) -> None:
    """Else: python -m controlkit.classroom release. The version of Python that saved a source is stripped."""
    assert files(root / "exercises") == files(copy / "exercises")


def test_released_notebook_is_clean(hands: Hands) -> None:
    for notebook in (hands.notebook(), hands.notebook("exercises")):
        nbformat.validate(notebook)
        assert notebook.metadata.kernelspec.name == "python3"
        assert set(notebook.metadata.language_info) == {"name"}
        assert all(not cell.outputs and cell.execution_count is None for cell in notebook.cells if "outputs" in cell)
        ids = [cell.id for cell in notebook.cells]
        assert ids == [cell.metadata.nbgrader.grade_id for cell in notebook.cells]
        assert len(set(ids)) == len(ids)


def test_nothing_private_is_released(root: Path) -> None:
    for name, content in files(root / "exercises").items():
        text = content.decode("utf-8")
        for word in ("SOLUTION", "HIDDEN TESTS", "mine.score(", "_graded", "classroom", '"Solution"'):
            assert word not in text, (name, word)


def test_the_notebook_is_the_only_one_and_the_private_file_stands_outside(root: Path) -> None:
    """Every sub-folder of solutions/ is an assignment, and everything in it travels."""
    for folder in (root / "solutions").iterdir():
        if folder.is_dir() and folder.name != "__pycache__":
            assert [path.name for path in folder.glob("*.ipynb")] == [f"{folder.name}.ipynb"]
            assert (root / "solutions" / f"{folder.name}_graded.py").is_file()


def test_stub_and_solution_in_step(hands: Hands) -> None:
    """Line by line: outside its regions the source is the stub, and the stub's lines are the source's or its words."""
    words = ["# Replace the dots. Lines of working may stand above."]
    written = {item.name for item in hands.exercise.items if isinstance(item, Written)}
    pairs = list(zip(hands.notebook().cells, hands.notebook("exercises").cells, strict=True))
    for ours, theirs in pairs:
        assert ours.id == theirs.id
        assert ours.cell_type == theirs.cell_type
        kept: list[str] = []
        inside = False
        for line in ours.source.split("\n"):
            if line.startswith(BEGIN):
                assert not inside
                inside = True
                kept += words if "SOLUTION" in line else []
            elif line.startswith(END):
                inside = False
            elif not inside:
                kept.append(line)
        assert not inside
        assert theirs.source.split("\n") == kept, ours.id
        if ours.id in written:
            assert ours.cell_type == "code"  # what is typed after a double click on a text cell is lost
            assert theirs.source == f'{ours.id} = """\n...\n"""\n{words[0]}'
            assert len(ours.source) > 300


def test_every_item_has_one_cell_and_points_agree(hands: Hands) -> None:
    cells = {cell.id: cell for cell in hands.notebook().cells}
    expected = {}
    for item in hands.exercise.items:
        assert f"{item.name}-asks" in cells
        if isinstance(item, Written):
            assert cells[item.name].cell_type == "code"
            assert cells[item.name].metadata.nbgrader.solution
            assert cells[f"check-{item.name}"].source == f'mine.check("{item.name}", {item.name})'
            expected[item.name] = item.points
        else:
            assert cells[item.name].metadata.nbgrader.solution
            assert cells[f"given-{item.name}"].source == f'mine.given("{item.name}")'
            assert cells[item.name].source.startswith(f"{item.name} = ")
            expected[f"t-{item.name}"] = item.points
            graded = cells[f"t-{item.name}"]
            assert graded.metadata.nbgrader.locked
            lines = graded.source.split("\n")
            assert lines[0] == f'mine.check("{item.name}", {item.name})'
            assert lines[-1] == END + " HIDDEN TESTS"
            assert lines[-2].startswith(f'mine.score("{item.name}", {item.name}')
    points = {cell.id: cell.metadata.nbgrader.points for cell in cells.values() if cell.metadata.nbgrader.grade}
    assert points == expected
    assert hands.exercise.announced in cells["title"].source
    assert "the last answer counts" in cells["title"].source
    said = re.search(
        r"(\d+) points(?: \(.*\))?, about (\d+) minutes once lesson (\d+) is worked", cells["title"].source
    )
    assert said is not None
    wanted = (sum(points.values()), hands.module.MINUTES, int(hands.name[2:]))
    assert tuple(int(number) for number in said.groups()) == wanted


def test_sittings_say_the_points_and_minutes_that_they_hold(hands: Hands) -> None:
    """Where an exercise has a place to stop, what stands before and after it adds up."""
    sittings = [cell for cell in hands.notebook().cells if cell.id.startswith("sitting-")]
    assert len(sittings) == (2 if hands.module.MINUTES > 90 else 0)  # longer than a double lesson
    points: list[float] = []
    minutes = 0
    for cell in hands.notebook().cells:
        if cell in sittings:
            said = re.search(r"(\d+) points, about (\d+) minutes\.", cell.source)
            assert said is not None
            points.append(-float(said[1]))
            minutes += int(said[2])
        elif points:
            points[-1] += cell.metadata.nbgrader.get("points", 0)
    assert points == [0.0] * len(sittings)
    assert not sittings or minutes == hands.module.MINUTES


def test_rubric_in_the_notebook_is_the_rubric_of_the_item(hands: Hands) -> None:
    cells = {cell.id: cell.source for cell in hands.notebook().cells}
    for item in hands.exercise.items:
        if isinstance(item, Written):
            said = [line[2:] for line in cells[f"{item.name}-asks"].split("\n") if line.startswith("- ")]
            assert said == [f"{points:g} point{'s' * (points != 1)}: {line}" for points, line in item.rubric]


def test_student_cells_are_short(hands: Hands) -> None:
    for cell in hands.notebook("exercises").cells:
        if cell.cell_type == "code":
            assert len(cell.source.split("\n")) <= 8, cell.id


def test_only_what_a_student_writes_and_its_check_is_unfolded(hands: Hands) -> None:
    """And a keyboard finds it: a folded cell prints what is needed, and what has to be run to be judged is in sight."""
    for cell in hands.notebook("exercises").cells:
        if cell.cell_type == "code":
            folded = cell.metadata.get("jupyter", {}).get("source_hidden", False)
            assert folded == (cell.id == "case" or cell.id.startswith("given-")), cell.id
            assert folded or cell.metadata.nbgrader.solution or len(cell.source.split("\n")) == 1, cell.id


def test_it_says_what_to_be_careful_of(hands: Hands) -> None:
    text = " ".join(cell.source for cell in hands.notebook("exercises").cells)
    for word in ("fits nobody", "numbness", "licensed prosthetist"):
        assert word in text


@pytest.fixture(scope="module")
def kit(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The package alone, with nothing beside it."""
    there = tmp_path_factory.mktemp("kit")
    shutil.copytree(root / "controlkit", there / "controlkit", ignore=shutil.ignore_patterns("__pycache__"))
    return there


def test_the_exercise_works_alone(hands: Hands, root: Path, kit: Path, tmp_path: Path) -> None:
    """A folder with the handed-out files and the package, and no solutions anywhere."""
    shutil.copytree(root / "exercises" / hands.name, tmp_path / "work")
    code = "\n".join(cell.source for cell in hands.notebook("exercises").cells if cell.cell_type == "code")
    number = next(item.name for item in hands.exercise.items if isinstance(item, Quantity))
    code = code.replace("name = ...", "name = 'Ana'", 1).replace(f"{number} = ...", f"{number} = 123456", 1)
    code += f"\nprint(mine.steps('{number}'))\nprint(mine.show())\nprint(mine.record())\n"
    ran = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        cwd=tmp_path / "work",
        env={**os.environ, "PYTHONPATH": str(kit), "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    assert ran.stderr == ""
    assert f"{hands.exercise.item(number).called}: not yet." in ran.stdout
    for item in hands.exercise.items:
        if item.name != number:
            assert f"{item.called}: nothing stands here yet" in ran.stdout
    assert f'Steps, on a like case: mine.steps("{number}")' in ran.stdout
    assert "A like case, not yours:" in ran.stdout
    assert f"{hands.exercise.worked[number](hands.case('Ana'))}\n" not in ran.stdout  # never her own
    assert "the case of Ana" in ran.stdout


def test_the_package_imports_no_solutions(root: Path) -> None:
    for path in (root / "controlkit").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not any(
                name.split(".")[0] in ("solutions", "exercises") or re.fullmatch(r"ex\d\d.*", name) for name in names
            ), path


def test_release_says_what_is_wrong(tmp_path: Path, copy: Path) -> None:
    with pytest.raises(InputError, match=r"no nbgrader_config\.py"):
        release(tmp_path)
    with pytest.raises(InputError, match=r"no exercise ex99.*There are: ex01"):
        release(copy, ["ex99"])


def test_class_folder_is_never_overwritten(root: Path, tmp_path: Path) -> None:
    folder = make_class(tmp_path / "CLASS", root)
    assert (folder / "solutions" / "ex03_graded.py").is_file()
    with pytest.raises(InputError, match="already holds something"):
        make_class(folder, root)
    with pytest.raises(InputError, match="no folder solutions/"):
        make_class(tmp_path / "other", tmp_path)


def test_the_commands(copy: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(copy)
    before = files(copy / "exercises")
    assert main(["release", "ex03"]) == 0
    assert files(copy / "exercises") == before
    assert "released ex03" in capsys.readouterr().out
    assert main(["release", "ex99"]) == 1
    assert "There is no exercise ex99" in capsys.readouterr().err
