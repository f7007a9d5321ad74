"""The prosthetic elbow: closed forms and limits of the lift, dead points, work, the lock, hinges, and bad input."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from controlkit.mechanics import Wearer
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.elbow import (
    GRAVITY,
    ElbowLock,
    ElbowState,
    FlexionSpring,
    LiftLine,
    Piece,
    ProstheticForearm,
    StepUpHinge,
    below_axilla,
    forearm_of,
    lift,
    short_forearm,
    socket_couple,
)
from controlkit.mechanics.elbow.forearm import DEVICES
from controlkit.sources import source
from controlkit.units import InputError, deg, mm

FLEXIONS = np.deg2rad(np.linspace(0.5, 135.0, 270))
HEAVY = ProstheticForearm((Piece("all of it", 0.5, 0.25),))
LOOPS = st.builds(
    LiftLine,
    loop_along=st.floats(0.02, 0.10),
    loop_ahead=st.floats(-0.02, 0.02),
    end_above=st.floats(0.03, 0.20),
    end_ahead=st.floats(-0.02, 0.04),
)


def test_the_worked_moment_arm() -> None:
    """a b sin(phi) / L for 30 mm, 80 mm and 1.2 rad between them, as worked out in the table of values."""
    printed = source("lift_moment_arm_example")
    line = LiftLine(loop_along=0.030, end_above=0.080)
    assert float(line.moment_arm(math.pi - 1.2)) == pytest.approx(printed.si, abs=printed.digit / 2)


def test_a_loop_that_meets_the_housing_has_no_cable_left() -> None:
    level = LiftLine(loop_along=0.05, end_above=0.05)
    assert float(level.length(math.pi)) == pytest.approx(0.0, abs=1e-12)
    assert float(level.moment_arm(math.pi)) == 0.0


@given(line=LOOPS, at=st.floats(0.05, 2.3))
def test_the_moment_arm_is_how_fast_cable_is_taken_up(line: LiftLine, at: float) -> None:
    step = 1e-5
    assume(float(line.length(at)) > 0.005)
    slope = float(line.travel(at + step) - line.travel(at - step)) / (2.0 * step)
    assert float(line.moment_arm(at)) == pytest.approx(slope, abs=1e-8)


@given(line=LOOPS)
def test_dead_points_are_where_the_moment_arm_is_zero(line: LiftLine) -> None:
    low, high = deg(-10.0), deg(150.0)
    assume(line.length(np.linspace(low, high, 400)).min() > 0.002)  # else the loop meets the housing's end
    found = line.dead_points(low, high)
    for at in found:
        assert float(line.moment_arm(at)) == pytest.approx(0.0, abs=1e-12)
    arms = line.moment_arm(np.linspace(low, high, 4001))
    signs = np.sign(arms[np.abs(arms) > 1e-9])
    crossed = int((signs[1:] != signs[:-1]).sum())
    at_ends = sum(min(abs(at - low), abs(at - high)) < 1e-3 for at in found)
    assert len(found) - at_ends <= crossed <= len(found)


def test_loop_and_end_both_forward_meet_a_dead_point_and_then_extend() -> None:
    """Beyond it the cable passes behind the axis: no tension holds the forearm, and that is a result, not an error."""
    both = LiftLine(loop_ahead=0.020, end_ahead=0.030)
    (dead,) = both.dead_points()
    assert deg(130.0) < dead < deg(135.0)
    result = lift(both, HEAVY, FLEXIONS)
    assert result.lifts[dead - 0.01 > FLEXIONS].all()
    assert not result.lifts[dead + 0.01 < FLEXIONS].any()
    assert math.isinf(result.peak)
    assert math.isinf(result.work)
    alone = lift(LiftLine(end_ahead=0.025), HEAVY, FLEXIONS)
    assert alone.lifts.all()


def test_hanging_collinear_begins_at_a_limit_in_closed_form() -> None:
    r"""Straight and hanging, moment and arm vanish together: F tends to M (a + b) / (a b)."""
    line = LiftLine()
    a, b = line.loop_along, line.end_above
    limit = HEAVY.largest_moment * (a + b) / (a * b)
    assert float(lift(line, HEAVY, np.array([1e-4])).force[0]) == pytest.approx(limit, rel=1e-6)


def test_an_arm_already_raised_asks_far_more_of_a_straight_elbow() -> None:
    """Near the straight elbow the collinear cable has no arm, while the raised arm's forearm already weighs."""
    hanging, raised, further = (
        lift(LiftLine(), HEAVY, FLEXIONS, arm_inclination=deg(angle)).force[deg(6.0) > FLEXIONS]
        for angle in (0.0, 15.0, 30.0)
    )
    assert (raised > 3.0 * hanging).all()
    assert (further > 1.4 * raised).all()
    eased = lift(LiftLine(end_ahead=0.025), HEAVY, FLEXIONS, arm_inclination=deg(15.0)).force[deg(6.0) > FLEXIONS]
    assert (eased < 0.6 * raised).all()


