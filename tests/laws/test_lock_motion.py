"""The lock motion: signs of its parts, sums, closed forms, what triggers and what must not, mirror, and bad input."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from controlkit.mechanics import DualControl, Pose, Wearer, above_elbow_eight, figure_of_eight
from controlkit.mechanics.body.placed import place
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.chain.dual import (
    IDLE,
    SHOULDER_DOWN,
    SHOULDER_FORWARD,
    SHOULDER_HELD,
    LockStrap,
    front_let_out,
    front_way,
    lock_buckle,
    lock_motion,
    lock_motions,
    lock_parts,
    smallest_lock_motion,
)
from controlkit.mechanics.chain.dual.lock import led, ways_of
from controlkit.mechanics.chain.dual.pulled import pulled
from controlkit.mechanics.elbow import ElbowLock
from controlkit.mechanics.harness import Harness, Straps, follow
from controlkit.mechanics.harness.laws import CableLaw
from controlkit.mechanics.harness.patterns.above_elbow import LATERAL_SUSPENSOR
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP
from controlkit.mechanics.surface.shapes import sphere
from controlkit.sources import source
from controlkit.units import InputError, deg, mm, newton

SEXES = ("female", "male")
TRAVEL, FORCE = source("elbow_lock_travel"), source("elbow_lock_force").si
SHORT, LONG = (ElbowLock(positions=(deg(90),), travel=travel) for travel in (TRAVEL.si_low, TRAVEL.si_high))
BOTH: dict[str, float] = {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}
SIZES = (5.0, 50.0, 95.0)


def _wearer(sex: str, size: float = 50.0, side: str = "right") -> Wearer:
    return Wearer.at_percentile(sex, size, level="transhumeral", amputated=side)


def _barely(pose: Pose, give: float) -> CableLaw:
    return CableLaw(stiffness=1.0 / give, start=5.0, rise=0.0, full=1e6)


def _slack(sex: str, size: float = 50.0, **other: float) -> Harness:
    """With a front strap let out by the lock's travel."""
    return above_elbow_eight(_wearer(sex, size), support_strap=TRAVEL.si_low, **other)


PARTS: dict[str, tuple[dict[str, float], float, float]] = {
    "extension": ({"arm_flexion": deg(-12)}, 1.0, -1.0),
    "flexion": ({"arm_flexion": deg(12)}, -1.0, 1.0),
    "abduction": ({"arm_abduction": deg(30)}, 1.0, 1.0),
    "depression": ({"shoulder_elevation": deg(-8)}, 1.0, 1.0),
    "elevation": ({"shoulder_elevation": deg(8)}, -1.0, -1.0),
    "protraction": ({"scapular_abduction": deg(8)}, 1.0, 1.0),
    "retraction": ({"scapular_abduction": deg(-8)}, -1.0, -1.0),
}
"""Each part, and which way it changes the lock's strap and the lift cable: longer, or taken up, is +."""


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("part", PARTS)
def test_the_sign_of_each_part(part: str, sex: str) -> None:
    """Extension alone pays lift cable out while it draws the lock; all other parts of the motion take up both."""
    angles, lock, lift = PARTS[part]
    (found,) = lock_parts(_slack(sex), **angles)
    assert found.part == part
    assert found.lock_alone * lock > mm(1)
    assert found.lift_alone * lift > mm(3)


@pytest.mark.parametrize("motion", [SHOULDER_HELD, SHOULDER_DOWN, SHOULDER_FORWARD])
@pytest.mark.parametrize("sex", SEXES)
def test_parts_add_up_in_any_order(sex: str, motion: dict[str, float]) -> None:
    harness = _slack(sex)
    whole = lock_motion(harness, SHORT, **motion)
    for angles in (motion, dict(reversed(motion.items()))):
        parts = lock_parts(harness, **angles)
        assert len(parts) == len(motion)
        assert sum(part.lock_added for part in parts) == pytest.approx(whole.lengthening, abs=2e-6)
        assert sum(part.lift_added for part in parts) == pytest.approx(whole.lift, abs=2e-6)
        assert parts[0].lock_added == pytest.approx(parts[0].lock_alone, abs=2e-6)


