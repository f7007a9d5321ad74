"""What is installed: all of the package, the lessons and the exercises, and none of the solutions."""

from __future__ import annotations

import json
import sys
import zipfile
from pathlib import Path

import nbformat
import pytest

from controlkit.cli.release import Release
from tests.installed import Student, build_wheel, install


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_wheel(tmp_path_factory.mktemp("wheel"))


@pytest.fixture(scope="module")
def student(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Student:
    return install(wheel, tmp_path_factory.mktemp("student"))


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


def test_selfcheck_of_the_installed_package(student: Student, run) -> None:
    done = run(sys.executable, "-m", "controlkit", "selfcheck", cwd=student.home, env=student.env)
    assert done.returncode == 0, done.stdout + done.stderr


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


def test_a_student_works_the_exercises_without_solutions(student: Student, run, root: Path) -> None:
    """Laid out from the wheel, each runs from top to bottom as it was handed out; so do the lessons, in test_course."""
    folder = student.lay_out()
    for name in ("LICENSE", "LICENSE-CONTENT"):
        assert (folder / name).read_bytes() == (root / name).read_bytes()
    pages = sorted((folder / "exercises").rglob("*.ipynb"))
    assert "ex03.ipynb" in {page.name for page in pages}
    assert {page.parent for page in folder.rglob("*.ipynb")} - {page.parent for page in pages} == {folder / "course"}
    broken = folder / "broken.ipynb"  # what goes wrong in a page is noticed
    nbformat.write(nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell("1 / 0")]), broken)
    done = run(sys.executable, "-c", EXECUTE, *pages, broken, cwd=student.home, env=student.env)
    assert done.returncode == 0, done.stderr[-3000:]
    said = dict(zip([*pages, broken], json.loads(done.stdout.splitlines()[-1]), strict=True))
    assert "ZeroDivisionError" in said.pop(broken)
    assert {page.name: error for page, error in said.items() if error is not None} == {}