@given(line=LOOPS, inclination=st.floats(0.0, 0.4))
def test_work_is_the_weight_raised(line: LiftLine, inclination: float) -> None:
    """Tension times travel is what the forearm gains in height, wherever loop and end sit."""
    fine = np.linspace(0.02, 1.9, 4000)
    result = lift(line, HEAVY, fine, arm_inclination=inclination)
    if not result.lifts.all():
        assert math.isinf(result.work)
        return
    force, travel = result.force, result.travel
    done = float(np.trapezoid(force, travel))
    gained = HEAVY.largest_moment * (math.cos(fine[0] + inclination) - math.cos(fine[-1] + inclination))
    assert done == pytest.approx(gained, rel=2e-3)
    assert result.work == pytest.approx(gained, rel=1e-5)


@given(line=LOOPS, more=st.floats(0.05, 2.0))
def test_a_load_never_lowers_the_force(line: LiftLine, more: float) -> None:
    bare, loaded = (lift(line, forearm, FLEXIONS) for forearm in (HEAVY, HEAVY.carrying(more, 0.30)))
    assert (loaded.force >= bare.force).all()


def test_a_loop_further_out_asks_less_force_and_more_travel_for_the_same_work() -> None:
    near, far = (lift(LiftLine(loop_along=along), HEAVY, FLEXIONS) for along in (0.030, 0.060))
    assert far.peak < 0.75 * near.peak
    assert far.travel[-1] > 1.5 * near.travel[-1]
    assert far.work == pytest.approx(near.work, rel=1e-12)


def test_a_spring_takes_its_share_and_may_hold_the_forearm_alone() -> None:
    bare = lift(LiftLine(), HEAVY, FLEXIONS)
    helped = lift(LiftLine(), HEAVY, FLEXIONS, spring=FlexionSpring(0.5, 0.1))
    assert (helped.force < bare.force).all()
    floats = lift(LiftLine(), HEAVY, FLEXIONS, spring=FlexionSpring(3.0))
    assert (floats.force == 0.0).all()
    assert floats.work == 0.0


def test_forearms_from_assumed_pieces_weigh_in_order_and_less_than_an_arm() -> None:
    """Light hook, hook, steel hook, hand, gloved hand; all lighter than the forearm and hand that they replace.

    Three published sets of segment masses for the bare forearm and hand of an average man stand against them.
    """
    man = Wearer.average("male", level="transhumeral")
    moments = [forearm_of(man, device).largest_moment for device in DEVICES]
    assert moments == sorted(moments)
    assert 0.8 < moments[0] < 1.0  # the sum of assumed pieces, no measurement
    bare = {
        "dempster": source("forearm_hand_mass_dempster").si * source("forearm_hand_centre_dempster").si,
        "de_leva": _segments("de_leva", "_men"),
        "plagenhoef": _segments("plagenhoef", "_men"),
    }
    reach = float(built(man).forearm[0])
    printed = [share * man.mass * GRAVITY * reach for share in bare.values()]
    assert max(printed) / min(printed) < 1.35  # the three sets among themselves
    assert all(moments[-1] < moment for moment in printed)


