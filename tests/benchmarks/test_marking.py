"""What it takes to mark a class, everything counted, against stock nbgrader on the same notebooks in the same run."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import pytest

from controlkit.classroom import make_class
from controlkit.classroom.handing_out.cases import draw_cases
from controlkit.classroom.handing_out.openly import hand_out_openly
from controlkit.classroom.records import ClassFolder, Roster, Student
from tests.checking.hands import ROOT, Hands
from tests.checking.school import fill, surroundings

pytestmark = pytest.mark.long

BARS = {("ex04", 20): 10, ("ex04", 200): 25, ("ex03", 20): 4, ("ex03", 200): 8}
"""Exercise and students to so many times stock: one exercise without a design, and one with."""


@dataclass(frozen=True)
class Took:
    """What one program took.

    Attributes
    ----------
    seconds : float
        From its start to its end [s]
    megabytes : float
        Largest of its processes [MB]
    """

    seconds: float
    megabytes: float


def timed(command: list[str], folder: Path, environ: dict[str, str]) -> Took:
    """Run a command to its end."""
    started = time.perf_counter()
    run = subprocess.Popen(command, cwd=folder, env=environ, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(run.pid, 0)
    run.returncode = os.waitstatus_to_exitcode(status)
    assert run.returncode == 0, command
    return Took(time.perf_counter() - started, used.ru_maxrss / 1024)


@pytest.mark.skipif(not hasattr(os, "wait4"), reason="memory of a process is told by POSIX systems")
@pytest.mark.parametrize(("exercise", "count"), BARS, ids=lambda one: str(one))
def test_marking_beside_stock(
    exercise: str, count: int, every: dict[str, Hands], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hands = every[exercise]
    roster = Roster(tuple(Student(f"s{place:03}", f"Student {place}") for place in range(count)))
    folder = ClassFolder(make_class(tmp_path / "class", ROOT, roster=roster))
    draw_cases(folder, exercise)
    hand_out_openly(folder, exercise)
    for one in roster:
        fill(folder.path / "release" / exercise, folder.path / "submitted" / one.id / exercise, hands.filled(one.name))
    stock = tmp_path / "stock"
    shutil.copytree(folder.path, stock)
    environ = surroundings(tmp_path)
    steps = [
        timed([sys.executable, "-m", "controlkit", "class", step, exercise], folder.path, environ)
        for step in ("take-in", "mark")
    ]
    ours = Took(sum(one.seconds for one in steps), max(one.megabytes for one in steps))
    theirs = timed([sys.executable, "-m", "nbgrader", "autograde", exercise], stock, environ)
    full = sum(item.points for item in hands.exercise.items if not item.by_hand)
    for one in roster:
        marked = folder.marked(exercise, one.id)
        assert marked is not None
        assert marked.points == full
    ratio = theirs.seconds / ours.seconds
    with capsys.disabled():
        print(
            f"\n{exercise}, {count} notebooks: take-in {steps[0].seconds:.1f} s, mark {steps[1].seconds:.1f} s, "
            f"largest process {ours.megabytes:.0f} MB; stock {theirs.seconds:.1f} s; {ratio:.1f} times, "
            f"bar {BARS[exercise, count]}"
        )
    assert ratio > BARS[exercise, count] / 4  # a loose bound: the bar itself is read off a quiet machine
