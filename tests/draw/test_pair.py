"""A wearer with a prosthesis on either arm, drawn on small and large wearers, at both levels, from every side."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest

from controlkit.draw import Label, Line, Region, Scene, pair_scene, render_svg
from controlkit.draw.charts.pair import pair_bars
from controlkit.draw.charts.short_limb import short_limb_bars
from controlkit.draw.figure.body import figure
from controlkit.draw.page.scene import Arrow, Ribbon
from controlkit.draw.wearer.short_limb import short_limb_scene
from controlkit.draw.words.pair import crossed_words
from controlkit.mechanics import PairControl, Pose, Wearer, bilateral_pair
from controlkit.mechanics.body.pose import PairPose
from controlkit.mechanics.chain import PairPull
from controlkit.mechanics.elbow import ShortLimbWay, StepUpHinge, forearm_of, short_forearm
from controlkit.units import InputError, deg, mm, show
from tests.written import unpacked

VIEWS = ("back", "front", "side", 1.5 * math.pi)
WEARERS = {
    "small woman": Wearer.at_percentile("female", 5, of="mass", amputated="right"),
    "large man": Wearer.at_percentile("male", 99, of="mass", amputated="right"),
}
LEVELS = {"below, below": ("transradial", None), "below, above": ("transradial", "transhumeral")}
LEVELS |= {"above, above": ("transhumeral", None)}
MOTIONS = {
    "hangs": {"elbow_flexion": deg(60)},
    "flexed": {"arm_flexion": deg(60), "elbow_flexion": deg(60)},
    "forward": {"scapular_abduction": deg(15), "elbow_flexion": deg(60)},
}
OTHER = Pose(elbow_flexion=deg(90), arm_flexion=deg(20))
CONTROL, FRONT = "control attachment strap", "anterior support strap"

Worn = tuple[PairControl, tuple[PairPull, ...]]


def _pair(who: str, levels: str, crossing: str = "ring", side: str = "right") -> PairControl:
    own, there = LEVELS[levels]
    wearer = WEARERS[who].with_(level=own, amputated=side)
    return PairControl(harness=bilateral_pair(wearer, other_level=there, crossing=crossing))


@pytest.fixture(scope="module", params=[(w, n) for w in WEARERS for n in LEVELS], ids=": ".join)
def worn(request: pytest.FixtureRequest) -> Worn:
    """A pair on each wearer, one arm hanging, flexed, and its shoulder forward."""
    pair = _pair(*request.param)
    return pair, tuple(pair.pull("right", OTHER, **motion) for motion in MOTIONS.values())


def _lines(scene: Scene, name: str) -> list[np.ndarray]:
    return [item.points for item in scene.items if isinstance(item, Line | Region) and item.name == name]


def test_both_prostheses_are_drawn_with_all_that_belongs_to_them(worn: Worn) -> None:
    """Two control straps with their cables, two front straps, two devices; one ring; no sound hand."""
    pair, pulls = worn
    above = [pair.worn(side).system.harness.wearer.level == "transhumeral" for side in ("right", "left")]
    for pull in pulls:
        for view in ("back", "front"):
            scene = pair_scene(pull, view, pair=pair)
            straps = [item.name for item in scene.items if isinstance(item, Ribbon)]
            assert (straps.count(CONTROL), straps.count(FRONT)) == (2, 2)
            assert straps.count("lateral suspensor") == sum(above)
            assert straps.count("inverted Y: inner leg") + straps.count("inner leg") <= 2 - sum(above)
            assert len(_lines(scene, "cable to the crossbar")) == 2
            assert len(_lines(scene, "crossbar")) == 2
            assert bool(_lines(scene, "humeral socket")) == any(above)
            assert "axilla loop" not in {getattr(item, "name", "") for item in scene.items}
    back = pair_scene(pulls[0], "back", pair=pair)
    assert {item.name for item in back.items if getattr(item, "name", "") == "ring"}
    patches = figure(pair.harness.wearer, pulls[0].pose).moving + figure(pair.harness.wearer, pulls[0].pose).still
    assert not [patch.name for patch in patches if "hand" in patch.name or patch.name == "sound forearm"]


def test_either_control_strap_reaches_its_own_side(worn: Worn) -> None:
    """From behind the right strap runs to the viewer's right, the left one to her left, and both meet."""
    pair, pulls = worn
    for pull in pulls:
        scene = pair_scene(pull, "back", pair=pair)
        ends = [item.points for item in scene.items if isinstance(item, Ribbon) and item.name == CONTROL]
        (low, high) = sorted(float(points[-1, 0]) for points in ends)
        assert low < -0.1 < 0.1 < high
        middle = pull.junction[[2, 1]]
        for points in ends:
            assert np.linalg.norm(points - middle, axis=1).min() < 0.03


