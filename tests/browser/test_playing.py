"""What invites play, lab by lab and in both programs: the motion, dragging, noting, predictions and challenges."""

from __future__ import annotations

from typing import Any

import pytest

from controlkit.labs.controls import Steps

from .conftest import PROGRAMS, Gallery
from .labpage import LAB, LABS, LabPage, run_first_cell


def test_motion_plays_and_ends_where_it_began(gallery: Gallery, lab: LabPage) -> None:
    """The motion runs by itself, smoothly, until it is stopped; the setting stays the learner's own throughout."""
    play = LABS[lab.name]().plan["play"]
    if not play:
        assert lab.button("play").count() == 0
        for steps in (control for control in LABS[lab.name]().controls if isinstance(control, Steps)):
            buttons = lab.root.get_by_role("group", name=steps.label).get_by_role("button").count()
            assert buttons == (1 if steps.chosen else len(steps.options)) + 2
        return
    lab.press(play, "ArrowRight")
    line, pictures, shown = lab.line, lab.pictures, lab.field(play).input_value()
    lab.button("play").focus()
    gallery.page.keyboard.press("Enter")
    assert lab.root.get_by_role("button", name="Stop the motion").count() == 1
    gallery.page.wait_for_function(PAINTED, arg=[LAB, lab.number, 15])  # a slow machine paints few a second
    assert lab.pictures != pictures
    assert lab.field(play).input_value() != shown, "the slider goes along"
    gallery.page.keyboard.press("Enter")
    assert lab.root.get_by_role("button", name="Play the motion").count() == 1
    assert (lab.line, lab.pictures, lab.field(play).input_value()) == (line, pictures, shown)
    gallery.page.wait_for_function(SPOKEN, arg=[LAB, lab.number])  # at rest it speaks again
    lab.no_error()


PAINTED = "([lab, number, many]) => Number(document.querySelectorAll(lab)[number].dataset.painted) > many"


def test_readings_belong_to_the_picture_while_the_motion_plays(galleries: Any) -> None:
    """At any moment the number is that of the angle beside the slider, and not of the page computed nearest to it."""
    gallery = galleries("jupyterlab")
    lab = gallery.labs["pattern"].begin()
    gallery.page.evaluate(WATCHED, [LAB, lab.number])
    lab.button("play").focus()
    gallery.page.keyboard.press("Enter")
    gallery.page.wait_for_function("() => window.ckPassed.length > 40")
    gallery.page.keyboard.press("Enter")
    passed = {float(angle): float(captured) for angle, captured in gallery.page.evaluate("window.ckPassed")}
    alone = LABS["pattern"]()
    off = [
        abs(captured - 1e3 * alone.page_at(f"arm_flexion = {angle} °").readings[0].value)
        for angle, captured in passed.items()
    ]
    assert len(off) > 10
    assert max(off) < 0.8, "half a degree is 0.3 mm; the nearest page may be 2.5 degrees away"
    lab.no_error()


# what angle and reading stood there together, each time that a moment of the motion was painted
WATCHED = """([lab, number]) => {
  const root = document.querySelectorAll(lab)[number];
  window.ckPassed = [];
  new MutationObserver(() => window.ckPassed.push([
    root.querySelector('[data-typed=arm_flexion]').value, root.querySelector('.ck-reading b span').textContent,
  ])).observe(root, { attributes: true, attributeFilter: ['data-painted'] });
}"""


def test_a_field_shows_all_of_what_was_typed(gallery: Gallery) -> None:
    """A value between two marks is not shown as one of them, and that mark can be typed after it."""
    lab = gallery.labs["lock"].begin()
    for typed, shown in (("-6.5", "-6.5"), ("-7", "-7"), ("-7,25", "-7.25")):
        lab.type_value("lock_strap", typed)
        assert lab.field("lock_strap").input_value() == shown
        assert f"lock_strap = {shown} mm" in lab.line


def test_whatever_is_dragged_moves_its_slider(gallery: Gallery, lab: LabPage) -> None:
    """Whatever can be taken hold of moves a slider, and the setting is the learner's once it is let go."""
    grips = lab.root.locator(".ck-grip:not([display])")
    for number in range(grips.count()):
        lab.begin()
        grip, mouse = grips.nth(number), gallery.page.mouse
        grip.scroll_into_view_if_needed()
        box, line = grip.bounding_box(), lab.line
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        mouse.move(x, y)
        mouse.down()
        for step in range(1, 9):
            mouse.move(x + step, y + step)
        mouse.up()
        gallery.page.wait_for_function(MOVED, arg=[LAB, lab.number, line])
        lab.no_error()
    assert not gallery.watch.errors