def test_a_straight_way_between_two_places_has_a_closed_form() -> None:
    """An arm that turns about a fixed axis, nothing in the way: the law of cosines."""
    high, low, apart = 0.03, 0.09, deg(150)
    turns = deg(1) * np.linspace(-20.0, 25.0, 10)
    start = np.tile([high, 0.0, 0.0], (len(turns), 1))
    end = low * np.stack([np.cos(apart + turns), np.sin(apart + turns), 0.0 * turns], axis=1)
    near = np.linspace(start, end, 45, axis=1)
    surface = sphere((0.0, 0.0, 5.0), 0.1).rows(np.zeros(len(turns), dtype=np.intp))
    found = led(surface, near, start, end)
    assert found.settled.all()
    assert found.length == pytest.approx(np.sqrt(high**2 + low**2 - 2 * high * low * np.cos(apart + turns)), rel=1e-9)


def test_a_way_over_a_ball_lengthens_by_its_radius_times_the_turn() -> None:
    radius, high, low = 0.05, 0.07, 0.09
    turns = deg(1) * np.linspace(0.0, 25.0, 6)
    bare = math.acos(radius / high) + math.acos(radius / low)  # turned before it touches
    angle = bare + deg(20) + turns
    start = np.tile([high, 0.0, 0.0], (len(turns), 1))
    end = low * np.stack([np.cos(angle), np.sin(angle), 0.0 * angle], axis=1)
    middle = (radius + 0.01) * np.stack([np.cos(angle / 2), np.sin(angle / 2), 0.0 * angle], axis=1)
    near = np.concatenate([np.linspace(start, middle, 31, axis=1), np.linspace(middle, end, 31, axis=1)[:, 1:]], axis=1)
    found = led(sphere((0.0, 0.0, 0.0), radius).rows(np.zeros(len(turns), dtype=np.intp)), near, start, end)
    assert found.settled.all()
    assert np.diff(found.length) == pytest.approx(radius * np.diff(turns), rel=0.02)


@pytest.mark.parametrize("sex", SEXES)
def test_a_little_extension_lengthens_the_way_by_what_its_ends_move_along_it(sex: str) -> None:
    """Virtual work at both ends; the ball of the shoulder turns under the strap and does none."""
    harness, little = _slack(sex), deg(0.5)
    less, more = lock_motions(harness, SHORT, [Pose(arm_flexion=little), Pose(arm_flexion=-little)])
    way, other = 0.5 * (less.way + more.way), more.way - less.way
    heading = [end / np.linalg.norm(end) for end in (way[0] - way[1], way[-1] - way[-2])]
    told = heading[0] @ other[0] + heading[1] @ other[-1]
    wearer = harness.wearer
    body = place(built(wearer), np.zeros(1, dtype=np.intp), [Pose()])
    lever = float(np.linalg.norm((way[-1] - body.joint[0, 0])[:2]))
    assert more.lengthening - less.lengthening == pytest.approx(told, rel=0.03)
    assert told < 2.0 * little * lever


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("motion", [SHOULDER_DOWN, SHOULDER_FORWARD])
def test_what_the_motion_lengthens_goes_into_ring_strap_buckle_and_lock(sex: str, motion: dict[str, float]) -> None:
    harness = _slack(sex)
    snug, out = (lock_motion(harness, SHORT, LockStrap(let_out=x), **motion) for x in (0.0, mm(4)))
    assert snug.lengthening == out.lengthening
    assert snug.travel + snug.stretch + snug.yielded == pytest.approx(snug.lengthening, abs=1e-12)
    assert mm(1) < snug.yielded < snug.stretch < mm(4)
    assert snug.travel - out.travel == pytest.approx(mm(4), abs=1e-12)
    assert snug.spare == pytest.approx(snug.travel - SHORT.travel, abs=1e-12)
    assert snug.force == out.force == FORCE
    hanging = lock_motion(harness, SHORT)
    assert hanging.travel == hanging.force == hanging.lift == 0.0
    barely = lock_motion(harness, SHORT, arm_flexion=deg(-0.5))
    assert 0.0 < barely.force < FORCE
    assert barely.travel == 0.0


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("sex", SEXES)
def test_a_usual_motion_triggers_and_takes_up_lift_cable(sex: str, size: float) -> None:
    """With depression, or the point of the shoulder slightly forward: 16 to 19 mm, and no lift cable is paid out."""
    harness = _slack(sex, size)
    for motion in (SHOULDER_DOWN, SHOULDER_FORWARD):
        buckle = lock_buckle(harness, LONG, motion=motion)
        taken_in = LockStrap(let_out=min(0.5 * (buckle.least + buckle.most), 0.0))
        short = smallest_lock_motion(harness, SHORT, motion=motion)
        long = smallest_lock_motion(harness, LONG, taken_in, motion=motion)
        assert short is not None
        assert long is not None
        for found in (short, long):
            assert found.settled
            assert found.triggers
            assert 0.0 <= found.spare < mm(1)
            assert found.lift > mm(5)
            assert not found.front_taut
            assert deg(-15) < found.pose.arm_flexion < deg(-9)


