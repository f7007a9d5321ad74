"""Pictures for a small stage: without margins, two views beside each other, the window still, words clear of straps."""

from __future__ import annotations

import re
from itertools import combinations

import numpy as np
import pytest

from controlkit.draw import (
    Arrow,
    Dot,
    Frame,
    Label,
    Line,
    Region,
    Scene,
    force_polygon_scene,
    housing_scene,
    legend,
    render_matplotlib,
    wearer_scene,
)
from controlkit.draw.gear.metal import RING
from controlkit.draw.page.labels import boxes, dense
from controlkit.draw.page.style import STYLES
from controlkit.draw.wearer.motion import motion_scene
from controlkit.draw.wearer.parts import PARTS, parts_scene
from controlkit.draw.wearer.window import plain_window, wide_window
from controlkit.draw.words.pull import forces_on_ring
from controlkit.mechanics import ControlCable, Housing, Pose, Pull, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.outline import project
from controlkit.mechanics.chain.motions import take_apart
from controlkit.units import deg, mm

VIEWS = ("back", "side", "front")
ANGLES = (0.0, 30.0, 60.0, 90.0)
WEARERS = {
    "small woman": lambda side: Wearer.at_percentile("female", 5, amputated=side),
    "average woman": lambda side: Wearer.average("female", amputated=side),
    "very large man": lambda side: Wearer.at_percentile("male", 95, amputated=side),
}
LEVEL = [Pose(arm_flexion=deg(angle), elbow_flexion=deg(90 - angle)) for angle in ANGLES]
BENT = [Pose(arm_flexion=deg(angle), elbow_flexion=deg(90)) for angle in ANGLES]
SHORT = {"loop": "axilla loop", "control": "control attachment strap", "support": "anterior support strap"}
SHORT |= {"skin": "skin", "back": "back"}
STAGE = (560.0, 300.0)  # picture points there are for two views


@pytest.fixture(scope="module", params=[(who, side) for who in WEARERS for side in ("left", "right")], ids=" ".join)
def worn(request: pytest.FixtureRequest) -> tuple[SingleControl, tuple[Pull, ...]]:
    """Each wearer, either side, the forearm level and then bent at a right angle while the arm flexes."""
    who, side = request.param
    system = SingleControl(figure_of_eight(WEARERS[who](side)))
    return system, system.over([*LEVEL, *BENT])


def scenes(worn: tuple[SingleControl, tuple[Pull, ...]], view: str, **asked: bool) -> list[Scene]:
    """A plain picture of every pose."""
    system, pulls = worn
    return [
        wearer_scene(pull, view, system=system, plain=True, units="metric", **asked)  # type: ignore[arg-type]
        for pull in pulls
    ]


def clear(scene: Scene) -> None:
    """No two texts touch, none leaves the window, and none lies on a strap."""
    labels = [item for item in scene.items if isinstance(item, Label)]
    taken = boxes(labels, scene.frame)
    frame = scene.frame
    for one, other in combinations(taken, 2):
        assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1], scene.title
    for (left, low, right, high), label in zip(taken, labels, strict=True):
        assert frame.left <= left < right <= frame.right, label.lines
        assert frame.bottom <= low < high <= frame.top, label.lines
        for item in scene.items:
            if isinstance(item, Line) and STYLES[item.style].webbing:
                x, y = dense([item.points], 0.003).T
                assert not ((x > left) & (x < right) & (y > low) & (y < high)).any(), (label.lines, item.name)


@pytest.mark.parametrize("view", VIEWS)
def test_the_window_stands_still_and_holds_head_device_and_straps(
    worn: tuple[SingleControl, tuple[Pull, ...]], view: str
) -> None:
    """Whatever the arm does, and however the forearm is held meanwhile."""
    drawn = scenes(worn, view)
    (frame,) = {scene.frame for scene in drawn}
    whole = {"socket", "wrist unit", "fixed finger", "moving finger", *worn[1][0].straps}
    for scene in drawn:
        seen: dict[str, np.ndarray] = {}
        for item in scene.items:
            if isinstance(item, Line | Region):
                seen[item.name] = np.vstack([seen.get(item.name, np.empty((0, 2))), item.points])
        assert {"socket", "contour", *worn[1][0].straps} <= set(seen)
        assert seen["contour"][:, 1].max() < frame.top, "the head"
        for name in whole & set(seen):
            low, high = seen[name].min(axis=0), seen[name].max(axis=0)
            assert (low > [frame.left, frame.bottom]).all(), (name, view)
            assert (high < [frame.right, frame.top]).all(), (name, view)


