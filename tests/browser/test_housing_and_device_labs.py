"""Labs 4 and 5 in JupyterLab and in Notebook 7: every control with real keys, typed values, pin, reset, scan."""

from __future__ import annotations

from typing import Any

import pytest

from controlkit.labs.controls import Choice, Control, Slider
from controlkit.labs.device import device_lab
from controlkit.labs.housing import housing_lab

from .conftest import PROGRAMS
from .labpage import LAB, LabPage, open_lab

LABS = {"housing": housing_lab, "device": device_lab}


def _open(page: Any, server: Any, program: str, which: str) -> LabPage:
    cell = f"from controlkit.labs.{which} import {which}_lab\nlab = {which}_lab()\nlab"
    return open_lab(page, server, program, cell)


def _no_error_output(page: Any) -> None:
    assert page.locator(".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.stderr']").count() == 0
    assert page.locator(".jp-RenderedText[data-mime-type*='error']").count() == 0


def _there_and_back(control: Control) -> tuple[str, str]:
    """Keys that move a control from where it starts, and back."""
    if isinstance(control, Slider):
        return ("ArrowRight", "ArrowLeft")
    if isinstance(control, Choice):
        last = control.options[-1][0] == control.start
        return ("ArrowUp", "ArrowDown") if last else ("ArrowDown", "ArrowUp")
    return ("Space", "Space")


@pytest.mark.parametrize("which", LABS)
@pytest.mark.parametrize("program", PROGRAMS)
def test_every_control_answers_to_keys(page: Any, server: Any, watch: Any, program: str, which: str) -> None:
    """Each control moves by keyboard alone; revision, words and setting follow, and go back."""
    lab = _open(page, server, program, which)
    cells = page.locator(".jp-CodeCell").count()
    if which == "device":
        lab.type_value("pull", "10")  # something to let go of
    for control in LABS[which]()._controls:
        words, line, revision = lab.words, lab.line, lab.revision
        away, back = _there_and_back(control)
        assert lab.press(control.key, away) > revision
        assert lab.words != words, control.key
        assert lab.line != line, control.key
        lab.press(control.key, back)
        # a slider that starts between two steps comes back to the step
        if "spare" not in control.key:
            assert lab.line == line, control.key
            assert lab.words == words, f"{control.key}: the same setting must give the same words"
        assert page.evaluate("document.activeElement.dataset.key") == control.key
    lab.press("units", "ArrowDown")
    assert " lbf" in lab.words
    assert " mm" not in lab.words
    assert page.locator(".jp-CodeCell").count() == cells, "a key reached the notebook"
    _no_error_output(page)
    assert not watch.errors


@pytest.mark.parametrize("which", LABS)
@pytest.mark.parametrize("program", PROGRAMS)
def test_typed_pinned_reset_and_one_line(page: Any, server: Any, program: str, which: str) -> None:
    """Values can be typed, also with a comma; a setting is pinned, brought back by its line, and reset."""
    lab = _open(page, server, program, which)
    start = lab.line
    before = lab.revision
    lab.button("pin").focus()
    page.keyboard.press("Enter")
    lab.after(before)
    good, bad, sentence = {
        "housing": (("friction", "0,125", "friction = 0.125"), ("pull", "12 kg"), "mass"),
        "device": (("bands", "5", "bands = 5"), ("bands", "2.5"), "whole number"),
    }[which]
    lab.type_value(*good[:2])
    assert good[2] in lab.line
    assert "Against the pinned setting" in lab.words
    lab.type_value("pull", "5 lbf")
    assert "pull = 22.2411 N" in lab.line
    words, line = lab.words, lab.line
    lab.type_value(*bad)
    assert sentence in lab.problem(bad[0])
    assert lab.words == words, "the last good picture stays"
    before = lab.revision
    lab.button("reset").focus()
    page.keyboard.press("Space")
    lab.after(before)
    assert lab.line == start
    before = lab.revision
    lab.field("line").fill(line)
    page.keyboard.press("Enter")
    lab.after(before)
    assert lab.line == line
    assert lab.words == words
    _no_error_output(page)


@pytest.mark.parametrize("which", LABS)
@pytest.mark.parametrize("program", PROGRAMS)
def test_motion_plays(page: Any, server: Any, program: str, which: str) -> None:
    """The elbow bends, or the cable pulls, by itself until it is stopped."""
    lab = _open(page, server, program, which)
    before = lab.revision
    lab.button("play").focus()
    page.keyboard.press("Enter")
    lab.after(lab.after(lab.after(before)))
    page.keyboard.press("Enter")
    assert lab.button("play").inner_text() == "Play the motion"
    _no_error_output(page)


@pytest.mark.parametrize("which", LABS)
@pytest.mark.parametrize("program", PROGRAMS)
def test_no_violation_of_ours(page: Any, server: Any, program: str, which: str) -> None:
    """The scan of the lab finds nothing, a sentence beside a control included."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    lab = _open(page, server, program, which)
    lab.type_value("pull", "hard")
    ours = axe.run(page, context={"include": [[LAB]]})
    assert ours.response["passes"], "the scan looked at something"
    assert not ours.response["violations"], ours.generate_report()