@pytest.mark.parametrize("sex", SEXES)
def test_a_long_lock_asks_for_a_larger_motion_and_of_a_small_woman_for_a_strap_taken_in(sex: str) -> None:
    """By depression as far as shoulders go, 10 degrees, and extension and abduction in step with it."""
    for size in SIZES:
        harness = _slack(sex, size)
        short, long = (smallest_lock_motion(harness, lock, motion=SHOULDER_DOWN) for lock in (SHORT, LONG))
        assert short is not None
        if (sex, size) == ("female", SIZES[0]):
            assert long is None
            most = lock_motion(harness, LONG, arm_flexion=deg(-15), arm_abduction=deg(35), shoulder_elevation=deg(-10))
            assert mm(-1) < most.spare < 0.0
        else:
            assert long is not None
            assert long.pose.arm_flexion < short.pose.arm_flexion


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("sex", SEXES)
def test_with_the_shoulder_held_extension_and_abduction_come_to_an_end_before_the_lock(sex: str, size: float) -> None:
    """Past some 40 degrees abduction shortens the way again; 16 mm are not reached, however large the motion."""
    harness = _slack(sex, size)
    assert smallest_lock_motion(harness, SHORT, motion=SHOULDER_HELD) is None
    whole = lock_motion(harness, SHORT, **SHOULDER_HELD)
    assert mm(5) < whole.travel < SHORT.travel
    assert whole.lift > 0.0
    raised = [lock_motion(harness, SHORT, arm_abduction=deg(at)) for at in (30.0, 45.0, 60.0, 75.0)]
    assert [one.lengthening for one in raised] == sorted((one.lengthening for one in raised), reverse=True)
    let_in = lock_motion(harness, SHORT, LockStrap(let_out=whole.spare - mm(0.1)), **SHOULDER_HELD)
    assert let_in.triggers


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("sex", SEXES)
def test_a_buckle_tells_the_lock_motion_from_rest_walking_and_abduction(sex: str, size: float) -> None:
    """Half way between its bounds nothing idle triggers, and the motion does."""
    harness = _slack(sex, size)
    for lock in (SHORT, LONG):
        buckle = lock_buckle(harness, lock, motion=SHOULDER_DOWN)
        assert buckle.separates
        assert buckle.works_against == "walking, arm back"
        set_so = LockStrap(let_out=0.5 * (buckle.least + buckle.most))
        for name, idle in IDLE.items():
            assert not lock_motion(harness, lock, set_so, **idle).triggers, name
        assert lock_motion(harness, lock, set_so, **SHOULDER_DOWN).triggers
        for out, triggers in ((buckle.most - mm(0.1), True), (buckle.most + mm(0.1), False)):
            assert lock_motion(harness, lock, LockStrap(let_out=out), **SHOULDER_DOWN).triggers == triggers
        for out, triggers in ((buckle.least - mm(0.1), True), (buckle.least + mm(0.1), False)):
            walks = lock_motion(harness, lock, LockStrap(let_out=out), **IDLE["walking, arm back"])
            assert walks.triggers == triggers


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("sex", SEXES)
def test_a_snug_strap_locks_neither_at_rest_nor_in_walking_nor_with_the_arm_raised_aside(sex: str, size: float) -> None:
    """Walking comes nearest: taken in by a few millimetres, the strap would lock whenever the arm swings back."""
    harness = _slack(sex, size)
    for lock in (SHORT, LONG):
        assert not any(lock_motion(harness, lock, **idle).triggers for idle in IDLE.values())
    least = lock_buckle(harness, SHORT).least
    assert mm(-5) < least < 0.0
    back = IDLE["walking, arm back"]
    assert lock_motion(harness, SHORT, LockStrap(let_out=mm(-5)), **back).triggers
    drawn = [lock_motion(harness, SHORT, arm_abduction=deg(at)).travel for at in (20.0, 40.0, 60.0, 90.0)]
    assert max(drawn) < mm(3)