def test_two_views_fit_on_the_stage_at_one_scale_with_letters_that_can_be_read(
    worn: tuple[SingleControl, tuple[Pull, ...]],
) -> None:
    """Straight behind beside any other view: equally high, as large as the stage is wide, 12 points to a line."""
    back, side, front = (scenes(worn, view)[0].frame for view in VIEWS)
    for one in (side, front):
        assert (one.bottom, one.top, one.text) == (back.bottom, back.top, back.text)
        point = STAGE[0] / (one.width + back.width)
        assert point * back.height <= STAGE[1]
        assert point > 250.0, "a strap of 25 mm is more than six points wide"
        assert point * side.text >= 11.5


def test_the_scale_is_the_same_from_every_azimuth_and_for_every_wearer_of_the_labs() -> None:
    """Windows are equally wide while the viewer goes round, and beside a larger wearer a small one looks small."""
    turns = ["side", *(deg(turn) for turn in range(15, 360, 30))]
    for choose in (plain_window, wide_window):
        widths = {
            round(choose(who(side), BENT[0], view).width, 9)
            for who in WEARERS.values()
            for side in ("left", "right")
            for view in turns
        }
        assert len(widths) == 1, choose.__name__
    straight = {
        round(plain_window(who("right"), BENT[0], view).width, 9)
        for who in WEARERS.values()
        for view in ("back", "front")
    }
    assert len(straight) == 1
    assert max(straight) < 0.85 * plain_window(WEARERS["very large man"]("right"), BENT[0], "side").width


def test_nothing_of_a_very_large_wearer_is_cut_at_the_sides() -> None:
    """Not the sound arm, which stands off, and not the hook, from any azimuth."""
    wearer = Wearer.measured("male", stature=1.93, mass=130.0).with_(amputated="left")
    system = SingleControl(figure_of_eight(wearer))
    for pull in system.over([Pose(arm_flexion=deg(a), elbow_flexion=deg(90 - a)) for a in (0, 60)]):
        for view in ("back", "front", *(deg(turn) for turn in range(30, 360, 45))):
            for wide in (False, True):
                scene = wearer_scene(pull, view, system=system, plain=True, wide=wide)
                for item in scene.items:
                    if isinstance(item, Line | Region):
                        x = item.points[item.points[:, 1] >= scene.frame.bottom, 0]
                        assert len(x) == 0 or scene.frame.left < x.min() <= x.max() < scene.frame.right, item.name


@pytest.mark.parametrize("view", VIEWS)
def test_nothing_but_scale_and_moment_arm_is_written_and_it_stands_clear(
    worn: tuple[SingleControl, tuple[Pull, ...]], view: str
) -> None:
    """The scale is in one view, the moment arm in the side view, and the straps are told in the words still."""
    for scene, bare, pull in zip(
        scenes(worn, view, lever=True, forces=True), scenes(worn, view, scale=False), worn[1], strict=True
    ):
        texts = [item.lines for item in scene.items if isinstance(item, Label)]
        moment_arm = [(f"r = {1000 * pull.moment_arm:.0f} mm",)] if view == "side" else []
        arrows = {item.name.split(" on the ")[0] for item in scene.items if isinstance(item, Arrow)}
        force = [lines for lines in texts if re.fullmatch(r"\d+ N", lines[-1])]
        assert [lines for lines in texts if lines not in force] == [("100 mm",), *moment_arm]
        assert bool(arrows) == bool(force)
        for words, _ in [lines for lines in force if len(lines) == 2]:
            assert words in SHORT
            assert SHORT[words] in arrows
        assert not [item for item in bare.items if isinstance(item, Label)]
        assert not [item for item in bare.items if isinstance(item, Line) and item.name == "scale"]
        clear(scene)
        for name in pull.ring_forces:
            assert name in scene.words


