"""Each lesson walked through in JupyterLab: opened, run from top to bottom, its lab there and answering a key."""

from __future__ import annotations

import urllib.request
from pathlib import Path
from typing import Any

import pytest

from .conftest import ROOT, Server, Watch, _request
from .labpage import _KERNEL_READY, LAB, LabPage

IN_EVERY_RUN = "05-terminal-devices"
"""The lesson that computes least; the others are walked with the long tests, and run headless in every run."""
LESSONS = [
    pytest.param(path, id=path.stem, marks=[] if path.stem == IN_EVERY_RUN else pytest.mark.long)
    for path in sorted((ROOT / "course").glob("[0-9][0-9]-*.ipynb"))
]
SHEET = 718
"""A4 less margins of 10 mm, in pixels of 1/96 inch."""
RUN_BELOW = "() => window.jupyterapp.commands.execute('notebook:run-all-below')"
ACTIVATE = """id => { const page = window.jupyterapp.shell.currentWidget.content;
  page.activeCellIndex = page.widgets.findIndex(cell => cell.model.id === id); }"""
IN_VIEW = """sentence => [...document.querySelectorAll('.jp-OutputArea-output')].some(node => {
  const box = node.getBoundingClientRect();
  return node.textContent.includes(sentence) && box.height && box.y >= 0 && box.bottom <= window.innerHeight; })"""
AFTER_TRY = {"thoughts", "bench-table", "bench-friction", "bench-fit", "care-facts"}
"""Cells that wait until the first answer is written; the answers' own cell has run."""
FAILED = ".jp-RenderedText[data-mime-type*='error'], .jp-RenderedText[data-mime-type$='stderr']"
SAVE = "() => window.jupyterapp.commands.execute('docmanager:save')"
RUN_ALL = "() => window.jupyterapp.commands.execute('notebook:run-all-cells')"
NOT_RUN = """() => window.jupyterapp.shell.currentWidget.content.widgets
  .filter(cell => cell.model.type === 'code' && !cell.model.executionCount).map(cell => cell.model.id)"""


@pytest.mark.parametrize("lesson", LESSONS)
def test_walk(lesson: Path, page: Any, server: Server, watch: Watch, browser: Any, tmp_path: Path) -> None:
    """Stops at the prediction, goes on once that is made by buttons, stops at the first empty answer; is printed."""
    (server.folder / lesson.name).write_bytes(lesson.read_bytes())
    page.goto(f"{server.address}/doc/tree/{lesson.name}?token={server.token}")
    page.locator(".jp-CodeCell").first.wait_for()
    page.wait_for_function(_KERNEL_READY)
    page.evaluate(RUN_ALL)
    _stopped(page, "The page waits here for your prediction")
    lab = LabPage(page)
    lab.after(-1)
    assert page.locator(LAB).count() == 1
    before = lab.words
    first = lab.root.locator("input[type=range]").first
    lab.press(first.get_attribute("data-key"), "ArrowRight")
    assert lab.words != before
    _predict(page, lab)
    page.evaluate(ACTIVATE, "go-on")
    page.evaluate(RUN_BELOW)
    check = _stopped(page, "Write your answer in place of the three dots")
    assert not check.locator(".cm-content").is_visible()  # what computes the answer is folded away
    assert set(page.evaluate(NOT_RUN)) <= AFTER_TRY
    assert watch.errors == []
    page.evaluate(SAVE)
    wide = _wider_than_the_sheet(_exported(server, lesson.name, tmp_path), browser)
    assert wide == []


def _stopped(page: Any, sentence: str) -> Any:
    """The cell at which running stopped: it says so in words, with no trace, and is scrolled into view."""
    cell = page.locator(".jp-CodeCell").filter(has_text=sentence)
    cell.wait_for()
    assert cell.count() == 1
    assert page.locator(FAILED).count() == 1  # this sentence, and nothing else that went wrong
    said = cell.locator(".jp-OutputArea-output")
    assert "Traceback" not in said.inner_text()
    assert "Error" not in said.inner_text()
    page.wait_for_function(IN_VIEW, arg=sentence)
    return cell


def _predict(page: Any, lab: LabPage) -> None:
    """Press the first button of each prediction; after each the strip goes on to the next by itself."""
    options = lab.root.locator(".ck-options")
    while not options.locator("[aria-pressed=true]").count():
        key = options.get_attribute("data-of")
        options.locator("button").first.click()
        page.wait_for_function(MADE, arg=[LAB, key])


# another prediction is asked for, or this one is marked as the last
MADE = """([lab, key]) => {
  const options = document.querySelector(`${lab} .ck-options`);
  return options.dataset.of !== key || options.querySelector('[aria-pressed=true]') !== null;
}"""


def _exported(server: Server, name: str, folder: Path) -> Path:
    """Fetch what "Save and Export Notebook As, HTML" gives."""
    with urllib.request.urlopen(_request(server, f"nbconvert/html/{name}")) as answer:
        text = answer.read().decode()
    assert "Setting: " in text  # the lab stands still, with its setting in words
    (folder / "printed.html").write_text(text)
    return folder / "printed.html"


def _wider_than_the_sheet(printed: Path, browser: Any) -> list[str]:
    """Open a printed page as wide as A4 within its margins; name pictures and tables that do not fit."""
    context = browser.new_context(viewport={"width": SHEET, "height": 1000}, java_script_enabled=False)
    try:
        page = context.new_page()
        page.emulate_media(media="print")
        page.goto(printed.as_uri())
        boxes = [(item, item.bounding_box()) for item in page.locator("svg[role=img], table").all()]
        assert len([1 for _, box in boxes if box]) > 5
        return [item.inner_text()[:60] for item, box in boxes if box and box["x"] + box["width"] > SHEET]
    finally:
        context.close()