@pytest.mark.parametrize("sex", SEXES)
def test_opening_near_the_body_does_not_lock_and_both_scapulae_hold_the_forearm_while_it_does(sex: str) -> None:
    harness = _slack(sex)
    system = DualControl(harness=harness)
    assert not lock_motion(harness, SHORT, **BOTH).triggers
    assert not lock_motion(harness, SHORT, arm_flexion=deg(30), **BOTH).triggers
    alone = lock_motion(harness, SHORT, **SHOULDER_DOWN)
    held = lock_motion(harness, SHORT, **{**SHOULDER_DOWN, **BOTH})
    assert alone.triggers
    assert held.triggers
    assert alone.lift < float(system.required(deg(60)))
    assert held.lift > float(system.required(deg(80)))


@pytest.mark.parametrize("sex", SEXES)
def test_a_front_strap_that_goes_taut_keeps_the_lock_from_its_travel(sex: str) -> None:
    """Slack frees the motion; a longer elastic part leaves it, at a price; snug, no share of the motion triggers."""
    wearer = _wearer(sex)
    snug = above_elbow_eight(wearer)
    elastic = above_elbow_eight(wearer, straps=Straps(elastic_reach=mm(25)))
    plain = above_elbow_eight(wearer, straps=Straps(elastic=0.0, elastic_reach=0.0))
    found = {name: lock_motion(one, SHORT, **SHOULDER_DOWN) for name, one in (("snug", snug), ("plain", plain))}
    found |= {
        "elastic": lock_motion(elastic, SHORT, **SHOULDER_DOWN),
        "slack": lock_motion(_slack(sex), SHORT, **SHOULDER_DOWN),
    }
    assert found["plain"].travel < found["snug"].travel < found["elastic"].travel < found["slack"].travel
    assert [name for name, one in found.items() if one.front_taut] == ["snug", "plain"]
    assert found["slack"].front_tension < FORCE < 2.0 * FORCE < found["elastic"].front_tension
    assert found["snug"].front_tension > 3.0 * FORCE
    for name in ("snug", "plain"):
        assert not found[name].triggers
        assert smallest_lock_motion({"snug": snug, "plain": plain}[name], SHORT, motion=SHOULDER_DOWN) is None
    needed = {name: front_let_out(one, SHORT) for name, one in (("snug", snug), ("plain", plain), ("long", elastic))}
    assert needed["long"] <= needed["snug"] < SHORT.travel < needed["plain"]
    for name, one in (("snug", snug), ("plain", plain)):
        for more, free in ((mm(0.3), True), (-mm(0.3), False)):
            done = lock_motion(replace(one, support_strap=needed[name] + more), SHORT, **SHOULDER_DOWN)
            assert (done.triggers and not done.front_taut) == free
    assert smallest_lock_motion(elastic, SHORT, motion=SHOULDER_DOWN) is not None
    assert smallest_lock_motion(_slack(sex), SHORT, motion=SHOULDER_DOWN) is not None