def test_arrows_stand_clear_of_the_ring_and_are_named_and_their_scale_stands_with_that_of_lengths(
    worn: tuple[SingleControl, tuple[Pull, ...]],
) -> None:
    """The ring can be seen; forces bear names and sizes, from behind the largest does; one glance finds both scales."""
    system, pulls = worn
    for view in ("back", deg(20), deg(325)):
        for pull in pulls[1:4]:
            scene = wearer_scene(pull, view, system=system, plain=True, forces=True, units="metric")  # type: ignore[arg-type]
            arrows = {item.name: item for item in scene.items if isinstance(item, Arrow)}
            key = arrows.pop("scale of the forces")
            assert len(arrows) > 1
            middle = project(pull.ring[None], view, system.harness.wearer.amputated)[0]  # type: ignore[arg-type]
            for arrow in arrows.values():
                shaft = dense([np.array([arrow.start, arrow.end])], 0.002) - middle
                assert np.hypot(*shaft.T).min() > RING + 0.004, arrow.name
            long = {
                name.split(" on the ")[0]: float(np.hypot(*np.subtract(one.end, one.start)))
                for name, one in arrows.items()
            }
            said = {item.lines for item in scene.items if isinstance(item, Label)}
            named = {(SHORT[words], size) for words, size in (one for one in said if len(one) == 2)}
            sizes = {name: f"{np.linalg.norm(force):.0f} N" for name, force in forces_on_ring(pull).items()}
            assert named <= set(sizes.items())
            assert len(named) >= 2
            if view == "back":
                assert max(long, key=lambda name: long[name]) in dict(named)
            (bar,) = (item.points for item in scene.items if isinstance(item, Line) and item.name == "scale")
            apart = np.subtract(key.end, key.start) * 0.5 + key.start - bar.mean(axis=0)
            assert np.hypot(*apart) < 7.0 * scene.frame.text


