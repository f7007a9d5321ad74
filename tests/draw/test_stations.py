"""The road of steps: legible at two widths, the present state by shape, mark and word, the ways out of it."""

from __future__ import annotations

from functools import lru_cache
from itertools import combinations

import numpy as np
import pytest

from controlkit.draw import Dot, Label, Region, Scene, render_svg
from controlkit.draw.charts.stations import stations_scene
from controlkit.draw.charts.steps import steps_scene
from controlkit.draw.ink.mpl import render_matplotlib
from controlkit.draw.page.scene import Arrow, Line
from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
from controlkit.mechanics.device import hook_closing, hook_opening
from controlkit.mechanics.sequence import (
    DualErrand,
    OperatingSequence,
    Situation,
    operating_sequence,
    operating_sequence_dual,
)
from controlkit.units import mm

LETTER = 0.55  # width of a letter of a wide typeface, as a share of its height
SMALLEST = 10.0 * 96.0 / 72.0  # ten points, in picture points of a screen
Box = tuple[float, float, float, float]
NAMES = ("dual", "opening", "closing", "locking")
ALL = pytest.mark.parametrize("name", NAMES)
WIDTHS = pytest.mark.parametrize("width", [900.0, 430.0])


@lru_cache(maxsize=8)
def _task(name: str, bands: int = 5) -> OperatingSequence:
    if name == "dual":
        harness = above_elbow_eight(Wearer.average("female", level="transhumeral"), support_strap=mm(16))
        return operating_sequence_dual(DualErrand(system=DualControl(harness=harness, device=hook_opening(bands))))
    devices = {"opening": hook_opening(), "closing": hook_closing(), "locking": hook_closing(lock=True)}
    return operating_sequence(devices[name])


@lru_cache(maxsize=8)
def _order(name: str) -> tuple[str, ...]:
    return _task(name).right_order()


def _drawn(
    name: str, steps: tuple[str, ...] | int, *, width: float = 900.0, tell: bool = True, units: str = "metric"
) -> Scene:
    """The diagram after some steps, or after so many right ones."""
    task, order = _task(name), _order(name)
    taken = task.judge(order[:steps] if isinstance(steps, int) else steps).taken
    state = taken[-1].after if taken else task.start
    road = task.judge(order).taken
    places = [task.start, *(one.after for one in road)]
    return stations_scene(
        task.name,
        road,
        state,
        taken=taken,
        exits=task.exits(state) if tell else (),
        wrong=[_astray(task, place) for place in places],
        width=width,
        units=units,  # type: ignore[arg-type]
    )


def _astray(task: OperatingSequence, place: Situation) -> int:
    return sum(not made.right and made.after != made.before for made in task.exits(place))


def _boxes(scene: Scene) -> list[Box]:
    """Room of every text."""
    found = []
    for label in (item for item in scene.items if isinstance(item, Label)):
        (text,) = label.lines
        wide, high = len(text) * LETTER * scene.frame.text, scene.frame.text
        x, y = label.at
        left = {"start": x, "end": x - wide}.get(label.anchor, x - wide / 2)
        if text:
            found.append((left, y - 0.45 * high, left + wide, y + 0.45 * high))
    return found


def _texts(scene: Scene) -> list[str]:
    return [label.lines[0] for label in scene.items if isinstance(label, Label)]


@WIDTHS
@ALL
def test_texts_are_large_enough_and_stand_apart(name: str, width: float) -> None:
    for steps in range(0, len(_order(name)) + 1, 2):
        scene = _drawn(name, steps, width=width)
        assert scene.frame.text / scene.frame.width * width >= SMALLEST
        boxes = _boxes(scene)
        for one, other in combinations(boxes, 2):
            assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1], (
                steps,
                one,
                other,
            )
        for left, low, right, high in boxes:
            assert scene.frame.left <= left < right <= scene.frame.right + 1e-9
            assert scene.frame.bottom <= low < high <= scene.frame.top


@WIDTHS
@ALL
def test_stations_stand_apart_and_inside(name: str, width: float) -> None:
    scene = _drawn(name, 0, width=width)
    stations = _stations(scene)
    assert len(stations) == len(_order(name)) + 1
    for one, other in combinations(stations, 2):
        assert np.hypot(*(np.array(one) - other)) > 0.024
    for x, y in stations:
        assert 0.012 < x < scene.frame.right - 0.012
        assert scene.frame.bottom < y < scene.frame.top


def _stations(scene: Scene) -> list[tuple[float, float]]:
    """Middles of the stations, by their numbers."""
    labels = [item for item in scene.items if isinstance(item, Label) and item.anchor == "middle"]
    return [label.at for label in labels if label.lines[0].isdigit()]


@ALL
def test_the_present_state_is_shown_by_shape_mark_and_word(name: str) -> None:
    """A second outline, an arrow, the word: nothing hangs on a colour."""
    for steps in range(len(_order(name)) + 1):
        scene = _drawn(name, steps)
        assert _texts(scene).count("here") == 1
        x, _ = _stations(scene)[steps]
        outlines = [
            item
            for item in scene.items
            if isinstance(item, (Region, Dot)) and item.name.startswith(f"station {steps}:")
        ]
        assert len(outlines) == 2
        arrows = [item for item in scene.items if isinstance(item, Arrow) and item.name == "here"]
        assert len(arrows) == 2  # at the station, and in the list of steps
        assert any(arrow.end[0] == pytest.approx(x) for arrow in arrows)


