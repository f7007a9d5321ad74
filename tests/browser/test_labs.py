"""Every lab in JupyterLab and in Notebook 7, with real keys: each bar of a lab, lab by lab."""

from __future__ import annotations

from typing import Any

import pytest

from controlkit.labs.controls import Control, Menu, Slider, Steps, Tick

from .conftest import PROGRAMS, Gallery
from .labpage import CLOCK, LAB, LABS, LabPage, open_labs

# a value with a comma, one in the other system's unit, and one that is refused: key, text, what is found
TYPED: dict[str, tuple[tuple[str, str, str], ...]] = {
    "sequence": (
        ("width", "42,5", "width = 42.5 mm"),
        ("width", "1 in", "width = 25.4 mm"),
        ("width", "12 kg", "mass"),
    ),
    "motion": (
        ("scapular_abduction", "12,5", "scapular_abduction = 12.5 °"),
        ("strength", "50 lbf", "strength = 222.4111 N"),
        ("scapular_abduction", "80", "80° was given"),
    ),
    "strap": (
        ("ring_below_c7", "82,5", "ring_below_c7 = 82.5 mm"),
        ("ring_below_c7", "3 in", "ring_below_c7 = 76.2 mm"),
        ("ring_below_c7", "900", "900 mm was given"),
    ),
    "housing": (
        ("friction", "0,125", "friction = 0.125"),
        ("pull", "5 lbf", "pull = 22.2411 N"),
        ("pull", "many", "no number"),
    ),
    "device": (
        ("width", "42,5", "width = 42.5 mm"),
        ("pull", "5 lbf", "pull = 22.2411 N"),
        ("bands", "2.5", "whole number"),
    ),
    "chain": (
        ("scapular_abduction", "12,5", "scapular_abduction = 12.5 °"),
        ("ring_below_c7", "3 in", "ring_below_c7 = 76.2 mm"),
        ("scapular_abduction", "80", "80° was given"),
    ),
    "dual": (
        ("loop_along", "42,5", "loop_along = 42.5 mm"),
        ("end_ahead", "1 in", "end_ahead = 25.4 mm"),
        ("loop_along", "900", "900 mm was given"),
    ),
    "lock": (
        ("arm_abduction", "22,5", "arm_abduction = 22.5 °"),
        ("support_strap", "0.5 in", "support_strap = 12.7 mm"),
        ("arm_abduction", "80", "80° was given"),
    ),
    "pattern": (
        ("arm_flexion", "22,5", "arm_flexion = 22.5 °"),
        ("load", "5 lbf", "load = 22.2411 N"),
        ("lowered", "900", "900 mm was given"),
    ),
    "pair": (
        ("arm_flexion", "22,5", "arm_flexion = 22.5 °"),
        ("junction", "3 in", "junction = 76.2 mm"),
        ("other_bands", "2.5", "whole number"),
    ),
    "bench": (
        ("strength", "112,5", "strength = 112.5 N"),
        ("strength", "50 lbf", "strength = 222.4111 N"),
        ("strength", "20", "20 N was given"),
    ),
    "population": (
        ("width", "22,5", "width = 22.5 mm"),
        ("ring_below_c7", "3 in", "ring_below_c7 = 76.2 mm"),
        ("tried", "4.5", "whole number"),
    ),
}


def _away_and_back(control: Control) -> tuple[str, str]:
    """Keys that move a control from where it starts, and back."""
    if isinstance(control, Slider):
        return ("ArrowRight", "ArrowLeft")
    if isinstance(control, Menu):
        last = control.options[-1][0] == control.start
        return ("ArrowUp", "ArrowDown") if last else ("ArrowDown", "ArrowUp")
    return ("Space", "Space")


_FIRST = {
    "device": (("pull", "10"),),
    "motion": (("scapular_abduction", "20"),),
    "strap": (("scapular_abduction", "20"),),
    "chain": (("scapular_abduction", "20"),),
    "pair": (("scapular_abduction", "15"),),
}
"""What a lab is set to before its controls are tried one by one: without it some of them have nothing to change."""
_SHOWS = {
    ("lock", "step"): ("show", "ArrowDown"),
    ("pair", "way"): ("show", "ArrowDown"),
    ("bench", "number"): ("task", "ArrowDown"),
    ("bench", "wearer"): ("task", "ArrowUp"),
}
"""What is pressed before a control is tried: from there on the lab shows its second part."""


