"""The bilateral pair: balance, mirror, closed forms, what one side does to the other, and whom it serves."""

from __future__ import annotations

import itertools
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import (
    Cuff,
    PairArm,
    PairControl,
    Pose,
    SingleControl,
    Skin,
    Straps,
    Wearer,
    bilateral_pair,
    figure_of_eight,
    hook_opening,
    suspend,
)
from controlkit.mechanics.body.pose import PairPose
from controlkit.mechanics.body.remembered import stand
from controlkit.mechanics.chain import PairPull, PairSide
from controlkit.mechanics.harness import RIGID, Harness, follow
from controlkit.mechanics.harness.laws import CableLaw, Law
from controlkit.mechanics.harness.layout import CONTROL, OTHER_CONTROL, OVER, UNDER
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.patterns.pair import seen_from
from controlkit.mechanics.states import State
from controlkit.mechanics.surface import Field
from controlkit.units import InputError, deg, mm
from tests.laws.test_patterns import FREE, _leftover

SEXES, LEVELS = ("female", "male"), ("transradial", "transhumeral")
MIRROR = np.array([1.0, 1.0, -1.0])
FLEXED = {"arm_flexion": deg(60)}
FORWARD = {"scapular_abduction": deg(15)}
LOW = mm(100)


def _wearer(sex: str, level: str = "transradial") -> Wearer:
    return Wearer.average(sex, level=level)


def _pair(sex: str = "male", level: str = "transradial", below: float = LOW, **more: Any) -> PairControl:
    return PairControl(harness=bilateral_pair(_wearer(sex, level), junction_below_c7=below, **more))


def _sides(pull: PairPull) -> dict[str, PairSide]:
    return {side.side: side for side in (pull.own, pull.other)}


def _held(pose: Pose, give: float) -> CableLaw:
    """A cable that is held fast."""
    return CableLaw(stiffness=1.0 / give, start=1e6, rise=0.0, full=1e6)


def _drawn(pull: float) -> Law:
    """A cable that gives way at one pull."""

    def law(pose: Pose, give: float) -> CableLaw:
        return CableLaw(stiffness=1.0 / give, start=pull, rise=0.0, full=1e6)

    return law


def _solved(harness: Harness, pose: PairPose, own: Law = _held, other: Law = _held) -> Followed:
    found = follow(harness, [pose], own, other=other)
    assert found.net.settled.all()
    return found


@pytest.mark.parametrize("crossing", ["ring", "sewn"])
@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("sex", SEXES)
def test_every_junction_balances(sex: str, level: str, crossing: str) -> None:
    """As the solver has it, and added up anew from the drawn straps, where a first chord is not quite the tangent."""
    harness = bilateral_pair(_wearer(sex, level), junction_below_c7=LOW, crossing=crossing)
    poses = [
        PairPose(**FLEXED),
        PairPose(**FORWARD, other=Pose(arm_flexion=deg(30))),
        PairPose(socket_slip=mm(15), other=Pose(socket_slip=mm(5))),
    ]
    law = _drawn(50.0)
    found = follow(harness, poses, law, other=law)
    assert found.net.settled.all()
    assert found.net.residual.max() < 1e-3
    if crossing == "ring":
        for at in found.asked:
            assert np.abs(_leftover(found, at)).max() < 0.2, found.poses[at]


@pytest.mark.parametrize("level", LEVELS)
def test_both_sides_mirror_exactly(level: str) -> None:
    right, left = (_pair("female", level).pull(side, Pose(arm_flexion=deg(20)), **FLEXED) for side in ("right", "left"))
    assert replace(right.own, side="left") == left.own
    assert replace(right.other, side="right") == left.other
    assert np.array_equal(right.junction, left.junction * MIRROR)
    swapped = {"right": "left", "left": "right"}
    for name, run in right.straps.items():
        side, strap = name.split(" ", 1)
        assert np.array_equal(run, left.straps[f"{swapped[side]} {strap}"] * MIRROR)
        assert right.strap_tension[name] == left.strap_tension[f"{swapped[side]} {strap}"]


