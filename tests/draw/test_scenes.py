"""The wearer and the excursions as scenes, from real results."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from controlkit.draw import Arrow, Label, Line, Scene, excursion_scene, render_svg, wearer_scene
from controlkit.draw.words.pull import comparison_words, excursion_words, forces_on_ring
from controlkit.mechanics import Motion, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.outline import project
from controlkit.units import deg, mm, show
from tests.written import unpacked

VIEWS = ("back", "side", "front")


@pytest.fixture(scope="module", params=["left", "right"])
def system(request: pytest.FixtureRequest) -> SingleControl:
    """An average man, each side in turn."""
    return SingleControl(figure_of_eight(Wearer.average("male", amputated=request.param), ring_below_c7=mm(80)))


@pytest.fixture(scope="module")
def motion(system: SingleControl) -> Motion:
    """Flexion in steps of 15 degrees, elbow at 90."""
    return system.sweep(np.deg2rad([0, 15, 30, 45, 60, 75, 90]), elbow_flexion=deg(90))


def _boxes(scene: Scene) -> list[tuple[float, float, float, float]]:
    boxes = []
    for label in scene.items:
        if isinstance(label, Label):
            wide = max(map(len, label.lines)) * scene.frame.text * 0.5
            tall = len(label.lines) * scene.frame.text * 1.12
            left = {"start": label.at[0], "end": label.at[0] - wide}.get(label.anchor, label.at[0] - wide / 2)
            boxes.append((left, label.at[1] - tall / 2, left + wide, label.at[1] + tall / 2))
    return boxes


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("forces", [False, True])
def test_labels_do_not_overlap_and_stay_inside(system: SingleControl, motion: Motion, view: str, forces: bool) -> None:
    """In every pose and view no two labels touch, and none leaves the window."""
    for pull in motion.pulls:
        scene = wearer_scene(pull, view, system=system, forces=forces)  # type: ignore[arg-type]
        boxes = _boxes(scene)
        assert len(boxes) >= 2
        for a, b in combinations(boxes, 2):
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            assert apart, (view, pull.pose.arm_flexion)
        for left, low, right, high in boxes:
            assert scene.frame.left <= left
            assert right <= scene.frame.right
            assert scene.frame.bottom <= low
            assert high <= scene.frame.top


def test_window_stands_still_in_motion(system: SingleControl, motion: Motion) -> None:
    """An animation does not jump."""
    for view in VIEWS:
        assert len({wearer_scene(pull, view, system=system).frame for pull in motion.pulls}) == 1  # type: ignore[arg-type]


def test_every_strap_is_in_every_view(system: SingleControl, motion: Motion) -> None:
    """Seen or dashed, no strap is left out, and what lies on the other side of the body is dashed."""
    for view in VIEWS:
        scene = wearer_scene(motion.pulls[2], view, system=system)  # type: ignore[arg-type]
        lines = {item.name: item for item in scene.items if isinstance(item, Line)}
        for name in ("axilla loop", "anterior support strap", "control attachment strap", "cable", "crossbar"):
            assert name in lines, (view, name)
    front = wearer_scene(motion.pulls[0], "front", system=system)
    strap = next(i for i in front.items if isinstance(i, Line) and i.name == "control attachment strap")
    assert strap.hidden is not None
    assert strap.hidden.mean() > 0.8


def test_sides_mirror(motion: Motion, system: SingleControl) -> None:
    """A left and a right wearer are mirror images from behind."""
    other = "left" if system.harness.wearer.amputated == "right" else "right"
    twin = SingleControl(figure_of_eight(Wearer.average("male", amputated=other), ring_below_c7=mm(80)))
    angles = {"arm_flexion": deg(30), "elbow_flexion": deg(90)}
    ours = wearer_scene(system.at(**angles), "back", system=system)
    theirs = wearer_scene(twin.at(**angles), "back", system=twin)
    a, b = (
        next(item.points for item in scene.items if isinstance(item, Line) and item.name == "axilla loop")
        for scene in (ours, theirs)
    )
    assert np.allclose(a * [-1, 1], b, atol=1e-6)


def test_arrows_are_the_forces_of_the_result(system: SingleControl, motion: Motion) -> None:
    """From the ring's edge, to one scale, and together they close."""
    pull = motion.pulls[4]
    scene = wearer_scene(pull, "back", system=system, forces=True)
    drawn = [i for i in scene.items if isinstance(i, Arrow)]
    arrows = [arrow for arrow in drawn if arrow.name != "scale of the forces"]
    assert len(arrows) >= 2
    ring = project(pull.ring[None], "back", system.harness.wearer.amputated)[0]
    assert len({round(float(np.hypot(*(arrow.start - ring))), 9) for arrow in arrows}) == 1
    total = sum(np.subtract(arrow.end, arrow.start) for arrow in arrows)
    longest = max(float(np.hypot(*np.subtract(arrow.end, arrow.start))) for arrow in arrows)
    assert np.hypot(*total) < 0.06 * longest
    (scale,) = (arrow for arrow in drawn if arrow.name == "scale of the forces")
    (said,) = (i.lines[0] for i in scene.items if isinstance(i, Label) and i.lines[0].endswith(" N"))
    forces = forces_on_ring(pull)
    for arrow in arrows:  # those that lie in the picture are as long as the scale says
        force = forces[arrow.name.removesuffix(" on the ring")]
        seen = float(np.hypot(force[1], force[2])) / float(said.split()[0]) * (scale.end[0] - scale.start[0])
        assert np.hypot(*np.subtract(arrow.end, arrow.start)) == pytest.approx(seen, rel=1e-6)