def _segments(origin: str, sex: str) -> float:
    """Mass share times place, of forearm and hand, in forearm lengths."""
    reach = source("hand_of_stature").si / source("forearm_of_stature").si
    hand = source("hand_centre_plagenhoef").si
    fore = source(f"forearm_mass_{origin}{sex}").si * source(f"forearm_centre_{origin}{sex}").si
    return fore + source(f"hand_mass_{origin}{sex}").si * (1.0 + hand * reach)


@given(
    st.lists(
        st.tuples(st.floats(0.0, 0.05), st.floats(0.0, 30.0), st.floats(-3.0, 3.0), st.floats(0.0, 2.4)), max_size=40
    )
)
def test_the_lock_never_stands_between_positions(pulls: list[tuple[float, float, float, float]]) -> None:
    lock, held = ElbowLock.evenly(11), ElbowState(False, deg(30.0))
    for travel, force, moment, flexion in pulls:
        if not held.locked:
            held = ElbowState(False, flexion)
        done = lock.pull(held, travel=travel, force=force, moment=moment)
        if done.after.locked:
            assert done.after.elbow_flexion in (*lock.positions, 0.0)
        if travel < lock.travel or force < lock.force or (held.locked and abs(moment) > lock.free_moment):
            assert done.after == held
        else:
            assert done.after.locked != held.locked
        assert done.dropped >= 0.0
        held = done.after


@given(
    st.lists(st.floats(0.0, 2.6), min_size=1, max_size=11, unique_by=lambda at: round(at, 3)),
    st.floats(0.0, 2.6),
    st.floats(0.0, 0.5),
)
def test_a_lock_never_lifts_and_stops_at_the_first_that_holds(at: list[float], flexion: float, stop: float) -> None:
    """Of all positions and the stop it is the highest that is not above the forearm, and never below the stop."""
    lock, flexion = ElbowLock(positions=tuple(sorted(at))), max(flexion, stop)
    done = lock.pull(ElbowState(False, flexion), travel=0.03, force=20.0, stop=stop)
    assert done.outcome == "locked"
    assert stop <= done.after.elbow_flexion <= flexion
    assert done.dropped == flexion - done.after.elbow_flexion
    assert done.after.elbow_flexion == pytest.approx(
        max(one for one in (*lock.positions, stop) if one <= flexion + 1e-9), abs=1e-8
    )
    assert done.after.elbow_flexion == lock.sunk(flexion, stop)


def test_below_its_first_position_a_lock_lets_the_forearm_sink_to_its_stop() -> None:
    lock = ElbowLock(positions=(deg(40), deg(80)))
    for stop in (0.0, deg(5)):
        done = lock.pull(ElbowState(False, deg(10)), travel=0.03, force=20.0, stop=stop)
        assert done.after == ElbowState(True, stop)
        assert done.dropped == pytest.approx(deg(10) - stop)


def test_fewer_positions_let_the_forearm_sink_further() -> None:
    sunk = [
        max(ElbowLock.evenly(count).pull(ElbowState(False, at), travel=0.03, force=20.0).dropped for at in FLEXIONS)
        for count in (4, 8, 11)
    ]
    assert sunk == sorted(sunk, reverse=True)
    assert math.degrees(sunk[0]) == pytest.approx(130.0 / 3.0, abs=0.6)


def test_a_step_up_hinge_trades_angle_for_moment_at_equal_work() -> None:
    hinge = StepUpHinge(2.0)
    assert hinge.limb_moment(1.3) * hinge.limb_flexion(1.0) == pytest.approx(1.3)
    assert socket_couple(2.0, 0.03) == pytest.approx(2.0 * socket_couple(2.0, 0.06))


