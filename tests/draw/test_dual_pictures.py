"""Dual control drawn: the mechanics' own lever, a lock shown by a sign, charts that hide no dead point."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from controlkit.draw import (
    Arrow,
    Chart,
    Label,
    Lifting,
    Line,
    Region,
    Scene,
    dual_excursion_chart,
    lift_force_chart,
    lift_scene,
    live_grip_chart,
    live_lift_chart,
    render_svg,
)
from controlkit.draw.page.chart_layout import ChartLayout
from controlkit.draw.page.labels import boxes
from controlkit.draw.wearer.above_elbow import above_elbow
from controlkit.mechanics import DualControl, Wearer, above_elbow_eight
from controlkit.mechanics.elbow import ElbowLock, LiftLine
from controlkit.units import deg, show

LOCK = ElbowLock.evenly(11)
WEARERS = {
    "small woman": ("female", 5),
    "average man": ("male", 50),
    "very large man": ("male", 99),
}
SMALL = (310.0, 260.0)
LETTER = 0.55  # width of a letter of a wide typeface, as a share of its height


def _system(who: str, side: str = "right", **changed: object) -> DualControl:
    sex, percentile = WEARERS[who]
    wearer = Wearer.at_percentile(sex, percentile, of="mass", amputated=side, level="transhumeral")  # type: ignore[arg-type]
    return DualControl(harness=above_elbow_eight(wearer), **changed)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def man() -> DualControl:
    """An average man: a light device with his forearm opens early."""
    return _system("average man")


@pytest.fixture(scope="module")
def dead(man: DualControl) -> DualControl:
    """The same with a lift loop whose cable crosses the axis at 133 degrees."""
    return replace(man, line=LiftLine(loop_ahead=0.020, end_ahead=0.030))


def test_no_line_lies_at_nought_beyond_a_dead_point_nor_joins_what_is_apart(man: DualControl) -> None:
    """A forearm that stops at 15 degrees has no weight to hold at 100; and no wearer pulls what lies near the point."""
    stuck = replace(man, line=LiftLine(loop_ahead=-0.020)).lift(deg(1) * np.arange(10.0, 136.0))
    assert "dead point" in stuck.limited_by
    lines = [curve for curve in lift_force_chart(stuck).curves if curve.style != "hatch"]
    assert len(lines) == 2
    for line in lines:
        assert (line.y > 0.0).all()
        assert line.y.max() < 600.0
        assert line.x[0] > 25.0
        assert line.x[-1] < 100.0
    assert not lift_force_chart(stuck, elbow_flexion=deg(120)).markers


def _lifting(system: DualControl, bent: float, load: float = 0.0) -> Lifting:
    lifted = system.lift(np.unique([*np.deg2rad(np.arange(15.0, 136.0, 10.0)), deg(bent)]), load=load)
    return Lifting(system=system, lifted=lifted, at=int(np.argmin(np.abs(lifted.elbow_flexion - deg(bent)))))


def _named(scene: Scene, name: str) -> list[Line | Region | Arrow]:
    return [item for item in scene.items if isinstance(item, (Line, Region, Arrow)) and item.name == name]


def _long(points: np.ndarray) -> float:
    return float(np.hypot(*(points[-1] - points[0])))


# ---------------------------------------------------------------- the side view


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("bent", [10.0, 55.0, 90.0, 135.0])
def test_the_lever_is_as_long_as_the_mechanics_says_and_square_to_the_cable(side: str, bent: float) -> None:
    lifting = _lifting(_system("small woman", side), bent)
    scene = lift_scene(lifting)
    (lever,), (line,) = _named(scene, "moment arm"), _named(scene, "line of the cable")
    assert isinstance(lever, Line)
    assert isinstance(line, Line)
    assert _long(lever.points) == pytest.approx(
        abs(float(lifting.system.line.moment_arm(lifting.elbow_flexion))), abs=2e-4
    )
    along, across = line.points[-1] - line.points[0], lever.points[-1] - lever.points[0]
    assert abs(float(along @ across)) < 1e-3 * _long(line.points) * _long(lever.points)
    assert f"moment arm of {show(abs(lifting.moment_arm), 'length')}" in scene.words


def test_a_weight_hangs_down_from_its_centre_and_its_moment_is_told(man: DualControl) -> None:
    lifting = _lifting(man, 55.0, load=0.5)
    scene = lift_scene(lifting)
    (weight,) = _named(scene, "weight of forearm and load")
    assert isinstance(weight, Arrow)
    assert weight.end[0] == pytest.approx(weight.start[0])
    assert weight.end[1] < weight.start[1]
    forearm = man.lifted_forearm.carrying(0.5, man.lifted_forearm.pieces[-1].centre)
    moment = float(forearm.moment(lifting.elbow_flexion, lifting.inclination))
    assert f"extends the elbow with {show(moment, 'moment')}" in scene.words
    (lever,) = _named(scene, "lever of the weight")
    assert isinstance(lever, Line)
    assert _long(lever.points) == pytest.approx(moment / forearm.weight, rel=1e-3)


def test_the_state_of_the_lock_is_a_sign_and_not_a_colour_alone(man: DualControl) -> None:
    """A pawl in the arc of positions, or off it; in words beside it and below."""
    lifting = _lifting(man, 90.0)
    on, off = (lift_scene(lifting, locked=locked, lock=LOCK) for locked in (True, False))
    (shut,), (open_,) = _named(on, "sign of the lock, locked"), _named(off, "sign of the lock, unlocked")
    assert isinstance(shut, Region)
    assert isinstance(open_, Region)
    assert np.hypot(*(shut.points.mean(axis=0) - open_.points.mean(axis=0))) > 0.005
    assert shut.style != open_.style
    for scene, word, said in ((on, "locked", "lock on"), (off, "unlocked", "lock off")):
        assert said in [line for item in scene.items if isinstance(item, Label) for line in item.lines]
        assert f", {word}." in scene.words
    assert len(_named(on, "position of the lock")) == 11
    assert _named(off, "lift force")
    assert not _named(on, "lift force")
    assert "11 angles" in on.words


def test_a_dead_point_is_said_in_words(dead: DualControl) -> None:
    (at,) = dead.line.dead_points()
    scene = lift_scene(_lifting(dead, float(np.rad2deg(at))))
    assert "a dead point, at which no pull lifts" in scene.words
    assert not _named(scene, "moment arm")
    assert "Dead point at 132.9°, within the range" in scene.words
    assert "There is no dead point" in lift_scene(_lifting(_system("average man"), 60.0)).words
    beyond = lift_scene(_lifting(dead, 135.0))
    assert "behind the axis" in beyond.words


def test_the_stop_is_drawn_where_the_forearm_hangs(man: DualControl) -> None:
    hung = replace(man, hangs_at=deg(20))
    scene = lift_scene(_lifting(hung, 20.0))
    assert _named(scene, "pre-flexion stop")
    assert "stop holds the forearm at 20°" in scene.words
    assert "hangs on its stop" in scene.words


@pytest.mark.parametrize("who", WEARERS)
@pytest.mark.parametrize("side", ["left", "right"])
def test_words_beside_the_arm_touch_neither_arm_nor_each_other(who: str, side: str) -> None:
    system = _system(who, side)
    for bent, locked in ((10.0, False), (55.0, True), (90.0, False), (135.0, True)):
        scene = lift_scene(_lifting(system, bent), locked=locked, lock=LOCK)
        rooms = boxes([item for item in scene.items if isinstance(item, Label)], scene.frame)
        drawn = np.vstack(
            [
                item.points
                for name in ("humeral socket", "forearm shell", "elbow unit", "housing", "second housing")
                for item in _named(scene, name)
                if isinstance(item, (Line, Region))
            ]
        )
        for left, low, right, high in rooms:
            x, y = drawn.T
            assert not ((x > left) & (x < right) & (y > low) & (y < high)).any()
            assert left > scene.frame.left
            assert right < scene.frame.right
        for a, b in combinations(rooms, 2):
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], (who, bent)
        for name in ("forearm shell", "humeral socket", "fixed finger"):
            points = np.vstack([item.points for item in _named(scene, name) if isinstance(item, (Line, Region))])
            assert points[:, 1].max() < scene.frame.top
            assert points[:, 1].min() > scene.frame.bottom
            assert points[:, 0].min() > scene.frame.left
            assert points[:, 0].max() < scene.frame.right


def test_the_side_view_of_a_left_arm_mirrors_that_of_a_right_one() -> None:
    ours, theirs = (lift_scene(_lifting(_system("small woman", side), 90.0)) for side in ("right", "left"))
    for name in (
        "moment arm",
        "line of the cable",
        "forearm shell",
        "humeral socket",
        "housing",
        "lever of the weight",
    ):
        one, other = (
            np.vstack([item.points for item in _named(scene, name) if isinstance(item, (Line, Region))])
            for scene in (ours, theirs)
        )
        mirrored = one * [-1, 1]
        extent = mirrored.min(axis=0), mirrored.max(axis=0)
        assert np.allclose(extent, (other.min(axis=0), other.max(axis=0)), atol=1e-6), name


def test_the_same_side_view_has_the_same_bytes(man: DualControl) -> None:
    lifting = _lifting(man, 90.0)
    first = render_svg(lift_scene(lifting, lock=LOCK))
    above_elbow.cache_clear()
    assert render_svg(lift_scene(lifting, lock=LOCK)) == first


# ---------------------------------------------------------------- the charts


def _charts(system: DualControl, **asked: object) -> Iterator[Chart]:
    yield lift_force_chart(system.lift(), **asked)  # type: ignore[arg-type]
    yield dual_excursion_chart(system.open_locked(), **asked)  # type: ignore[arg-type]
    yield live_lift_chart(system.live_lift(), **asked)  # type: ignore[arg-type]
    yield live_grip_chart(system.live_lift(), **asked)  # type: ignore[arg-type]


def test_strokes_mark_where_the_device_opens_too_early_and_nowhere_else(man: DualControl) -> None:
    lifted = man.lift()
    early = lifted.elbow_flexion[~lifted.stays_shut]
    assert 0 < len(early) < len(lifted.elbow_flexion)
    chart = lift_force_chart(lifted)
    (hatch,) = (curve for curve in chart.curves if curve.style == "hatch")
    assert hatch.name == "too early"
    assert hatch.y.min() >= lifted.opening_force - 1e-9
    assert hatch.x.min() <= np.rad2deg(early[0]) + 1e-9
    assert np.rad2deg(early[-1]) - 2.0 <= hatch.x.max() <= np.rad2deg(early[-1]) + 10.0
    assert "opens too early over 15° to 25°" in chart.words
    shut = lift_force_chart(man.lift([deg(60), deg(90), deg(120)]))
    assert "hatch" not in {curve.style for curve in shut.curves}
    assert "stays shut at every angle" in shut.words


def test_where_no_pull_lifts_is_left_out_of_the_curves_and_told(man: DualControl) -> None:
    """A loop far behind the forearm's line: up to 27 degrees the cable passes behind the axis."""
    lifted = replace(man, line=LiftLine(loop_ahead=-0.020)).lift()
    stuck = ~np.isfinite(lifted.lift_force)
    assert 0 < stuck.sum() < 4
    chart = lift_force_chart(lifted)
    assert all(np.isfinite(curve.y).all() for curve in chart.curves)
    assert min(curve.x.min() for curve in chart.curves) > 26.0
    assert "At 15° and 25° no pull lifts: the cable passes through or behind the axis." in chart.words


