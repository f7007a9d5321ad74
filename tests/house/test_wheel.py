"""What is installed: all of the package, the lessons and the exercises, and none of the solutions."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from controlkit.cli.release import Release

LEFT_BEHIND = (".git", ".venv*", "my-course", "solutions", "tests", "*_cache", "__pycache__", "*.egg-info")


@pytest.fixture(scope="module")
def wheel(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel from a copy of the checkout in which `solutions/` and `tests/` were deleted."""
    made = tmp_path_factory.mktemp("wheel")
    shutil.copytree(root, made / "checkout", ignore=shutil.ignore_patterns(*LEFT_BEHIND))
    build = [sys.executable, "-m", "pip", "wheel", "--no-deps", "--no-build-isolation", "--no-index", "-w", made]
    done = subprocess.run([*build, made / "checkout"], capture_output=True, text=True, cwd=made)
    assert done.returncode == 0, done.stdout + done.stderr
    (found,) = made.glob("controlkit-*.whl")
    assert not (made / "checkout" / "build").exists(), "a build folder could bring deleted files back"
    return found


@pytest.fixture(scope="module")
def student(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, object]:
    """Say how to run something with the installed package only."""
    home = tmp_path_factory.mktemp("student")
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(home / "site")
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("PYTEST", "PYTHON"))}
    return {"cwd": home, "env": {**kept, "HOME": str(home), "PYTHONPATH": str(home / "site")}}


def test_every_module_and_every_data_file_is_in_it(wheel: Path, root: Path) -> None:
    packed = set(zipfile.ZipFile(wheel).namelist())
    wanted = {
        str(path.relative_to(root).as_posix())
        for path in (root / "controlkit").rglob("*")
        if path.is_file() and path.suffix != ".pyc"
    }
    assert wanted - packed == set()


def test_lessons_and_exercises_travel_along(wheel: Path, root: Path) -> None:
    packed = set(zipfile.ZipFile(wheel).namelist())
    released = {str(place) for place, _ in Release(root / "course", root / "exercises").files()}
    assert "course/index.ipynb" in released
    assert {f"controlkit/_{place}" for place in released} <= packed


def test_nothing_else_is_in_it(wheel: Path) -> None:
    for name in zipfile.ZipFile(wheel).namelist():
        assert name.startswith(("controlkit/", "controlkit-")), name
        assert "solution" not in name, name
        assert not name.endswith((".pyc", "gradebook.db")), name


def test_the_command_is_declared_and_both_licences_are_in_it(wheel: Path) -> None:
    packed = zipfile.ZipFile(wheel)
    (declared,) = [name for name in packed.namelist() if name.endswith("entry_points.txt")]
    assert "controlkit = controlkit.cli:main" in packed.read(declared).decode()
    assert {name.split("/")[-1] for name in packed.namelist() if "/licenses/" in name} == {"LICENSE", "LICENSE-CONTENT"}


def test_selfcheck_of_the_installed_package(student: dict[str, object], run) -> None:
    done = run(sys.executable, "-m", "controlkit", "selfcheck", **student)
    assert done.returncode == 0, done.stdout + done.stderr


LAY_OUT = """
from pathlib import Path
from controlkit.cli.release import find_release
from controlkit.cli.workfolder import lay_out, prepare
folder = prepare(Path("my-course"), find_release())
print(len(lay_out(folder, find_release()).copied))
"""
EXECUTE = """
import sys, nbformat
from nbclient import NotebookClient
from pathlib import Path
path = Path(sys.argv[1])
client = NotebookClient(nbformat.read(path, as_version=4), timeout=300, resources={"metadata": {"path": path.parent}})
client.execute()
print(sum(cell.cell_type == "code" for cell in client.nb.cells))
"""


def test_a_student_works_lesson_and_exercise_without_solutions(student: dict[str, object], run, root: Path) -> None:
    """Laid out from the wheel, every page runs from top to bottom as it was handed out."""
    laid = run(sys.executable, "-c", LAY_OUT, **student)
    assert laid.returncode == 0, laid.stderr
    folder = Path(str(student["cwd"])) / "my-course"
    for name in ("LICENSE", "LICENSE-CONTENT"):
        assert (folder / name).read_bytes() == (root / name).read_bytes()
    pages = sorted(folder.rglob("*.ipynb"))
    assert {page.name for page in pages} >= {"index.ipynb", "03-figure-of-eight.ipynb", "ex03.ipynb"}
    for page in pages:
        done = run(sys.executable, "-c", EXECUTE, page, **student)
        assert done.returncode == 0, f"{page.name}\n{done.stderr[-3000:]}"
