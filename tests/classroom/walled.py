"""Notebooks to be run behind the wall, and the same attacks in a plain process."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from typing import Any

import pytest

from controlkit.checking import Case
from controlkit.classroom.confined.job import Came, Confinement, Job, Variable
from controlkit.classroom.confined.probe import Protection, probe
from controlkit.classroom.confined.run import confinement

CASE = Case("ex04", "ana", 0, {"pull": 40})
HONEST = "got = mine.case.pull / 2"


def protection() -> Protection:
    """What protects here; a test that needs it is skipped where nothing does, but not under CI."""
    found = probe()
    if found.mode is None:
        if os.environ.get("CI") == "true":
            pytest.fail(found.words)
        pytest.skip(found.words)
    return found


def walled(seconds: float = 30.0, workers: int = 1) -> Confinement:
    """The wall of this machine."""
    protection()
    return confinement(workers=workers, seconds=seconds)


def job(student: str, *cells: str, asked: Sequence[str] = ("got",)) -> Job:
    """A notebook of which every variable asked for is read at its end."""
    return Job(student, "ex04", CASE, "Ana", cells, tuple(Variable(one, len(cells)) for one in asked))


def values(came: Came) -> dict[str, Any]:
    """What came, as judging takes it."""
    return {item: answer.value for item, answer in came.answers.items() if answer.how == "ran"}


def in_plain_process(cell: str, **surroundings: str) -> Any:
    """What the variable `got` holds after a cell that nothing confines."""
    program = f"{cell}\nimport json, os\nprint('got:' + json.dumps(got), flush=True)\nos._exit(0)"
    with tempfile.TemporaryFile("w+") as said:  # what it leaves running would hold a pipe open
        surroundings = {**os.environ, **surroundings}
        subprocess.run(
            [sys.executable, "-c", program], stdout=said, stderr=said, timeout=60, check=False, env=surroundings
        )
        said.seek(0)
        lines = said.read()
    found = [line for line in lines.splitlines() if line.startswith("got:")]
    assert found, lines[-500:]
    return json.loads(found[-1].removeprefix("got:"))
