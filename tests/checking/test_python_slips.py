"""Cells that fail, in a real shell: told in words, and nothing that stood before is judged again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from IPython.core.interactiveshell import InteractiveShell
from traitlets.config import Config

from controlkit.checking import Exercise
from controlkit.checking.student import python_slips
from controlkit.checking.student.python_slips import forget_after_slips, set_by


@pytest.fixture
def shell(tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> Iterator[InteractiveShell]:
    """A shell as a notebook's kernel has it, with no memory on disk."""
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path / "ipython"))
    config = Config()
    config.HistoryManager.enabled = False
    InteractiveShell.clear_instance()
    yield InteractiveShell.instance(config=config)
    InteractiveShell.clear_instance()


@pytest.fixture
def worked(shell: InteractiveShell, lever: Exercise, capsys: pytest.CaptureFixture[str]) -> InteractiveShell:
    """An exercise with one right answer, checked."""
    shell.user_ns["exercise"] = lever
    shell.run_cell('mine = exercise("Ana")')
    shell.run_cell("c = mine.case\neffort = c.load * c.short / c.long")
    shell.run_cell('mine.check("effort", effort)')
    assert "This answer: 4 of 4 points" in capsys.readouterr().out
    return shell


UNREAD = (
    "effort = 10 mm",
    "effort = 12,5 N",
    "effort = “10 N”",
    'effort = "10 N',
    "effort = (10 + 2",
    "  effort = 10\n effort = 11",
    "moment, effort = 10 mm, 5",
    "effort: float = 10 mm",
    "effort += 1 mm",
    "effort == 3\neffort = 10 mm",
    "if True:\n    effort = 10 mm",
    "def effort(pull)\n    return pull",
)

FAILED = (
    "effort = ten",
    "effort = 1 / 0",
    "moment = 3\neffort = moment + ten",
    "ten\neffort = 10",
    "for effort in (1, 2):\n    ten",
    "effort = int('ten')",
    "with open('nowhere') as effort:\n    pass",
)


@pytest.mark.parametrize("cell", UNREAD + FAILED)
def test_what_a_failed_cell_was_to_set_is_forgotten(
    worked: InteractiveShell, cell: str, capsys: pytest.CaptureFixture[str]
) -> None:
    worked.run_cell(cell)
    capsys.readouterr()
    assert "effort" not in worked.user_ns
    worked.run_cell('mine.check("effort", effort)')
    said = "".join(capsys.readouterr())
    assert "effort: the cell above gave no answer: it has not been run, or could not be read." in said
    assert "yes" not in said
    assert "Traceback" not in said
    worked.run_cell('effort = "10 N"\nmine.check("effort", effort)')
    assert "nothing stands here yet" not in capsys.readouterr().out


@pytest.mark.parametrize(
    "cell",
    [
        "moment = 10 mm",
        "print(effort mm)",
        "effort == 10 mm",
        "moment = dict(\n    effort=10 mm,\n)",
        "ten",
        "moment = 1\nten",
        "def other():\n    effort = 3\nother()\nten",
        "[effort for effort in (1, 2)]\nten",
    ],
)
def test_what_it_was_not_to_set_stays(worked: InteractiveShell, cell: str, capsys: pytest.CaptureFixture[str]) -> None:
    before = worked.user_ns["effort"]
    worked.run_cell(cell)
    assert worked.user_ns["effort"] == before
    capsys.readouterr()


def test_what_was_set_before_the_failure_stays(worked: InteractiveShell, capsys: pytest.CaptureFixture[str]) -> None:
    worked.run_cell("effort = 11\nmoment = effort / 0")
    assert worked.user_ns["effort"] == 11
    assert "moment" not in worked.user_ns
    capsys.readouterr()


def test_a_lesson_turns_it_on_for_itself(shell: InteractiveShell, capsys: pytest.CaptureFixture[str]) -> None:
    shell.run_cell("guess = 54\nguess = 10 mm")
    shell.run_cell("guess = 54")
    shell.run_cell("guess = 10 mm")
    assert shell.user_ns["guess"] == 54  # nobody asked yet
    for _ in range(2):
        forget_after_slips()
    shell.run_cell("guess = 10 mm")
    assert "guess" not in shell.user_ns
    calls = [one for one in shell.events.callbacks["post_run_cell"] if one is python_slips._forget]
    assert len(calls) == 1
    capsys.readouterr()


def test_outside_a_notebook_it_does_nothing() -> None:
    InteractiveShell.clear_instance()
    forget_after_slips()


def test_names_are_found_line_by_line_where_python_reads_nothing() -> None:
    assert set_by("a = 1 mm\nb, c = 2, 3\n# d = 4\nif e == 3:\n    f = 1\nprint(g=3)\nclass H\n") == {*"abcf", "H"}
    assert set_by("design = dict(\n    ring=1 mm,\n    crossbar=2,\n)\nnext_one = 3") == {"design", "next_one"}
    assert set_by("") == frozenset()
    assert set_by("\x00") == frozenset()
