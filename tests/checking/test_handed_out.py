"""An exercise handed out without worked steps: from the command of the instructor to what a student reads."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from controlkit.checking import Exercise
from controlkit.checking.student.handed_out import CLASS_FILE, with_worked_steps
from controlkit.cli import main
from tests.checking.hands import NAMES
from tests.checking.school import surroundings

Captured = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def without(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A class folder made with the command, for a class that is to have no worked steps."""
    folder = tmp_path_factory.mktemp("without") / "CLASS"
    with pytest.MonkeyPatch.context() as here:
        here.chdir(root)
        assert main(["class", "new", str(folder), "--without-worked-steps"]) == 0
    return folder


def opened(lever: Exercise, capsys: Captured) -> str:
    """What steps says after an attempt, in the folder at hand."""
    mine = lever("Ana")
    mine.check("effort", 12)
    offered = "mine.steps(" in capsys.readouterr().out
    told = repr(mine.steps())
    assert offered == ("without worked steps" not in told)
    return told


def test_the_command_says_so_beside_each_notebook(without: Path) -> None:
    beside = sorted(path.parent.name for path in without.glob(f"solutions/*/{CLASS_FILE}"))
    assert beside == list(NAMES)
    assert not any(with_worked_steps(without / "solutions" / name) for name in NAMES)


def test_a_class_is_made_with_them_unless_asked_otherwise(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(root)
    assert main(["class", "new", str(tmp_path / "CLASS")]) == 0
    assert list(tmp_path.rglob(CLASS_FILE)) == []


def test_nbgrader_hands_the_file_to_the_student_who_reads_that_there_are_none(
    without: Path, tmp_path: Path, lever: Exercise, monkeypatch: pytest.MonkeyPatch, capsys: Captured
) -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "nbgrader", "generate_assignment", "ex01"],
        cwd=without,
        env=surroundings(tmp_path),
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    handed_out = without / "release" / "ex01"
    assert sorted(file.name for file in handed_out.iterdir()) == [CLASS_FILE, "ex01.ipynb"]
    (tmp_path / CLASS_FILE).write_bytes((handed_out / CLASS_FILE).read_bytes())
    monkeypatch.chdir(tmp_path)
    told = "This exercise was handed out without worked steps. Your instructor has them."
    assert opened(lever, capsys) == f"Worked steps\n\n{told}"


@pytest.mark.parametrize(
    "malformed",
    [
        b"",
        b"worked_steps =",
        b"worked_steps = no",
        b'worked_steps = "false"',
        b"worked_steps = 0",
        b"\xff\xfe\x00",
        b"[]",
    ],
    ids=repr,
)
def test_a_file_that_cannot_be_read_counts_as_the_usual(
    lever: Exercise, tmp_path: Path, malformed: bytes, capsys: Captured
) -> None:
    (tmp_path / CLASS_FILE).write_bytes(malformed)
    assert "moments about the pivot:" in opened(lever, capsys)


def test_the_file_may_begin_with_the_mark_of_a_windows_editor(tmp_path: Path) -> None:
    (tmp_path / CLASS_FILE).write_text("worked_steps = false\r\n", encoding="utf-8-sig")
    assert not with_worked_steps(tmp_path)
