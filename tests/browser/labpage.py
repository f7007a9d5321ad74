"""A lab in a real notebook page: open it, press keys, wait for its next picture."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .conftest import TOKEN

LAB = ".controlkit-lab"
CELL = "from controlkit.labs import strap_lab\nlab = strap_lab()\nlab"


def write_notebook(path: Path, *cells: str) -> None:
    """Store a notebook with kernel metadata and the given code cells."""
    path.write_text(
        json.dumps(
            {
                "cells": [
                    {"cell_type": "code", "id": f"cell-{i}", "metadata": {}, "outputs": [],
                     "execution_count": None, "source": source}
                    for i, source in enumerate(cells)
                ],
                "metadata": {
                    "kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"},
                    "language_info": {"name": "python"},
                },
                "nbformat": 4,
                "nbformat_minor": 5,
            }
        )
    )  # fmt: skip


@dataclass
class LabPage:
    """The first lab of an open page."""

    page: Any

    @property
    def revision(self) -> int:
        """Number of the picture on the screen."""
        return int(self.page.locator(LAB).first.get_attribute("data-revision") or -1)

    def after(self, revision: int) -> int:
        """Wait until a later picture is painted; return its number."""
        self.page.wait_for_function(
            "([lab, old]) => Number(document.querySelector(lab)?.dataset.revision || -1) > old", arg=[LAB, revision]
        )
        return self.revision

    def control(self, key: str) -> Any:
        """The native control of one key."""
        return self.page.locator(f"{LAB} [data-key={key}]").first

    def field(self, key: str) -> Any:
        """The field beside a slider."""
        return self.page.locator(f"{LAB} [data-typed={key}]").first

    def button(self, name: str) -> Any:
        """A button of the lab."""
        return self.page.locator(f"{LAB} [data-do={name}]").first

    def problem(self, key: str) -> str:
        """The sentence beside a control."""
        row = self.page.locator(f"{LAB} .ck-row:has([data-typed={key}]) .ck-problem").first
        return row.inner_text() if row.is_visible() else ""

    @property
    def words(self) -> str:
        """The sentences below the pictures."""
        return self.page.locator(f"{LAB} .ck-words").first.inner_text()

    @property
    def line(self) -> str:
        """The setting in one line."""
        return self.field("line").input_value()

    def press(self, key: str, stroke: str) -> int:
        """Focus a control, press a key, wait for the picture."""
        before = self.revision
        self.control(key).focus()
        self.page.keyboard.press(stroke)
        return self.after(before)

    def type_value(self, key: str, text: str) -> int:
        """Type into the field beside a slider, press Enter, wait for the answer."""
        before = self.revision
        self.field(key).fill(text)
        self.page.keyboard.press("Enter")
        return self.after(before)


def run_first_cell(page: Any, server: Any, program: str, name: str, *cells: str) -> None:
    """Store a notebook, open it in a program, wait for its kernel, run its first cell with the keyboard."""
    write_notebook(server.folder / name, *cells)
    route = "doc/tree" if program == "jupyterlab" else "notebooks"
    page.goto(f"{server.address}/{route}/{name}?token={TOKEN}")
    page.locator(".jp-CodeCell").first.locator(".cm-content").click()
    page.wait_for_function(_KERNEL_READY)
    page.keyboard.press("Shift+Enter")


def open_lab(page: Any, server: Any, program: str, cell: str = CELL) -> LabPage:
    """Open a lab, the strap lab unless told otherwise, in a fresh notebook and wait for its first picture."""
    taken = len(list(server.folder.glob("lab-*.ipynb")))
    run_first_cell(page, server, program, f"lab-{taken}.ipynb", cell)
    lab = LabPage(page)
    lab.after(-1)
    return lab


# the program itself says that this page has its kernel and that the kernel waits for work
_KERNEL_READY = """() => {
  const context = window.jupyterapp?.shell.currentWidget?.context?.sessionContext;
  return Boolean(context?.isReady && context.session?.kernel?.status === 'idle');
}"""
