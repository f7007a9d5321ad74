"""The housing's route against elastic rods that are known exactly, and laws that hold for any route."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_bvp
from scipy.optimize import brentq
from scipy.special import ellipe, ellipk

from controlkit.mechanics.cable import ArmLine, ControlCable, Housing
from controlkit.mechanics.cable.elastica import LAYER, Elastica, clamped
from controlkit.mechanics.cable.line import CATCHES, LEEWAY
from controlkit.mechanics.cable.route import FULL_FLEXION, OFFSETS
from controlkit.mechanics.states import State
from controlkit.units import deg, mm

Array = NDArray[np.float64]
ELBOWS = deg(1) * np.array([0.0, 15.0, 30.0, 60.0, 90.0, 110.0, 135.0])

arms = st.builds(
    ArmLine,
    upper=st.floats(0.08, 0.25),
    forearm=st.floats(0.05, 0.2),
    upper_offset=st.floats(-0.05, 0.02),
    forearm_offset=st.floats(-0.05, 0.02),
    elbow_offset=st.none() | st.floats(*OFFSETS),
)
elbows = st.floats(0.0, float(deg(150)))
spares = st.floats(0.0, 0.06)


def _one(turn: float, along: float, across: float) -> Elastica:
    return clamped(np.array([turn]), np.array([along]), np.array([across]))


# --- rods that are known exactly --------------------------------------------------------------------


@pytest.mark.parametrize("turn", deg(1) * np.array([5.0, 45.0, 90.0, 135.0, 150.0]))
def test_ends_on_an_arc_give_the_arc(turn: float) -> None:
    chord = math.sin(turn / 2) / (turn / 2)
    rod = _one(turn, chord * math.cos(turn / 2), chord * math.sin(turn / 2))
    assert rod.bend[0] == pytest.approx(turn, rel=1e-9)
    assert rod.tightest[0] == pytest.approx(1 / turn, rel=1e-7)
    assert rod.energy[0] == pytest.approx(turn**2 / 2, rel=1e-9)
    assert np.diff(rod.angle[0], 2) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("span", [0.9999, 0.99, 0.95, 0.9, 0.75, 0.6])
def test_a_buckled_rod_between_two_clamps_follows_the_elliptic_integrals(span: float) -> None:
    r"""Four quarter waves: span/length = 2 E(k)/K(k) - 1, steepest slope 2 asin k, largest curvature 8 k K(k)."""
    k = brentq(lambda k: 2 * ellipe(k**2) / ellipk(k**2) - 1 - span, 1e-9, 0.999)
    rod = _one(0.0, span, 0.0)
    assert np.abs(rod.angle[0]).max() == pytest.approx(2 * math.asin(k), rel=1e-4)  # between two nodes
    assert rod.bend[0] == pytest.approx(8 * math.asin(k), rel=2e-4)
    assert 1 / rod.tightest[0] == pytest.approx(8 * k * ellipk(k**2), rel=1e-5)


def test_the_bow_of_a_buckled_rod_lies_on_the_outer_side_of_its_turn() -> None:
    """Its turn goes to the left, its bow to the right."""
    assert _one(0.0, 0.95, 0.0).points[0, :, 1].min() < -0.1
    assert _one(0.2, 0.95, 0.05).points[0, :, 1].min() < -0.05


@pytest.mark.parametrize(
    ("turn", "along", "across"), [(0.3, 0.97, 0.1), (1.2, 0.75, 0.5), (2.3, 0.25, 0.5), (0.0, 0.9, 0.15)]
)
def test_any_rod_obeys_the_equation_of_the_elastica(turn: float, along: float, across: float) -> None:
    """A solver for boundary values finds the same rod from a rough bow: theta'' = p sin theta - q cos theta."""

    def rates(_: Array, y: Array, force: Array) -> Array:
        return np.stack([y[1], force[0] * np.sin(y[0]) - force[1] * np.cos(y[0]), np.cos(y[0]), np.sin(y[0])])

    def ends(near: Array, far: Array, _: Array) -> Array:
        return np.array([near[0], near[2], near[3], far[0] - turn, far[2] - along, far[3] - across])

    s = np.linspace(0, 1, 41)
    start = np.stack(
        [turn * s - 0.5 * np.sin(2 * np.pi * s), turn - np.pi * np.cos(2 * np.pi * s), along * s, across * s]
    )
    found = solve_bvp(rates, ends, s, start, p=np.array([-20.0, 0.0]), tol=1e-8, max_nodes=20_000)
    assert found.success
    rod = _one(turn, along, across)
    fine = np.linspace(0, 1, rod.points.shape[1])
    assert rod.angle[0] == pytest.approx(found.sol(fine)[0], abs=1e-6)
    assert rod.points[0] == pytest.approx(found.sol(fine)[2:].T, abs=1e-6)
    curvature = found.sol(np.linspace(0, 1, 4001))[1]
    assert rod.bend[0] == pytest.approx(np.trapezoid(np.abs(curvature), dx=1 / 4000), rel=1e-4)
    assert rod.energy[0] == pytest.approx(np.trapezoid(curvature**2, dx=1 / 4000) / 2, rel=1e-6)


def test_no_rod_of_a_thousand_is_left_unsolved() -> None:
    """From pulled straight to bowed by half its span, turned up to 150 degrees."""
    draw = np.random.default_rng(5)
    arms = [ArmLine(*draw.uniform([0.05, 0.04, -0.06, -0.06], [0.25, 0.2, 0.02, 0.02])) for _ in range(1000)]
    turn = draw.uniform(0.0, deg(150), 1000)
    ends = [arm.ends(np.array([angle])) for arm, angle in zip(arms, turn, strict=True)]
    away = np.array([far[0] - near for near, far in ends])
    length = np.maximum([arm.needed() + draw.uniform(-0.005, 0.06) for arm in arms], np.hypot(*away.T))
    rods = clamped(turn, -away[:, 1] / length, away[:, 0] / length)
    assert rods.residual.max() < 1e-8
    assert (rods.bend >= turn - 1e-9).all()


# --- laws of the route ------------------------------------------------------------------------------


@given(arms, elbows, spares)
def test_a_route_bends_at_least_as_much_as_its_clamps(arm: ArmLine, elbow: float, spare: float) -> None:
    cable = ControlCable(housing=Housing(spare=spare), fixed_bend=0.0)
    assert cable.line(arm, elbow).bend >= min(elbow, arm.limit(arm.needed() + spare)) - 1e-6


@given(arms, elbows, st.floats(0.002, 0.06), st.floats(1.2, 1.5))
def test_bends_do_not_depend_on_the_size_of_the_arm(arm: ArmLine, elbow: float, spare: float, times: float) -> None:
    assume(max(arm.forearm, arm.upper) * times < 0.3)
    arm = replace(arm, elbow_offset=None)  # its range does not grow with the arm; the length below is given
    large = ArmLine(
        arm.upper * times, arm.forearm * times, arm.upper_offset * times, arm.forearm_offset * times, elbow_offset=None
    )
    small = Housing(length=arm.needed() + spare)
    big = Housing(length=times * (arm.needed() + spare))
    here, there = ControlCable(housing=small).line(arm, elbow), ControlCable(housing=big).line(large, elbow)
    assert here.bend == pytest.approx(there.bend, abs=1e-6)
    assert there.points == pytest.approx(times * here.points, abs=1e-6)


@given(elbows, st.floats(0.05, 0.2), st.floats(0.05, 0.2), st.floats(-0.04, 0.01), st.floats(-0.04, 0.01))
def test_a_route_run_backwards_is_the_same_route(
    elbow: float, up: float, down: float, one: float, other: float
) -> None:
    there, back = ArmLine(up, down, one, other), ArmLine(down, up, other, one)
    cable = ControlCable(housing=Housing(spare=0.01))
    assert cable.line(there, elbow).bend == pytest.approx(cable.line(back, elbow).bend, abs=1e-6)


@example(
    ArmLine(0.25, 0.0625, 0.0, -0.046875, elbow_offset=None), 0.75, 0.0
)  # pulled straight, far off the direction of its clamps
@given(arms, elbows, spares)
def test_a_housing_starts_and_ends_where_it_is_held_and_keeps_its_length(
    arm: ArmLine, elbow: float, spare: float
) -> None:
    """All the way but for what the bends at the clamps of a rod pulled straight take, which the model does not resolve.

    Off its clamp by a, a taut rod comes round as a exp(-s / layer); the integral of its square over two, a^2 layer / 4,
    is how much shorter that makes it, and there are two clamps.
    """
    long = arm.needed() + spare
    assume(elbow < arm.limit(long))
    run = ControlCable(housing=Housing(length=long)).line(arm, elbow).points
    near, far = arm.ends(np.array([elbow]))
    assert run[0] == pytest.approx(near, abs=1e-9)
    way = far[0] - near
    clamps = np.array([[0.0, -1.0], [np.sin(elbow), -np.cos(elbow)]])  # down the upper arm, along the forearm
    off = np.arccos(np.clip(clamps @ way / np.linalg.norm(way), -1.0, 1.0))
    short = 0.25 * LAYER * (off**2).sum()
    missing = max(np.linalg.norm(way) - (1.0 - short) * long, 0.0)
    assert np.linalg.norm(run[-1] - far[0]) == pytest.approx(missing, abs=1e-7)
    assert np.linalg.norm(np.diff(run, axis=0), axis=1).sum() == pytest.approx(long, rel=2e-3)


def test_a_housing_as_long_as_the_straight_line_is_straight() -> None:
    cable = ControlCable(housing=Housing(length=0.25), fixed_bend=deg(45))
    line = cable.line(ArmLine(), 0.0)
    assert line.bend == pytest.approx(deg(45), abs=1e-6)
    assert line.points[:, 0] == pytest.approx(-0.02, abs=1e-9)


@pytest.mark.parametrize("elbow", ELBOWS)
def test_a_longer_housing_bends_more_and_stands_off_further(elbow: float) -> None:
    lines = [ControlCable(housing=Housing(spare=mm(s))).line(ArmLine(), elbow) for s in (2, 5, 10, 20, 40)]
    assert (np.diff([line.bend for line in lines]) > 0).all()
    assert (np.diff([line.efficiency for line in lines]) < 0).all()
    assert (np.diff([np.hypot(*line.points.T).max() for line in lines]) >= -1e-9).all()


def test_bowing_further_than_its_arc_costs_energy_and_so_does_pulling_straight() -> None:
    """Between the same clamps energy falls to one least value and rises again as the rod grows longer."""
    span = 2 * math.sin(0.4) / 0.8 * 0.25
    lengths = span * np.linspace(1.02, 1.4, 39)
    rods = clamped(np.full(39, 0.8), span * math.cos(0.4) / lengths, span * math.sin(0.4) / lengths)
    slope = np.sign(np.diff(rods.energy))
    arc = int(np.argmin(np.abs(lengths - 0.25)))
    assert rods.energy.argmin() == pytest.approx(arc, abs=1), "the arc itself has the least of all"
    assert (slope[: arc - 1] < 0).all()
    assert (slope[arc + 1 :] > 0).all()


def test_the_bend_goes_through_all_angles_without_a_jump() -> None:
    for spare in (0.001, 0.003, 0.03):
        lines = ControlCable(housing=Housing(spare=spare)).lines(ArmLine(), deg(1) * np.arange(0.0, 151.0))
        assert np.abs(np.diff([line.bend for line in lines])).max() < deg(6)


@given(arms, st.lists(elbows, min_size=1, max_size=7), spares)
def test_angles_found_together_and_alone_are_the_same(arm: ArmLine, angles: list[float], spare: float) -> None:
    cable = ControlCable(housing=Housing(spare=spare))
    together = cable.lines(arm, angles)
    alone = [cable.line(arm, angle) for angle in angles]
    assert [line.bend for line in together] == pytest.approx([line.bend for line in alone], abs=1e-8)


# --- too short, too long ----------------------------------------------------------------------------


@given(arms, st.floats(-0.02, 0.0), st.floats(-0.02, 0.0))
def test_a_shorter_housing_never_lets_the_elbow_bend_further(arm: ArmLine, one: float, other: float) -> None:
    short, long = sorted((one, other))
    assert arm.limit(arm.needed() + short) <= arm.limit(arm.needed() + long)


@given(st.floats(0.08, 0.25), st.floats(0.06, 0.2), st.floats(*OFFSETS), st.floats(0.0, 0.05), st.floats(0.0, 0.05))
def test_behind_the_axis_a_short_housing_stops_full_flexion_and_leaves_the_straight_elbow_free(
    upper: float, forearm: float, offset: float, one: float, other: float
) -> None:
    """Led at the same distance all the way, the stop follows 135 degrees less shortage over offset, worked by hand."""
    arm = ArmLine(upper, forearm, -offset, -offset, elbow_offset=offset)
    less, more = sorted((one, other))
    stops = [arm.limit(arm.needed() - short) for short in (less, more)]
    assert stops[1] <= stops[0]
    for short, stop in zip((less, more), stops, strict=True):
        by_hand = FULL_FLEXION - short / offset
        if short > 1e-6 and by_hand > 1e-4:
            assert stop == pytest.approx(by_hand, abs=1e-4)
            assert 0.0 < stop < FULL_FLEXION
        line = ControlCable(housing=Housing(spare=-short)).line(arm, 0.0)
        if by_hand > 1e-4:
            assert "elbow-held-straight" not in {state.code for state in line.states}
            assert "elbow-stopped" not in {state.code for state in line.states}


@given(arms.filter(lambda arm: arm.elbow_offset is not None), st.floats(0.0, 0.02))
def test_wherever_its_ends_lie_a_housing_behind_the_axis_needs_most_at_full_flexion(arm: ArmLine, short: float) -> None:
    way = arm.way(deg(1) * np.arange(0.0, 136.0))
    assert (np.diff(way) > 0.0).all()
    assert arm.needed() == pytest.approx(way[-1])
    stop = arm.limit(arm.needed() - short)
    assert stop == math.inf or stop > 0.0 or short >= way[-1] - way[0] - 1e-9


@given(st.floats(0.08, 0.25), st.floats(0.06, 0.2), st.floats(0.0, 0.05), st.floats(1e-4, 0.02))
def test_beside_the_axis_it_is_the_other_way_round(upper: float, forearm: float, behind: float, short: float) -> None:
    """The straight line is longest on its way across the axis; a short housing stops the elbow there, or before."""
    arm = ArmLine(upper, forearm, -behind, -behind, elbow_offset=None)
    way = arm.way(deg(1) * np.arange(0.0, 136.0))
    across = math.atan2(behind, upper) + math.atan2(behind, forearm)
    assert arm.needed() == pytest.approx(math.hypot(upper, behind) + math.hypot(forearm, behind), abs=1e-5)
    assert arm.limit(arm.needed() - short) <= across
    assert way[-1] < way[0]
    bent = arm.ends(np.array([FULL_FLEXION]))
    assert np.hypot(*(bent[1][0] - bent[0])) < arm.needed() - short - 0.02, "full flexion itself would need far less"


def test_practice_beside_the_model_10_mm_short() -> None:
    """135 degrees less 10 mm over 10 mm, in radians: 78 degrees; 2 mm short, 124."""
    for short, stop in ((2, 135 - math.degrees(2 / 10)), (10, 135 - math.degrees(10 / 10))):
        line = ControlCable(housing=Housing(spare=-mm(short))).line(ArmLine(), deg(135))
        assert math.degrees(line.elbow_limit) == pytest.approx(stop, abs=0.1)
        assert State.of("elbow-stopped", elbow_flexion=line.elbow_limit) in line.states


def test_a_housing_that_is_too_short_stops_the_elbow_where_it_is_taut() -> None:
    cable = ControlCable(housing=Housing(spare=mm(-15)))
    line = cable.line(ArmLine(), deg(90))
    limit = line.elbow_limit
    assert 0 < limit < deg(60)
    assert ArmLine().way(np.array([limit]))[0] == pytest.approx(ArmLine().needed() - mm(15), abs=1e-8)
    assert line.states == (State.of("elbow-stopped", elbow_flexion=limit),)
    assert not cable.line(ArmLine(), 0.5 * limit).states
    held = ControlCable(housing=Housing(length=0.2)).line(ArmLine(), 0.0)
    assert held.elbow_limit == 0.0
    assert held.states[0] == State.of("elbow-held-straight")


def test_the_further_behind_it_is_led_the_less_arrives() -> None:
    """At every angle, and more at the straight elbow, where length for full flexion stands off in a bow, than bent."""
    angles = deg(1) * np.arange(0.0, 136.0, 15.0)
    found = [
        [line.efficiency for line in ControlCable().lines(ArmLine(elbow_offset=offset), angles)]
        for offset in (OFFSETS[0], mm(10), mm(15), OFFSETS[1])
    ]
    assert (np.diff(found, axis=0) < 0.0).all()
    assert found[0][0] - found[-1][0] > found[0][-1] - found[-1][-1]


def test_a_housing_that_is_far_too_long_catches() -> None:
    """One that full flexion needs stands off the straight elbow too, but is not told to be too long."""
    fits, long = (ControlCable(housing=Housing(spare=mm(s))).line(ArmLine(), 0.0) for s in (3, 40))
    assert not fits.states
    (said,) = (state for state in long.states if state.code == "housing-catches")
    assert CATCHES < said.values["off"] == pytest.approx(float(np.abs(long.points[:, 0]).max()))
    just, more = (ControlCable(housing=Housing(spare=LEEWAY + s)).line(ArmLine(), 0.0) for s in (-1e-6, 1e-6))
    assert not just.states
    assert more.states[0].code == "housing-catches"