def test_every_control_answers_to_keys(gallery: Gallery, lab: LabPage) -> None:
    """Each control moves by keyboard alone; revision, words and setting follow, and go back."""
    cells = gallery.page.locator(".jp-CodeCell").count()
    for key, value in _FIRST.get(lab.name, ()):
        lab.type_value(key, value)  # something to let go of, or a scapula that moves
    for control in LABS[lab.name]().controls:
        if (lab.name, control.key) in _SHOWS:
            lab.press(*_SHOWS[lab.name, control.key])
        assert lab.control(control.key).is_visible(), control.key
        words, line, revision = lab.words, lab.line, lab.revision
        if isinstance(control, Steps):
            step = "reach-out" if lab.name == "sequence" else control.options[0][0]
            lab.push("take" if control.chosen else step)
            assert f"{control.key} = {step}; " in lab.line
            assert lab.words != words
            lab.push("back")
        else:
            away, back = _away_and_back(control)
            assert lab.press(control.key, away) > revision
            assert lab.words != words, control.key
            assert lab.line != line, control.key
            lab.press(control.key, back)
            assert gallery.page.evaluate("document.activeElement.dataset.key") == control.key
        assert lab.line == line, control.key
        assert lab.words == words, f"{control.key}: the same setting must give the same words"
    lab.press("units", "ArrowDown")
    assert " mm" not in lab.words
    assert (" lbf" if lab.name == "bench" else " in") in lab.words  # nothing is a length where it starts
    assert gallery.page.locator(".jp-CodeCell").count() == cells, "a key reached the notebook"
    lab.no_error()
    assert not gallery.watch.errors


def test_the_first_control_stands_first(gallery: Gallery, lab: LabPage) -> None:
    """A menu that the lab names first is not looked for below the sliders."""
    idle = LABS[lab.name]().shown["idle"]
    tops = {
        one.key: lab.control(one.key).bounding_box()["y"] for one in LABS[lab.name]().controls if one.key not in idle
    }
    assert min(tops.values()) == next(iter(tops.values())), tops


def test_typed_values_are_read_or_refused(gallery: Gallery, lab: LabPage) -> None:
    """A comma and the other system's unit are read; what cannot be read gets a sentence and stays as typed."""
    comma, unit, refused = TYPED[lab.name]
    for key, text, found in (comma, unit):
        lab.type_value(key, text)
        assert found in lab.line
    words, line = lab.words, lab.line
    key, text, sentence = refused
    lab.type_value(key, text)
    assert sentence in lab.problem(key)
    assert "Traceback" not in lab.root.inner_text()
    assert lab.field(key).input_value() == text, "what was typed stays"
    assert lab.field(key).get_attribute("aria-invalid") == "true"
    assert (lab.words, lab.line) == (words, line), "the last good picture and setting stay"
    lab.press(key, "ArrowLeft")
    assert lab.problem(key) == ""
    lab.no_error()


def test_bare_numbers_follow_the_unit_system(lab: LabPage) -> None:
    """Switched to inches and pounds, slider and field say so, and a bare number is read in that unit."""
    key, text, found = TYPED[lab.name][1]
    number, unit = text.split()
    slider = next(control for control in LABS[lab.name]().controls if control.key == key)
    assert isinstance(slider, Slider)
    shown = lab.field(key).input_value()
    lab.press("units", "ArrowDown")
    assert lab.field(key).input_value() != shown, "the same setting in the other unit"
    assert lab.root.get_by_role("textbox", name=f"{slider.label}, typed, in {unit}", exact=True).count() == 1
    assert lab.control(key).get_attribute("aria-valuetext").endswith(f" {unit}")
    lab.type_value(key, number)
    assert found in lab.line, "the line is always metric"
    lab.no_error()