def test_no_two_labels_touch_and_none_leaves_the_window(worn: Worn) -> None:
    pair, pulls = worn
    for pull in pulls:
        for view in VIEWS:
            scene = pair_scene(pull, view, pair=pair)
            boxes = []
            for label in (item for item in scene.items if isinstance(item, Label)):
                wide = max(map(len, label.lines)) * scene.frame.text * 0.5
                tall = len(label.lines) * scene.frame.text * 1.12
                left = {"start": label.at[0], "end": label.at[0] - wide}.get(label.anchor, label.at[0] - wide / 2)
                boxes.append((left, label.at[1] - tall / 2, left + wide, label.at[1] + tall / 2))
            for a, b in combinations(boxes, 2):
                assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1], scene.title
            for left, low, right, high in boxes:
                assert scene.frame.left <= left
                assert right <= scene.frame.right
                assert scene.frame.bottom <= low
                assert high <= scene.frame.top


@pytest.mark.parametrize("levels", LEVELS)
def test_left_and_right_are_mirror_images_from_behind(levels: str) -> None:
    """Every strap, both devices, sockets and the body."""
    right, left = (_pair("small woman", levels, side=side) for side in ("right", "left"))
    ours, theirs = (
        pair_scene(pair.pull(side, OTHER, **MOTIONS["flexed"]), "back", pair=pair)
        for side, pair in (("right", right), ("left", left))
    )
    for name in (CONTROL, FRONT, "socket", "humeral socket", "crossbar", "housing", "contour", "cable"):
        one, other = _lines(ours, name), _lines(theirs, name)
        assert bool(one) == bool(other), name
        if one:
            mirrored, points = np.vstack(one) * [-1, 1], np.vstack(other)
            apart = 0.012 if name == "contour" else 1e-6  # dots of the figure fall elsewhere in a mirror
            for end in (np.min, np.max):
                assert np.allclose(end(mirrored, axis=0), end(points, axis=0), atol=apart), name


def test_a_sewn_crossing_has_a_patch_and_no_ring() -> None:
    pair = _pair("small woman", "below, below", crossing="sewn")
    scene = pair_scene(pair.pull("right", OTHER, **MOTIONS["flexed"]), "back", pair=pair)
    names = {getattr(item, "name", "") for item in scene.items}
    assert "sewn patch" in names
    assert "ring" not in names
    assert "joined on the back by a sewn cross-point" in scene.words


def test_words_say_who_is_drawn_and_what_crosses_over() -> None:
    """They are the alt text."""
    pair = _pair("large man", "below, above")
    pull = pair.pull("right", OTHER, **MOTIONS["forward"])
    scene = pair_scene(pull, "side", pair=pair, units="metric")
    assert "right arm amputated below and left arm above the elbow" in scene.words
    assert "On the right side, which pulls, the arm hangs" in scene.words
    assert "on the left side the arm is flexed 20° and the elbow is flexed 90°" in scene.words
    assert scene.title.endswith("from the side of the arm that pulls")
    assert "(270°)" in pair_scene(pull, 1.5 * math.pi, pair=pair).title
    bars = pair_bars(pull, "metric")
    assert bars.words == crossed_words(pull, "metric")
    assert show(pull.own.harness_force, "force", "metric") in bars.words


