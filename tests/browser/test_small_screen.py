"""A lab on a small screen: nothing cut off in the strip, no picture over another, one record for each thing read."""

from __future__ import annotations

from typing import Any

import pytest

from .labpage import LabPage, open_labs

SMALL, NARROW = {"width": 1366, "height": 657}, {"width": 1024, "height": 768}
CUT = """(root) => [...root.querySelectorAll('.ck-goal p, .ck-goal .ck-verdict')]
  .filter((node) => node.offsetHeight && node.scrollHeight > node.clientHeight + 1)
  .map((node) => node.textContent)"""
DRAWN_AGAIN = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))"
FOUND_AGAIN = "() => document.querySelector('[data-typed=line]').value.includes('take = device@usual; ')"
COVERED = """(root) => {
  const box = (node) => node.getBoundingClientRect();
  const others = ['.ck-curves', '.ck-controls'].map((one) => box(root.querySelector(one)));
  const shown = [...root.querySelectorAll('.ck-pictures > .ck-picture')].filter((node) => node.offsetHeight);
  return shown.map(box).some((one) => others.some((other) => one.right > other.left + 1 && one.left < other.right - 1
    && one.bottom > other.top + 1 && one.top < other.bottom - 1));
}"""


@pytest.fixture
def bench(page: Any, server: Any) -> LabPage:
    """The bench lab alone in a small window."""
    page.set_viewport_size(SMALL)
    return open_labs(page, server, "jupyterlab", ["bench"])["bench"]


def _choose(lab: LabPage, key: str, option: str) -> None:
    if lab.control(key).input_value() != option:
        before = lab.revision
        lab.control(key).select_option(option)
        lab.after(before)


def _no_task_is_cut_off(lab: LabPage) -> None:
    for _ in range(7):
        assert lab.root.evaluate(CUT) == []
        lab.button("next").click()


def test_no_task_and_no_verdict_is_cut_off(bench: LabPage) -> None:
    """Questions, verdicts that list all that lacks, and answers with their reasons; wide and narrow."""
    for option in ("more", "more", "more", "fly"):
        question = bench.root.locator(".ck-goal p").inner_text()
        bench.button(f"option-{option}").click()
        if not question.startswith("Predict 4"):
            bench.page.wait_for_function(
                "([old]) => document.querySelector('.ck-goal p').innerText !== old", arg=[question]
            )
    _no_task_is_cut_off(bench)
    _choose(bench, "task", "search")
    for what in ("fly", "hanger-90", "cable"):
        _choose(bench, "what", what)
        bench.push("take")
    assert "Both leave slack" in bench.root.locator(".ck-goal").inner_text()
    for size in (SMALL, NARROW):
        bench.page.set_viewport_size(size)
        bench.page.wait_for_function(
            "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
        )
        _no_task_is_cut_off(bench)


@pytest.mark.long
def test_no_picture_covers_the_record_after_a_menu(bench: LabPage) -> None:
    """Another body and another posture make pictures wider: they are fitted anew. Each second one comes when narrow."""
    sizes = [SMALL, NARROW]
    for level in ("above", "below"):
        _choose(bench, "level", level)
        for key in ("wearer", "what"):
            for option in bench.control(key).locator("option").evaluate_all("(all) => all.map((one) => one.value)"):
                _choose(bench, key, option)
                assert not bench.root.evaluate(COVERED), (sizes, level, key, option)
                sizes.reverse()
                bench.page.set_viewport_size(sizes[0])
                bench.page.evaluate(DRAWN_AGAIN)
                assert not bench.root.evaluate(COVERED), (sizes, level, key, option)


STANDS = """(root) => {
  const stage = root.querySelector('.ck-stage').getBoundingClientRect();
  return [...root.querySelectorAll('.ck-pictures > .ck-picture')].map((node) => node.getBoundingClientRect())
    .flatMap((box) => [box.x - stage.x, box.y - stage.y, box.width, box.height]).map((one) => Math.round(one));
}"""
TOLD = """(root) => [...root.querySelectorAll('.ck-note')].every((note) => note.offsetHeight > 0
  && note.getBoundingClientRect().bottom < root.querySelector('.ck-art').getBoundingClientRect().y)"""


@pytest.fixture
def pattern(page: Any, server: Any) -> LabPage:
    """The pattern lab alone in a small window."""
    page.set_viewport_size(SMALL)
    return open_labs(page, server, "jupyterlab", ["pattern"])["pattern"]


def test_a_wearer_stands_still_whatever_she_wears(pattern: LabPage) -> None:
    """Another pattern has more or less to say: no picture moves or shrinks for it, and the second lines are there."""
    for size in (SMALL, NARROW):
        pattern.page.set_viewport_size(size)
        pattern.page.evaluate(DRAWN_AGAIN)
        stands = set()
        for option in ("chest", "nine", "diaphragm", "eight", "crossed"):
            _choose(pattern, "pattern", option)
            pattern.page.evaluate(DRAWN_AGAIN)
            stands.add(tuple(pattern.root.evaluate(STANDS)))
            assert pattern.root.evaluate(TOLD), (size, option)
        assert len(stands) == 1, size
    pattern.page.set_viewport_size(SMALL)
    pattern.page.evaluate(DRAWN_AGAIN)
    *_, high = pattern.root.evaluate(STANDS)
    assert high >= 240, "two views of a woman are as high as the room that two columns leave is wide"


def test_each_number_has_a_record_of_its_own(bench: LabPage) -> None:
    """By arrow key and typed: another number is empty, and whoever comes back finds what she read."""
    _choose(bench, "task", "search")
    bench.push("take")
    _choose(bench, "named", "weak-bands")
    bench.press("number", "ArrowRight")
    assert "take = ; " in bench.line
    assert "named = none; " in bench.line
    assert "Nothing has been read yet." in bench.words
    bench.press("number", "ArrowLeft")
    assert "take = device@usual; " in bench.line
    assert "named = weak-bands; " in bench.line
    bench.type_value("number", "30")
    assert "take = ; " in bench.line
    bench.type_value("number", "1")
    bench.page.wait_for_function(
        "() => document.querySelector('[data-typed=line]').value.includes('take = device@usual; ')"
    )
    _choose(bench, "task", "checkout")
    assert "take = ; " in bench.line
    bench.no_error()