MOVED = "([lab, number, line]) => document.querySelectorAll(lab)[number].querySelector('.ck-line').value !== line"


def test_the_ring_lies_below_the_pointer_that_drags_it(gallery: Gallery) -> None:
    """Two sliders together bring it where the pointer is, to a pixel; there it stays when it is let go."""
    lab = gallery.labs["strap"].begin()
    ring, mouse = lab.root.locator("[data-grip=ring]"), gallery.page.mouse
    ring.scroll_into_view_if_needed()
    box, line = ring.bounding_box(), lab.line
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    mouse.move(x, y)
    mouse.down()
    mouse.move(x - 6, y + 14, steps=8)
    mouse.up()
    gallery.page.wait_for_function(MOVED, arg=[LAB, lab.number, line])
    gallery.page.wait_for_function(BELOW, arg=[LAB, lab.number, x - 6, y + 14])
    lab.no_error()


# the ring's handle lies at a place of the page, within a pixel and a half: the sliders move by a millimetre
BELOW = """([lab, number, x, y]) => {
  const ring = document.querySelectorAll(lab)[number].querySelector('[data-grip=ring]').getBoundingClientRect();
  return Math.hypot(ring.x + ring.width / 2 - x, ring.y + ring.height / 2 - y) <= 1.5;
}"""


def test_the_ground_of_a_picture_turns_the_wearer(gallery: Gallery) -> None:
    """Dragged aside, what lies nearest follows; buttons give the views that have a name, by key too."""
    lab = gallery.labs["strap"].begin()
    ground, mouse = lab.root.locator("[data-grip=wearer]"), gallery.page.mouse
    ground.scroll_into_view_if_needed()
    box, line = ground.bounding_box(), lab.line
    assert "view = side" in line
    x, y = box["x"] + 8, box["y"] + box["height"] - 8
    mouse.move(x, y)
    mouse.down()
    mouse.move(x + 40, y, steps=8)
    mouse.up()
    gallery.page.wait_for_function(MOVED, arg=[LAB, lab.number, line])
    turned = lab.line
    assert "view = side" not in turned
    gallery.page.wait_for_function(TURNED, arg=[LAB, lab.number, "°"])
    lab.button("view-front").focus()
    gallery.page.keyboard.press("Enter")
    gallery.page.wait_for_function(TURNED, arg=[LAB, lab.number, "front"])
    lab.no_error()


TURNED = """([lab, number, view]) =>
  /view = ([^;]*)/.exec(document.querySelectorAll(lab)[number].querySelector('.ck-line').value)[1].includes(view)"""


@pytest.mark.parametrize("program", PROGRAMS)
def test_a_prediction_is_judged_where_the_hand_lets_go(page: Any, server: Any, program: str) -> None:
    """Dragged beyond the ring's place and back, nothing is decided; let go beyond it, the answer stands there."""
    apart = server.folder / f"dragged-{program}"  # notes of its own: nothing is answered yet
    apart.mkdir()
    run_first_cell(
        page, server, program, f"{apart.name}/lab.ipynb", "from controlkit.labs import strap_lab\nstrap_lab()"
    )
    lab = LabPage(page, 0, "strap")
    lab.after(-1)
    for _ in LABS["strap"]().plan["predictions"]:
        page.wait_for_function(OPEN, arg=[LAB])
        lab.button("option-less").click()
    page.wait_for_function(VERDICT, arg=[LAB, "Now make the move"])
    track = lab.control("ring_below_c7").bounding_box()
    low, high = LABS["strap"]().controls[0].low, LABS["strap"]().controls[0].high
    y = track["y"] + track["height"] / 2

    def at(place: float) -> float:
        return float(track["x"] + 8 + (track["width"] - 16) * (place - low) / (high - low))

    for let_go, said in ((0.025, "Now make the move"), (0.150, "You said")):
        page.mouse.move(at(0.025), y)
        page.mouse.down()
        before = lab.revision
        page.mouse.move(at(0.150), y, steps=4)
        lab.after(before)
        page.wait_for_function(MOVED_TO, arg=[LAB, "ring_below_c7 = 1"])
        assert "Now make the move" in lab.root.locator(".ck-verdict").inner_text(), "a hand still drags"
        page.mouse.move(at(let_go), y, steps=4)
        page.mouse.up()
        page.wait_for_function(VERDICT, arg=[LAB, said])
        page.wait_for_function(MOVED_TO, arg=[LAB, "ring_below_c7 = 2" if let_go < 0.1 else "ring_below_c7 = 1"])
        assert said in lab.root.locator(".ck-verdict").inner_text()
    lab.no_error()