def test_pinned_reset_and_the_setting_in_one_line(gallery: Gallery, lab: LabPage) -> None:
    """Two settings are compared; reset goes to the start; a fresh lab shows the same for the line."""
    start = lab.line
    lab.push("pin")
    key, text, _ = TYPED[lab.name][0]
    lab.type_value(key, text)
    if lab.name == "sequence":
        lab.push("reach-out")
    assert "pinned setting" in lab.words
    lab.push("pin")
    assert "pinned setting" not in lab.words
    words, line, pictures = lab.words, lab.line, lab.pictures
    lab.push("reset", "Space")
    assert lab.line == start
    assert lab.pictures != pictures
    lab.type_value("line", line)
    assert (lab.words, lab.line, lab.pictures) == (words, line, pictures)
    fresh = LABS[lab.name](setting=line)
    fresh.finish()
    assert fresh.shown["words"] == words
    assert gallery.page.evaluate(SAME, [LAB, lab.number, fresh.shown["pictures"]]) is True
    lab.type_value("line", "nonsense = 3")
    assert "is no entry of this lab" in lab.problem("line")
    assert lab.words == words
    lab.begin()
    assert lab.line == start
    lab.no_error()


# whether pictures that Python wrote are those on the page, but for the identifier that the page gives its lab and for a
# last digit (0.1 mm on the wearer) here and there, which the order of asking may round
SAME = """([lab, number, written]) => {
  const panes = [...document.querySelectorAll(lab)[number].querySelectorAll('.ck-art')];
  const own = panes[0].querySelector('title').id.replace(/-0-title$/, '');
  const read = (svg) => {
    const node = document.createElement('div');
    node.innerHTML = svg.replaceAll('LABID', own);
    return node.innerHTML;
  };
  const digits = /-?\\d+(?:\\.\\d+)?/g;
  const same = (here, there) => {
    if (here.replace(digits, '0') !== there.replace(digits, '0')) return false;
    const [these, those] = [here, there].map((svg) => (svg.match(digits) ?? []).map(Number));
    const off = these.map((value, k) => Math.abs(value - those[k])).filter((gap) => gap > 0);
    return off.length <= 0.01 * these.length && off.every((gap) => gap <= 1);
  };
  return panes.length === written.length && panes.every((pane, n) => same(pane.innerHTML, read(written[n])));
}"""


