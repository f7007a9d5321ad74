"""Parts close to: every label points onto what it names, the same each time, small in a page and large in a fold."""

from __future__ import annotations

import re

import numpy as np
import pytest
from matplotlib.path import Path

from controlkit.draw import DETAILS, detail_scene, render_html, render_svg
from controlkit.draw.page.labels import boxes
from controlkit.draw.page.scene import Dot, Label, Line, Region, Scene
from controlkit.draw.page.shapes import shape_of
from controlkit.units import InputError

NAMED = {
    "thumb (operating lever)": "operating lever",
    "lined tip": "lining of the fixed finger",
    "3 bands": "band 2",
    "leading fingers": "index finger",
    "passive fingers": "ring finger",
    "glove": "palm",
    "body of the hook": "body",
    "flexible hinge": "hinge",
    "rigid hinge": "hinge",
    "joint on the elbow's axis": "joint of the hinge",
    "base plate, riveted on": "base plate",
    "bare cable": "bare cable across the elbow",
    "lock cable, to its strap": "lock cable",
    "wheel: on and off by turns": "wheel",
    "notched plate: one notch a position": "notched plate",
    "to the forearm shell": "arm of the forearm shell",
    "folded back and sewn": "folded end of the control attachment strap",
}
"""What a label names where its words are not the part's own name."""


def _labels(scene: Scene) -> list[Label]:
    return [item for item in scene.items if isinstance(item, Label)]


def _on_top(scene: Scene, at: tuple[float, float]) -> str:
    """Name of what is drawn last at a place; a thin line counts where it passes within half a millimetre."""
    for item in reversed(scene.items):
        shape = shape_of(item)
        if shape is not None and Path(np.vstack([shape, shape[:1]])).contains_point(at):
            return item.name  # type: ignore[union-attr]
        if isinstance(item, Line) and shape is None and item.style == "cable":
            first, last = item.points[:-1], item.points[1:]
            way = last - first
            share = np.clip(((at - first) * way).sum(axis=1) / (way * way).sum(axis=1), 0.0, 1.0)
            if np.hypot(*(first + share[:, None] * way - at).T).min() < 0.0005:
                return item.name
    return ""


@pytest.mark.parametrize("name", DETAILS)
def test_every_label_points_onto_what_it_names(name: str) -> None:
    scene = detail_scene(name)
    labels = _labels(scene)
    assert len(labels) >= 4
    for label in labels:
        said = " ".join(label.lines)
        assert label.target is not None
        assert _on_top(scene, label.target) == NAMED.get(said, said), said


@pytest.mark.parametrize("name", DETAILS)
def test_labels_lie_in_the_window_and_not_on_each_other(name: str) -> None:
    scene = detail_scene(name)
    rooms = boxes(_labels(scene), scene.frame)
    for k, (left, low, right, high) in enumerate(rooms):
        assert left >= scene.frame.left - 1e-9
        assert right <= scene.frame.right + 1e-9
        assert low >= scene.frame.bottom
        assert high <= scene.frame.top
        for a, b, c, d in rooms[k + 1 :]:
            assert not (left < c and a < right and low < d and b < high)


@pytest.mark.parametrize("name", DETAILS)
def test_no_label_lies_on_a_part(name: str) -> None:
    """Only the skin may lie under words."""
    scene = detail_scene(name)
    shapes = [(item, shape_of(item)) for item in scene.items if getattr(item, "name", "") != "upper arm"]
    for label in _labels(scene):
        left, low, right, high = boxes([label], scene.frame)[0]
        grid = np.stack(np.meshgrid(np.linspace(left, right, 12), np.linspace(low, high, 5)), axis=-1).reshape(-1, 2)
        for item, shape in shapes:
            if shape is not None and not isinstance(item, Label):
                covered = Path(np.vstack([shape, shape[:1]])).contains_points(grid)
                assert not covered.any(), (label.lines, getattr(item, "name", ""))


@pytest.mark.parametrize("name", ["flexible hinge", "rigid hinge"])
def test_the_elbow_has_no_strokes_that_end_in_air(name: str) -> None:
    assert not [item for item in detail_scene(name).items if getattr(item, "name", "") in ("fold", "contour")]


def test_the_bars_of_a_rigid_hinge_are_straight_and_meet_under_the_joint() -> None:
    scene = detail_scene("rigid hinge")
    (hinge,) = (item for item in scene.items if isinstance(item, Line) and item.name == "hinge")
    (joint,) = (item for item in scene.items if isinstance(item, Region) and item.name == "joint of the hinge")
    half = len(hinge.points) // 2
    for bar in (hinge.points[:half], hinge.points[half:]):
        way = (bar[-1] - bar[0]) / np.hypot(*(bar[-1] - bar[0]))
        assert np.abs((bar - bar[0]) @ [-way[1], way[0]]).max() < 1e-9
    assert np.hypot(*(hinge.points[half] - joint.points.mean(axis=0))) < 1e-6


@pytest.mark.parametrize("name", DETAILS)
def test_a_detail_says_in_words_what_it_shows(name: str) -> None:
    scene = detail_scene(name)
    assert len(scene.words.split()) >= 25
    spoken = {"3 bands": "three bands", "lined tip": "tips are lined", "stud": "stud", "leading fingers": "leading"}
    words = scene.words.lower()
    told = [said for said in (" ".join(label.lines) for label in _labels(scene)) if spoken.get(said, said) in words]
    assert len(told) >= len(_labels(scene)) // 2


@pytest.mark.parametrize("name", DETAILS)
def test_a_detail_is_the_same_each_time_and_small(name: str) -> None:
    texts = {render_svg(DETAILS[name]()) for _ in range(2)}
    assert len(texts) == 1
    assert len(texts.pop()) < 30_000


def test_a_detail_stands_small_in_a_page_and_large_in_a_fold() -> None:
    html = render_html(detail_scene("ring"))
    (large,) = re.findall(
        r'<details><summary[^>]*>Enlarge</summary><svg[^>]*><use href="#([^"]+)"/></svg></details>', html
    )
    assert html.count(f'id="{large}"') == 1  # the drawing is in the page once
    assert "<script" not in html
    assert "Enlarge" not in render_html(Scene("plain", "Words.", detail_scene("ring").frame))


def test_an_unknown_detail_is_refused_with_what_there_is() -> None:
    with pytest.raises(InputError) as refused:
        detail_scene("gearbox")
    assert "gearbox" in str(refused.value)
    assert all(name in str(refused.value) for name in DETAILS)


def test_the_ring_is_a_wire_through_which_one_sees() -> None:
    scene = detail_scene("ring")
    ring = next(label for label in _labels(scene) if label.lines == ("ring",))
    hole = next(item for item in scene.items if isinstance(item, Region) and item.name == "ring")
    assert ring.target is not None
    assert np.hypot(*(np.array(ring.target) - hole.points.mean(axis=0))) > 0.012
    assert not any(isinstance(item, Dot) and item.name == "C7" for item in scene.items)