def test_the_far_prosthesis_stands_behind_the_near_one() -> None:
    """From its side the arm that pulls is drawn last, from the other side first."""
    pair = _pair("small woman", "below, below")
    pull = pair.pull("right", OTHER, **MOTIONS["flexed"])
    ends = []
    for view in ("side", 1.5 * math.pi):
        bars = _lines(pair_scene(pull, view, pair=pair), "crossbar")
        ends.append(float(bars[-1][:, 1].mean()))
    raised = float(pull.straps[f"right {CONTROL}"][-1][1])
    assert ends[0] == pytest.approx(raised, abs=0.02)
    assert abs(ends[1] - raised) > 0.03


def test_flesh_ends_where_either_limb_does() -> None:
    """Above the elbow the figure's arm is shorter than the socket, on the side that it is said of."""
    wearer = WEARERS["small woman"]
    lowest = []
    for other in ("transradial", "transhumeral"):
        arms = [patch for patch in figure(wearer, PairPose(), other).moving if patch.name.endswith("upper arm")]
        assert [arm.name for arm in arms] == ["upper arm", "sound upper arm"]
        lowest.append([float(arm.points[..., 1].min()) for arm in arms])
    assert lowest[0][0] == pytest.approx(lowest[1][0], abs=1e-9)
    assert lowest[1][1] > lowest[0][1] + 0.02


def test_the_window_stands_still_and_holds_both_devices() -> None:
    pair = _pair("small woman", "below, below")
    pulls = [pair.pull("right", OTHER, **motion) for motion in MOTIONS.values()]
    for view in VIEWS:
        frames = {pair_scene(pull, view, pair=pair, plain=True).frame for pull in pulls}
        assert len(frames) == 1
        scene = pair_scene(pulls[1], view, pair=pair, plain=True)
        for points in _lines(scene, "moving finger"):
            assert scene.frame.left < points[:, 0].min()
            assert points[:, 0].max() < scene.frame.right
            assert scene.frame.bottom < points[:, 1].min()


def test_every_picture_is_small_enough_to_travel(worn: Worn) -> None:
    pair, pulls = worn
    for view in VIEWS:
        text = render_svg(pair_scene(pulls[1], view, pair=pair, pinned=pulls[0]))
        assert len(text) < 90_000
        assert "nan" not in unpacked(text)


def test_what_is_no_pair_is_refused_in_words() -> None:
    pair = _pair("small woman", "below, below")
    with pytest.raises(InputError, match="The pair"):
        pair_scene(pair.pull("right"), pair=None)  # type: ignore[arg-type]
    with pytest.raises(InputError, match="What it was asked"):
        pair_scene(None, pair=pair)  # type: ignore[arg-type]


def _ways(limb: float = 60.0, load: float = 0.2) -> tuple[ShortLimbWay, ...]:
    forearm = forearm_of(WEARERS["small woman"])
    return short_forearm(forearm, limb_flexion=deg(limb), limb_moment=3.0, lever=mm(45), load=load)


@pytest.mark.parametrize("at", range(3))
def test_a_short_limb_is_drawn_at_its_angle_and_its_forearm_at_its_own(at: int) -> None:
    way = _ways()[at]
    scene = short_limb_scene(way, limb_flexion=deg(60), load=0.2, lever=mm(45), units="metric")
    drawn = {item.name: item.points for item in scene.items if isinstance(item, Line)}
    end = drawn["angle of the forearm"][-1]
    assert math.atan2(end[0], -end[1]) == pytest.approx(way.rises_to)
    assert (way.rises_to < way.elbow_flexion) == (not way.holds), "a limb too weak is not drawn holding it up"
    pushes = [item for item in scene.items if isinstance(item, Arrow)]
    assert len(pushes) == (0 if at == 2 else 2)
    if pushes:
        limb = drawn["angle of the limb"][-1]
        assert math.atan2(limb[0], -limb[1]) == pytest.approx(deg(60) * way.rises_to / way.elbow_flexion)
        one, other = (np.subtract(push.end, push.start) for push in pushes)
        assert one == pytest.approx(-other)
        apart = np.linalg.norm(np.subtract(pushes[0].start, pushes[1].start))
        assert apart == pytest.approx(mm(45))
    assert way.name.capitalize() in scene.words
    assert "0.20 kg" in {line for item in scene.items if isinstance(item, Label) for line in item.lines}


