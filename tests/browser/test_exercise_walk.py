"""An exercise with real keys: a name, tables, a wrong answer and the steps below it, words; and the next day."""

from __future__ import annotations

import shutil
from typing import Any

import pytest

from .conftest import PROGRAMS, ROOT, Server, Watch
from .labpage import _KERNEL_READY

RESTART = "() => window.jupyterapp.shell.currentWidget.context.sessionContext.session.kernel.restart()"
FOCUSED = "() => document.activeElement.tagName + ' ' + document.activeElement.innerText.trim()"
WORDS = "The cable cannot tell why its path grows. " * 8
NAME = "exercise-3"


def open_exercise(page: Any, server: Server, program: str) -> None:
    """A student's copy, fresh, with its kernel."""
    folder = server.folder / NAME
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    shutil.copy(ROOT / "exercises" / "ex03" / "ex03.ipynb", folder)
    route = "doc/tree" if program == "jupyterlab" else "notebooks"
    page.goto(f"{server.address}/{route}/{NAME}/ex03.ipynb?token={server.token}")
    page.locator(".jp-CodeCell").first.wait_for()
    page.wait_for_function(_KERNEL_READY)


def cell(page: Any, begins: str) -> Any:
    """The cell of program text with these words in it."""
    return page.locator(".jp-CodeCell").filter(has_text=begins).first


def into(page: Any, begins: str) -> Any:
    """Click into a cell, and wait until what is typed goes there."""
    found = cell(page, begins)
    found.locator(".cm-content").click()
    page.wait_for_function("(node) => node.contains(document.activeElement)", arg=found.element_handle())
    return found


def said(page: Any, begins: str, words: str) -> Any:
    """Wait until a cell has brought these words out."""
    found = cell(page, begins).locator(".jp-OutputArea").get_by_text(words).first
    found.wait_for(state="attached")
    return found


@pytest.mark.parametrize("program", PROGRAMS)
def test_an_exercise_is_worked_with_the_keyboard_and_gone_on_with_the_next_day(
    page: Any, server: Server, watch: Watch, program: str
) -> None:
    open_exercise(page, server, program)
    keys = page.keyboard
    into(page, "name = ")
    keys.press("Control+a")
    keys.type('name = "Ana"')
    keys.press("Shift+Enter")
    keys.press("Shift+Enter")  # the folded cell below brings out the case
    said(page, "import exercise", "the case of Ana")
    keys.press("Shift+Enter")  # the question
    keys.press("Shift+Enter")  # what it gives, folded too
    said(page, 'mine.given("excursion"', "Bench table")
    assert not cell(page, 'mine.given("excursion"').locator(".cm-content").is_visible()

    keys.press("Enter")
    keys.press("Control+a")
    keys.type('excursion = "900 mm"')
    keys.press("Shift+Enter")
    keys.press("Shift+Enter")
    said(page, 'mine.check("excursion"', "excursion: not yet.")
    fold = said(page, 'mine.check("excursion"', "Show the steps on a like case")
    keys.press("Escape")
    keys.press("ArrowUp")
    for _ in range(12):  # on through the buttons of the cell
        keys.press("Tab")
        if page.evaluate(FOCUSED).startswith("SUMMARY"):
            break
    keys.press("Enter")
    assert fold.locator("xpath=ancestor::details").get_attribute("open") is not None
    assert fold.locator("xpath=ancestor::details").get_by_text("A like case, not yours").is_visible()

    count = page.locator(".jp-Notebook .jp-Cell").count()
    why = into(page, "why = ")
    for key in ("Control+Home", "ArrowDown", "Home", "Shift+End"):
        keys.press(key)
    keys.type(WORDS)
    keys.press("Shift+Enter")
    keys.press("Shift+Enter")
    said(page, 'mine.check("why"', f"{len(WORDS.split())} words stand here")
    assert page.locator(".jp-Notebook .jp-Cell").count() == count, "what is typed is text, and makes no cells"
    if program == "jupyterlab":  # long lines stay in view
        box, room = why.locator(".cm-line").nth(1).bounding_box(), why.bounding_box()
        assert box["x"] + box["width"] <= room["x"] + room["width"]
        assert box["height"] > 1.5 * why.locator(".cm-line").first.bounding_box()["height"]

    page.evaluate(RESTART)
    page.wait_for_function(_KERNEL_READY)
    check = into(page, 'mine.check("excursion"')
    keys.press("Control+Enter")
    said(page, 'mine.check("excursion"', 'This cell needs "mine".')
    assert "Traceback" not in check.inner_text()
    page.wait_for_function(_KERNEL_READY)  # a kernel drops what reaches it while it still answers a failed cell
    into(page, "name = ")
    keys.press("Shift+Enter")
    keys.press("Shift+Enter")
    said(page, "import exercise", "the case of Ana")
    into(page, "mine.record()")
    keys.press("Control+Enter")
    said(page, "mine.record()", "So far 0 of 20 points by the checks.")
    bars = cell(page, "mine.record()").locator("svg[role=img]")
    assert "6. why, written; your instructor gives up to 4" in bars.get_attribute("aria-label")
    assert not watch.errors
