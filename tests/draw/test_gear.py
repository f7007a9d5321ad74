"""What is worn, part by part: true sizes, joined where it is joined, hidden by what stands before it, from anywhere."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from controlkit.draw import Label, Line, Region, Scene, wearer_scene
from controlkit.draw.gear.arm import Arm
from controlkit.draw.gear.cuff import hinge_lines, hinge_starts
from controlkit.draw.gear.metal import RING
from controlkit.draw.page.labels import boxes, dense
from controlkit.draw.page.scene import Dot, Points, Ribbon
from controlkit.draw.wearer.posed import covered, posed_joints
from controlkit.draw.wearer.window import plain_window, wide_window, window
from controlkit.draw.wearer.worn import look
from controlkit.draw.words.pull import View
from controlkit.mechanics import Pose, Pull, SingleControl, Wearer, chest_strap, figure_of_eight, figure_of_nine
from controlkit.mechanics.body.outline import directions, project
from controlkit.mechanics.body.places import facing, on_skin
from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_STRAP
from controlkit.mechanics.harness.patterns.eight import FORK_INNER, FORK_OUTER, FRONT_STRAP
from controlkit.sources import source
from controlkit.units import deg

ROUND: tuple[View, ...] = tuple(math.radians(turn) for turn in (0, 35, 80, 135, 180, 225, 270, 320))
WEARERS = {
    "small woman": lambda side: Wearer.at_percentile("female", 5, amputated=side),
    "average man": lambda side: Wearer.average("male", amputated=side),
    "very large man": lambda side: Wearer.at_percentile("male", 95, amputated=side),
}
POSES = (Pose(), Pose(arm_flexion=deg(60), elbow_flexion=deg(30)), Pose(arm_flexion=deg(90), elbow_flexion=deg(60)))


@pytest.fixture(scope="module", params=[(who, side) for who in WEARERS for side in ("left", "right")], ids=" ".join)
def worn(request: pytest.FixtureRequest) -> tuple[SingleControl, tuple[Pull, ...]]:
    """A figure-of-eight harness on each wearer, either side, the arm hanging, at 60 and at 90 degrees."""
    who, side = request.param
    system = SingleControl(figure_of_eight(WEARERS[who](side)))
    return system, system.over(POSES)


@pytest.fixture(scope="module")
def man() -> tuple[SingleControl, tuple[Pull, ...]]:
    """An average man, his right arm amputated."""
    system = SingleControl(figure_of_eight(Wearer.average("male")))
    return system, system.over(POSES)


def _named(scene: Scene, name: str) -> list[Line | Region | Dot]:
    return [item for item in scene.items if isinstance(item, (Line, Region, Dot)) and item.name == name]


def _names(scene: Scene) -> set[str]:
    return {item.name for item in scene.items if isinstance(item, (Line, Region, Dot))}


# ---------------------------------------------------------------- webbing


def test_webbing_is_as_wide_as_it_is_made(worn: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """In space its edges stand as far apart as the load's width says, square to its way; legs are half as wide."""
    system, pulls = worn
    for pull in pulls:
        webs = look(system, pull, "back").webs
        for name, web in webs.items():
            width = 2.0 * np.linalg.norm(web.across, axis=1)
            assert np.allclose(width, pull.strap_load[name].width, rtol=1e-9), name
            along = np.gradient(web.space, axis=0)
            lean = (along * web.across).sum(axis=1) / np.linalg.norm(along, axis=1) / (0.5 * width)
            assert np.abs(lean).max() < 0.35, name
        assert pull.strap_load[FORK_INNER].width == pytest.approx(0.5 * pull.strap_load[FRONT_STRAP].width)