@pytest.mark.parametrize(
    ("level", "other_level"), [*zip(LEVELS, LEVELS, strict=True), LEVELS], ids=["below", "above", "one of each"]
)
def test_from_whichever_side_it_is_told_it_is_one_state(level: str, other_level: str) -> None:
    """Straps, devices, poses and even levels differ from side to side; who is called the puller changes nothing."""
    harness = bilateral_pair(
        _wearer("male", level),
        other_level=other_level,
        junction_below_c7=LOW,
        junction_aside=mm(10),
        control_strap=mm(4),
        other_control_strap=mm(-3),
        other_support_strap=mm(6),
    )
    pair = PairControl(harness=harness, left=PairArm(device=hook_opening(2)), right=PairArm(device=hook_opening(4)))
    one, two = Pose(arm_flexion=deg(50), arm_abduction=deg(20)), Pose(arm_flexion=deg(20), scapular_abduction=deg(8))
    first, second = pair.pull("right", two, **vars(one)), pair.pull("left", one, **vars(two))
    assert first.junction == pytest.approx(second.junction, abs=mm(0.01))
    for name, tension in first.strap_tension.items():
        assert tension == pytest.approx(second.strap_tension[name], abs=0.05), name
    for side, told in _sides(first).items():
        assert told.travel == pytest.approx(_sides(second)[side].travel, abs=mm(0.02))


@pytest.mark.parametrize("level", LEVELS)
def test_a_start_from_elsewhere_changes_nothing(level: str) -> None:
    harness = bilateral_pair(_wearer("male", level), junction_below_c7=LOW)
    moved = replace(harness, ring_to_sound_side=mm(4), control_strap=mm(4), crossbar=harness.crossbar + 0.02)
    poses = [PairPose(arm_flexion=deg(a), other=Pose(arm_flexion=deg(b))) for a, b in ((60, 0), (30, 50), (-10, 20))]
    near = follow(harness, poses, _drawn(30.0), other=_drawn(50.0))
    cold, warm = (follow(moved, poses, _drawn(40.0), start, other=_drawn(20.0)) for start in (None, near))
    assert np.abs(warm.net.tension - cold.net.tension).max() < 2e-3
    assert np.abs(warm.net.junction[:, 0] - cold.net.junction[:, 0]).max() < 2e-6
    again = follow(moved, poses, _drawn(40.0), cold, other=_drawn(20.0))
    assert np.array_equal(again.net.tension, cold.net.tension)
    stronger = follow(moved, poses, _drawn(40.0), cold, other=_drawn(25.0))
    assert not np.array_equal(stronger.net.tension, cold.net.tension)


def test_a_pair_seen_from_the_other_side_and_back_is_the_same() -> None:
    different = {"control_strap": mm(4), "other_support_strap": mm(6), "other_crossbar": 0.6}
    harness = bilateral_pair(_wearer("male"), other_level="transhumeral", junction_aside=mm(10), **different)
    assert seen_from(seen_from(harness, "left"), "right") == harness
    assert seen_from(harness, "left") != harness


@pytest.mark.parametrize("motion", [FLEXED, FORWARD, {"arm_flexion": deg(-20)}])
@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("sex", SEXES)
def test_what_both_sides_do_alike_keeps_the_junction_on_the_midline(
    sex: str, level: str, motion: dict[str, float]
) -> None:
    pull = _pair(sex, level).pull("right", Pose(**motion), **motion)
    assert abs(pull.junction[2]) < 1e-6
    assert pull.own.harness_force == pytest.approx(pull.other.harness_force, abs=1e-3)
    assert pull.own.front_force == pytest.approx(pull.other.front_force, abs=1e-3)


@pytest.mark.parametrize("below", [80, 110, 140])
@pytest.mark.parametrize("sex", SEXES)
def test_without_friction_three_taut_straps_keep_to_the_triangle_of_forces(sex: str, below: int) -> None:
    """Lami's theorem in the plane of the skin; the own front strap hangs slack, and nothing stretches.

    What crosses over is sin of the angle between own control strap and the other front strap, over sin of the angle
    between both straps of the other side: nothing where the strap runs on in a line, more the more it kinks.
    """
    stiff = {"skin": replace(FREE, flesh=0.0), "straps": Straps(webbing=1e6), "cuff": RIGID}
    harness = bilateral_pair(_wearer(sex), junction_below_c7=mm(below), **stiff)
    found = _solved(harness, PairPose(**FLEXED), _drawn(60.0))
    at, net = found.asked[0], found.net
    tension = {run: float(net.tension[run, at]) for run in (OVER, UNDER, CONTROL, OTHER_CONTROL)}
    assert tension[OVER] == 0.0
    assert min(tension[UNDER], tension[OTHER_CONTROL]) > 5.0
    normal = _normal(found, at)
    ways = {}
    for run in (UNDER, CONTROL, OTHER_CONTROL):
        way = _heading(net.nodes[run][at])
        ways[run] = way - (way @ normal) * normal
    turned = {
        run: np.cross(ways[one], ways[two]) @ normal
        for run, one, two in (
            (CONTROL, OTHER_CONTROL, UNDER),
            (UNDER, CONTROL, OTHER_CONTROL),
            (OTHER_CONTROL, UNDER, CONTROL),
        )
    }
    share = turned[OTHER_CONTROL] / turned[CONTROL]
    assert tension[OTHER_CONTROL] / tension[CONTROL] == pytest.approx(share, rel=0.01)
    assert tension[UNDER] / tension[CONTROL] == pytest.approx(turned[UNDER] / turned[CONTROL], rel=0.01)


