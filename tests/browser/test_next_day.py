"""A lab the next day: the page opened without its kernel shows a still, and its cell brings all back."""

from __future__ import annotations

from typing import Any

import pytest

from .conftest import PROGRAMS, Server, Watch
from .labpage import _KERNEL_READY, LAB, open_labs

SAVE = "() => window.jupyterapp.commands.execute('docmanager:save')"
END_KERNEL = "() => window.jupyterapp.shell.currentWidget.context.sessionContext.shutdown()"


@pytest.mark.parametrize("program", PROGRAMS)
def test_a_night_loses_nothing(page: Any, server: Server, watch: Watch, program: str) -> None:
    """A still picture and a sentence until the cell is run; then the lab is as it was left, its notes too."""
    lab = open_labs(page, server, program, ["device"])["device"]
    first = lab.root.locator(".ck-options button").first
    first.click()
    lab.press("width", "ArrowRight")
    line = lab.line
    lab.control("width").focus()
    page.keyboard.press("Shift+Enter")  # runs the cell again
    left = lab.root.locator(".ck-as-left")
    left.wait_for()
    assert lab.line == line, "the cell run again shows the lab as it was left"
    lab.button("note").click()
    noted = lab.root.locator(".ck-noted summary")
    page.wait_for_function("(node) => node.textContent.endsWith('(1)')", arg=noted.element_handle())
    assert not page.locator(".ck-still").is_visible(), "the living lab hides its still picture"
    page.evaluate(SAVE)
    page.evaluate(END_KERNEL)

    page.reload()
    page.wait_for_function(_KERNEL_READY)
    still = page.locator(".ck-still")
    still.wait_for()
    assert "press Shift+Enter" in still.locator(".ck-again").inner_text()
    assert still.locator("svg").first.is_visible()
    assert still.locator("td").count() > 1, "the noted reading stands in the still too"
    for foreign in ("Error displaying widget", "Loading widget"):
        page.get_by_text(foreign).wait_for(state="hidden")
    assert page.locator(LAB).count() == 0

    page.locator(".jp-CodeCell").first.locator(".cm-content").click()
    page.keyboard.press("Shift+Enter")
    lab.after(-1)
    assert not still.is_visible()
    assert noted.inner_text() == "Noted readings (1)"
    assert lab.line == line
    assert "Reset" in left.inner_text()
    lab.push("reset")
    assert lab.line != line
    assert not left.is_visible()
    assert first.get_attribute("aria-pressed") == "true", "the prediction is kept"
    lab.no_error()
    assert not watch.errors