def test_where_no_pull_lifts_at_all_nothing_else_is_claimed(man: DualControl) -> None:
    """A housing end behind the axis: the cable extends the elbow at every angle, so no force is largest anywhere."""
    lifted = replace(man, line=LiftLine(end_ahead=-0.040, loop_ahead=-0.040)).lift([deg(20), deg(30)])
    assert not np.isfinite(lifted.lift_force).any()
    chart = lift_force_chart(lifted, elbow_flexion=deg(20))
    assert "No pull lifts the forearm anywhere over 20° to 30°" in chart.words
    for claimed in ("most", "no value", "stays shut", "too early"):
        assert claimed not in chart.words
    assert not chart.curves
    assert not chart.markers
    kept = lift_force_chart(man.lift(), pinned=lifted)
    assert "pinned" not in {curve.name for curve in kept.curves}
    assert all("<svg" in render_svg(one) for one in (chart, kept))


def test_the_excursion_chart_draws_what_was_found(man: DualControl) -> None:
    opened = man.open_locked()
    chart = dual_excursion_chart(opened, elbow_flexion=deg(85))
    found = {curve.name: curve for curve in chart.curves}
    at = np.rad2deg(opened.elbow_flexion)
    for name, values in (
        ("captured", opened.captured),
        ("taken by lift", opened.taken_by_lift),
        ("left to open", opened.left_for_opening),
    ):
        assert np.allclose(np.interp(at, found[name].x, found[name].y), 1e3 * values)
    assert len({curve.style for curve in chart.curves}) == 3
    assert len(chart.markers) == 3
    full = opened.elbow_flexion[[limit == "nothing" for limit in opened.limited_by]]
    assert f"It opens fully when locked at {np.rad2deg(full[0]):.0f}°" in chart.words