def _heading(nodes: np.ndarray) -> np.ndarray:
    """Tangent at a run's start: of the parabola through its first three nodes."""
    way = -1.5 * nodes[0] + 2.0 * nodes[1] - 0.5 * nodes[2]
    return np.asarray(way / np.linalg.norm(way))


def _normal(found: Followed, at: int) -> np.ndarray:
    union = stand(found.harness.wearer, found.poses[at]).surface
    _, gradient = Field(union, np.zeros(1, dtype=np.intp)).slope(found.net.ring[at][:, None])
    return np.asarray(gradient[:, 0] / np.linalg.norm(gradient))


@pytest.mark.parametrize("level", LEVELS)
def test_what_a_millimetre_here_does_there_it_does_back(level: str) -> None:
    """Reciprocity (Betti): without friction, cables held, an elastic net answers alike in both directions.

    A millimetre let out of the own control strap slackens the other by as much as one let out there slackens the own.
    """
    wearer, step = _wearer("male", level), mm(0.5)
    pose = PairPose(arm_flexion=deg(40), other=Pose(arm_flexion=deg(10), scapular_abduction=deg(10)))

    def tensions(own: float, other: float) -> np.ndarray:
        harness = bilateral_pair(
            wearer, junction_below_c7=LOW, control_strap=own, other_control_strap=other, skin=replace(FREE, flesh=0.0)
        )
        found = _solved(harness, pose)
        return np.asarray(found.net.tension[[CONTROL, OTHER_CONTROL], found.asked[0]])

    own, other = (
        (tensions(*less) - tensions(*more)) for less, more in (((-step, 0), (step, 0)), ((0, -step), (0, step)))
    )
    assert own[0] > own[1] > 0.2
    assert own[1] == pytest.approx(other[0], rel=0.02)


@pytest.mark.parametrize("below", [60, 140])
@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("sex", SEXES)
def test_a_greater_pull_never_lowers_what_the_other_side_feels(sex: str, level: str, below: int) -> None:
    """In one pose, the own cable giving way at more and more."""
    pair = _pair(sex, level, mm(below))
    felt = [
        pair.pull("right", against=float(pull), **FLEXED).other.harness_force for pull in np.arange(0.0, 161.0, 40.0)
    ]
    assert np.diff(felt).min() > -0.1, felt


@pytest.mark.parametrize("sex", SEXES)
def test_a_shoulder_that_works_through_its_front_strap_may_be_felt_less_as_its_own_cable_bears_more(sex: str) -> None:
    """Where the rule turns round: the front strap draws the junction over, and the own control strap holds it back."""
    pair = _pair(sex, below=mm(60))
    free, held = (pair.pull("right", against=pull, **FORWARD).other for pull in (0.0, 40.0))
    assert held.travel < free.travel - mm(2)


@pytest.mark.parametrize("sex", SEXES)
def test_both_arms_flexed_get_less_than_either_alone_from_a_high_junction_and_no_less_from_a_low_one(sex: str) -> None:
    """No front strap holds it up any more: it rides down until both control straps pull on each other in a line.

    From high up that is a long way, and the way is lost. So a pull may lower what the other side feels.
    """
    for below, less in ((25, True), (100, False)):
        pair = _pair(sex, below=mm(below))
        alone, both = pair.pull("right", **FLEXED), pair.pull("right", Pose(**FLEXED), **FLEXED)
        assert both.own.front_force == both.other.front_force == 0.0
        assert both.junction_shift[1] < alone.junction_shift[1] - mm(30)
        assert (both.own.travel < alone.own.travel - mm(5)) == less
        assert (both.crossed_force < -1.0) == less


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("sex", SEXES)
def test_a_lower_junction_lets_more_cross_over(sex: str, level: str) -> None:
    """High, the control strap runs on in a line as the other front strap, which takes it all; low, it kinks."""
    crossed = [_pair(sex, level, mm(below)).pull("right", **FLEXED).crossed_force for below in (25, 60, 100, 140)]
    assert crossed[0] == pytest.approx(0.0, abs=1e-9)
    assert crossed[-1] > 5.0
    assert np.diff(crossed).min() >= -1e-3


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("sex", SEXES)
def test_a_shoulder_drawn_forward_opens_the_other_device_and_a_flexed_arm_does_not(sex: str, level: str) -> None:
    """Its front strap is the other's control strap: drawn forward it works the other more than the own cable."""
    pair = _pair(sex, level)
    flexed, forward = pair.pull("right", **FLEXED), pair.pull("right", **FORWARD)
    assert flexed.own.opening > mm(80)
    assert not flexed.other_opens
    assert flexed.own.front_force == 0.0
    assert forward.other_opens
    assert forward.other.travel > forward.own.travel
    assert forward.other.harness_force > forward.own.harness_force


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("sex", SEXES)
def test_an_arm_drawn_back_pulls_the_other_cable_and_not_its_own(sex: str, level: str) -> None:
    back = _pair(sex, level, mm(60)).pull("right", arm_flexion=deg(-20))
    assert back.own.harness_force == 0.0
    assert back.own.slack > mm(10)
    assert back.own.front_force > 10.0
    assert back.crossed_force > 10.0