@pytest.mark.parametrize("motion", [SHOULDER_HELD, SHOULDER_DOWN, SHOULDER_FORWARD])
@pytest.mark.parametrize("sex", SEXES)
def test_a_course_further_out_and_higher_asks_less_of_the_front_strap(sex: str, motion: dict[str, float]) -> None:
    """It spares a part; only an end beside the joint, as the lateral suspensor has, comes no further away."""
    harness = _slack(sex)
    poses = [Pose(**motion)]
    sides = [float(front_way(harness, 0.35, side, poses)[0]) for side in (deg(-20), 0.0, deg(20))]
    heights = [float(front_way(harness, down, 0.0, poses)[0]) for down in (0.5, 0.35, 0.25)]
    assert sides == sorted(sides, reverse=True)
    assert heights == sorted(heights, reverse=True)
    if motion is not SHOULDER_HELD:
        assert float(front_way(harness, 0.25, deg(20), poses)[0]) > harness.straps.elastic_reach
    found = follow(harness, [Pose(), *poses], _barely)
    suspensor = found.net.length[harness.layout.of(LATERAL_SUSPENSOR)[0], list(found.asked)]
    assert suspensor[1] < suspensor[0] - mm(5)


@pytest.mark.parametrize("sex", SEXES)
def test_an_anchor_held_by_the_skin_would_not_tell_the_lock_motion_from_walking(sex: str) -> None:
    """It goes with the shoulder: depression and protraction do nothing, and walking draws what the held motion does."""
    harness = _slack(sex)
    alone = [Pose(shoulder_elevation=deg(-8)), Pose(scapular_abduction=deg(5))]
    poses = [*alone, Pose(**SHOULDER_HELD), Pose(**IDLE["walking, arm back"])]
    ways = ways_of(harness, LockStrap(), poses, pull=5.0)
    hanging, anchor = ways.paths.nodes[0], lock_motion(harness, SHORT).anchor
    first = int(np.linalg.norm(hanging - anchor, axis=1).argmin())
    joint = place(built(harness.wearer), np.zeros(5, dtype=np.intp), [Pose(), *poses])
    start = hanging[first] + joint.joint[:, 0] - joint.joint[0, 0]
    held = led(joint.surface, ways.paths.nodes[:, first:], start, ways.paths.nodes[:, -1])
    assert held.settled.all()
    down, forward, motion, walking = held.length[1:] - held.length[0]
    assert down < mm(1) < ways.longer[1]
    assert forward < 0.0 < ways.longer[2]
    assert motion > ways.longer[3]
    assert walking > motion - mm(1)
    assert walking > SHORT.travel + mm(3)


@pytest.mark.parametrize("sex", SEXES)
def test_what_ring_and_strap_yield_rises_with_the_locks_force(sex: str) -> None:
    harness, poses = _slack(sex), [Pose(**SHOULDER_DOWN), Pose(**SHOULDER_FORWARD)]
    forces = (0.0, 2.0, 5.0, FORCE, 15.0)
    found = [ways_of(harness, LockStrap(), poses, pull=5.0, force=force) for force in forces]
    assert all(one.settled for one in found)
    for values in (np.array([one.yielded[1:] for one in found]), np.array([[one.stretch] for one in found])):
        assert (values[0] == 0.0).all()
        assert (np.diff(values, axis=0) > 0.0).all()
        assert (values[-1] < mm(4)).all()
    assert (found[0].paths.length == found[-1].paths.length).all()


@pytest.mark.parametrize("sex", SEXES)
def test_the_net_bears_the_locks_force_as_one_more_strap(sex: str) -> None:
    """The same strap as the front one, pulling by itself: all junctions balance, and the ring comes towards it."""
    harness = _slack(sex)
    found = follow(harness, [Pose(**SHOULDER_DOWN)], _barely)
    front, at = harness.layout.of(FRONT_STRAP)[0], found.asked[0]
    net = pulled(found, found.net.nodes[front], found.ask.end[front], FORCE)
    assert net.settled.all()
    assert net.residual.max() < 1e-2
    assert net.tension[-1, at] == pytest.approx(FORCE, abs=0.2)
    assert net.tension[-1, 0] == 0.0
    heading = found.net.nodes[front][at, 1] - found.net.nodes[front][at, 0]
    assert (net.ring[at] - found.net.ring[at]) @ heading > 0.0
    assert net.length[-1, at] < found.net.length[front, at]