def test_the_value_of_the_moment_arm_does_not_jump_about(worn: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """While the forearm is held level, it stands in one place."""
    drawn = scenes(worn, "side", lever=True, scale=False)[: len(LEVEL)]
    assert len({item.at for scene in drawn for item in scene.items if isinstance(item, Label)}) == 1


def test_a_low_device_takes_the_wide_window() -> None:
    """With the elbow straight it would hang out of the narrow one."""
    system = SingleControl(figure_of_eight(Wearer.average("female")))
    hanging, bent = system.over([Pose(elbow_flexion=0.0), BENT[0]])
    low, near = (wearer_scene(pull, "side", system=system, plain=True).frame for pull in (hanging, bent))
    assert low.bottom < near.bottom - 0.2
    assert low == wearer_scene(bent, "side", system=system, plain=True, wide=True).frame


def test_the_legend_lists_the_straps_that_are_drawn_with_their_looks() -> None:
    """One entry a strap, both legs of the inverted Y as one; a picture without straps has none."""
    system = SingleControl(figure_of_eight(Wearer.average("male"), cross_back=0.0))
    keys = legend(wearer_scene(system.at(elbow_flexion=deg(90)), "back", system=system, plain=True))
    assert sorted(key.name for key in keys) == sorted(
        ["axilla loop", "control attachment strap", "anterior support strap", "inverted Y", "cross-back strap"]
    )
    for key in keys:
        look = STYLES[key.name]
        assert (key.edge, key.tint, key.seam) == (look.colour, look.tint, look.seam)
    assert len({(key.tint, key.seam) for key in keys}) == len(keys), "each strap has a look of its own"
    assert len({key.seam for key in keys if key.name != "inverted Y"}) == 4, "and without colour too"
    assert legend(Scene("Nothing", "Nothing.", Frame(0, 0, 1, 1))) == ()


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_motion_keeps_its_window_and_its_words_apart(side: str) -> None:
    """In all views, from hanging with a straight elbow to a raised arm, with the way of the device."""
    system = SingleControl(figure_of_eight(WEARERS["average woman"](side)))
    for view in VIEWS:
        frames = set()
        for flexion, elbow in ((0, 0), (30, 0), (60, 90), (90, 90), (-40, 60)):
            apart = take_apart(system, Pose(arm_flexion=deg(flexion), elbow_flexion=deg(elbow)))
            scene = motion_scene(apart, view, system=system, plain=True, lever=True, units="metric")  # type: ignore[arg-type]
            frames.add(scene.frame)
            labels = [item for item in scene.items if isinstance(item, Label)]
            for one, other in combinations(boxes(labels, scene.frame), 2):
                assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            (device,) = (item.at for item in scene.items if isinstance(item, Dot) and item.name.startswith("where"))
            assert scene.frame.bottom < device[1] < scene.frame.top
        assert len(frames) == 1


@pytest.mark.parametrize("view", VIEWS)
def test_parts_bear_their_numbers_and_no_two_numbers_touch(view: str) -> None:
    """Those that can be seen, in the order in which they are listed."""
    system = SingleControl(figure_of_eight(Wearer.average("female")))
    for pose in (BENT[0], BENT[1]):
        scene = parts_scene(system.over([pose])[0], view, system=system, plain=True, scale=False)  # type: ignore[arg-type]
        labels = [item for item in scene.items if isinstance(item, Label)]
        numbers = [int(label.lines[0]) for label in labels]
        assert numbers == sorted(set(numbers))
        assert set(numbers) <= set(range(1, len(PARTS) + 1))
        assert len(numbers) >= 7
        for one, other in combinations(boxes(labels, scene.frame), 2):
            assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


def test_margins_stay_without_plain() -> None:
    """A figure in print has its words beside it, and the window that it had."""
    system = SingleControl(figure_of_eight(Wearer.average("male"), ring_below_c7=mm(80)))
    scene = wearer_scene(system.at(arm_flexion=deg(30)), "back", system=system)
    texts = {" ".join(item.lines) for item in scene.items if isinstance(item, Label)}
    assert {"axilla loop", "control attachment strap", "ring", "C7", "100 mm"} <= texts
    assert scene.frame.width == pytest.approx(0.72 * system.harness.wearer.stature)
    assert np.isclose(scene.frame.text, 0.0195 * system.harness.wearer.stature)


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("units", ["metric", "inch-pound"])
def test_words_beside_the_elbow_stand_apart_and_inside(side: str, units: str) -> None:
    """With a housing, a loose one and none, from the straight to the bent elbow, in letters of 12 points."""
    wearer = Wearer.at_percentile("female", 5, amputated=side)
    for housing in (Housing(), Housing(fixed=False), None):
        system = SingleControl(figure_of_eight(wearer), ControlCable(housing=housing))
        frames = set()
        for angle in (0.0, 45.0, 90.0, 135.0):
            line = system.line(deg(angle))
            scene = housing_scene(line, deg(angle), system=system, pull=50.0, plain=True, units=units)  # type: ignore[arg-type]
            frames.add(scene.frame)
            labels = [item for item in scene.items if isinstance(item, Label)]
            taken = boxes(labels, scene.frame)
            assert len(taken) >= 5
            for one, other in combinations(taken, 2):
                assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            for left, low, right, high in taken:
                assert scene.frame.left <= left < right <= scene.frame.right
                assert scene.frame.bottom <= low < high <= scene.frame.top
            drawn = [i.points for i in scene.items if isinstance(i, Line | Region) and len(i.points) > 1]
            drawn += [np.array([i.start, i.end]) for i in scene.items if isinstance(i, Arrow)]
            x, y = dense(drawn, 0.004).T
            for (left, low, right, high), label in zip(taken, labels, strict=True):
                assert not ((x > left) & (x < right) & (y > low) & (y < high)).any(), (label.lines, angle)
        (frame,) = frames
        assert 300.0 * frame.text / frame.height >= 11.9
        assert 300.0 * frame.width / frame.height <= STAGE[0]


def test_print_draws_the_same_stage() -> None:
    """Plain views, the moment arm and the polygon go through the other ink too, with the same texts."""
    system = SingleControl(figure_of_eight(Wearer.average("male"), control_strap=mm(5)))
    pull = system.at(arm_flexion=deg(45), elbow_flexion=deg(45))
    pictures = (wearer_scene(pull, "side", system=system, plain=True, lever=True), force_polygon_scene(pull))
    for scene in pictures:
        written = {line for text in render_matplotlib(scene).texts for line in text.get_text().split("\n")}
        assert {line for item in scene.items if isinstance(item, Label) for line in item.lines} <= written


@pytest.mark.parametrize("view", ["side", "back", "front", 0.7, 2.3])
def test_numbers_of_parts_stand_clear_of_straps_and_arm_and_have_a_leader(
    worn: tuple[SingleControl, tuple[Pull, ...]], view: float
) -> None:
    """Whoever looks at a part is not told its number by covering it, and no number covers another."""
    system, pulls = worn
    for pull in pulls[:3]:
        scene = parts_scene(pull, view, system=system, plain=True)  # type: ignore[arg-type]
        numbers = [item for item in scene.items if isinstance(item, Label) and item.lines[0].isdigit()]
        assert len(numbers) > 7
        taken = boxes(numbers, scene.frame)
        for one, other in combinations(taken, 2):
            assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        parts = [
            item.points
            for item in scene.items
            if isinstance(item, Line | Region)
            and (STYLES[item.style].webbing or item.name in ("socket", "triceps pad", "contour"))
        ]
        x, y = dense(parts, 0.004).T
        for (left, low, right, high), label in zip(taken, numbers, strict=True):
            assert label.target is not None
            assert not ((x > left) & (x < right) & (y > low) & (y < high)).any(), label.lines
