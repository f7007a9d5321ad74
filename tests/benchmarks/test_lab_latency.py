"""How long a moved slider takes to become a painted picture in each lab, and against a figure made anew.

Told apart are a further step the same way, which the lab has computed while the hand rested; a step back, for
which it has not; a way gone before; and a drag, which leaves it no rest. Each lab has a notebook of its own, as
in the lessons. Milliseconds are printed, a row as soon as a lab is measured; only the ratio, from one run on one
machine, is asserted.
"""

from __future__ import annotations

from collections.abc import Callable
from time import process_time
from typing import Any, NamedTuple

import numpy as np
import pytest

from controlkit.labs.controls import Slider
from tests.browser.conftest import PROGRAMS
from tests.browser.labpage import CLOCK, LAB, LABS, LabPage, open_labs, run_first_cell

pytestmark = [pytest.mark.long, pytest.mark.browser]

MOVES = 20
REST = 0.15  # seconds from a picture to the next stroke: with its own time some five strokes a second
HELD = 2.0  # seconds for which a key is held
REPEATS = 24  # strokes in that time, about the rate at which a held key repeats

# the control that is moved, and where it starts: on one of its steps, far enough from either end of the slider
MOVED: dict[str, tuple[str, str]] = {
    "sequence": ("width", "10"),
    "motion": ("arm_flexion", "-25"),
    "strap": ("ring_below_c7", "40"),
    "housing": ("elbow_flexion", "5"),
    "device": ("width", "5"),
    "chain": ("ring_below_c7", "40"),
    "dual": ("loop_along", "30"),
    "lock": ("arm_abduction", "5"),
    "pattern": ("arm_flexion", "5"),
    "pair": ("arm_flexion", "5"),
    "bench": ("strength", "100"),
    "population": ("on_show", "1"),
}
SETTINGS = {
    "sequence": "step = reach-out, pull",  # so that the width of the object is in the picture
    "bench": "take = device@usual, hanger-90@usual, slack@usual",  # another number would empty the record
}
OTHERS = {  # what makes every setting new again
    "device": ("bands", "bands"),
    "pair": ("wearer", "other_bands"),
    "population": ("bands", "bands"),
}

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
    shown = answers.page({**start, "ring_below_c7": ring / 1000}, None, "metric").pictures
    pictures = [picture for picture in shown if picture is not None]
    figure, places = plt.subplots(1, 3, figsize=(15, 4.5))
    for picture, place in zip(pictures, places):
        render_matplotlib(picture, place)
    plt.show()
