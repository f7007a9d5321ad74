"""The figure-of-eight above the elbow: what bears, what mirrors, balance, and whom it serves."""

from __future__ import annotations

import numpy as np
import pytest

from controlkit.mechanics import Pose, Wearer, above_elbow_eight
from controlkit.mechanics.body.places import joints
from controlkit.mechanics.chain.generated import generated
from controlkit.mechanics.harness import Harness, follow
from controlkit.mechanics.harness.laws import CableLaw
from controlkit.mechanics.harness.layout import CONTROL
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.patterns.above_elbow import LATERAL_SUSPENSOR
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP
from controlkit.sources import source
from controlkit.units import InputError, deg, mm
from tests.laws.test_patterns import _leftover

SEXES = ("female", "male")


def _wearer(sex: str, side: str = "right") -> Wearer:
    return Wearer.average(sex, level="transhumeral", amputated=side)


def _pulled(harness: Harness, pull: float, poses: list[Pose]) -> Followed:
    def law(pose: Pose, give: float) -> CableLaw:
        return CableLaw(stiffness=1.0 / give, start=pull, rise=0.0, full=1e6)

    return follow(harness, poses, law)


def _tension(found: Followed, strap: str, at: int) -> float:
    return float(found.net.tension[list(found.harness.layout.of(strap)), at].max())


@pytest.mark.parametrize("sex", SEXES)
def test_every_junction_balances(sex: str) -> None:
    found = _pulled(above_elbow_eight(_wearer(sex)), 40.0, [Pose(arm_flexion=deg(60)), Pose(socket_slip=mm(20))])
    assert found.net.settled.all()
    for at in found.asked:
        assert np.abs(_leftover(found, at)).max() < 0.2, found.poses[at]  # [N]


@pytest.mark.parametrize("sex", SEXES)
def test_the_lateral_suspensor_is_the_main_suspension(sex: str) -> None:
    """As an open textbook says. Let out, it bears less, and the front strap alone must hold."""
    hangs = Pose(socket_slip=mm(10))
    snug, loose = (
        _pulled(above_elbow_eight(_wearer(sex), lateral_suspensor=let_out), 0.0, [hangs]) for let_out in (0.0, mm(40))
    )
    at = snug.asked[0]
    assert _tension(snug, LATERAL_SUSPENSOR, at) > 2.0 * _tension(snug, FRONT_STRAP, at) > 1.0
    assert _tension(loose, LATERAL_SUSPENSOR, at) < 1.0
    assert _tension(loose, FRONT_STRAP, at) >= _tension(snug, FRONT_STRAP, at) - 0.5


def test_the_base_plate_sits_above_the_bones_end() -> None:
    """An inch above it: a longer residual limb puts it lower."""
    short, long = (
        above_elbow_eight(Wearer.average("male", level="transhumeral", residual_share=share)).crossbar
        for share in (0.5, 0.8)
    )
    assert long - short == pytest.approx(0.3, abs=1e-12)
    assert short < 0.5


def test_left_and_right_mirror() -> None:
    poses = [Pose(arm_flexion=deg(70))]
    right, left = (_pulled(above_elbow_eight(_wearer("female", side)), 40.0, poses) for side in ("right", "left"))
    assert np.array_equal(right.travel, left.travel)
    assert np.array_equal(right.net.tension, left.net.tension)


def test_it_serves_no_wearer_with_a_forearm_of_her_own() -> None:
    with pytest.raises(InputError, match="transhumeral"):
        above_elbow_eight(Wearer.average("female"))
    with pytest.raises(InputError, match="lateral suspensor"):
        above_elbow_eight(_wearer("female"), lateral_suspensor=0.5)


@pytest.mark.parametrize("sex", SEXES)
def test_the_suspensor_is_fixed_beside_the_joint(sex: str) -> None:
    """At the point of rotation: flexing the arm hardly moves its end; the front strap's end comes up."""
    harness = above_elbow_eight(_wearer(sex))
    found = _pulled(harness, 20.0, [Pose(), Pose(arm_flexion=deg(90))])
    side, front = (harness.layout.of(strap)[0] for strap in (LATERAL_SUSPENSOR, FRONT_STRAP))
    ends = {run: found.net.nodes[run][list(found.asked), -1] for run in (side, front)}
    moved = {run: float(np.linalg.norm(end[1] - end[0])) for run, end in ends.items()}
    assert moved[side] < 0.4 * moved[front]
    assert joints(harness.wearer, Pose())  # the shoulder is where it was
    assert found.net.tension[CONTROL, found.asked[1]] > 15.0


LOCK_PARTS = {
    "extension": {"arm_flexion": deg(-12)},
    "abduction": {"arm_abduction": deg(30)},
    "depression": {"shoulder_elevation": deg(-8)},
    "together": {"arm_flexion": deg(-12), "arm_abduction": deg(30)},
    "all three": {"arm_flexion": deg(-12), "arm_abduction": deg(30), "shoulder_elevation": deg(-8)},
}


@pytest.mark.parametrize("sex", SEXES)
def test_what_each_part_of_the_lock_motion_does_to_the_lift_cable(sex: str) -> None:
    """Extension pays cable out, abduction and depression take it up; together they do not slacken the cable."""
    found = _pulled(above_elbow_eight(_wearer(sex)), 5.0, [Pose(**angles) for angles in LOCK_PARTS.values()])
    assert found.net.settled.all()
    given = dict(zip(LOCK_PARTS, 1e3 * generated(found)[list(found.asked)], strict=True))
    assert given["extension"] < -5.0
    assert given["abduction"] > 5.0
    assert given["depression"] > 5.0
    assert 0.0 < given["together"] < given["all three"]


@pytest.mark.parametrize("sex", SEXES)
def test_a_snug_front_strap_works_against_the_lock_motion_and_a_slack_one_does_not(sex: str) -> None:
    """Snug, its elastic part ends by bearing more than the lock takes; let out by the lock's travel, it does not."""
    poses = [Pose(), *(Pose(**angles) for angles in LOCK_PARTS.values())]
    travel, own = source("elbow_lock_travel"), source("elbow_lock_force").si
    wearer, bears = _wearer(sex), {}
    for let_out in (0.0, travel.si_low):
        harness = above_elbow_eight(wearer, support_strap=let_out)
        found = _pulled(harness, 5.0, poses)
        assert found.net.settled.all()
        run = harness.layout.of(FRONT_STRAP)[0]
        bears[let_out] = dict(zip(LOCK_PARTS, found.net.tension[run, list(found.asked[1:])], strict=True))
    assert bears[0.0]["abduction"] < bears[0.0]["extension"] < bears[0.0]["together"] < bears[0.0]["all three"]
    assert bears[0.0]["all three"] > 2.0 * own
    assert max(bears[travel.si_low].values()) < own