OPEN = "([lab]) => document.querySelector(lab).querySelector('.ck-options:not([hidden]) button') !== null"
VERDICT = "([lab, said]) => document.querySelector(lab).querySelector('.ck-verdict').textContent.includes(said)"
MOVED_TO = "([lab, line]) => document.querySelector(lab).querySelector('.ck-line').value.startsWith(line)"


def test_readings_are_noted_below_the_lab(lab: LabPage) -> None:
    """Noted by key, in a table that can be opened and from which a row can be taken."""
    rows = lab.root.locator(".ck-table tbody tr")
    had = rows.count()
    lab.button("note").focus()
    lab.page.keyboard.press("Enter")
    lab.page.wait_for_function(ROWS, arg=[LAB, lab.number, had + 1])
    assert lab.root.locator(".ck-noted summary").inner_text() == f"Noted readings ({had + 1})"
    lab.open("noted")
    readings = lab.root.locator(".ck-reading b").all_inner_texts()
    cells = rows.last.locator("td").all_inner_texts()
    assert readings
    assert all(" ".join(text.split()) in cells for text in readings)
    rows.last.locator("button").focus()
    lab.page.keyboard.press("Enter")
    lab.page.wait_for_function(ROWS, arg=[LAB, lab.number, had])


ROWS = """([lab, number, many]) =>
  document.querySelectorAll(lab)[number].querySelectorAll('.ck-table tbody tr').length === many"""


def test_tasks_are_walked_and_judged(lab: LabPage) -> None:
    """Predictions are chosen by key and keep the choice; challenges are judged at once; none is met at the start."""
    plan = LABS[lab.name]().plan
    tasks = len(plan["predictions"]) + len(plan["challenges"])
    assert tasks, "a lab asks something"
    while not lab.root.locator(".ck-goal b").inner_text().startswith(("Predict 1 ", "Challenge 1 ")):
        lab.button("next").click()
    shown = lab.root.locator(".ck-goal p")
    for task in plan["predictions"]:
        lab.page.wait_for_function(ASKED, arg=[LAB, lab.number, task["question"]])
        choice = lab.button(f"option-{task['options'][0][0]}")
        if choice.is_visible():
            choice.focus()
            lab.page.keyboard.press("Enter")
            lab.page.wait_for_function(CHOSEN, arg=[LAB, lab.number, task["key"]])
        if task["question"] in shown.inner_text():  # after the last one it stays
            said = lab.root.locator(".ck-verdict").inner_text()
            assert task["options"][0][1] in said
            assert "Now make the move" in said or "You said" in said
            lab.button("next").click()
    for task in plan["challenges"]:
        assert task["text"]["metric"] in lab.root.locator(".ck-goal p").inner_text()
        assert lab.root.locator(".ck-verdict").inner_text().startswith("Not yet: ")
        lab.button("next").click()


SPOKEN = """([lab, number]) => {
  const root = document.querySelectorAll(lab)[number];
  const said = root.querySelector('.ck-aloud').textContent;
  return said.length > 20 && root.querySelector('.ck-words').textContent.startsWith(said.slice(0, 60));
}"""


ASKED = """([lab, number, question]) =>
  document.querySelectorAll(lab)[number].querySelector('.ck-goal p').textContent.includes(question)"""
# a prediction is kept: another question stands there, or the choice is marked, or it is answered already
CHOSEN = """([lab, number, key]) => {
  const strip = document.querySelectorAll(lab)[number].querySelector('.ck-goal');
  const options = strip.querySelector('.ck-options');
  return options.dataset.of !== key || options.hidden || strip.querySelector('[aria-pressed=true]') !== null;
}"""


def test_a_motion_that_breaks_off_is_told_and_not_played_in_part(page: Any, server: Any) -> None:
    """Its first pages have come: played to the end of the slider they would stand still there, as if that were all."""
    run_first_cell(page, server, "jupyterlab", "breaks-off.ipynb", BREAKS_OFF)
    lab = LabPage(page, 0, "device")
    lab.after(-1)
    lab.button("play").click()
    page.wait_for_function(TOLD, arg=[LAB])
    assert lab.root.get_by_role("button", name="Play the motion").count() == 1
    assert lab.root.get_attribute("data-painted") is None
    lab.no_error()


BREAKS_OFF = """from controlkit.labs import device_lab
lab = device_lab()
page = lab._film._page
lab._film._page = lambda values, *rest: page(values, *rest) if values["pull"] < 60 else 1 / 0
lab"""
TOLD = "([lab]) => document.querySelector(lab).querySelector('.ck-trouble').textContent.includes('could not be shown')"