@ALL
def test_a_station_is_square_while_the_elbow_is_locked_or_the_cable_pulled(name: str) -> None:
    task, order = _task(name), _order(name)
    places = [task.start, *(one.after for one in task.judge(order).taken)]
    scene = _drawn(name, 0)
    squares = {item.name for item in scene.items if isinstance(item, Region) and item.name.startswith("station")}
    part, value = ("lock", "on") if name == "dual" else ("cable", "pulled")
    assert {f"station {k}: {place.words}" for k, place in enumerate(places) if place[part] == value} == squares
    dots = [item for item in scene.items if isinstance(item, Dot) and item.name == "object held"]
    assert len(dots) == sum(place["object"] == "held" for place in places)


@ALL
def test_stations_stand_as_high_as_arm_or_elbow(name: str) -> None:
    task = _task(name)
    part = "elbow" if name == "dual" else "arm"
    places = [task.start, *(one.after for one in task.judge(_order(name)).taken)]
    scene = _drawn(name, 0, width=5000.0)
    heights = dict(zip((place[part] for place in places), (y for _, y in _stations(scene)), strict=True))
    order = sorted(heights, key=lambda place: heights[place])
    ranks = ["low", "at rest", "at the table", "lifted to the table", "at the mouth", "lifted to the mouth"]
    assert order == [rank for rank in ranks if rank in order]


@ALL
def test_every_way_out_is_drawn_and_told(name: str) -> None:
    task = _task(name)
    for steps in (0, 4, len(_order(name))):
        scene = _drawn(name, steps)
        state = task.judge(_order(name)[:steps]).taken[-1].after if steps else task.start
        said = " ".join(_texts(scene))
        exits = task.exits(state)
        rights = [one.step for one in exits if one.right]
        onward = _order(name)[steps] if steps < len(_order(name)) else ""
        called = {step: "next" if step == onward else "no harm" for step in rights}
        assert all(f"{step} ({called[step]})" in said for step in rights)
        assert said.count("(next)") == bool(onward)
        assert sum(isinstance(item, Arrow) and item.name == "right step" for item in scene.items) == len(rights)
        for one in exits:
            assert f"{called.get(one.step, 'wrong').capitalize()} from here: {one.step} " in scene.words
            assert one.right or one.consequence.said("metric") in scene.words
            assert one.right or one.after == one.before or f"{one.step} (wrong)" in said


def test_what_is_right_is_kept_unless_it_is_asked_for() -> None:
    kept = _drawn("dual", 6, tell=False)
    assert "from here" not in kept.words
    assert not any(f"({named})" in text for text in _texts(kept) for named in ("next", "no harm", "right", "wrong"))


def test_off_the_road_the_station_is_shown_from_which_it_was_left() -> None:
    off = (*_order("dual")[:4], "ease the cable", "lift to the mouth")
    for width in (900.0, 430.0):
        scene = _drawn("dual", off, width=width)
        assert "here, off the road" in _texts(scene)
        assert "here" not in _texts(scene)
        assert "off the road" in scene.words
        (label,) = (item for item in scene.items if isinstance(item, Label) and item.lines == ("here, off the road",))
        x, y = _stations(scene)[3]  # unlocked, hanging: there the forearm dropped to
        assert abs(label.at[0] - x) < 0.02
        assert 0.0 < y - label.at[1] < 0.05


@ALL
def test_wrong_steps_are_dashed_stubs_with_a_cross_and_their_number(name: str) -> None:
    task, scene = _task(name), _drawn(name, 0, tell=False)
    places = [task.start, *(one.after for one in task.judge(_order(name)).taken)]
    counts = [_astray(task, place) for place in places]
    stubs = [item for item in scene.items if isinstance(item, Line) and item.style == "now"]
    assert len(stubs) == sum(count > 0 for count in counts)
    numbers = [
        item.lines[0]
        for item in scene.items
        if isinstance(item, Label) and item.lines[0].isdigit() and item.anchor == "start"
    ]
    assert numbers == [str(count) for count in counts if count]
    assert sum(counts) > 3


def test_without_a_road_it_says_so_and_still_shows_the_ways_out() -> None:
    task = _task("dual", bands=3)
    scene = stations_scene(task.name, (), task.start, exits=task.exits(task.start), units="metric")
    assert "No order of right steps leads to the goal." in _texts(scene)
    assert "No order of right steps leads to the goal." in scene.words
    assert any("(right)" in text for text in _texts(scene))


@ALL
def test_it_is_written_as_svg_and_in_either_unit_system(name: str) -> None:
    scene = _drawn(name, 3, units="inch-pound")
    assert " in" in scene.words
    assert " mm" not in scene.words
    text = render_svg(scene)
    assert "<desc" in text
    assert "here" in text


def test_it_is_drawn_in_the_other_ink_too() -> None:
    axes = render_matplotlib(_drawn("dual", 8))
    assert axes.has_data()


@pytest.mark.parametrize("size", [(444.0, 400.0), (310.0, 260.0)])
def test_the_list_of_steps_has_room_for_the_parts_above_the_elbow(size: tuple[float, float]) -> None:
    task = _task("dual")
    taken = task.judge(_order("dual")[:9]).taken
    scene = steps_scene(task.name, taken, taken[-1].after, reached=False, size=size, units="metric")
    for left, _, right, _ in _boxes(scene):
        assert scene.frame.left <= left < right <= scene.frame.right


def test_names_of_steps_are_kept_on_request() -> None:
    """The road still shows how far there is to go; no step to come is named in picture or words."""
    task = _task("dual")
    road = task.judge(_order("dual")).taken
    open_, kept = (stations_scene(task.name, road, task.start, named=named) for named in (True, False))
    assert any("lift to the mouth" in text for text in _texts(open_))
    assert not any("lift to the mouth" in text for text in _texts(kept))
    assert "lift to the mouth" in open_.words
    assert "lift to the mouth" not in kept.words
    assert f"It has {len(road) + 1} stations" in kept.words
