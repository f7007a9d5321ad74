"""How long a moved slider takes to become a painted picture in each lab, and against a figure made anew.

Seconds are printed as a table; only the ratio, from one run on one machine, is asserted.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
import pytest

from controlkit.labs.controls import Slider
from tests.browser.conftest import PROGRAMS
from tests.browser.labpage import LAB, LABS, LabPage, open_labs, run_first_cell

pytestmark = [pytest.mark.long, pytest.mark.browser]

MOVES = 40
HELD = 2.0  # seconds for which a key is held
REPEATS = 24  # strokes in that time, about the rate at which a held key repeats

# the control that is moved, and where it starts: far enough from either end of the slider
MOVED: dict[str, tuple[str, str]] = {
    "sequence": ("width", "10"),
    "motion": ("arm_flexion", "-25"),
    "strap": ("ring_below_c7", "40"),
    "housing": ("elbow_flexion", "5"),
    "device": ("width", "5"),
    "chain": ("ring_below_c7", "40"),
}
SETTINGS = {"sequence": "step = reach-out, pull"}  # so that the width of the object is in the picture

# The same question answered the usual way: a figure drawn anew into an output below a number field.
ANEW = """
import ipywidgets, matplotlib.pyplot as plt
from IPython.display import display
from controlkit.draw import render_matplotlib
from controlkit.labs.straps import _HarnessMotions
from controlkit.labs import strap_lab
answers, start = _HarnessMotions(None), strap_lab().plan["start"]
ring = ipywidgets.BoundedIntText(value=60, min=10, max=200, step=5, description="ring", continuous_update=True)
def draw(ring):
    body, curves = answers.page({**start, "ring_below_c7": ring / 1000}, None, "metric").pictures
    figure, (left, right) = plt.subplots(1, 2, figsize=(11, 4.5))
    render_matplotlib(body, left)
    render_matplotlib(curves, right)
    plt.show()
display(ring, ipywidgets.interactive_output(draw, {"ring": ring}))
"""

# the lab keeps its keys to itself, so the clock starts just before the key is sent: a little too early
CLOCK_LAB = """([lab, number]) => {
  const root = document.querySelectorAll(lab)[number];
  window.ckPainted = [];
  new MutationObserver(() => window.ckPainted.push([performance.now(), root.querySelector('.ck-line').value]))
    .observe(root, { attributes: true, attributeFilter: ['data-revision'] });
  addEventListener('keyup', () => { window.ckReleased = performance.now(); }, true);
}"""

CLOCK_FIGURE = """() => {
  window.ckTimes = [];
  addEventListener('keydown', () => { window.ckPressed ??= performance.now(); }, true);
  const painted = () => requestAnimationFrame(() => setTimeout(() => {
    if (window.ckPressed === undefined) return;
    window.ckTimes.push(performance.now() - window.ckPressed);
    delete window.ckPressed;
  }));
  new MutationObserver((changes) => {
    for (const change of changes) for (const node of change.addedNodes) {
      const image = node.querySelector?.('img') ?? (node.tagName === 'IMG' ? node : null);
      if (!image) continue;
      if (image.complete) painted(); else image.addEventListener('load', painted, { once: true });
    }
  }).observe(document.querySelector('.jp-CodeCell .jp-Cell-outputWrapper'), { childList: true, subtree: true });
}"""


class Row(NamedTuple):
    """What was measured of one lab [ms]; a last position that was painted before the key's release is below zero."""

    new: np.ndarray
    seen: np.ndarray
    late: float
    passed_over: int


