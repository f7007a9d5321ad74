"""What is installed: all of the package, the lessons and the exercises, and none of the solutions."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import nbformat
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
import asyncio, json, sys
from pathlib import Path
import nbformat
from nbclient import NotebookClient

async def main(paths):
    two = asyncio.Semaphore(2)

    async def run(path):
        where = {"metadata": {"path": path.parent}}
        async with two:
            try:
                await NotebookClient(nbformat.read(path, as_version=4), timeout=300, resources=where).async_execute()
            except Exception as error:
                return f"{type(error).__name__}: {error}"

    return await asyncio.gather(*map(run, paths))

print(json.dumps(asyncio.run(main([Path(path) for path in sys.argv[1:]]))))
"""
"""Runs pages in one process, two kernels at a time; prints for each what went wrong, or null."""


def test_a_student_works_lesson_and_exercise_without_solutions(student: dict[str, object], run, root: Path) -> None:
    """Laid out from the wheel, every page runs from top to bottom as it was handed out."""
    laid = run(sys.executable, "-c", LAY_OUT, **student)
    assert laid.returncode == 0, laid.stderr
    folder = Path(str(student["cwd"])) / "my-course"
    for name in ("LICENSE", "LICENSE-CONTENT"):
        assert (folder / name).read_bytes() == (root / name).read_bytes()
    pages = sorted(folder.rglob("*.ipynb"))
    assert {page.name for page in pages} >= {"index.ipynb", "03-figure-of-eight.ipynb", "ex03.ipynb"}
    broken = folder / "broken.ipynb"  # what goes wrong in a page is noticed
    nbformat.write(nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("1 / 0")]), broken)
    done = run(sys.executable, "-c", EXECUTE, *pages, broken, **student)
    assert done.returncode == 0, done.stderr[-3000:]
    said = dict(zip([*pages, broken], json.loads(done.stdout.splitlines()[-1]), strict=True))
    assert "ZeroDivisionError" in said.pop(broken)
    assert {page.name: error for page, error in said.items() if error is not None} == {}
