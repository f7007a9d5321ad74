"""Property tests try the same examples whatever else is loaded, and whatever numbers stand in the package."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

DRAWS = """
import sys

{first}
from hypothesis import given, settings
from hypothesis import strategies as st

@settings(derandomize=True, database=None, max_examples=200)
@given(st.integers(10**9, 2 * 10**9), st.floats(0.0, 1.0))
def drawn(whole, part):
    print(whole, part)

drawn()
"""
NUMBERS = f"MANY = {[*range(1_100_000_007, 1_900_000_000, 20_000_003), *(k / 97 for k in range(1, 97))]}\n"


@pytest.fixture
def draw(tmp_path: Path, root: Path, run):
    """Draw examples in a process of its own, with or without the root `conftest.py` and a module full of numbers."""
    (tmp_path / "numbers_of_ours.py").write_text(NUMBERS)

    def draw(*first: str) -> list[str]:
        program = tmp_path / "draws.py"
        program.write_text(DRAWS.format(first="\n".join(f"import {name}" for name in first)))
        env = {**os.environ, "PYTHONPATH": os.pathsep.join([str(root), str(tmp_path)])}
        done = run(sys.executable, program, cwd=tmp_path, env=env)
        assert done.returncode == 0, done.stderr
        return done.stdout.splitlines()

    return draw


def test_numbers_of_the_package_change_no_example(draw) -> None:
    alone, beside = draw("conftest"), draw("conftest", "numbers_of_ours")
    assert len(alone) >= 200
    assert alone == beside


def test_without_the_root_conftest_they_would(draw) -> None:
    """If this fails Hypothesis has stopped looking into the package, and conftest.py need not hinder it."""
    assert draw() != draw("numbers_of_ours")