def _measured(lab: LabPage) -> Row:
    """Moves one by one, there (new settings) and back (seen before), then a key held."""
    key, start = MOVED[lab.name]
    page = lab.page
    if lab.name in SETTINGS:
        lab.type_value("line", SETTINGS[lab.name])
    lab.type_value(key, start)
    page.evaluate(CLOCK_LAB, [LAB, lab.number])
    lab.control(key).focus()
    slider = next(control for control in LABS[lab.name]().controls if control.key == key)
    assert isinstance(slider, Slider)
    scale = slider.scales()["metric"]
    room = int((scale["high"] - float(start)) / scale["step"] + 1e-9)
    there = min(MOVES // 2, room)
    times: list[list[float]] = []
    for stroke in ("ArrowRight", "ArrowLeft"):
        times.append([])
        for _ in range(there):
            before, pressed = lab.revision, page.evaluate("performance.now()")
            page.keyboard.press(stroke)
            lab.after(before)
            times[-1].append(page.evaluate("window.ckPainted.at(-1)[0]") - pressed)
    lab.push("reset")  # the held key then passes settings of another wearer, which are new again
    lab.press("amputated" if lab.name != "device" else "bands", "ArrowUp")
    if lab.name in SETTINGS:
        lab.type_value("line", SETTINGS[lab.name])
    lab.type_value(key, start)
    lab.control(key).focus()
    page.evaluate("window.ckPainted = []")
    strokes = min(REPEATS, room)  # a slider with few steps is held for less
    for _ in range(strokes):
        page.keyboard.down("ArrowRight")
        page.wait_for_timeout(1000 * HELD / REPEATS)  # this is the holding itself, not a wait for a picture
    page.keyboard.up("ArrowRight")
    shown = f"{key} = {float(start) + strokes * scale['step']:g} {scale['unit']}"
    page.wait_for_function("(last) => window.ckPainted.at(-1)?.[1].includes(last)", arg=shown)
    painted, released = page.evaluate("[window.ckPainted, window.ckReleased]")
    first = next(when for when, line in painted if shown in line)
    return Row(np.array(times[0]), np.array(times[1]), first - released, strokes - len(painted))


def _figure_times(page: Any, server: Any, program: str) -> np.ndarray:
    run_first_cell(page, server, program, f"anew-{program}.ipynb", ANEW)
    field = page.locator(".jp-CodeCell input[type=number]").first
    page.locator(".jp-CodeCell .jp-OutputArea img").first.wait_for()
    page.evaluate(CLOCK_FIGURE)
    field.focus()
    for number in range(MOVES // 4):
        page.keyboard.press("ArrowUp")
        page.wait_for_function("(n) => window.ckTimes.length > n", arg=number)
    return np.array(page.evaluate("window.ckTimes"))


def _table(program: str, rows: dict[str, Row], anew: np.ndarray) -> str:
    def two(times: np.ndarray) -> str:
        median, late = np.percentile(times, [50, 95])
        return f"{median:6.0f} {late:6.0f}"

    lines = [
        f"{program}: key to painted picture [ms]; a key held {HELD:g} s: last position after its release [ms]",
        f"{'lab':<18}{'moves':>6}  {'new median, p95':>16}  {'seen median, p95':>16}  {'held':>6}  {'passed over':>11}",
    ]
    for name, row in rows.items():
        lines.append(
            f"{name:<18}{len(row.new):>6}  {two(row.new):>16}  {two(row.seen):>16}  "
            f"{row.late:>6.0f}  {row.passed_over:>11}"
        )
    lines.append(f"{'figure made anew':<18}{len(anew):>6}  {two(anew):>16}")
    return "\n".join(lines)


@pytest.mark.parametrize("program", PROGRAMS)
def test_slider_to_picture(page: Any, server: Any, program: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A table by lab; the main lab is at least three times faster than a figure made anew."""
    rows = {name: _measured(lab) for name, lab in open_labs(page, server, program).items()}
    anew = _figure_times(page, server, program)
    with capsys.disabled():
        print(f"\n{_table(program, rows, anew)}")
    assert np.median(anew) >= 3.0 * np.median(rows["strap"].new)
    assert page.locator(LAB).count() == 0  # the second notebook took the place of the first