def test_a_pull_that_holds_the_forearm_takes_from_the_lock() -> None:
    """It draws the ring towards the base plate; on an average woman up to 4 mm."""
    harness = _slack("female")
    idle, holding = (lock_motion(harness, SHORT, pull=pull, **SHOULDER_DOWN) for pull in (5.0, 35.0))
    assert mm(1) < idle.travel - holding.travel < mm(4)
    assert idle.lift == pytest.approx(holding.lift, abs=1e-6)


@pytest.mark.parametrize("sex", SEXES)
def test_left_and_right_mirror(sex: str) -> None:
    right, left = (
        lock_motion(above_elbow_eight(_wearer(sex, side=side), support_strap=mm(16)), SHORT, **SHOULDER_DOWN)
        for side in ("right", "left")
    )
    for name in ("lengthening", "travel", "force", "lift", "front_give", "front_tension", "spare", "outcome"):
        assert getattr(right, name) == getattr(left, name), name
    assert np.array_equal(right.way, left.way * np.array([1.0, 1.0, -1.0]))
    assert np.array_equal(right.anchor, left.anchor * np.array([1.0, 1.0, -1.0]))


@pytest.mark.parametrize("sex", SEXES)
def test_the_strap_lies_on_the_body_and_leaves_the_front_strap_above_the_joint(sex: str) -> None:
    harness = _slack(sex)
    for motion in ({}, SHOULDER_DOWN, {"arm_flexion": deg(60)}):
        found = lock_motion(harness, SHORT, **motion)
        posed = Pose(**motion)
        body = place(built(harness.wearer), np.zeros(1, dtype=np.intp), [posed])
        steps = np.linalg.norm(np.diff(found.way, axis=0), axis=1)
        assert found.way[0, 0] < 0.0 < found.way[-1, 0]
        assert np.linalg.norm(found.way - found.anchor, axis=1).min() < steps.max()
        assert found.anchor[0] > 0.0
        if not motion:
            assert found.anchor[1] > body.joint[0, 0, 1]


def test_the_order_of_asking_changes_nothing() -> None:
    harness = _slack("female")
    poses = [Pose(**SHOULDER_DOWN), Pose(**SHOULDER_FORWARD), Pose(arm_abduction=deg(60))]
    together = lock_motions(harness, SHORT, poses)
    for pose, one in zip(reversed(poses), reversed(together), strict=True):
        alone = lock_motion(harness, SHORT, **vars(pose))
        assert alone.lengthening == pytest.approx(one.lengthening, abs=2e-6)
        assert alone.lift == pytest.approx(one.lift, abs=2e-6)
        assert alone.travel == pytest.approx(one.travel, abs=5e-6)


@pytest.mark.parametrize("sex", SEXES)
def test_drawn_wearers_all_have_an_answer(sex: str) -> None:
    for wearer in Wearer.draw(sex, 12, 3, level="transhumeral"):
        harness = above_elbow_eight(wearer, support_strap=TRAVEL.si_low)
        found = lock_motion(harness, SHORT, **SHOULDER_DOWN)
        assert found.settled
        assert mm(12) < found.travel < mm(30)
        assert found.lift > 0.0
        assert lock_buckle(harness, SHORT).separates


def test_what_has_no_lock_strap_is_refused() -> None:
    harness = _slack("female")
    with pytest.raises(InputError, match="front support strap"):
        lock_motion(figure_of_eight(Wearer.average("female")), SHORT)
    with pytest.raises(InputError, match="front support strap"):
        lock_parts(figure_of_eight(Wearer.average("female")), arm_flexion=deg(-12))
    with pytest.raises(InputError, match="The lock"):
        lock_motion(harness, 0.016)  # type: ignore[arg-type]
    with pytest.raises(InputError, match="no angle"):
        lock_motion(harness, SHORT, extension=deg(12))
    with pytest.raises(InputError, match="Arm flexion"):
        lock_motion(harness, SHORT, arm_flexion=deg(-80))
    with pytest.raises(InputError, match="pull at the control strap"):
        lock_motion(harness, SHORT, pull=newton(-1))
    with pytest.raises(InputError, match="The lock's strap"):
        LockStrap(let_out=0.2)
    with pytest.raises(InputError, match="retainer"):
        LockStrap(retainer=0.9)
    with pytest.raises(InputError, match="side"):
        replace(LockStrap(), side=deg(90))
