"""Every lab on a small laptop at four zooms: what is moved, the pictures and the readings are seen together."""

from __future__ import annotations

import pytest

from .conftest import Gallery
from .labpage import LAB, LABS, LabPage


@pytest.mark.parametrize("zoom", [100, *(pytest.param(each, marks=pytest.mark.long) for each in (125, 150)), 200])
def test_what_is_moved_is_seen(gallery: Gallery, lab: LabPage, zoom: int) -> None:
    """On a small laptop, at every zoom: whatever has the focus, pictures and readings are wholly in view with it."""
    page, whole = gallery.page, gallery.page.viewport_size
    page.set_viewport_size({"width": 1366 * 100 // zoom, "height": 625 * 100 // zoom})  # 768 less the browser's bars
    try:
        lab.root.scroll_into_view_if_needed()
        lab.root.locator("button:visible").first.focus()
        stops = 0
        while (seen := page.evaluate(SEEN, [LAB, lab.number])) is not None:
            stop, *hidden = seen
            assert hidden == [], stop
            stops += 1
            page.keyboard.press("Tab")
        assert stops > len(LABS[lab.name]().controls) + 4
        outside, small = page.evaluate(FITS, [LAB, lab.number])
    finally:
        page.set_viewport_size(whole)
    assert outside == []
    assert small * zoom / 100 >= 10.0, f"the smallest letters are {small:.1f} picture points high"


# the focused element, and what of it, of the pictures that stay and of the readings is not wholly in view
SEEN = """async ([lab, number]) => {
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
  const root = document.querySelectorAll(lab)[number], at = document.activeElement;
  if (!root.contains(at)) return null;
  let around = document.documentElement;
  for (let up = root.parentElement; up; up = up.parentElement)
    if (/auto|scroll/.test(getComputedStyle(up).overflowY) && up.clientHeight > 120) around = up;
  const [page, mine] = [around.getBoundingClientRect(), root.getBoundingClientRect()];
  const [high, low] = [Math.max(page.top, mine.top) - 1, Math.min(page.bottom, mine.bottom) + 1];
  const hidden = (node) => {
    const box = node.getBoundingClientRect();
    return box.top < high || box.bottom > low || box.left < mine.left - 1 || box.right > mine.right + 1;
  };
  const all = [at, ...root.querySelectorAll('.ck-stage .ck-picture, .ck-reading')];
  const shown = all.filter((node) => node.offsetHeight !== 0);
  return [at.dataset.key ?? at.dataset.do ?? at.dataset.typed ?? at.tagName,
    ...shown.filter(hidden).map((node) => `${node.tagName} ${node.className} ${node.textContent.slice(0, 30)}`)];
}"""


# what sticks out sideways, and the height of the smallest letters in the pictures (the type size, as painted)
FITS = """([lab, number]) => {
  const root = document.querySelectorAll(lab)[number], out = [];
  const within = (node, frame, name) => {
    const a = node.getBoundingClientRect(), b = frame.getBoundingClientRect();
    if (a.width && (a.left < b.left - 1 || a.right > b.right + 1))
      out.push(`${name}: ${Math.round(a.left - b.left)} left, ${Math.round(b.right - a.right)} right`);
  };
  const scrolls = (node, name) => {
    if (node.scrollWidth > node.clientWidth + 1) out.push(`${name} scrolls ${node.scrollWidth - node.clientWidth}`);
  };
  for (const node of root.querySelectorAll('*')) {
    if (node.closest('.ck-aloud, .ck-table, details:not([open])') || node.closest('svg') || node.hidden) continue;
    within(node, root, `${node.tagName}.${node.className} ${node.textContent.slice(0, 20)}`);
    if (node.matches('button, label, p')) scrolls(node, `${node.tagName} ${node.textContent.slice(0, 20)}`);
  }
  scrolls(root, 'the lab');
  for (let node = root.parentElement; node && !node.matches('.jp-CodeCell'); node = node.parentElement)
    scrolls(node, node.className);
  let small = Infinity;
  for (const svg of root.querySelectorAll('.ck-art svg')) {
    const scale = svg.getScreenCTM().a;
    for (const text of svg.querySelectorAll('text')) {
      within(text, svg, `“${text.textContent}” in its picture`);
      small = Math.min(small, parseFloat(text.getAttribute('font-size')) * scale);
    }
  }
  return [out, small];
}"""
