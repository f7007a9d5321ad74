"""How long a moved slider takes to become a painted picture, against a figure made anew.

Seconds are printed; only their ratio, from one run on one machine, is asserted.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.browser.conftest import PROGRAMS
from tests.browser.labpage import LAB, LabPage, open_lab

pytestmark = [pytest.mark.long, pytest.mark.browser]

MOVES = 40

# The same question answered the usual way: a figure drawn anew into an output below a number field.
ANEW = """
import ipywidgets, matplotlib.pyplot as plt
from IPython.display import display
from controlkit.draw import render_matplotlib
from controlkit.labs.straps import _Bench
from controlkit.labs import strap_lab
bench, start = _Bench(None), strap_lab().plan["start"]
ring = ipywidgets.BoundedIntText(value=60, min=10, max=200, step=5, description="ring", continuous_update=True)
def draw(ring):
    body, curves = bench.page({**start, "ring_below_c7": ring / 1000}, None, "metric").pictures
    figure, (left, right) = plt.subplots(1, 2, figsize=(11, 4.5))
    render_matplotlib(body, left)
    render_matplotlib(curves, right)
    plt.show()
display(ring, ipywidgets.interactive_output(draw, {"ring": ring}))
"""

# the lab keeps its keys to itself, so the clock starts just before the key is sent: a little too early
CLOCK_LAB = """() => {
  const lab = document.querySelector('.controlkit-lab');
  new MutationObserver(() => { window.ckPainted = performance.now(); })
    .observe(lab, { attributes: true, attributeFilter: ['data-revision'] });
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


def _strokes(forward: str, back: str) -> list[str]:
    """There and back, so that half of the settings are new and half were seen."""
    return [forward] * (MOVES // 2) + [back] * (MOVES // 2)


def _lab_times(lab: LabPage) -> np.ndarray:
    lab.type_value("ring_below_c7", "40")  # far enough from either end of the slider
    lab.page.evaluate(CLOCK_LAB)
    lab.control("ring_below_c7").focus()
    times = []
    for stroke in _strokes("ArrowRight", "ArrowLeft"):
        before, start = lab.revision, lab.page.evaluate("performance.now()")
        lab.page.keyboard.press(stroke)
        lab.after(before)
        times.append(lab.page.evaluate("window.ckPainted") - start)
    return np.array(times[: MOVES // 2])  # new settings only: nothing was remembered


def _figure_times(page: Any, server: Any, program: str) -> np.ndarray:
    from tests.browser.labpage import run_first_cell

    run_first_cell(page, server, program, f"anew-{program}.ipynb", ANEW)
    field = page.locator(".jp-CodeCell input[type=number]").first
    page.locator(".jp-CodeCell .jp-OutputArea img").first.wait_for()
    page.evaluate(CLOCK_FIGURE)
    field.focus()
    for number in range(MOVES // 4):
        page.keyboard.press("ArrowUp")
        page.wait_for_function("(n) => window.ckTimes.length > n", arg=number)
    return np.array(page.evaluate("window.ckTimes"))


@pytest.mark.parametrize("program", PROGRAMS)
def test_slider_to_picture(page: Any, server: Any, program: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Median and 95th percentile from key to paint; at least three times faster than a figure made anew."""
    lab = _lab_times(open_lab(page, server, program))
    anew = _figure_times(page, server, program)
    with capsys.disabled():
        for name, times in (("lab", lab), ("figure made anew", anew)):
            median, late = np.percentile(times, [50, 95])
            print(f"\n{program}, {name}, {len(times)} moves: median {median:.0f} ms, p95 {late:.0f} ms")
    assert np.median(anew) >= 3.0 * np.median(lab)
    assert page.locator(LAB).count() == 0  # the second notebook took the place of the first
