"""What it takes to mark a class, everything counted, against stock nbgrader on the same notebooks in the same run."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import pytest

from tests.benchmarks.whole_class import Took, handed_in, timed
from tests.checking.hands import Hands
from tests.checking.school import surroundings

pytestmark = pytest.mark.long

BARS = {("ex04", 20): 10, ("ex04", 200): 25, ("ex03", 20): 4, ("ex03", 200): 8}
"""Exercise and students to so many times stock: one exercise without a design, and one with."""


@pytest.mark.skipif(not hasattr(os, "wait4"), reason="memory of a process is told by POSIX systems")
@pytest.mark.parametrize(("exercise", "count"), BARS, ids=lambda one: str(one))
def test_marking_beside_stock(
    exercise: str, count: int, every: dict[str, Hands], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    hands = every[exercise]
    folder = handed_in(tmp_path / "class", hands, count)
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
    for one in folder.roster:
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
