"""The motion lab without a browser."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from controlkit.draw import Label, Line, Region
from controlkit.draw.page.labels import boxes, dense
from controlkit.draw.wearer.motion import motion_scene
from controlkit.labs import motion_lab
from controlkit.labs.controls import Slider
from controlkit.labs.frame import Lab
from controlkit.labs.remembered import Remembered
from controlkit.mechanics import Pose, SingleControl, Strength, Wearer, figure_of_eight
from controlkit.mechanics.body.places import joints
from controlkit.mechanics.chain.motions import MOTIONS, device_moved, hanging, take_apart
from controlkit.units import deg
from tests.written import unpacked

from .asking import ask as _ask


@pytest.fixture(scope="module")
def lab() -> Lab:
    """One lab for the module; every ask is independent of the one before."""
    return motion_lab()


@pytest.mark.parametrize("who", ["small-woman", "large-man"])
def test_no_end_of_a_slider_fails(lab: Lab, who: str) -> None:
    """Each slider at either end with the others at theirs, on the smallest and the largest wearer."""
    sliders = [c for c in lab.controls if isinstance(c, Slider)]
    for at_low in ({s.key for s in sliders}, set(), *({s.key} for s in sliders)):
        ends = {s.key: s.low if s.key in at_low else s.high for s in sliders}
        shown = _ask(lab, wearer=who, **ends)
        assert "nan" not in unpacked("".join(shown["pictures"]))
        assert "no value" not in shown["words"], ends


def test_the_same_setting_gives_the_same_page_whatever_came_before() -> None:
    """Remembered poses and nearby starts make it faster, never different."""
    goal = {"arm_flexion": deg(50), "scapular_abduction": deg(15), "shoulder_elevation": deg(5)}
    pages = []
    for order in (list(goal), list(reversed(goal))):
        fresh, values = motion_lab(), {}
        for key in order:
            values[key] = goal[key]
            page = _ask(fresh, **values)
        pages.append((page["words"], page["line"]))
    assert pages[0] == pages[1]


def test_a_short_motion_of_another_set_up_is_no_start_for_a_long_one() -> None:
    """Let out, arm hanging; snug, arm flexed: then far forward with both scapulae, as from donning."""
    fresh, seen = motion_lab(), motion_lab()
    both = {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20), "wearer": "average-man"}
    _ask(seen, arm_flexion=0.0, support_strap=0.02, **both)
    _ask(seen, arm_flexion=deg(60), wearer="average-man")
    far = {"arm_flexion": deg(90), **both}
    assert _ask(seen, **far)["words"] == _ask(fresh, **far)["words"]


def test_remembered_pulls_are_those_of_the_system() -> None:
    """Numbers to a micrometre, though the motion began somewhere else."""
    system = SingleControl(figure_of_eight(Wearer.average("female")))
    remembered = Remembered(system)
    poses = [Pose(arm_flexion=deg(a), elbow_flexion=deg(90), scapular_abduction=deg(10)) for a in (40, 35, 50, 0)]
    for pose in poses:
        (found,), (right,) = remembered.over([pose]), system.over([pose])
        assert found.excursion.captured == pytest.approx(right.excursion.captured, abs=2e-6)
    strong = replace(system, strength=Strength(cable=500.0))
    assert remembered.over(poses, strong)[0].cable_share < remembered.over(poses)[0].cable_share


def test_new_poses_of_many_postures_take_one_run_of_the_solver(monkeypatch: pytest.MonkeyPatch) -> None:
    """Cold, from another ring, and with some of them known: each as the system alone has it, to a micrometre."""
    runs, follow = list[int](), SingleControl.follow

    def counted(self: SingleControl, poses: list[Pose], *near: object) -> object:
        runs.append(len(poses))
        return follow(self, poses, *near)

    table, up = Pose(arm_flexion=deg(20), elbow_flexion=deg(70)), {"shoulder_elevation": deg(15)}
    poses = [table, replace(table, **up), replace(table, scapular_abduction=deg(20)), Pose(arm_flexion=deg(50))]
    remembered = None
    for below in (0.06, 0.07, 0.075):
        system = SingleControl(figure_of_eight(Wearer.average("male"), ring_below_c7=below))
        remembered = Remembered(system, remembered)
        with monkeypatch.context() as patch:
            patch.setattr(SingleControl, "follow", counted)
            found = [*remembered.over(poses[:3]), remembered.over(poses)[3]]
        for pose, pull in zip(poses, found, strict=True):
            assert pull.pose == pose
            assert pull.excursion.captured == pytest.approx(system.over([pose])[0].excursion.captured, abs=2e-6)
    assert runs == [3, 1] * 3


def test_a_pose_is_taken_apart_into_the_motions_it_makes() -> None:
    """What is not moved has no share; the elbow is no body control motion."""
    system = SingleControl(figure_of_eight(Wearer.average("male")))
    pose = Pose(arm_flexion=deg(30), arm_abduction=deg(40), elbow_flexion=deg(90))
    apart = take_apart(system, pose)
    assert [share.motion for share in apart.shares] == ["arm_flexion", "arm_abduction"]
    assert apart.shares[1].angle == pytest.approx(deg(30))
    assert apart.summed == pytest.approx(sum(share.generated for share in apart.shares))
    assert take_apart(system, hanging(pose)).shares == ()
    assert set(MOTIONS) < set(Pose.__dataclass_fields__)


def test_way_of_the_device_against_the_triangle_and_the_chord() -> None:
    """With the blade held out of account, a swing about the shoulder is a chord."""
    wearer = Wearer.average("female")
    for elbow in (0.0, 60.0, 90.0):
        rest, then = (joints(wearer, Pose(arm_flexion=deg(a), elbow_flexion=deg(elbow))) for a in (0.0, 45.0))
        moved = device_moved(wearer, Pose(arm_flexion=deg(45), elbow_flexion=deg(elbow)))
        upper, forearm = (np.linalg.norm(rest[b] - rest[a]) for a, b in (("shoulder", "elbow"), ("elbow", "device")))
        reach = np.sqrt(upper**2 + forearm**2 + 2 * upper * forearm * np.cos(deg(elbow)))
        shoulder = float(np.linalg.norm(then["shoulder"] - rest["shoulder"]))
        assert moved == pytest.approx(2 * reach * np.sin(deg(45) / 2), abs=shoulder + 0.002)


def test_forward_is_what_a_straight_arm_swings_out_in_front() -> None:
    """Length times sine, the blade aside; backward is below zero, and lifting the bent forearm is hardly any."""
    system = SingleControl(figure_of_eight(Wearer.average("male", amputated="left")))
    out, back, lifted = (
        take_apart(system, Pose(arm_flexion=deg(arm), elbow_flexion=deg(elbow)))
        for arm, elbow in ((40, 0), (-25, 0), (50, 90))
    )
    places = joints(system.harness.wearer, Pose())
    long = float(np.linalg.norm(places["device"] - places["shoulder"]))
    for apart, angle in ((out, deg(40)), (back, -deg(25))):
        assert apart.forward == pytest.approx(long * np.sin(angle), abs=0.04)
    assert lifted.forward < 0.25 * lifted.moved


def test_left_and_right_are_mirrored(lab: Lab) -> None:
    """The numbers do not depend on the side."""
    right, left = _ask(lab, amputated="right"), _ask(lab, amputated="left")
    assert right["words"].split("Seen from")[0] == left["words"].split("Seen from")[0]


def test_units_and_pinned_setting(lab: Lab) -> None:
    """One system at a time; a pinned setting is compared in words."""
    inch = _ask(lab, "inch-pound", pinned={**lab.plan["start"], "arm_flexion": deg(60)})
    assert "Against the pinned setting" in inch["words"]
    assert " mm" not in inch["words"]
    assert " N" not in "".join(inch["pictures"])
    *_, lengths, effort = inch["pictures"]
    assert "[in]" in lengths
    assert "[lbf]" in effort


def test_published_figures_stand_beside_the_motion_they_belong_to(lab: Lab) -> None:
    """Flexion, extension and shrug have one; depression and abduction have none."""
    for values, phrase in (
        ({"arm_flexion": deg(30)}, "flexing the arm"),
        ({"arm_flexion": deg(-20)}, "extending the arm"),
        ({"arm_flexion": 0.0, "shoulder_elevation": deg(20)}, "shrug of the shoulder"),
    ):
        assert phrase in _ask(lab, **values)["words"]
    assert "Published" not in _ask(lab, arm_flexion=0.0, shoulder_elevation=deg(-10))["words"]


@pytest.mark.parametrize("who", ["small-woman", "average-man"])
def test_the_anterior_support_strap_let_out_gives_way_to_both_scapulae(lab: Lab, who: str) -> None:
    """Snug it carries more than the control attachment strap, let out it carries less, and more is captured."""
    both = {"arm_flexion": 0.0, "scapular_abduction": deg(20), "sound_scapular_abduction": deg(20), "wearer": who}
    snug, eased = (_carried(_ask(lab, support_strap=out, **both)["words"]) for out in (0.0, 0.02))
    assert snug["anterior support strap"] > snug["control attachment strap"]
    assert eased["anterior support strap"] < 0.6 * eased["control attachment strap"]
    assert eased["captured"] > snug["captured"] + 3.0


def _carried(words: str) -> dict[str, float]:
    """What the page says each strap carries [N], and what is captured [mm]."""
    said = re.search(r"Straps carry: (.*?)\. Cable", words)
    assert said is not None, words
    parts = (part.rsplit(" ", 2) for part in re.split(", | and ", said[1]))
    found = {name: float(number) for name, number, _ in parts}
    return {**found, "captured": float(re.findall(r"captures ([\d.]+) mm", words)[0])}


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize(
    "angles",
    [
        {"arm_flexion": deg(30)},
        {"arm_flexion": deg(60)},
        {"arm_abduction": deg(60)},
        {"arm_flexion": deg(20), "elbow_flexion": deg(20)},
        {"scapular_abduction": deg(20)},
    ],
)
def test_how_far_the_device_moved_is_written_where_nothing_is_drawn(side: str, angles: dict[str, float]) -> None:
    """Beside the trunk, not across its edge, in both views of the lab."""
    system = SingleControl(figure_of_eight(Wearer.average("female", amputated=side)))
    apart = take_apart(system, Pose(**{"elbow_flexion": deg(90), **angles}))
    for view in ("side", "back"):
        scene = motion_scene(apart, view, system=system, plain=True, units="metric")
        (said,) = (one for one in scene.items if isinstance(one, Label) and one.lines[0] == "device moved")
        ((left, low, right, high),) = boxes([said], scene.frame)
        assert scene.frame.left <= left < right <= scene.frame.right
        assert scene.frame.bottom <= low < high <= scene.frame.top
        shapes = [one.points for one in scene.items if isinstance(one, Line | Region)]
        x, y = dense(shapes, 0.003).T
        assert not ((x > left) & (x < right) & (y > low) & (y < high)).any()
