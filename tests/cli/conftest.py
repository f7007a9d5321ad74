"""Releases of a made-up course, small enough to read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from controlkit.cli.release import Release


@pytest.fixture
def make_release(tmp_path: Path) -> Callable[..., Release]:
    """Make a release of the course from the texts of its files."""

    def make(name: str = "release", **texts: str) -> Release:
        texts = {"index": "start page", "lesson": "lesson as released", **texts}
        course, exercises = tmp_path / name / "course", tmp_path / name / "exercises"
        (exercises / "ex03").mkdir(parents=True, exist_ok=True)
        course.mkdir(exist_ok=True)
        for stem, text in texts.items():
            (course / f"{stem}.ipynb").write_text(text)
        (exercises / "ex03" / "ex03.ipynb").write_text("exercise as released")
        (exercises / "ex03" / "ex03.py").write_text("exercise = 3")
        return Release(course, exercises)

    return make
