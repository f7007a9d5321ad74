"""Charts and bars in a column 310 points wide: letters of 12 points, no two texts over each other, axes that stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from itertools import combinations
from types import MappingProxyType

import numpy as np
import pytest

from controlkit.draw import EXCURSIONS, Chart, Label, Line, Region, Scene, excursion_scene, render_svg
from controlkit.draw.charts.bars import Bar, Group, bar_scene
from controlkit.draw.charts.cable import Bent, bend_chart, force_chart, path_chart
from controlkit.draw.charts.motion import motion_bars
from controlkit.draw.page.axes import held_axis
from controlkit.draw.page.chart_layout import ChartLayout
from controlkit.labs import (
    chain_lab,
    device_lab,
    dual_lab,
    housing_lab,
    lock_lab,
    motion_lab,
    sequence,
    sequence_lab,
    strap_lab,
)
from controlkit.mechanics import Motion, Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.chain.motions import take_apart
from controlkit.units import deg, mm

SMALL = (310.0, 260.0)
LETTER = 0.55  # width of a letter of a wide typeface, as a share of its height
LABS = {
    "straps": (strap_lab, "arm_flexion = 90 °"),
    "force": (housing_lab, "curves = force"),
    "bends": (housing_lab, "curves = bends"),
    "way": (housing_lab, "curves = way"),
    "grip": (device_lab, "curves = grip"),
    "loop": (device_lab, "curves = force"),
}
Box = tuple[float, float, float, float]


@pytest.fixture(scope="module")
def system() -> SingleControl:
    """An average woman in a figure-of-eight harness."""
    return SingleControl(figure_of_eight(Wearer.average("female")))


def _written(chart: Chart) -> Iterator[Box]:
    """Room of every text, to the right and downwards."""
    lay = ChartLayout(chart)
    for text, x, y, anchor, _ in lay.texts:
        wide = len(text) * LETTER * lay.text
        left = {"start": x, "end": x - wide}.get(anchor, x - wide / 2)
        yield left, y - 0.75 * lay.text, left + wide, y + 0.2 * lay.text


def _apart(boxes: list[Box]) -> None:
    for one, other in combinations(boxes, 2):
        assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1], (one, other)


@pytest.mark.parametrize("name", LABS)
@pytest.mark.parametrize("units", ["metric", "inch-pound"])
def test_charts_of_the_labs_stand_in_a_column(name: str, units: str) -> None:
    """As the labs draw them at first, one to one at that size."""
    make, setting = LABS[name]
    lab = make(setting=setting)
    pictures = lab._page(MappingProxyType(dict(lab.shown["values"])), None, units).pictures  # type: ignore[arg-type]
    (chart,) = (replace(one, size=SMALL) for one in pictures if isinstance(one, Chart))
    boxes = list(_written(chart))
    _apart(boxes)
    for left, high, right, low in boxes:
        assert -1.0 <= left < right <= SMALL[0] + 1.0
        assert 0.0 <= high < low <= SMALL[1]
    svg = render_svg(chart)
    assert 'viewBox="0 0 3100 2600"' in svg
    assert svg.count('font-size="120"') == svg.count("<text")


def test_a_chart_of_the_usual_size_is_as_it_was(system: SingleControl) -> None:
    """Letters of 13 points on 444 by 400."""
    svg = render_svg(excursion_scene(system.sweep([0.0, 0.5, 1.0])))
    assert 'viewBox="0 0 4440 4000"' in svg
    assert 'font-size="120"' not in svg


def test_the_axis_of_excursion_stands_while_ring_strap_arm_and_wearer_change() -> None:
    """With the span of the lab; without, it follows the curves, most of all in inches."""
    held, free = set(), set()
    for who, ring, strap, crossbar in (("female", 40, 0, 0.5), ("male", 60, 40, 0.5), ("male", 160, 0, 0.75)):
        wearer = Wearer.average(who)  # type: ignore[arg-type]
        harness = figure_of_eight(wearer, ring_below_c7=mm(ring), control_strap=mm(strap), crossbar=crossbar)
        motion = SingleControl(harness).sweep(np.deg2rad([0, 30, 60, 90]), elbow_flexion=deg(90))
        for arm in (0.0, 0.5):
            axes = [
                excursion_scene(motion, arm_flexion=arm, span=span, size=SMALL, units="inch-pound").y_axis
                for span in (EXCURSIONS, None)
            ]
            held.add(axes[0])
            free.add(axes[1])
    assert len(held) == 1
    assert held.pop().high == pytest.approx(EXCURSIONS[1] / 0.0254)
    assert len(free) > 1


def test_an_axis_with_a_span_cuts_nothing_off() -> None:
    """What lies beyond the span moves its end to the next number, and only that end."""
    usual = held_axis("path [mm]", (-10.0, 150.0), 20.0, 149.0)
    assert (usual.low, usual.high, usual.ticks) == (-10.0, 150.0, (0.0, 50.0, 100.0, 150.0))
    more, less = held_axis("path [mm]", (-10.0, 150.0), 170.0), held_axis("path [mm]", (-10.0, 150.0), -60.0)
    assert (more.low, more.high) == (-10.0, 200.0)
    assert (less.low, less.high) == (-100.0, 150.0)


def test_every_chart_takes_size_and_span(system: SingleControl) -> None:
    """The charts of the cable hand both on."""
    swing = np.deg2rad([0.0, 45.0, 90.0, 135.0])
    bent, line = Bent(swing, tuple(system.line(float(angle)) for angle in swing)), system.line(deg(90))
    asked = {"size": SMALL}
    force = force_chart(bent, deg(90), line, pull=50.0, least=0.7, span=(0.0, 120.0), units="metric", **asked)
    way = path_chart(bent, deg(90), line, travel=mm(43), span=(-0.1, 0.02), units="metric", **asked)
    wrap = bend_chart(bent, deg(90), line, span=(0.0, deg(360)), **asked)
    assert {chart.size for chart in (force, way, wrap)} == {SMALL}
    assert (force.y_axis.low, force.y_axis.high) == (0.0, 120.0)
    assert (way.y_axis.low, way.y_axis.high) == (-100.0, 20.0)
    assert wrap.y_axis.high == pytest.approx(360.0)


def _bars(scene: Scene) -> list[Box]:
    boxes = []
    for label in (item for item in scene.items if isinstance(item, Label)):
        wide = max(map(len, label.lines)) * LETTER * scene.frame.text
        left = {"start": label.at[0], "end": label.at[0] - wide}.get(label.anchor, label.at[0] - wide / 2)
        half = 0.55 * len(label.lines) * scene.frame.text
        boxes.append((left, label.at[1] - half, left + wide, label.at[1] + half))
    return boxes


@pytest.mark.parametrize("units", ["metric", "inch-pound"])
def test_bars_stand_in_a_column(system: SingleControl, units: str) -> None:
    """Those of the motions, few and many: names, numbers and shares beside each other, none over another."""
    few, many = {"arm_flexion": deg(60)}, {"scapular_abduction": deg(10), "sound_scapular_abduction": deg(10)}
    for angles in (few, {**few, **many, "arm_abduction": deg(40), "shoulder_elevation": deg(10)}):
        apart = take_apart(system, Pose(elbow_flexion=deg(90), **angles))
        for scene in motion_bars(apart, system=system, size=SMALL, units=units):  # type: ignore[arg-type]
            assert scene.beside
            assert scene.frame.width == pytest.approx(0.310)
            assert scene.frame.text == 0.012
            boxes = _bars(scene)
            _apart(boxes)
            for left, low, right, high in boxes:
                assert scene.frame.left <= left < right <= scene.frame.right
                assert scene.frame.bottom <= low < high <= scene.frame.top


def test_bars_are_not_squeezed_in_a_column(system: SingleControl) -> None:
    """The longest bar of force and that of moment reach over most of the room between names and numbers."""
    apart = take_apart(system, Pose(arm_flexion=deg(60), elbow_flexion=deg(90)))
    _, cost = motion_bars(apart, system=system, size=SMALL, units="metric")
    chain = chain_lab(setting="position = mouth")
    *_, effort = chain._page(MappingProxyType(dict(chain.shown["values"])), None, "metric").pictures
    for scene in (cost, effort):
        assert isinstance(scene, Scene)
        numbers = [one for one in scene.items if isinstance(one, Label) and one.anchor == "middle"]
        left, right = (pick(one.at[0] for one in numbers) for pick in (min, max))
        for row in ("this pull", "allowed", "at most, once"):
            ends = [float(one.points[:, 0].max()) for one in scene.items if isinstance(one, Region) and one.name == row]
            assert all(end - left > 0.7 * (right - left) for end in ends), (row, ends)
        assert right - left > 0.07


def test_published_excursions_stand_apart_from_those_of_the_pose(system: SingleControl) -> None:
    """They are of other people in a pose that is not told, so no whisker lies over a bar of this wearer."""
    for angles, told in (({"arm_flexion": deg(20)}, True), ({"scapular_abduction": deg(20)}, False)):
        apart = take_apart(system, Pose(elbow_flexion=deg(90), **angles))
        lengths, _ = motion_bars(apart, system=system, size=SMALL, units="metric")
        whiskers = [one for one in lengths.items if isinstance(one, Line) and one.style == "whisker"]
        heads = [one for one in lengths.items if isinstance(one, Label) and one.lines[0].startswith("Published")]
        assert (len(whiskers), len(heads)) == ((1, 1) if told else (0, 0))
        assert all(one.points[:, 1].max() < heads[0].at[1] for one in whiskers)


def test_a_joint_that_makes_up_for_a_motion_is_shown_with_its_angle(system: SingleControl) -> None:
    """Held, the device stands, and the arm is not flexed as far as it was set."""
    apart = take_apart(system, Pose(arm_flexion=deg(22), scapular_abduction=deg(20), elbow_flexion=deg(90)))
    for held, name in ((True, "arm flexion 22°"), (False, "arm flexion")):
        lengths, _ = motion_bars(apart, system=system, held=held, size=SMALL, units="metric")
        names = [one.lines[0] for one in lengths.items if isinstance(one, Label)]
        assert names.count(name) == (2 if held else 3)
        assert names.count("scapular abduction") == 2


@pytest.mark.parametrize("make", [chain_lab, dual_lab, lock_lab, motion_lab, sequence_lab])
def test_what_stands_beside_the_stage_says_so(make: object) -> None:
    """One picture of each lab is a view, or two are; bars and lists stand beside."""
    lab = make()  # type: ignore[operator]
    pictures = lab._page(MappingProxyType(dict(lab.shown["values"])), None, "metric").pictures
    stage = [one for one in pictures if isinstance(one, Scene) and not one.beside]
    assert 1 <= len(stage) <= 2
    assert len(stage) < len(pictures)
    assert all("een from" in one.words or "een along" in one.words for one in stage)


def test_bars_keep_their_places_while_a_number_gains_a_digit() -> None:
    """What is kept for numbers is wide enough for the next one too."""
    ends = []
    for force in (9.4, 9.9, 10.2, 45.0, 99.9):
        group = Group("Force [{unit}]", (Bar("this pull", force), Bar("allowed", 100.0)), "force", 60.0)
        scene = bar_scene("Forces", "Two bars.", (group,), "metric", size=SMALL)
        ends.append(
            {label.at[0] for label in scene.items if isinstance(label, Label) and label.lines[0].endswith(" N")}
        )
    assert all(end == ends[0] for end in ends)


def test_the_longest_number_of_a_column_is_not_cut_off() -> None:
    """Eight letters of a wide typeface, of which the m is broadest, end within the picture."""
    wide = {"m": 0.98, ".": 0.32, " ": 0.32}
    groups = (Group("Cable drawn [{unit}]", (Bar("right, pulls", 0.1058),), "length", 0.06),)
    scene = bar_scene("", "", groups, "metric", size=SMALL)
    (note,) = (item for item in scene.items if isinstance(item, Label) and item.lines == ("105.8 mm",))
    assert note.at[0] + scene.frame.text * sum(wide.get(letter, 0.64) for letter in note.lines[0]) < scene.frame.right


def test_the_same_motion_has_the_same_curves_at_any_size(system: SingleControl) -> None:
    """A size moves no number."""
    motion: Motion = system.sweep([0.0, 0.4, 0.8])
    large, small = (excursion_scene(motion, size=size) for size in ((444.0, 400.0), SMALL))
    for one, other in zip(large.curves, small.curves, strict=True):
        assert np.array_equal(one.y, other.y)


def test_a_long_list_of_steps_stands_in_a_column() -> None:
    """Right and wrong steps with their amounts, and what follows from them, none over another or out of the picture."""
    steps = (
        "reach-out, pull, let-go, return, pre-position, reach-out, pull, surround, let-go, bring-to-the-mouth, unlock"
    )
    lab = sequence_lab(setting=f"step = {steps}; tell = yes")
    with pytest.MonkeyPatch.context() as patch:
        small = partial(sequence.steps_scene, size=SMALL)
        patch.setattr(sequence, "steps_scene", small)
        pictures = lab._page(MappingProxyType(dict(lab.shown["values"])), None, "metric").pictures
    (scene,) = (one for one in pictures if one.title == "Steps" and isinstance(one, Scene))
    boxes = _bars(scene)
    _apart(boxes)
    for left, low, right, high in boxes:
        assert scene.frame.left <= left < right <= scene.frame.right
        assert scene.frame.bottom <= low < high <= scene.frame.top
