"""Labs 1, 2 and 6 in JupyterLab and in Notebook 7: every control with real keys, steps by buttons, scan."""

from __future__ import annotations

from typing import Any

import pytest

from controlkit.labs import chain_lab, motion_lab, sequence_lab
from controlkit.labs.controls import Choice, Control, Slider, Steps

from .conftest import PROGRAMS
from .labpage import LAB, LabPage, open_lab

LABS = {"sequence": sequence_lab, "motion": motion_lab, "chain": chain_lab}
PLAYED = {"motion": "arm_flexion", "chain": "scapular_abduction"}


def _open(page: Any, server: Any, program: str, which: str, setting: str = "") -> LabPage:
    cell = f"from controlkit.labs import {which}_lab\nlab = {which}_lab(setting={setting!r})\nlab"
    return open_lab(page, server, program, cell)


def _no_error_output(page: Any) -> None:
    assert page.locator(".jp-OutputArea-output[data-mime-type='application/vnd.jupyter.stderr']").count() == 0
    assert page.locator(".jp-RenderedText[data-mime-type*='error']").count() == 0


def _push(page: Any, lab: LabPage, name: str) -> None:
    """Press a button of the lab from the keyboard."""
    before = lab.revision
    lab.button(name).focus()
    page.keyboard.press("Enter")
    lab.after(before)


def _keys(control: Control) -> tuple[str, str]:
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
    for control in LABS[which]()._controls:
        words, line, revision = lab.words, lab.line, lab.revision
        if isinstance(control, Steps):
            _push(page, lab, "reach-out")
            assert lab.line.startswith("step = reach-out; ")
            assert lab.words != words
            _push(page, lab, "back")
        else:
            away, back = _keys(control)
            assert lab.press(control.key, away) > revision
            assert lab.words != words, control.key
            assert lab.line != line, control.key
            lab.press(control.key, back)
            assert page.evaluate("document.activeElement.dataset.key") == control.key
        assert lab.line == line, control.key
        assert lab.words == words, f"{control.key}: the same setting must give the same words"
    lab.press("units", "ArrowDown")
    assert " mm" not in lab.words
    assert page.locator(".jp-CodeCell").count() == cells, "a key reached the notebook"
    _no_error_output(page)
    assert not watch.errors


@pytest.mark.parametrize("program", PROGRAMS)
def test_steps_are_taken_by_buttons(page: Any, server: Any, program: str) -> None:
    """A whole errand by keyboard, with one wrong step that is told, taken back, and made good."""
    lab = _open(page, server, program, "sequence")
    for name in ("reach-out", "surround"):
        _push(page, lab, name)
    assert "they push it over" in lab.words
    assert "object out of reach" in lab.words
    _push(page, lab, "back")
    assert "object on the table" in lab.words
    for name in ("pull", "surround", "let-go", "bring-to-the-mouth", "lower-to-the-table"):
        _push(page, lab, name)
        assert ": right." in lab.words, name
    line = lab.line
    for name in ("pull", "clear", "let-go", "return"):
        _push(page, lab, name)
    assert "The errand is done and all is back where it was, without a wrong step." in lab.words
    before = lab.revision
    lab.field("line").fill(line)
    page.keyboard.press("Enter")
    lab.after(before)
    assert "Step 6, lower to the table" in lab.words
    _push(page, lab, "none")
    assert "No step has been taken." in lab.words
    assert lab.button("play").count() == 0, "nothing plays here"
    _no_error_output(page)


@pytest.mark.parametrize("which", PLAYED)
@pytest.mark.parametrize("program", PROGRAMS)
def test_typed_pinned_played_and_reset(page: Any, server: Any, program: str, which: str) -> None:
    """Values can be typed, a setting pinned and compared, the motion played and stopped, all taken back."""
    lab = _open(page, server, program, which)
    start = lab.line
    _push(page, lab, "pin")
    lab.type_value("scapular_abduction", "12,5")
    assert "scapular_abduction = 12.5 °" in lab.line
    assert "Against the pinned setting" in lab.words
    words = lab.words
    lab.type_value("scapular_abduction", "80")
    assert "80° was given" in lab.problem("scapular_abduction")
    assert lab.words == words, "the last good picture stays"
    lab.press("scapular_abduction", "ArrowRight")
    before = lab.revision
    lab.button("play").focus()
    page.keyboard.press("Enter")
    lab.after(lab.after(before))
    page.keyboard.press("Enter")
    assert lab.button("play").inner_text() == "Play the motion"
    _push(page, lab, "reset")
    page.wait_for_function("(line) => document.querySelector('.ck-line').value === line", arg=start)
    _no_error_output(page)


@pytest.mark.parametrize("which", LABS)
@pytest.mark.parametrize("program", PROGRAMS)
def test_no_violation_of_ours(page: Any, server: Any, program: str, which: str) -> None:
    """The lab passes the accessibility scan; pictures have title and words."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    lab = _open(page, server, program, which)
    ours = axe.run(page, context={"include": [[LAB]]})
    assert ours.response["passes"], "the scan looked at something"
    assert not ours.response["violations"], ours.generate_report()
    pictures = page.locator(f"{LAB} svg[role=img]")
    assert pictures.count() == 2
    for number in range(2):
        assert len(pictures.nth(number).locator("desc").text_content()) > 30
    assert lab.words
