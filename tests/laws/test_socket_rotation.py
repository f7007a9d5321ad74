"""Turning of the humeral socket: signs, virtual work, bounds, the cuff's closed form, mirror, and bad input."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from controlkit.mechanics import Wearer, above_elbow_eight, figure_of_eight
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.chain.dual import socket_rotation
from controlkit.mechanics.chain.dual.rotation import _spun, _turned
from controlkit.mechanics.harness import Harness, follow, route
from controlkit.mechanics.harness.laws import CableLaw
from controlkit.mechanics.harness.layout import CONTROL_STRAP
from controlkit.mechanics.harness.patterns.above_elbow import LATERAL_SUSPENSOR
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP
from controlkit.units import InputError, deg, mm, newton

SEXES = ("female", "male")
SIZES = (5.0, 50.0, 95.0)


def _harness(sex: str, size: float = 50.0, side: str = "right", **other: float) -> Harness:
    return above_elbow_eight(Wearer.at_percentile(sex, size, level="transhumeral", amputated=side), **other)


def _pulled(pose: Pose, give: float) -> CableLaw:
    return CableLaw(stiffness=1.0 / give, start=20.0, rise=0.0, full=1e6)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("sex", SEXES)
def test_the_control_strap_turns_the_socket_outward(sex: str, size: float) -> None:
    """More with more pull, less the further the arm is flexed: the strap then runs along it."""
    harness = _harness(sex, size)
    flexed = [socket_rotation(harness, 50.0, arm_flexion=deg(at)) for at in (45.0, 60.0, 75.0, 90.0)]
    pulled = [socket_rotation(harness, pull, arm_flexion=deg(60)) for pull in (10.0, 25.0, 50.0, 90.0)]
    for found in (*flexed, *pulled):
        assert found.settled
        assert found.lever[CONTROL_STRAP] > mm(5)
        assert 0.0 < found.alone < found.moment[CONTROL_STRAP] / found.cuff
    assert [one.alone for one in flexed] == sorted((one.alone for one in flexed), reverse=True)
    assert [one.alone for one in pulled] == sorted(one.alone for one in pulled)


@pytest.mark.parametrize("sex", SEXES)
def test_only_the_tangential_part_counts(sex: str) -> None:
    """Pull times radius, some 3 N m at 50 N, is far above it."""
    harness = _harness(sex)
    radius = float(built(harness.wearer).arm[0]) + route.PAD
    for at in (45.0, 60.0, 90.0):
        found = socket_rotation(harness, 50.0, arm_flexion=deg(at))
        assert 2.5 < found.tension[CONTROL_STRAP] * radius < 3.2
        assert found.moment[CONTROL_STRAP] < 0.5 * found.tension[CONTROL_STRAP] * radius


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("flexion", [0.0, 30.0, 60.0])
def test_levers_are_rates_of_length(sex: str, flexion: float) -> None:
    """Virtual work: a strap turns the socket the way that shortens it."""
    harness = _harness(sex)
    found = follow(harness, [Pose(arm_flexion=deg(flexion))], _pulled)
    runs = [k for k, run in enumerate(harness.layout.runs) if run.limb == 0]
    turns = deg(1) * np.array([-0.5, 0.0, 0.5])
    state = _turned(found, runs, turns)
    assert state.settled
    rate = (state.length[:, 2] - state.length[:, 0]) / (turns[2] - turns[0])
    assert state.lever[:, 1] == pytest.approx(-rate, abs=mm(0.5))


def test_turning_an_arm_outward_leaves_its_length_and_takes_its_front_to_the_side() -> None:
    axes, arm = np.eye(3), np.array([0.05, -0.1, 0.0])
    turned = _spun(arm, axes, np.array([0.0, deg(90), deg(-90)]))
    assert turned == pytest.approx(np.array([arm, [0.0, -0.1, 0.05], [0.0, -0.1, -0.05]]), abs=1e-12)


@pytest.mark.parametrize("sex", SEXES)
def test_a_stiff_cuff_turns_by_moment_over_stiffness(sex: str) -> None:
    """The closed form of small turns."""
    found = socket_rotation(_harness(sex), 50.0, cuff=200.0, arm_flexion=deg(60))
    assert found.alone == pytest.approx(found.moment[CONTROL_STRAP] / 200.0, rel=0.02)
    stiffer = [
        socket_rotation(_harness(sex), 50.0, cuff=cuff, arm_flexion=deg(60)).alone for cuff in (0.5, 1.0, 2.0, 4.0)
    ]
    assert stiffer == sorted(stiffer, reverse=True)
    assert all(more < 2.0 * less for more, less in itertools.pairwise(stiffer))  # the lever falls as it turns


POSES: dict[str, tuple[dict[str, float], dict[str, float]]] = {
    "flexed": ({}, {"arm_flexion": deg(60)}),
    "flexed, suspensor taken in": ({"lateral_suspensor": mm(-30)}, {"arm_flexion": deg(60)}),
    "hanging, suspensor taken in": ({"lateral_suspensor": mm(-30)}, {}),
    "both scapulae": ({}, {"scapular_abduction": deg(10), "sound_scapular_abduction": deg(10)}),
    "weighed down": ({"lateral_suspensor": mm(-30)}, {"arm_flexion": deg(60), "socket_slip": mm(10)}),
}


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("name", POSES)
def test_moments_balance_where_the_socket_is_held(name: str, sex: str) -> None:
    buckles, pose = POSES[name]
    found = socket_rotation(_harness(sex, **buckles), 30.0, **pose)
    assert found.settled
    assert sum(found.moment_there.values()) == pytest.approx(found.cuff * found.angle, abs=0.02)
    assert found.total == pytest.approx(sum(found.tension[strap] * found.lever[strap] for strap in found.lever))
    assert min(found.tension.values()) >= 0.0


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("sex", SEXES)
def test_which_way_the_lateral_suspensor_turns_the_socket(sex: str, size: float) -> None:
    """Outward with the arm hanging, inward with it flexed: as is taught in the second case only, and slack there."""
    snug, taken_in = (_harness(sex, size, lateral_suspensor=x) for x in (0.0, mm(-30)))
    levers = [
        socket_rotation(snug, 20.0, arm_flexion=deg(at)).lever[LATERAL_SUSPENSOR]
        for at in (0.0, 20.0, 40.0, 60.0, 80.0)
    ]
    assert levers == sorted(levers, reverse=True)
    assert levers[0] > mm(10)
    assert levers[-2] < mm(-10)
    flexed = socket_rotation(snug, 20.0, arm_flexion=deg(60))
    assert flexed.tension[LATERAL_SUSPENSOR] == 0.0
    assert not flexed.suspensor_resists
    assert flexed.angle == flexed.without_suspensor
    drawn = socket_rotation(taken_in, 20.0, arm_flexion=deg(60))
    assert drawn.suspensor_resists
    assert abs(drawn.angle) < drawn.without_suspensor - deg(3)
    hanging = socket_rotation(taken_in, 20.0)
    assert hanging.moment[LATERAL_SUSPENSOR] > 1.0
    assert hanging.angle > hanging.without_suspensor + deg(5)


@pytest.mark.parametrize("sex", SEXES)
def test_why_it_turns_outward_with_the_arm_hanging(sex: str) -> None:
    """The backward part of its pull beside the axis outweighs the inward part in front of it."""
    harness = _harness(sex)
    bodies = route.bodies_of(harness.wearer, (Pose(),))
    found = follow(harness, [Pose()], _pulled)
    nodes = found.net.nodes[harness.layout.of(LATERAL_SUSPENSOR)[0]][0]
    heading = (nodes[-2] - nodes[-1]) / np.linalg.norm(nodes[-2] - nodes[-1])
    axes = bodies.posed.axes[0, 0]
    (ahead, _, aside), (back, _, inward) = (nodes[-1] - bodies.posed.joint[0, 0]) @ axes, heading @ axes
    assert ahead * inward < 0.0 < -aside * back
    assert -aside * back > 4.0 * -ahead * inward
    lever = socket_rotation(harness, 20.0).lever[LATERAL_SUSPENSOR]
    assert lever == pytest.approx(ahead * inward - aside * back, rel=0.02)


@pytest.mark.parametrize("sex", SEXES)
def test_the_front_strap_turns_the_socket_inward(sex: str) -> None:
    harness = _harness(sex)
    for pose in ({}, {"arm_flexion": deg(60)}, {"arm_flexion": deg(-12), "arm_abduction": deg(30)}):
        assert socket_rotation(harness, 20.0, **pose).lever[FRONT_STRAP] < mm(-5)
    pulls = socket_rotation(harness, 20.0, arm_flexion=deg(-12), arm_abduction=deg(30))
    assert pulls.tension[FRONT_STRAP] > 5.0
    assert pulls.moment[FRONT_STRAP] < 0.0


@pytest.mark.parametrize("sex", SEXES)
def test_left_and_right_mirror(sex: str) -> None:
    right, left = (
        socket_rotation(_harness(sex, side=side, lateral_suspensor=mm(-30)), 50.0, arm_flexion=deg(60))
        for side in ("right", "left")
    )
    for name in ("tension", "lever", "moment", "moment_there", "alone", "without_suspensor", "angle"):
        assert getattr(right, name) == getattr(left, name), name


def test_nothing_turns_a_socket_that_nothing_pulls_and_a_loose_one_is_not_held() -> None:
    slack = _harness("female", lateral_suspensor=mm(40), support_strap=mm(40))
    assert socket_rotation(slack, 20.0).angle == 0.0
    loose = socket_rotation(slack, 300.0, cuff=0.01, arm_flexion=deg(45))
    assert loose.settled
    assert not np.isfinite(loose.angle) or loose.angle > deg(30)


@pytest.mark.parametrize("sex", SEXES)
def test_drawn_wearers_all_have_an_answer(sex: str) -> None:
    for wearer in Wearer.draw(sex, 12, 7, level="transhumeral"):
        found = socket_rotation(above_elbow_eight(wearer), 45.0, arm_flexion=deg(54))
        assert found.settled
        assert 0.0 < found.angle <= found.alone < deg(40)


def test_what_cannot_turn_is_refused() -> None:
    with pytest.raises(InputError, match="transhumeral"):
        socket_rotation(figure_of_eight(Wearer.average("female")), 20.0)
    with pytest.raises(InputError, match="pull"):
        socket_rotation(_harness("female"), newton(-5))
    with pytest.raises(InputError, match="cuff"):
        socket_rotation(_harness("female"), 20.0, cuff=0.0)
    with pytest.raises(InputError, match="no angle"):
        socket_rotation(_harness("female"), 20.0, rotation=deg(10))
