"""A load at the device, drawn: the arm down, the socket dragged, what each strap bears and where it presses."""

from __future__ import annotations

import math

import numpy as np
import pytest

from controlkit.draw import Arrow, Label, Line, Region, Scene, wearer_scene
from controlkit.draw.page.labels import boxes
from controlkit.draw.wearer.hung import hung_scene
from controlkit.labs import pattern_lab
from controlkit.mechanics import SingleControl, Wearer, chest_strap, figure_of_eight, figure_of_nine, suspend
from controlkit.mechanics.harness.suspension import Suspension
from controlkit.units import deg, show

Hung = tuple[SingleControl, dict[float, Suspension]]
VIEWS = ("back", "side", "front", deg(150), deg(260), deg(270))


@pytest.fixture(scope="module")
def hung() -> Hung:
    """A figure-of-eight on an average woman under three loads."""
    system = SingleControl(figure_of_eight(Wearer.average("female")))
    return system, {load: suspend(system.harness, system.law, load) for load in (25.0, 50.0, 150.0)}


def _texts(scene: Scene) -> set[str]:
    return {line for item in scene.items if isinstance(item, Label) for line in item.lines}


def _top(scene: Scene, name: str) -> float:
    return max(float(item.points[:, 1].max()) for item in scene.items if isinstance(item, Region) and item.name == name)


def test_the_socket_is_drawn_as_far_down_as_it_slips(hung: Hung) -> None:
    """By its own slip, and no other part of the wearer with it."""
    system, under = hung
    scenes = {load: hung_scene(held, "front", system=system) for load, held in under.items()}
    for load in (50.0, 150.0):
        lower = _top(scenes[25.0], "socket") - _top(scenes[load], "socket")
        slipped = (under[load].pose.socket_slip - under[25.0].pose.socket_slip) * math.cos(deg(10))
        assert lower == pytest.approx(slipped, abs=0.002)
        assert under[load].pose.socket_slip == pytest.approx(under[load].slip, abs=1e-3)
    assert len({scene.frame for scene in scenes.values()}) == 1


@pytest.mark.parametrize("view", VIEWS)
def test_what_a_strap_bears_stands_beside_it(hung: Hung, view: str | float) -> None:
    """Each number is a strap's own tension or the load; none leaves the window or covers another."""
    system, under = hung
    for held in under.values():
        scene = hung_scene(held, view, system=system, loads=True, units="metric")  # type: ignore[arg-type]
        bears = {show(tension, "force", "metric", 0) for tension in held.strap_tension.values()}
        load = show(held.load, "force", "metric", 0)
        assert load in _texts(scene)
        assert _texts(scene) <= bears | {load}
        assert len(_texts(scene) & bears) >= 2
        labels = [item for item in scene.items if isinstance(item, Label)]
        taken, frame = boxes(labels, scene.frame), scene.frame
        faces = [item.points for item in scene.items if isinstance(item, Line) and item.name in {"face", "ear"}]
        for x, y in np.vstack([np.empty((0, 2)), *faces]).tolist():
            assert not any(left < x < right and low < y < high for left, low, right, high in taken), "over a face"
        for k, (left, low, right, high) in enumerate(taken):
            assert frame.left <= left < right <= frame.right
            assert frame.bottom <= low < high <= frame.top
            for one in taken[k + 1 :]:
                assert one[0] >= right or one[2] <= left or one[1] >= high or one[3] <= low
        (arrow,) = (item for item in scene.items if isinstance(item, Arrow))
        assert arrow.end[1] < arrow.start[1], "it pulls down"
        assert frame.left < arrow.end[0] < frame.right
        for name, tension in held.strap_tension.items():
            if tension >= 1.0:
                assert f"{name} {show(tension, 'force')}" in hung_scene(held, view, system=system).words  # type: ignore[arg-type]


def test_bands_of_pull_and_load_are_to_one_scale(hung: Hung) -> None:
    """The widest band of both pictures is the larger load; in the other they are narrower by as much."""
    system, under = hung
    held, pull = under[150.0], system.at(arm_flexion=deg(60), elbow_flexion=deg(30))
    worst = [max(load.worst for load in one.strap_load.values()) for one in (held, pull)]
    assert worst[0] > 1.3 * worst[1]
    drawn = []
    for scene in (
        hung_scene(held, "front", system=system, loads=True, widest=max(worst)),
        wearer_scene(pull, "front", system=system, loads=True, widest=max(worst), plain=True),
    ):
        halves = [np.split(item.points, 2) for item in scene.items if isinstance(item, Region) and item.style == "load"]
        drawn.append(max(float(np.linalg.norm(one - other[::-1], axis=1).max()) for one, other in halves))
    assert drawn[1] <= 0.016 * worst[1] / worst[0] + 1e-4
    assert drawn[0] > 1.3 * drawn[1]


def test_a_load_that_is_not_carried_is_said_not_to_be() -> None:
    system = SingleControl(figure_of_nine(Wearer.average("female")))
    held = suspend(system.harness, system.law, 200.0)
    scene = hung_scene(held, "back", system=system)
    assert "not carried" in _texts(scene)
    assert "60.0 mm (2.36 in) lower" in scene.words


def test_a_saddle_bears_what_hangs() -> None:
    system = SingleControl(chest_strap(Wearer.average("male")))
    held = suspend(system.harness, system.law, 100.0)
    assert max(held.strap_tension, key=lambda name: held.strap_tension[name]) == "suspension strap"
    assert show(held.strap_tension["suspension strap"], "force", "metric", 0) in _texts(
        hung_scene(held, "side", system=system, units="metric")
    )


def test_the_load_slider_changes_what_the_lab_shows() -> None:
    """The second view hangs, the first goes on pulling, and both keep their windows."""
    lab = pattern_lab()
    pages = [lab.page_at(f"load = {load} N; view = side") for load in (0, 50, 100)]
    seconds = [page.pictures[1] for page in pages]
    assert all(isinstance(scene, Scene) for scene in seconds)
    assert len({scene.frame for scene in seconds}) == 1  # type: ignore[union-attr]
    assert {"50 N"} < _texts(seconds[1])  # type: ignore[arg-type]
    assert _texts(seconds[1]) != _texts(seconds[2])  # type: ignore[arg-type]
    assert [any(handle.name == "arm" for handle in page.handles) for page in pages] == [True, False, False]
    for page in pages[1:]:
        assert page.pictures[0].frame == pages[0].pictures[0].frame  # type: ignore[union-attr]
        assert "socket is drawn" in page.words