def test_live_lift_says_what_slips_first(man: DualControl) -> None:
    live = man.live_lift()
    mass, grip = live_lift_chart(live), live_grip_chart(live)
    assert (live.slips_at < live.opens_at).all()
    assert "slips before the device opens" in mass.words
    assert show(float(live.slips_at.min()), "mass", "both", 2) in mass.words
    assert show(live.grip_unpulled, "force") in grip.words
    assert [curve.name for curve in mass.curves] == ["opens", "slips"]


@pytest.mark.parametrize("units", ["metric", "inch-pound", "both"])
@pytest.mark.parametrize("who", WEARERS)
def test_charts_stand_in_a_narrow_column(who: str, units: str) -> None:
    """Letters of 12 points, no two texts over each other, nothing outside."""
    for chart in _charts(_system(who), size=SMALL, units=units, elbow_flexion=deg(85)):
        lay = ChartLayout(chart)
        assert lay.text >= 12.0
        rooms = []
        for text, x, y, anchor, _ in lay.texts:
            wide = len(text) * LETTER * lay.text
            left = {"start": x, "end": x - wide}.get(anchor, x - wide / 2)
            rooms.append((left, y - 0.75 * lay.text, left + wide, y + 0.2 * lay.text))
        for a, b in combinations(rooms, 2):
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], chart.title
        assert max(room[2] for room in rooms) <= SMALL[0] + 1.0, chart.title
        assert render_svg(chart) == render_svg(chart)
