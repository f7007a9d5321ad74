"""A lab in a real notebook page: open it, press keys, wait for its next picture."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from controlkit.labs import (
    bench_lab,
    chain_lab,
    device_lab,
    dual_lab,
    housing_lab,
    lock_lab,
    motion_lab,
    pair_lab,
    pattern_lab,
    population_lab,
    sequence_lab,
    strap_lab,
)
from controlkit.labs.frame import Lab
from controlkit.labs.noted import FILE

LAB = ".controlkit-lab"
LABS: dict[str, Callable[..., Lab]] = {
    "sequence": sequence_lab,
    "motion": motion_lab,
    "strap": strap_lab,
    "housing": housing_lab,
    "device": device_lab,
    "chain": chain_lab,
    "dual": dual_lab,
    "lock": lock_lab,
    "pattern": pattern_lab,
    "pair": pair_lab,
    "bench": bench_lab,
    "population": population_lab,
}
"""The labs by the name of their function, in the order of the lessons."""


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
    """One lab of an open page, counted from the top."""

    page: Any
    number: int = 0
    name: str = ""

    @property
    def root(self) -> Any:
        """The lab itself."""
        return self.page.locator(LAB).nth(self.number)

    @property
    def cell(self) -> Any:
        """The cell that it stands below."""
        return self.page.locator(f".jp-CodeCell:has({LAB})").nth(self.number)

    @property
    def revision(self) -> int:
        """Number of the picture on the screen."""
        return int(self.root.get_attribute("data-revision") or -1)

    def after(self, revision: int) -> int:
        """Wait until a later picture is painted, and nothing more is computed for it; return its number."""
        try:
            self.page.wait_for_function(_LATER, arg=[LAB, self.number, revision])
        except Exception as error:
            stands = self.page.evaluate(_STANDS, [LAB, self.number])
            raise AssertionError(f"no picture after number {revision}: {stands}") from error
        return self.revision

    def control(self, key: str) -> Any:
        """The native control of one key."""
        return self.root.locator(f"[data-key={key}]")

    def field(self, key: str) -> Any:
        """The field beside a slider."""
        return self.root.locator(f"[data-typed={key}]")

    def button(self, name: str) -> Any:
        """A button of the lab."""
        return self.root.locator(f"[data-do={name}]")

    def problem(self, key: str) -> str:
        """The sentence beside a control."""
        row = self.root.locator(f":is(.ck-row, .ck-setting):has([data-typed={key}]) .ck-problem")
        return "" if row.get_attribute("hidden") is not None else str(row.text_content())

    def open(self, fold: str) -> None:
        """Open what is folded: told, noted or lines."""
        self.root.locator(f".ck-{fold}").evaluate("(node) => { node.open = true; }")

    @property
    def words(self) -> str:
        """The sentences below the pictures."""
        return str(self.root.locator(".ck-words").text_content())

    @property
    def pictures(self) -> str:
        """The pictures as they stand in the page."""
        return "".join(self.root.locator(".ck-art").evaluate_all("(all) => all.map((art) => art.innerHTML)"))

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

    def push(self, name: str, stroke: str = "Enter") -> int:
        """Press a button of the lab from the keyboard, wait for the picture."""
        before = self.revision
        self.button(name).focus()
        self.page.keyboard.press(stroke)
        return self.after(before)

    def type_value(self, key: str, text: str) -> int:
        """Type into a field, press Enter, wait for the answer."""
        if key == "line":
            self.open("lines")
        before = self.revision
        self.field(key).fill(text)
        self.page.keyboard.press("Enter")
        return self.after(before)

    def begin(self) -> LabPage:
        """Bring the lab back to where it starts: folded, nothing pinned, metric, every control at its start."""
        self.root.locator("details").evaluate_all("(folds) => folds.forEach((fold) => { fold.open = false; })")
        if self.button("play").count() and "Stop" in self.button("play").inner_text():
            self.button("play").click()
        if self.control("units").input_value() != "metric":
            self.press("units", "ArrowUp")
        self.push("reset")
        return self

    def no_error(self) -> None:
        """No error output and nothing on stderr below any cell of the page."""
        for kind in ("[data-mime-type='application/vnd.jupyter.stderr']", "[data-mime-type*='error']"):
            assert self.page.locator(f".jp-OutputArea-output{kind}, .jp-RenderedText{kind}").count() == 0


def run_first_cell(page: Any, server: Any, program: str, name: str, *cells: str) -> None:
    """Store a notebook, open it in a program, wait for its kernel, run its first cell with the keyboard.

    Nothing is left in the folder from labs of the notebooks before it.
    """
    (server.folder / FILE).unlink(missing_ok=True)
    write_notebook(server.folder / name, *cells)
    route = "doc/tree" if program == "jupyterlab" else "notebooks"
    page.goto(f"{server.address}/{route}/{name}?token={server.token}")
    page.locator(".jp-CodeCell").first.locator(".cm-content").click()
    page.wait_for_function(_KERNEL_READY)
    page.keyboard.press("Shift+Enter")


def open_labs(page: Any, server: Any, program: str, names: Iterable[str] = tuple(LABS)) -> dict[str, LabPage]:
    """Open labs below each other in one fresh notebook and wait for the first picture of each."""
    names = list(names)
    taken = len(list(server.folder.glob("labs-*.ipynb")))
    cells = [f"from controlkit.labs import {name}_lab\n{name}_lab()" for name in names]
    run_first_cell(page, server, program, f"labs-{taken}.ipynb", *cells)
    opened = {name: LabPage(page, number, name) for number, name in enumerate(names)}
    for number, lab in enumerate(opened.values()):
        if number:
            page.keyboard.press("Shift+Enter")
        lab.after(-1)
    return opened


CLOCK = """([lab, number]) => {
  const root = document.querySelectorAll(lab)[number];
  window.ckPainted = [];
  new MutationObserver(() => window.ckPainted.push([performance.now(), root.querySelector('.ck-line').value]))
    .observe(root, { attributes: true, attributeFilter: ['data-revision'] });
  addEventListener('keyup', () => { window.ckReleased = performance.now(); }, true);
}"""
"""When each picture is painted, and with which setting; and when a key is let go."""

_LATER = """([lab, number, old]) => {
  const data = document.querySelectorAll(lab)[number]?.dataset;
  return Number(data?.revision || -1) > old && data.more === 'no';
}"""
# what is asked and shown, where the keyboard is, and what the program knows of its kernel
_STANDS = """([lab, number]) => {
  const session = window.jupyterapp?.shell.currentWidget?.context?.sessionContext.session;
  const { asked, revision, more } = document.querySelectorAll(lab)[number]?.dataset ?? {};
  const at = document.activeElement?.outerHTML.slice(0, 100);
  return { asked, revision, more, at, kernel: session?.kernel?.status, socket: session?.kernel?.connectionStatus };
}"""
# the program itself says that this page has its kernel and that the kernel waits for work
_KERNEL_READY = """() => {
  const context = window.jupyterapp?.shell.currentWidget?.context?.sessionContext;
  return Boolean(context?.isReady && context.session?.kernel?.status === 'idle');
}"""
