"""A kernel as the course starts it, and one as any other program starts it: the next day, with nothing in it yet."""

from __future__ import annotations

import asyncio
import os
import shutil
from copy import deepcopy
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

from controlkit.checking.student.python_slips import SLIPS
from controlkit.cli import kernel

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def ours(tmp_path: Path) -> dict[str, str]:
    """What `controlkit start` gives a kernel."""
    profile = tmp_path / "ipython" / "profile_default"
    profile.mkdir(parents=True)
    (profile / "ipython_kernel_config.py").write_text(kernel.CONFIG, encoding="utf-8")
    return {"IPYTHONDIR": str(tmp_path / "ipython")}


def run(page: Path, *cells: int, before: str = "pass", **env: str) -> list[str]:
    """Run some cells of a notebook in a fresh kernel, and say what each printed, errors and all."""
    notebook = nbformat.read(page, as_version=4)
    code = [cell for cell in notebook.cells if cell.cell_type == "code"]
    notebook.cells = [nbformat.v4.new_code_cell(before), *(deepcopy(code[place]) for place in cells)]
    client = NotebookClient(
        notebook, timeout=120, kernel_name="python3", allow_errors=True, resources={"metadata": {"path": page.parent}}
    )
    around = {name: value for name, value in os.environ.items() if name != "NBGRADER_EXECUTION"}
    ran = asyncio.run(
        client.async_execute(env={**around, "PYTHONPATH": str(ROOT), "JPY_SESSION_NAME": str(page), **env})
    )
    return [_said(cell) for cell in ran.cells[1:]]


def _said(cell: nbformat.NotebookNode) -> str:
    said = [out.get("text") or "\n".join(out.get("traceback", ())) or str(out.get("data", "")) for out in cell.outputs]
    return "".join(said)


@pytest.fixture
def exercise(tmp_path: Path) -> Path:
    """A student's copy of exercise 5, her name in it."""
    page = tmp_path / "ex05.ipynb"
    shutil.copy(ROOT / "exercises" / "ex05" / "ex05.ipynb", page)
    page.write_text(page.read_text(encoding="utf-8").replace("name = ...", "name = 'Ana'"), encoding="utf-8")
    return page


def place_of(page: Path, begins: str) -> int:
    code = [cell.source for cell in nbformat.read(page, as_version=4).cells if cell.cell_type == "code"]
    return next(place for place, source in enumerate(code) if source.startswith(begins))


def test_a_check_of_an_exercise_on_a_fresh_kernel_names_the_cells_to_run(exercise: Path, ours: dict[str, str]) -> None:
    case, answer, check = (place_of(exercise, begins) for begins in ("from", "pull = ", 'mine.check("pull"'))
    said = run(exercise, check, 0, check, case, check, answer, check, **ours)
    assert all("Traceback" not in one and "NameError" not in one for one in said)
    assert said[0].splitlines() == [
        'This cell needs "mine". Run these cells first, in this order (click into it and press Shift+Enter):',
        "  the cell that begins: name = 'Ana'",
        "  the grey line with three dots under the heading “Your name”",
        "Then run this one again. All at once: choose Run All Above Selected Cell in the Run menu.",
    ]
    assert 'needs "mine" from the grey line with three dots under the heading “Your name”' in said[2]
    assert "pull: the cell above gave no answer: it has not been run, or could not be read." in said[4]
    assert "nothing stands here yet. Replace the dots" in said[6]


@pytest.mark.parametrize("lesson", sorted((ROOT / "course").glob("0[1-6]-*.ipynb")), ids=lambda path: path.stem)
def test_any_cell_of_a_lesson_alone_on_a_fresh_kernel_is_answered_in_words(
    lesson: Path, tmp_path: Path, ours: dict[str, str]
) -> None:
    """The lab first of all: in a kernel with nothing in it, and no trace of Python."""
    page = tmp_path / lesson.name
    shutil.copy(lesson, page)
    lab = next(cell.source for cell in nbformat.read(page, as_version=4).cells if cell.id == "lab")
    (said,) = run(page, place_of(page, lab[:40]), **ours)
    assert "Traceback" not in said
    if "This cell needs" in said:
        assert "Run" in said
    else:
        assert "NameError" not in said


@pytest.mark.parametrize("brings", ["import controlkit.exercises", "import controlkit.labs"])
def test_a_kernel_that_another_program_started_says_it_too_once_something_of_ours_is_imported(
    exercise: Path, brings: str
) -> None:
    check = place_of(exercise, 'mine.check("pull"')
    (said,) = run(exercise, check, before=brings)
    assert said.startswith('This cell needs "mine".')
    (trace,) = run(exercise, check)
    assert "NameError" in trace  # the test can fail: without it a kernel answers as ever


def test_where_no_page_can_be_read_the_words_still_say_what_to_do(exercise: Path, ours: dict[str, str]) -> None:
    check = place_of(exercise, 'mine.check("pull"')
    (said,) = run(exercise, check, **ours, JPY_SESSION_NAME=str(exercise.parent / "gone.ipynb"))
    assert said == "Run the cells from the top first: your name and your case come before this one."


def test_a_kernel_hears_of_every_slip_that_there_are_words_for() -> None:
    """Two lists, since a kernel loads nothing heavy as it starts."""
    assert set(kernel._SLIPS) == set(SLIPS)


def test_a_grader_sees_errors_as_they_are(exercise: Path, ours: dict[str, str]) -> None:
    check = place_of(exercise, 'mine.check("pull"')
    (said,) = run(exercise, check, before="import controlkit.exercises", **ours, NBGRADER_EXECUTION="autograde")
    assert "NameError" in said