def test_webbing_lies_flat_on_the_skin(worn: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """Its width lies across the way in which the skin faces, all along every strap."""
    system, pulls = worn
    wearer = system.harness.wearer
    for pull in pulls:
        for name, web in look(system, pull, "side").webs.items():
            out = facing(wearer, pull.pose, web.space)
            lean = np.abs((out * web.across).sum(axis=1)) / np.linalg.norm(web.across, axis=1)
            assert np.median(lean) < 0.05, name
            assert lean.max() < 0.5, name


def test_straps_are_led_round_the_ring_folded_back_and_sewn(man: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """From behind every strap that meets there has a folded end with stitches, and begins at the ring's wire."""
    system, pulls = man
    for pull in pulls:
        scene = wearer_scene(pull, "back", system=system)
        centre = project(pull.ring[None], "back", "right")[0]
        for name in (AXILLA_LOOP, FRONT_STRAP, CONTROL_STRAP):
            assert _named(scene, f"folded end of the {name}"), name
            (strap,) = _named(scene, name)
            assert isinstance(strap, Ribbon)
            start = float(np.linalg.norm(strap.points[0] - centre))
            assert 0.5 * RING < start < RING, name
        assert len(_named(scene, "stitches")) >= 8
        assert _named(scene, "ring")


@pytest.mark.parametrize("pattern", [figure_of_eight, figure_of_nine, chest_strap])
def test_a_buckle_sits_where_a_strap_is_adjusted(pattern: object) -> None:
    """Somewhere round the wearer each buckle of the layout is seen, and the hanger of the control strap."""
    system = SingleControl(pattern(Wearer.average("female")))  # type: ignore[operator]
    pull = system.at(arm_flexion=deg(30))
    seen = set().union(*(_names(wearer_scene(pull, view, system=system)) for view in ROUND))
    for run in system.harness.layout.runs:
        if run.buckle:
            assert f"buckle of the {run.strap}" in seen
    assert {"hanger", "ball of the cable", "base plate", "crossbar", "housing", "cable", "retainer"} <= seen


def test_legs_of_the_inverted_y_end_in_buckles_on_the_pad(worn: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """Seen from before, arm hanging: two buckles, on the front strap of the pad."""
    system, pulls = worn
    scene = wearer_scene(pulls[0], math.radians(150.0), system=system)
    band = np.vstack([item.points for item in _named(scene, "band of the pad") if not isinstance(item, Dot)])
    for name in (FORK_INNER, FORK_OUTER):
        (buckle,) = _named(scene, f"buckle of the {name}")
        assert isinstance(buckle, Region)
        assert np.linalg.norm(band - buckle.points.mean(axis=0), axis=1).min() < 0.03, name


def test_a_sewn_cross_point_is_a_patch_with_a_stitched_cross() -> None:
    """And no ring, and no end is folded round one."""
    system = SingleControl(figure_of_eight(Wearer.average("male"), crossing="sewn"))
    names = _names(wearer_scene(system.at(arm_flexion=deg(30)), "back", system=system))
    assert {"sewn patch", "stitches"} <= names
    assert "ring" not in names
    assert not [name for name in names if name.startswith("folded end")]


# ---------------------------------------------------------------- arm


def _arm(system: SingleControl, pull: Pull) -> Arm:
    return look(system, pull, "back").arm.arm


def _hinge_ends(system: SingleControl, pull: Pull) -> list[Points]:
    wearer = system.harness.wearer
    arm = _arm(system, pull)
    return [line for line, _ in hinge_lines(arm, on_skin(wearer, pull.pose, hinge_starts(arm)), False)]


def test_hinges_join_pad_and_socket_on_both_sides_in_every_pose(worn: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """From the pad's height past the elbow to the anchor of the source, on opposite sides, never inside the socket."""
    system, pulls = worn
    anchor = source("checkout_hinge_anchor").si
    for pull in pulls:
        arm = _arm(system, pull)
        lines = _hinge_ends(system, pull)
        ways = []
        for line in lines:
            start, end = line[0] - arm.shoulder, line[-1] - arm.elbow
            assert abs(float(start @ arm.along) / arm.length - arm.share) < 0.15, "it begins on the pad"
            assert np.linalg.norm(line - arm.elbow, axis=1).min() < 1.2 * arm.size, "it passes the elbow"
            assert arm.forearm - float(end @ arm.heading) == pytest.approx(anchor, abs=1e-6)
            off = end - (end @ arm.heading) * arm.heading
            assert np.linalg.norm(off) > float(arm.radius(1.0 - anchor / arm.forearm)), "it lies on the socket"
            ways.append(off / np.linalg.norm(off))
        assert float(ways[0] @ ways[1]) < -0.9


def test_somewhere_round_the_wearer_each_hinge_is_seen(man: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """And rigid ones have a joint on the elbow's axis."""
    system, pulls = man
    for pull in pulls:
        seen = [look(system, pull, view).arm.spots["hinges"] for view in ROUND]
        assert sum(spot is not None for spot in seen) >= 5
    rigid = wearer_scene(pulls[0], "side", system=system, hinges="rigid")
    (joint,) = _named(rigid, "joint of the hinge")
    assert isinstance(joint, Region)
    arm = _arm(system, pulls[0])
    axis = project(arm.elbow + np.linspace(0.5, 1.5, 50)[:, None] * arm.size * arm.outward, "side", "right")
    assert np.linalg.norm(axis - joint.points.mean(axis=0), axis=1).min() < 0.001
    assert not _named(wearer_scene(pulls[0], "side", system=system), "joint of the hinge")


def test_the_socket_is_trimmed_for_the_bend_and_tapers(man: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """Its edge stands higher behind the elbow than in its bend, and it is narrower at the wrist."""
    arm = _arm(man[0], man[1][0])
    behind, before = arm.trim(np.array([-arm.volar, arm.volar]))
    assert behind < 0.0 < before < 0.25
    assert float(arm.radius(1.0)) < 0.75 * float(arm.radius(0.2))


def test_what_stands_behind_the_socket_is_hidden_by_it(man: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """A point on either side of the forearm's axis: the further one is hidden, the nearer and one beside it are not."""
    system, pulls = man
    for pull in pulls:
        arm = _arm(system, pull)
        middle = arm.elbow + 0.5 * arm.forearm * arm.heading
        for view in ROUND:
            _, towards = directions(view, "right")
            if abs(float(towards @ arm.heading)) > 0.9:
                continue
            aside = np.cross(arm.heading, towards)
            aside = aside / np.linalg.norm(aside)
            points = np.stack([middle - 0.2 * towards, middle + 0.2 * towards, middle - 0.2 * towards + 0.1 * aside])
            assert arm.behind_socket(points, towards).tolist() == [True, False, False]


# ---------------------------------------------------------------- hidden, mirrored, named


@pytest.mark.parametrize("view", ROUND)
def test_what_the_body_hides_is_dashed_from_any_azimuth(
    man: tuple[SingleControl, tuple[Pull, ...]], view: View
) -> None:
    """What is drawn of a strap as seen, the body does not cover; something of a harness is hidden from anywhere."""
    system, pulls = man
    wearer = system.harness.wearer
    for pull in pulls:
        worn, scene = look(system, pull, view), wearer_scene(pull, view, system=system)
        under = 0
        for name, web in worn.webs.items():
            behind = covered(wearer, pull.pose, np.ascontiguousarray(web.space), view)
            assert (web.hidden | ~behind).all(), name
            (strap,) = _named(scene, name)
            assert isinstance(strap, Ribbon)
            assert strap.hidden is not None
            under += int(strap.hidden.sum())
        assert under > 10


def test_a_device_behind_the_trunk_is_not_drawn_over_it(man: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """From the sound side, the arm hanging beside the hip: nothing of the device comes after the body."""
    system, pulls = man
    worn = look(system, pulls[0], math.radians(275.0))
    shown = {item.name for item in worn.device_over if isinstance(item, Region)}
    assert worn.device_under
    assert len(shown) < len({item.name for item in worn.device_under if isinstance(item, Region)})


@pytest.mark.parametrize("view", ROUND)
def test_left_and_right_are_mirror_images_from_any_azimuth(view: View) -> None:
    """Each strap, hinge, socket and cable of one is that of the other, turned over."""
    scenes = []
    for side in ("left", "right"):
        system = SingleControl(figure_of_eight(Wearer.average("female", amputated=side)))
        scenes.append(wearer_scene(system.at(arm_flexion=deg(45), elbow_flexion=deg(60)), view, system=system))
    for name in (AXILLA_LOOP, FRONT_STRAP, CONTROL_STRAP, "hinge", "housing", "crossbar", "cable"):
        one, other = (
            np.vstack([item.points for item in _named(scene, name) if isinstance(item, Line)]) for scene in scenes
        )
        one = one * [-1.0, 1.0]
        apart = np.linalg.norm(one[:, None] - other[None], axis=2)
        assert apart.min(axis=0).max() < 1e-6, name
        assert apart.min(axis=1).max() < 1e-6, name


def test_no_words_lie_on_a_strap_or_leave_the_window(worn: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """From eight azimuths and the three named views, arm hanging and raised, with the forces in the words."""
    system, pulls = worn
    for pull in pulls:
        for view in (*ROUND, "back", "side", "front"):
            scene = wearer_scene(pull, view, system=system, forces=True)  # type: ignore[arg-type]
            frame = scene.frame
            straps = dense([item.points for item in scene.items if isinstance(item, Ribbon)], 0.004)
            x, y = straps.T
            for left, low, right, high in boxes([i for i in scene.items if isinstance(i, Label)], frame):
                assert frame.left <= left < right <= frame.right
                assert frame.bottom <= low < high <= frame.top
                assert not ((x > left) & (x < right) & (y > low) & (y < high)).any(), (view, pull.pose.arm_flexion)


# ---------------------------------------------------------------- window and words


@pytest.mark.parametrize("choose", [window, plain_window, wide_window])
def test_one_window_holds_the_wearer_from_any_azimuth(choose: object) -> None:
    """Its size stays while the viewer goes round, and it holds the device in front and the sound elbow at the side."""
    for side in ("left", "right"):
        wearer = Wearer.average("male", amputated=side)
        for pose in (Pose(elbow_flexion=deg(90)), Pose(arm_flexion=deg(60), elbow_flexion=deg(30))):
            frames = [choose(wearer, pose, math.radians(turn)) for turn in range(0, 360, 15)]  # type: ignore[operator]
            assert len({(round(f.width, 9), f.bottom, f.top, f.text) for f in frames}) == 1
            body = posed_joints(wearer, pose)
            for turn, frame in zip(range(0, 360, 15), frames, strict=True):
                for name in ("device", "elbow", "sound elbow"):
                    ((x, y),) = project(body[name][None], math.radians(turn), side).tolist()
                    assert frame.left < x < frame.right, (name, turn)
                    assert frame.bottom < y < frame.top, (name, turn)


def test_words_say_from_where_a_turned_wearer_is_seen(man: tuple[SingleControl, tuple[Pull, ...]]) -> None:
    """With the angle, and as eight ways round."""
    system, pulls = man
    said = [wearer_scene(pulls[0], view, system=system).words.split(":")[0] for view in ROUND]
    assert said[1] == "Seen from behind and the side of the prosthesis (35°)"
    assert said[4] == "Seen from the front (180°)"
    assert len(set(said)) == len(ROUND)


def test_what_is_fixed_to_the_arm_is_drawn_once_while_straps_alone_move() -> None:
    """Another ring height in the same pose: the same pad, hinges and socket, not drawn again."""
    pose = Pose(arm_flexion=deg(40), elbow_flexion=deg(60))
    systems = [
        SingleControl(replace(figure_of_eight(Wearer.average("male")), control_strap=out)) for out in (0.0, 0.0002)
    ]
    one, other = (look(system, system.over([pose])[0], "back") for system in systems)
    assert one.arm is other.arm
    assert one.straps[CONTROL_STRAP] is not other.straps[CONTROL_STRAP]