def test_pinned_setting_is_a_grey_ghost(system: SingleControl, motion: Motion) -> None:
    """Thin lines, no labels of their own."""
    plain = wearer_scene(motion.pulls[2], "back", system=system)
    ghost = wearer_scene(motion.pulls[2], "back", system=system, pinned=motion.pulls[0])
    extra = [i for i in ghost.items if isinstance(i, Line) and i.style == "pinned"]
    assert len(extra) >= 4
    assert len(_boxes(ghost)) == len(_boxes(plain))


def test_words_carry_the_numbers_of_the_result(motion: Motion, system: SingleControl) -> None:
    """In both unit systems, and the same in the picture's description."""
    pull = motion.pulls[4]
    for units in ("metric", "inch-pound", "both"):
        words = excursion_words(pull, units)  # type: ignore[arg-type]
        for value in (pull.excursion.generated, pull.excursion.captured, pull.excursion.required, pull.opening):
            assert show(value, "length", units) in words  # type: ignore[arg-type]
    scene = wearer_scene(pull, "back", system=system, forces=True)
    for force in forces_on_ring(pull).values():
        assert show(float(np.linalg.norm(force)), "force") in scene.words
    assert "flexed 60°" in scene.words
    assert "no change" in comparison_words(pull, pull)


def test_chart_holds_the_curves_of_the_motion(motion: Motion) -> None:
    """Values as computed, the present angle marked, the pinned curve added."""
    chart = excursion_scene(motion, arm_flexion=deg(30), pinned=motion, units="metric")
    curves = {curve.name: curve for curve in chart.curves}
    assert set(curves) == {"generated", "captured", "required", "pinned"}
    computed = np.interp(np.degrees(motion.arm_flexion), curves["captured"].x, curves["captured"].y)
    assert np.allclose(computed, motion.captured * 1000)
    assert chart.thresholds[0].value == pytest.approx(30)
    assert chart.markers[-1].y == pytest.approx(motion.captured[2] * 1000)
    assert chart.y_axis.high >= float(motion.generated.max()) * 1000
    inch = excursion_scene(motion, units="inch-pound")
    assert inch.curves[-1].y[-1] == pytest.approx(motion.captured[-1] / 0.0254)
    assert show(float(motion.captured[-1]), "length", "inch-pound") in inch.words


def test_svg_is_small(system: SingleControl, motion: Motion) -> None:
    """Short enough to travel for each key that is pressed."""
    text = render_svg(wearer_scene(motion.pulls[2], "back", system=system, forces=True))
    assert len(text) < 60_000
    assert "nan" not in unpacked(text)