def test_a_split_socket_flexes_further_and_a_self_suspending_one_carries_more() -> None:
    """As the caption of a study has it; by the hinge's ratio, whatever the limb can do."""
    forearm = forearm_of(Wearer.average("male"))
    for flexion, moment in ((deg(50), 4.0), (deg(90), 8.0)):
        split, whole, locked = short_forearm(forearm, limb_flexion=flexion, limb_moment=moment, lever=mm(45), load=0.2)
        assert split.elbow_flexion > whole.elbow_flexion
        assert whole.most_load > 2.0 * split.most_load > 0.0
        assert split.couple == pytest.approx(2.0 * whole.couple)
        assert locked.limb_moment == locked.couple == 0.0
    assert split.elbow_flexion == pytest.approx(deg(140))
    assert whole.elbow_flexion == pytest.approx(deg(90))


def test_where_the_limb_cannot_lift_only_the_lock_holds() -> None:
    ways = short_forearm(forearm_of(Wearer.average("female")), limb_flexion=deg(40), limb_moment=0.5, lever=mm(30))
    assert [way.holds for way in ways] == [False, False, True]
    assert [way.most_load for way in ways] == [0.0, 0.0, math.inf]


def test_the_largest_load_is_just_held() -> None:
    forearm, ask = forearm_of(Wearer.average("male")), {"limb_flexion": deg(60), "limb_moment": 6.0, "lever": mm(45)}
    most = [way.most_load for way in short_forearm(forearm, **ask)[:2]]
    for k, load in enumerate(most):
        assert short_forearm(forearm, **ask, load=load - 1e-9)[k].holds
        assert not short_forearm(forearm, **ask, load=load + 1e-9)[k].holds


@pytest.mark.parametrize("sex", ["female", "male"])
def test_a_shorter_humerus_leaves_less_socket_below_the_axilla(sex: str) -> None:
    short, usual = (Wearer.average(sex, level="transhumeral", residual_share=share) for share in (0.3, 0.6))
    lost = 0.3 * usual.acromion_radiale_length
    assert below_axilla(usual) - below_axilla(short) == pytest.approx(lost, rel=1e-9)
    assert below_axilla(short) < source("short_humeral_socket").si_low


@pytest.mark.parametrize(
    ("ask", "said"),
    [
        (lambda: LiftLine(loop_along=0.9), "lift loop along the forearm"),
        (lambda: LiftLine(end_above=-0.01), "housing's end above the elbow"),
        (lambda: Piece("hook", -0.1, 0.3), "mass of the hook"),
        (lambda: lift(LiftLine(), HEAVY, np.array([0.1, 3.0])), "Elbow flexion"),
        (lambda: lift(LiftLine(), HEAVY, np.array([0.3, 0.1])), "rising"),
        (lambda: lift(LiftLine(), HEAVY, np.array([math.nan])), "finite"),
        (lambda: forearm_of(Wearer.average("female"), "claw"), "no device"),
        (lambda: ElbowLock(positions=()), "no position"),
        (lambda: ElbowLock(positions=1.0), "given as 1.0. Give them as a tuple"),
        (lambda: ElbowLock.evenly(2.5), "given as 2.5. Give a whole number"),
        (lambda: ElbowLock.evenly(11, low="5"), "first position"),
        (lambda: ElbowLock(positions=(1.0, 0.5)), "rising"),
        (lambda: StepUpHinge(9.0), "hinge's ratio"),
        (lambda: socket_couple(1.0, 0.0), "lever in the socket"),
        (lambda: below_axilla(Wearer.average("female")), "transhumeral"),
        (lambda: short_forearm(HEAVY, limb_flexion=9.0, limb_moment=4.0, lever=0.04), "limb's flexion"),
        (lambda: LiftLine().dead_points(1.0, 0.5), "lower end first"),
    ],
)
def test_refuses_in_a_sentence(ask: object, said: str) -> None:
    with pytest.raises(InputError, match=said):
        ask()  # type: ignore[operator]