@pytest.mark.parametrize("motion", [FLEXED, FORWARD], ids=["flexed", "forward"])
@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("sex", SEXES)
def test_more_bands_on_the_other_side_never_make_it_open_earlier(
    sex: str, level: str, motion: dict[str, float]
) -> None:
    opens, moved = [], []
    for bands in (1, 3, 8):
        pair = replace(_pair(sex, level, mm(140)), left=PairArm(device=hook_opening(bands)))
        pull = pair.pull("right", **motion)
        opens.append(pull.opens_at)
        moved.append(pull.other.travel)
    assert all(more >= fewer - 0.5 for fewer, more in itertools.pairwise(opens)), opens
    assert np.diff(moved).max() < mm(0.1), moved


@pytest.mark.parametrize("motion", [FLEXED, FORWARD], ids=["flexed", "forward"])
@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("sex", SEXES)
def test_slack_in_the_other_control_strap_keeps_them_apart_and_costs_that_side_its_excursion(
    sex: str, level: str, motion: dict[str, float]
) -> None:
    pairs = [_pair(sex, level, other_control_strap=mm(slack)) for slack in (0.0, 10.0, 30.0, 80.0)]
    crossed = [pair.pull("right", **motion).crossed_force for pair in pairs]
    assert np.diff(crossed).max() < 0.05
    assert crossed[-1] == pytest.approx(0.0, abs=1e-9)
    snug, loose = (pair.pull("left", **FLEXED).own.travel for pair in (pairs[0], pairs[2]))
    assert snug - loose == pytest.approx(mm(30), abs=mm(6))


@pytest.mark.parametrize("sex", SEXES)
def test_friction_of_the_skin_takes_a_part_below_the_elbow(sex: str) -> None:
    crossed = [_pair(sex, skin=Skin(friction=mu)).pull("right", **FLEXED).crossed_force for mu in (0.0, 0.37, 0.8)]
    assert crossed[0] > crossed[1] > crossed[2] > 0.0


@pytest.mark.parametrize("sex", SEXES)
def test_a_lock_keeps_them_apart_and_a_free_forearm_does_not(sex: str) -> None:
    """A locked elbow has taken up cable that the other side would have to draw first; a free forearm rises early."""
    locked_straight, locked = (
        _pair(sex, "transhumeral").pull("right", Pose(elbow_flexion=elbow), **FORWARD) for elbow in (0.0, deg(90))
    )
    assert locked_straight.other_opens
    assert not locked.other_opens
    assert locked.other.slack > mm(10)
    free = replace(_pair(sex, "transhumeral"), left=PairArm(unlocked=True)).pull("right", **FORWARD)
    assert free.other_opens
    assert free.other.opening == 0.0
    assert free.other.elbow_flexion > deg(30)
    assert free.other.harness_force < locked_straight.other.harness_force


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("sex", SEXES)
def test_the_other_prosthesis_is_held_by_its_front_straps_and_the_own_one_by_its_control_strap(
    sex: str, level: str
) -> None:
    """While one side pulls. What straps draw up, cuff and socket bear: balance of each prosthesis along its limb."""
    pair = _pair(sex, level, mm(60))
    pull = pair.pull("right", **FLEXED)
    for side in (pull.own, pull.other):
        assert side.carried == pytest.approx(float(Cuff().pull(np.array([side.pad_shift]))[0][0]), abs=1e-2)
    assert pull.own.front_force == 0.0
    assert State.of("strap-slack", strap="right anterior support strap") in pull.states
    assert pull.own.carried > 0.9 * pull.own.harness_force
    assert pull.other.front_force > 10.0
    assert pull.other.carried > 20.0


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("sex", SEXES)
def test_a_load_on_one_prosthesis_pulls_the_other_cable(sex: str, level: str) -> None:
    """Dragged down, it hangs on its front strap, which is the other's control strap: ever more, until that opens."""
    pulls = [_pair(sex, level).pull("right", socket_slip=mm(slip)) for slip in (2.0, 5.0, 10.0, 20.0)]
    assert np.diff([pull.own.carried for pull in pulls]).min() > 3.0
    assert np.diff([pull.other.harness_force for pull in pulls]).min() > 3.0
    assert [pull.other_opens for pull in pulls] == [False, False, False, True]


