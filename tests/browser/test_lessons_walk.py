"""Each lesson walked through in JupyterLab: opened, run from top to bottom, its lab there and answering a key."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from .conftest import ROOT, TOKEN, Server, Watch
from .labpage import _KERNEL_READY, LAB, LabPage

IN_EVERY_RUN = "05-terminal-devices"
"""The lesson that computes least; the others are walked with the long tests, and run headless in every run."""
LESSONS = [
    pytest.param(path, id=path.stem, marks=[] if path.stem == IN_EVERY_RUN else pytest.mark.long)
    for path in sorted((ROOT / "course").glob("[0-9][0-9]-*.ipynb"))
]
RUN_ALL = "() => window.jupyterapp.commands.execute('notebook:run-all-cells')"
NOT_RUN = """() => window.jupyterapp.shell.currentWidget.content.widgets
  .filter(cell => cell.model.type === 'code' && !cell.model.executionCount).map(cell => cell.model.id)"""


@pytest.mark.parametrize("lesson", LESSONS)
def test_walk(lesson: Path, page: Any, server: Server, watch: Watch) -> None:
    """All cells run, nothing is written to the error stream, and the lab answers a real key."""
    (server.folder / lesson.name).write_bytes(lesson.read_bytes())
    page.goto(f"{server.address}/doc/tree/{lesson.name}?token={TOKEN}")
    page.locator(".jp-CodeCell").first.wait_for()
    page.wait_for_function(_KERNEL_READY)
    page.evaluate(RUN_ALL)
    assert page.evaluate(NOT_RUN) == []
    lab = LabPage(page)
    lab.no_error()
    lab.after(-1)
    assert page.locator(LAB).count() == 1
    before = lab.words
    first = lab.root.locator("input[type=range]").first
    lab.press(first.get_attribute("data-key"), "ArrowRight")
    assert lab.words != before
    check = page.locator(".jp-CodeCell").filter(has_text="Write your answer in place of the three dots")
    assert check.count() == 1
    assert not check.locator(".cm-content").is_visible()  # what computes the answer is folded away
    assert watch.errors == []