def test_bars_of_the_ways_say_what_the_mechanics_does() -> None:
    ways = _ways()
    scene = short_limb_bars(ways, 3.0, "metric")
    texts = {" ".join(item.lines) for item in scene.items if isinstance(item, Label)}
    assert {f"{show(way.limb_moment, 'moment', 'metric', 1)}" for way in ways} <= texts
    assert f"{show(ways[0].most_load, 'mass', 'metric', 2)}" in texts
    assert "what the lock bears" in scene.words


def test_hooks_that_hang_low_are_held_by_the_window_and_the_scale_is_clear_of_them() -> None:
    """Elbows straight: both devices within the field; the scale stands beside the head."""
    pair = _pair("small woman", "below, below")
    for view in ("back", "side", math.pi * 1.5):
        scene = pair_scene(pair.pull("right", Pose()), view, pair=pair, plain=True, units="metric")
        frame = scene.frame
        hooks = {"fixed finger", "moving finger"}
        device = [item.points for item in scene.items if isinstance(item, Line | Region) and item.name in hooks]
        assert device
        assert min(float(points[:, 1].min()) for points in device) > frame.bottom
        scale = next(item.points for item in scene.items if isinstance(item, Line) and item.name == "scale")
        assert float(scale[:, 1].min()) > frame.bottom + 0.8 * frame.height


@pytest.mark.parametrize("view", [*VIEWS, deg(225), deg(300)])
def test_arms_held_far_out_stay_in_the_field(view: str | float) -> None:
    """A straight arm level before the wearer, and one behind, of a large man: both hooks whole, from every side."""
    wearer = Wearer.at_percentile("male", 95, amputated="right")
    pair = PairControl(harness=bilateral_pair(wearer))
    for motion in ({"arm_flexion": deg(90), "scapular_abduction": deg(25)}, {"arm_flexion": deg(-30)}):
        pull = pair.pull("right", Pose(arm_flexion=deg(90)), **motion)
        scene = pair_scene(pull, view, pair=pair, plain=True)  # type: ignore[arg-type]
        hooks = [line for name in ("fixed finger", "moving finger", "socket") for line in _lines(scene, name)]
        assert hooks
        for points in hooks:
            assert scene.frame.left < points[:, 0].min()
            assert points[:, 0].max() < scene.frame.right
            assert scene.frame.bottom < points[:, 1].min()


def test_each_way_of_a_short_limb_shows_what_tells_it_apart() -> None:
    """Wheels with teeth, one shell with a rim and no hinge, a bolt with a cable; wheels follow the step-up."""

    def parts(scene: Scene) -> set[str]:
        return {item.name for item in scene.items if isinstance(item, Line | Region) and item.name}

    def wheels(ratio: float) -> list[float]:
        forearm = forearm_of(WEARERS["small woman"])
        limb = {"limb_flexion": deg(50), "limb_moment": 8.0, "lever": mm(45)}
        way = short_forearm(forearm, **limb, hinge=StepUpHinge(ratio))[0]
        scene = short_limb_scene(way, limb_flexion=deg(50), load=0.0, lever=mm(45))
        rims = [item.points for item in scene.items if isinstance(item, Region) and item.name.startswith("wheel")]
        return [float(np.ptp(points[:, 0])) for points in rims]

    split, piece, lock = (parts(short_limb_scene(way, limb_flexion=deg(60), load=0.0, lever=mm(45))) for way in _ways())
    hinged = {"hinge", "cuff on the upper arm", "socket of the limb", "forearm shell"}
    assert hinged <= split & lock
    assert not hinged & piece
    assert {"socket in one piece", "rim of the socket", "residual limb"} <= piece - split - lock
    assert {"bolt of the lock", "cable that lifts"} <= lock - split - piece
    locking = short_limb_scene(_ways()[2], limb_flexion=deg(60), load=0.0, lever=mm(45))
    (cable,) = (item.points for item in locking.items if isinstance(item, Line) and item.name == "cable that lifts")
    assert len(cable) == 2, "a cable that only pulls runs straight from its guide to the forearm"
    assert wheels(1.0) == []
    large, small = wheels(2.0)
    assert large / small == pytest.approx(2.0, rel=0.05)