def test_an_elastic_front_strap_costs_excursion() -> None:
    """What the own control strap pulls on is the other front strap: its elastic part gives first."""
    plain, elastic = (_pair(elastic=elastic).pull("right", **FLEXED).own for elastic in (False, True))
    assert mm(2) < plain.travel - elastic.travel < mm(10)


def test_what_is_no_pair_is_refused_in_words() -> None:
    woman = _wearer("female")
    with pytest.raises(InputError, match="serves one prosthesis"):
        PairControl(harness=figure_of_eight(woman))
    with pytest.raises(InputError, match="PairControl"):
        SingleControl(bilateral_pair(woman)).at(arm_flexion=1.0)
    with pytest.raises(InputError, match="PairControl"):
        suspend(bilateral_pair(woman), SingleControl(bilateral_pair(woman)).law, 50.0)
    with pytest.raises(InputError, match="bilateral_pair"):
        follow(figure_of_eight(woman), [PairPose()], _held)
    with pytest.raises(InputError, match='"left" or "right"'):
        _pair().pull("both")
    with pytest.raises(InputError, match='"ring" or "sewn"'):
        bilateral_pair(woman, crossing="glued")
    with pytest.raises(InputError, match="Other control strap"):
        bilateral_pair(woman, other_control_strap=1.0)
    with pytest.raises(InputError, match="Other crossbar was given as 2 of"):
        bilateral_pair(woman, other_crossbar=2.0)
    with pytest.raises(InputError, match="another level"):
        _pair().on(_wearer("female", "transhumeral"))
    with pytest.raises(InputError, match="a pair has none"):
        replace(bilateral_pair(woman), axilla_loop=0.01)
    with pytest.raises(InputError, match="pull to work against"):
        _pair().pull("right", against=-1.0)
    with pytest.raises(InputError, match="other arm's pose"):
        _pair().pull("right", other=0.5)  # type: ignore[arg-type]
    with pytest.raises(InputError, match="no angle"):
        _pair().pull("right", wrist=0.5)


def _failures(count: int, seed: int) -> list[str]:
    rng, failed = np.random.default_rng(seed), []
    for k in range(count):
        wearer = Wearer.draw(SEXES[k % 2], 1, seed=seed + k, level=LEVELS[k // 2 % 2])[0]
        straps = ("control_strap", "support_strap", "other_control_strap", "other_support_strap")
        harness = bilateral_pair(
            wearer,
            other_level=LEVELS[rng.integers(2)],
            junction_below_c7=rng.uniform(0.01, 0.16),
            junction_aside=rng.uniform(-0.04, 0.04),
            crossing=("ring", "sewn")[rng.integers(2)],
            elastic=bool(rng.integers(2)),
            **{name: rng.uniform(-0.02, 0.05) for name in straps},
        )
        arms = [
            Pose(
                arm_flexion=deg(rng.uniform(-20, 100)),
                arm_abduction=deg(rng.uniform(0, 40)),
                scapular_abduction=deg(rng.uniform(-10, 20)),
                shoulder_elevation=deg(rng.uniform(-5, 15)),
                elbow_flexion=deg(rng.uniform(0, 120)),
            )
            for _ in range(2)
        ]
        if not PairControl(harness=harness).pull(("left", "right")[k % 2], arms[0], **vars(arms[1])).settled:
            failed.append(f"{k}: {harness}")
    return failed


@pytest.mark.parametrize("count", [20, pytest.param(500, marks=pytest.mark.long)])
def test_no_wearer_no_placement_and_no_pose_fails(count: int) -> None:
    assert _failures(count, seed=70) == []


def test_an_angle_that_was_rounded_as_it_was_written_changes_nothing() -> None:
    """A billionth of a radian above 15 degrees asks for no step more on the way there, and gives the same answer."""
    pair = _pair("female", "transradial", mm(60))
    openings = [pair.pull("right", scapular_abduction=angle).other.opening for angle in (deg(15), deg(15) + 5e-10)]
    assert openings[0] > mm(1)
    assert openings[1] == pytest.approx(openings[0], abs=mm(0.01))