def test_no_violation_of_ours(gallery: Gallery, lab: LabPage) -> None:
    """The scan of the lab finds nothing, a sentence beside a control included."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    lab.type_value(*TYPED[lab.name][2][:2])
    lab.root.evaluate("(node) => { node.id = 'scanned'; }")
    try:
        found = axe.run(gallery.page, context={"include": [["#scanned"]]})
    finally:
        lab.root.evaluate("(node) => node.removeAttribute('id')")
    assert found.response["passes"], "the scan looked at something"
    assert not found.response["violations"], found.generate_report()


def test_names_and_words_for_a_screen_reader(gallery: Gallery, lab: LabPage) -> None:
    """Controls have names and values with units, pictures a title and words; one lasting region speaks."""
    shown = LABS[lab.name]().shown
    for control in LABS[lab.name]().controls:
        assert lab.control(control.key).is_visible() == (control.key not in shown["idle"]), control.key
        if control.key in shown["idle"]:
            continue
        if isinstance(control, Slider):
            slider = lab.root.get_by_role("slider", name=control.label, exact=True)
            assert slider.get_attribute("aria-valuetext").endswith(control.unit("metric"))
            unit = control.unit("metric")
            typed = f"{control.label}, typed{unit and f', in {unit}'}"
            assert lab.root.get_by_role("textbox", name=typed, exact=True).count() == 1
        else:
            role = {Menu: "combobox", Tick: "checkbox", Steps: "group"}[type(control)]
            assert lab.root.get_by_role(role, name=control.label, exact=True).count() == 1
    lab.open("lines")
    for name in ("Pin this setting", "Reset to the start", "Note this reading", "Copy", "Use this line"):
        assert lab.root.get_by_role("button", name=name, exact=True).count() == 1
    pictures = lab.root.get_by_role("img")
    assert pictures.count() == sum(1 for svg in shown["pictures"] if svg)
    for number in range(pictures.count()):
        described = pictures.nth(number).locator("desc").text_content()
        assert len(described) > 30
        assert described in lab.words, "what the picture says to those who do not see it stands below it too"
    spoken = lab.root.get_by_role("status").and_(lab.root.locator(".ck-aloud"))
    node = spoken.element_handle()
    key = next(control.key for control in LABS[lab.name]().controls if isinstance(control, Slider))
    lab.press(key, "ArrowRight")
    whole = LABS[lab.name](setting=lab.line)
    whole.finish()
    fresh = whole.shown["spoken"]
    gallery.page.wait_for_function("([node, said]) => node.textContent === said", arg=[node, fresh])
    assert spoken.evaluate("(now, then) => now === then", node), "the speaking region lasts"


def test_offline(gallery: Gallery) -> None:
    """Nothing has left the machine, and it would have been noticed."""
    assert gallery.watch.outside == []
    try:
        gallery.page.evaluate("fetch('http://outside.invalid/probe').catch(() => null)")
        assert gallery.watch.outside == ["http://outside.invalid/probe"]
    finally:
        gallery.watch.outside.clear()


@pytest.mark.parametrize("program", PROGRAMS)
def test_a_page_opened_again_shows_the_lab_where_it_stood(page: Any, server: Any, program: str) -> None:
    """Though a move sends only what it changed: a notebook that is loaded anew gets all of it, and moves on."""
    lab = open_labs(page, server, program, ["device"])["device"]
    lab.press("width", "ArrowRight")
    lab.press("curves", "ArrowDown")  # the first picture stays as it was
    words, line, revision = lab.words, lab.line, lab.revision
    names = lab.root.get_by_role("img").evaluate_all("(all) => all.map((svg) => svg.textContent)")
    page.evaluate(SAVE)
    page.reload()
    assert lab.after(revision - 1) == revision
    assert (lab.words, lab.line) == (words, line)
    assert lab.root.get_by_role("img").evaluate_all("(all) => all.map((svg) => svg.textContent)") == names
    lab.press("width", "ArrowRight")
    assert lab.line != line
    lab.no_error()


SAVE = "() => window.jupyterapp.commands.execute('docmanager:save')"


def test_steps_are_taken_by_buttons(gallery: Gallery) -> None:
    """A whole errand by keyboard, with one wrong step that is told, taken back, and made good."""
    lab = gallery.labs["sequence"].begin()
    for name in ("pre-position", "reach-out", "surround"):
        lab.push(name)
    assert "they push it over" in lab.words
    assert "object out of reach" in lab.words
    lab.push("back")
    assert "object on the table" in lab.words
    for name in ("pull", "surround", "let-go", "bring-to-the-mouth", "lower-to-the-table"):
        lab.push(name)
        assert ": right." in lab.words, name
    line = lab.line
    for name in ("pull", "clear", "let-go", "return"):
        lab.push(name)
    assert "The errand is done and all is back where it was, without a wrong step." in lab.words
    lab.type_value("line", line)
    assert "Step 7, lower to the table" in lab.words
    lab.push("none")
    assert "No step has been taken." in lab.words
    lab.no_error()


def test_two_orders_of_moves_give_one_answer(gallery: Gallery) -> None:
    """The same setting reached in two different ways gives the same words."""
    lab = gallery.labs["strap"].begin()
    moves = [("ring_below_c7", "110"), ("control_strap", "15"), ("crossbar", "70"), ("arm_flexion", "60")]
    for key, value in moves:
        lab.type_value(key, value)
    words, line = lab.words, lab.line
    lab.push("reset")
    lab.type_value("ring_below_c7", "180")
    for key, value in reversed(moves):
        lab.type_value(key, value)
    assert (lab.line, lab.words) == (line, words)


def test_held_key(gallery: Gallery) -> None:
    """A key held for two seconds: what was passed over on the way is not worked off after it is let go.

    How many pictures come then is counted: one that is being painted, one in the making, and the last; with all that
    was passed over it would be more than ten. How long that takes is a matter of the machine, and timed in
    `tests/benchmarks/test_lab_latency.py`.
    """
    page, lab = gallery.page, gallery.labs["strap"].begin()
    lab.press("ring_below_c7", "Home")
    page.evaluate(CLOCK, [LAB, lab.number])
    before = lab.revision
    lab.control("ring_below_c7").focus()
    for _ in range(24):  # about the rate at which a held key repeats
        page.keyboard.down("ArrowRight")
        page.wait_for_timeout(2000 / 24)  # this is the holding itself, not a wait for a picture
    page.keyboard.up("ArrowRight")
    lab.after(before)
    last = "ring_below_c7 = 130 mm"
    page.wait_for_function("(last) => window.ckPainted.at(-1)[1].startsWith(last)", arg=last)
    after = page.evaluate("window.ckPainted.filter(([when]) => when > window.ckReleased).map(([, line]) => line)")
    assert len(after) <= 3, after
    assert len(page.evaluate("window.ckPainted")) > 1  # and it was seen to move meanwhile
