"""What invites play, lab by lab and in both programs: the motion, dragging, noting, predictions and challenges."""

from __future__ import annotations

from .conftest import Gallery
from .labpage import LAB, LABS, LabPage


def test_motion_plays_and_ends_where_it_began(gallery: Gallery, lab: LabPage) -> None:
    """The motion runs by itself, smoothly, until it is stopped; the setting stays the learner's own throughout."""
    play = LABS[lab.name]().plan["play"]
    if not play:
        assert lab.button("play").count() == 0
        assert lab.root.get_by_role("group", name="Take a step").get_by_role("button").count() > 5
        return
    lab.press(play, "ArrowRight")
    line, pictures, shown = lab.line, lab.pictures, lab.field(play).input_value()
    lab.button("play").focus()
    gallery.page.keyboard.press("Enter")
    assert lab.root.get_by_role("button", name="Stop the motion").count() == 1
    gallery.page.wait_for_function(PAINTED, arg=[LAB, lab.number, 30])
    assert lab.pictures != pictures
    assert lab.field(play).input_value() != shown, "the slider goes along"
    gallery.page.keyboard.press("Enter")
    assert lab.root.get_by_role("button", name="Play the motion").count() == 1
    assert (lab.line, lab.pictures, lab.field(play).input_value()) == (line, pictures, shown)
    gallery.page.wait_for_function(SPOKEN, arg=[LAB, lab.number])  # at rest it speaks again
    lab.no_error()


PAINTED = "([lab, number, many]) => Number(document.querySelectorAll(lab)[number].dataset.painted) > many"


def test_a_handle_is_dragged_below_the_pointer(gallery: Gallery, lab: LabPage) -> None:
    """What is dragged ends where the pointer lets it go, as far as its sliders' steps allow; the sliders say so."""
    grips = lab.root.locator(".ck-grip:not([display])")
    for number in range(grips.count()):
        lab.begin()
        grip, mouse = grips.nth(number), gallery.page.mouse
        grip.scroll_into_view_if_needed()
        box, line = grip.bounding_box(), lab.line
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        revision = lab.revision
        mouse.move(x, y)
        mouse.down()
        for step in range(1, 9):
            mouse.move(x + step, y + step)
        lab.after(revision)
        gallery.page.wait_for_function(STILL, arg=[LAB, lab.number])
        mouse.up()
        assert lab.line != line, grip.get_attribute("data-grip")
        lab.no_error()
    assert not gallery.watch.errors


# nothing is asked any more: the setting in the last answer is the one on the sliders
STILL = """async ([lab, number]) => {
  const root = document.querySelectorAll(lab)[number], before = root.dataset.revision;
  await new Promise((done) => setTimeout(done, 300));
  return root.dataset.revision === before;
}"""


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
    for task in plan["predictions"]:
        assert task["question"] in lab.root.locator(".ck-goal p").inner_text()
        choice = lab.button(f"option-{task['options'][0][0]}")
        if choice.is_visible():
            choice.focus()
            lab.page.keyboard.press("Enter")
            lab.page.wait_for_function(
                "(node) => node.getAttribute('aria-pressed') === 'true'", arg=choice.element_handle()
            )
            assert "Now make the move" in lab.root.locator(".ck-verdict").inner_text()
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
