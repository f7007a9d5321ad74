"""Every lab's picture for a small woman, an average man and a very large man, either side: words stand clear."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import Any

import pytest

from .labpage import LABS

PEOPLE = ("small-woman", "average-man", "large-man")
# a telling setting of each lab, and the views that can be chosen in it
SHOWN: dict[str, tuple[str, tuple[str, ...]]] = {
    "sequence": ("step = reach-out, pull; part = ring", ("side", "back")),
    "motion": ("arm_flexion = 60 °; arm_abduction = 30 °", ("back", "front")),
    "strap": ("forces = yes; arm_flexion = 45 °", ("side", "front")),
    "housing": ("stroke = letting back", ()),
    "device": ("pull = 25 N", ()),
    "chain": ("position = mouth", ("back",)),
    "dual": ("end_ahead = 25 mm; bands = 6; scapulae = both; elbow_flexion = 60 °", ()),
    "lock": (
        "arm_extension = 10 °; arm_abduction = 30 °; shoulder_depression = 8 °; support_strap = 15 mm",
        ("front", "back"),
    ),
    "pattern": ("pattern = diaphragm; load = 100 N", ("front", "side")),
    "pair": ("scapular_abduction = 15 °; left_level = above; junction = 100 mm", ("front", "side")),
    "bench": (
        "what = mouth; take = device@usual, hanger-90@usual, hanger-90@usual, mouth@usual, mouth@usual, slip@usual",
        ("back",),
    ),
    "population": ("tried = 8; cross_back = yes", ("back", "front")),
}
DEVICES = ("hook-opening", "hand-opening", "hook-closing", "hand-closing")


def _settings(name: str) -> Iterator[str]:
    shown, views = SHOWN[name]
    if name == "device":
        yield from (f"{shown}; device = {device}" for device in DEVICES)
        return
    if name == "population":
        ways = ("girth", "arm", "stature", "breadth", "strength")
        yield from (f"{shown}; view = {view}; across = {way}; on_show = 3" for view, way in product(views, ways))
        return
    key = "pulls" if name == "pair" else "amputated"
    for who, side, view in product(PEOPLE, ("left", "right"), views or ("",)):
        yield f"{shown}; wearer = {who}; {key} = {side}{view and f'; view = {view}'}"


@pytest.fixture(scope="module")
def sheet(browser: Any) -> Iterator[Any]:
    """A bare page."""
    page = browser.new_page(viewport={"width": 620, "height": 900})
    yield page
    page.close()


# words that leave their picture, and words that cover each other (the letters, not the space round them)
CLEAR = """() => [...document.querySelectorAll('svg')].flatMap((svg) => {
  const frame = svg.getBoundingClientRect(), out = [];
  const boxes = [...svg.querySelectorAll('text')].map((node) => {
    const box = node.getBoundingClientRect(), thin = 0.15 * box.height;
    return { words: node.textContent, left: box.left, right: box.right, top: box.top + thin, low: box.bottom - thin };
  });
  boxes.forEach((a, n) => {
    if (a.left < frame.left || a.right > frame.right || a.top < frame.top || a.low > frame.bottom)
      out.push(`${svg.parentNode.id}: “${a.words}” leaves the picture`);
    for (const b of boxes.slice(n + 1))
      if (a.left < b.right && b.left < a.right && a.top < b.low && b.top < a.low)
        out.push(`${svg.parentNode.id}: “${a.words}” and “${b.words}” cover each other`);
  });
  return out;
})"""


@pytest.mark.parametrize("name", LABS)
def test_words_stand_clear(sheet: Any, name: str) -> None:
    """No words leave a picture or cover others, on any of the bodies."""
    lab = LABS[name]()
    pictures = []
    for number, setting in enumerate(_settings(name)):
        lab.use(setting)
        lab.finish()
        assert not lab.shown["problem"], setting
        for at, svg in enumerate(lab.shown["pictures"]):
            pictures.append(f'<div id="{setting}, picture {at}">{svg.replace("LABID", f"p{number}-{at}")}</div>')
    sheet.set_content("".join(pictures))
    assert sheet.locator("svg text").count() > 5 * len(pictures)
    assert sheet.evaluate(CLEAR) == []