display(ring, ipywidgets.interactive_output(draw, {"ring": ring}))
"""

# the lab keeps its keys to itself, so what hears of them first is in the page before it
CLOCK_KEYS = "addEventListener('keydown', (event) => { window.ckPressed = event.timeStamp; }, true)"

CLOCK_FIGURE = """() => {
  window.ckTimes = [];
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


# the slider is moved on as soon as the picture is painted
DRAG = """async ([lab, number, key, count]) => {
  const root = document.querySelectorAll(lab)[number], range = root.querySelector(`[data-key=${key}]`), times = [];
  while (times.length < count) {
    const painted = new Promise((done) => {
      const watch = new MutationObserver(() => { watch.disconnect(); done(); });
      watch.observe(root, { attributes: true, attributeFilter: ['data-revision'] });
    });
    const moved = performance.now();
    range.stepUp();
    range.dispatchEvent(new Event('input', { bubbles: true }));
    await painted;
    times.push(performance.now() - moved);
  }
  return times;
}"""


class Row(NamedTuple):
    """What was measured of one lab [ms]; a last position that was painted before the key's release is below zero."""

    kernel: np.ndarray
    same_way: np.ndarray
    turned: np.ndarray
    old: np.ndarray
    drag: np.ndarray
    late: float
    passed_over: int


def _measured(lab: LabPage) -> Row:
    """Strokes one by one, there, to and fro, and back over old settings; then a drag, then a key held."""
    key, start = MOVED[lab.name]
    slider = next(control for control in LABS[lab.name]().controls if control.key == key)
    assert isinstance(slider, Slider)
    scale = slider.scales()["metric"]
    room = int((scale["high"] - float(start)) / scale["step"] + 1e-9)
    moves, page = min(MOVES, room), lab.page

    _begin(lab)
    page.evaluate(CLOCK, [LAB, lab.number])
    same_way = _strokes(lab, ["ArrowRight"] * moves)
    turned = _strokes(lab, ["ArrowLeft", "ArrowRight"] * (MOVES // 4))
    old = _strokes(lab, ["ArrowLeft"] * moves)

    _begin(lab, changed=1)
    drag = page.evaluate(DRAG, [LAB, lab.number, key, moves])

    _begin(lab, changed=2)
    page.evaluate("window.ckPainted = []")
    strokes = min(REPEATS, room)  # a slider with few steps is held for less
    for _ in range(strokes):
        page.keyboard.down("ArrowRight")
        page.wait_for_timeout(1000 * HELD / REPEATS)  # this is the holding itself, not a wait for a picture
    page.keyboard.up("ArrowRight")
    shown = f"{key} = {float(start) + strokes * scale['step']:g} {scale['unit']}".strip()  # a count has no unit
    page.wait_for_function("(last) => window.ckPainted.at(-1)?.[1].includes(last)", arg=shown)
    painted, released = page.evaluate("[window.ckPainted, window.ckReleased]")
    first = next(when for when, line in painted if shown in line)
    return Row(
        _kernel_times(lab.name, moves),
        same_way,
        turned,
        old,
        np.array(drag),
        late=first - released,
        passed_over=strokes - len(painted),
    )


def _begin(lab: LabPage, changed: int = 0) -> None:
    """Bring the lab to where its slider starts, for nobody seen before if something else is changed."""
    key, start = MOVED[lab.name]
    lab.push("reset")
    for other in OTHERS.get(lab.name, ("amputated", "wearer"))[:changed]:
        lab.press(other, "ArrowUp")
    if lab.name in SETTINGS:
        lab.type_value("line", SETTINGS[lab.name])
    lab.type_value(key, start)
    lab.control(key).focus()


def _strokes(lab: LabPage, strokes: list[str]) -> np.ndarray:
    """Press keys at a hand's pace [ms]."""
    page, times = lab.page, []
    for stroke in strokes:
        page.wait_for_timeout(1000 * REST)  # the hand, not a wait for a picture
        before = lab.revision
        page.keyboard.press(stroke)
        lab.after(before)
        times.append(page.evaluate("window.ckPainted.at(-1)[0] - window.ckPressed"))
    return np.array(times)


def _kernel_times(name: str, moves: int) -> np.ndarray:
    """Processor time for the same new settings, answered in this process [ms]."""
    key, start = MOVED[name]
    lab = LABS[name](setting=f"{SETTINGS.get(name, '')};{key} = {start}")
    scale = next(c for c in lab.controls if c.key == key).described()["scales"]["metric"]
    times = []
    for move in range(1, moves + 1):
        values = {**lab.shown["values"], key: (float(start) + move * scale["step"]) * scale["factor"]}
        begun = process_time()
        lab.asked = {"n": move, "values": values, "units": "metric", "pinned": None}
        times.append(1000.0 * (process_time() - begun))
        assert not lab.shown["problem"]
    return np.array(times)


def _figure_times(page: Any, server: Any, program: str) -> np.ndarray:
    run_first_cell(page, server, program, f"anew-{program}.ipynb", ANEW)
    field = page.locator(".jp-CodeCell input[type=number]").first
    page.locator(".jp-CodeCell .jp-OutputArea img").first.wait_for()
    page.evaluate(CLOCK_FIGURE)
    field.focus()
    for number in range(MOVES // 2):
        page.keyboard.press("ArrowUp")
        page.wait_for_function("(n) => window.ckTimes.length > n", arg=number)
    return np.array(page.evaluate("window.ckTimes"))


def _two(times: np.ndarray) -> str:
    median, late = np.percentile(times, [50, 95])
    return f"{median:6.0f} {late:6.0f}"


def _head(program: str) -> str:
    columns = ("kernel", "same way", "turned", "old", "drag")
    return (
        f"{program}: stroke to painted picture [ms], median and 95th percentile\n"
        f"kernel: processor time for a new setting; held {HELD:g} s: last position after the key's release\n"
        f"{'lab':<18}{'moves':>6}" + "".join(f"{name:>15}" for name in columns) + f"{'held':>8}{'passed over':>13}"
    )


def _line(name: str, row: Row) -> str:
    cells = "".join(f"{_two(times):>15}" for times in row[:5])
    return f"{name:<18}{len(row.same_way):>6}{cells}{row.late:>8.0f}{row.passed_over:>13}"


@pytest.fixture
def tell(capsys: pytest.CaptureFixture[str]) -> Callable[[str], None]:
    """Print at once, whatever pytest keeps back."""

    def at_once(text: str) -> None:
        with capsys.disabled():
            print(text, flush=True)

    return at_once


@pytest.mark.parametrize("program", PROGRAMS)
def test_slider_to_picture(page: Any, server: Any, program: str, tell: Callable[[str], None]) -> None:
    """A table by lab; the main lab is at least three times faster than a figure made anew."""
    page.add_init_script(CLOCK_KEYS)
    tell(f"\n{_head(program)}")
    rows = {}
    for name in LABS:
        rows[name] = _measured(open_labs(page, server, program, [name])[name])
        tell(_line(name, rows[name]))
    anew = _figure_times(page, server, program)
    tell(f"{'figure made anew':<18}{len(anew):>6}{'':>15}{_two(anew):>15}")
    ratios = [np.median(anew) / np.median(times) for times in (rows["strap"].same_way, rows["strap"].drag)]
    tell("against the strap lab: {:.1f} the same way, {:.1f} dragged".format(*ratios))
    assert ratios[0] >= 3.0
    assert page.locator(LAB).count() == 0  # the second notebook took the place of the first
