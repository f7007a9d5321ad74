"""A free cable obeys virtual work, a held housing keeps its path, friction only ever takes."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from controlkit.mechanics.cable import LININGS, ArmLine, ControlCable, Housing, lining
from controlkit.mechanics.cable.route import OFFSETS
from controlkit.mechanics.states import State
from controlkit.units import InputError, deg, mm

elbows = st.floats(0.01, float(deg(149)))
offsets = st.floats(-0.045, 0.045)
arms = st.builds(
    ArmLine,
    upper=st.floats(0.08, 0.25),
    forearm=st.floats(0.06, 0.2),
    upper_offset=offsets,
    forearm_offset=offsets,
    device=st.floats(0.2, 0.35),
    elbow_offset=st.none() | st.floats(*OFFSETS),
)
FREE = ControlCable(housing=None)


# --- the free cable ---------------------------------------------------------------------------------


@given(arms, elbows, st.booleans())
def test_moment_arm_is_what_the_path_loses_with_the_angle(arm: ArmLine, elbow: float, to_device: bool) -> None:
    """Virtual work, r = -dL/dangle, through the retainer and past it."""
    step = 1e-6
    length, turning = arm.chord(np.array([elbow - step, elbow, elbow + step]), to_device=to_device)
    assert turning[1] == pytest.approx(-(length[2] - length[0]) / (2 * step), abs=1e-8)


@given(arms, elbows, st.booleans())
def test_a_free_cable_turns_no_more_than_it_must(arm: ArmLine, elbow: float, loose: bool) -> None:
    """From down the upper arm to the device's end: the directions of its straight pieces, one after the other."""
    arm = replace(arm, device=arm.forearm + mm(50))
    (start, ends), forearm = arm.ends(np.array([elbow]), to_device=True), arm.ends(np.array([elbow]))[1]
    stops = [start, ends[0]] if loose else [start, forearm[0], ends[0]]
    cable = ControlCable(housing=Housing(fixed=False) if loose else None, fixed_bend=0.0)
    line = cable.line(arm, elbow)
    ways = [np.array([0.0, -1.0]), *np.diff(stops, axis=0)]
    corners = [
        math.acos(np.clip(one @ other / np.linalg.norm(one) / np.linalg.norm(other), -1.0, 1.0))
        for one, other in itertools.pairwise(ways)
    ]
    assert line.bend == pytest.approx(sum(corners), abs=1e-6)
    assert line.points == pytest.approx(np.array(stops))


@given(arms, elbows)
def test_result_tells_the_same_as_the_path(arm: ArmLine, elbow: float) -> None:
    before, here, after = FREE.lines(arm, [elbow - 1e-5, elbow, elbow + 1e-5])
    assert here.elbow_arm == pytest.approx(-(after.take_up - before.take_up) / 2e-5, abs=1e-4)
    assert FREE.line(arm, 0.0).take_up == 0.0


@given(st.floats(0.05, 0.3), st.floats(0.06, 0.3), st.floats(0.01, float(deg(149))))
def test_on_the_limb_lines_it_is_a_triangle(upper: float, down: float, elbow: float) -> None:
    """Law of cosines with the included angle pi - flexion; r = a b sin(phi) / L."""
    length, turning = ArmLine(upper, 0.1, 0.0, 0.0, device=down).chord(np.array([elbow]), to_device=True)
    phi = math.pi - elbow
    side = math.sqrt(upper**2 + down**2 - 2 * upper * down * math.cos(phi))
    assert length[0] == pytest.approx(side, rel=1e-12)
    assert turning[0] == pytest.approx(upper * down * math.sin(phi) / side, rel=1e-9)


def test_worked_triangle_30_and_80_mm() -> None:
    """Included angle 1.2 rad: a moment arm of 29.997 mm."""
    _, turning = ArmLine(mm(80), mm(30), 0.0, 0.0).chord(np.array([math.pi - 1.2]))
    assert turning[0] == pytest.approx(mm(29.997), abs=mm(0.0005))


@given(
    st.floats(0.08, 0.25), st.floats(0.06, 0.3), offsets, offsets, st.floats(*OFFSETS), st.floats(0.0, float(deg(150)))
)
def test_led_behind_the_elbow_it_is_the_shortest_way_round(
    upper: float, down: float, one: float, other: float, offset: float, elbow: float
) -> None:
    """Against all ways that leave a circle round the axis at one point and reach it at another, behind the axis."""
    arm = ArmLine(upper, down, one, other, elbow_offset=offset)
    near, fars = arm.ends(np.array([elbow]))
    far, start = fars[0], math.atan2(near[1], near[0])
    total = math.pi + math.atan2(one, upper) + math.atan2(other, down) + elbow  # from crossbar round behind
    polar = np.linspace(0.0, total, 4001)
    rim = offset * np.stack([np.cos(start + polar), np.sin(start + polar)], axis=1)
    to, fro = (np.linalg.norm(rim - end, axis=1) for end in (near, far))
    leaves = int(np.argmin(np.abs(polar - math.acos(offset / np.hypot(*near)))))
    lands = int(np.argmin(np.abs(total - polar - math.acos(offset / np.hypot(*far)))))
    shortest = np.linalg.norm(far - near)
    if leaves < lands:
        shortest = to[leaves] + fro[lands] + offset * (polar[lands] - polar[leaves])
    assert float(arm.way(np.array([elbow]))[0]) == pytest.approx(float(shortest), abs=1e-5)


def test_without_housing_tension_flexes_the_elbow_and_flexing_gives_slack() -> None:
    """Common practice says: without a housing, tension tends to flex the elbow."""
    lines = FREE.lines(ArmLine(), deg(1) * np.arange(20.0, 150.0, 10.0))
    assert (np.diff([line.elbow_arm for line in lines]) > 0).all()
    assert lines[0].elbow_arm > 0.0
    assert (np.diff([line.take_up for line in lines]) < 0).all()
    for line in lines[3:]:
        assert line.states == (State.of("no-housing"), State.of("elbow-gives-slack", slack=-line.take_up))


def test_behind_the_axis_a_free_cable_extends_the_elbow_and_in_front_it_flexes() -> None:
    """While its line still passes behind, bending takes cable up; once across, it gives."""
    behind = ArmLine(upper_offset=-mm(20), forearm_offset=-mm(20))
    turns = [FREE.line(behind, deg(angle)).elbow_arm for angle in (0, 5, 30, 90)]
    assert turns[0] == pytest.approx(-mm(20))
    assert turns[1] < 0.0 < turns[2] < turns[3]
    wound = FREE.line(behind, deg(12))
    assert wound.take_up > mm(1)
    assert State.of("elbow-takes-up", taken_up=wound.take_up) in wound.states
    front = FREE.line(ArmLine(upper_offset=mm(30), forearm_offset=mm(30)), 0.0)
    assert front.elbow_arm == pytest.approx(mm(30))


def test_the_retainer_holds_a_bare_cable_and_not_that_of_a_loose_housing() -> None:
    """Practice: the forearm retainer still leads a bare cable. Triangles with sides of 150 and 100, or 270 mm."""
    arm = ArmLine(mm(150), mm(100), 0.0, 0.0, device=mm(270))
    bare, loose = (ControlCable(housing=h).line(arm, deg(90)) for h in (None, Housing(fixed=False)))
    assert -bare.take_up == pytest.approx(mm(250 - math.hypot(150, 100)))
    assert -loose.take_up == pytest.approx(mm(420 - math.hypot(150, 270)))
    assert bare.elbow_arm == pytest.approx(mm(150 * 100 / math.hypot(150, 100)))
    assert loose.elbow_arm == pytest.approx(mm(150 * 270 / math.hypot(150, 270)))


@given(arms, st.floats(float(deg(60)), float(deg(149))))
def test_a_loose_housing_gives_more_slack_than_none(arm: ArmLine, elbow: float) -> None:
    """The further from the elbow a cable is held, the more a bent elbow slackens it."""
    arm = replace(arm, upper_offset=0.0, forearm_offset=0.0, device=arm.forearm + mm(50))
    bare, loose = (ControlCable(housing=h).line(arm, elbow) for h in (None, Housing(fixed=False)))
    assert loose.take_up < bare.take_up < 0.0


# --- the housing ------------------------------------------------------------------------------------


@given(arms, st.floats(0.0, float(deg(150))), st.floats(0.0, 0.05))
def test_a_held_housing_keeps_the_path_and_does_not_turn_the_elbow(arm: ArmLine, elbow: float, spare: float) -> None:
    line = ControlCable(housing=Housing(spare=spare)).line(arm, elbow)
    assert line.take_up == 0.0
    assert line.elbow_arm == 0.0


def test_slack_and_a_short_cable_shift_the_path_one_for_one() -> None:
    for cable in (ControlCable(), FREE):
        for slack in (mm(12), -mm(8)):
            there = ControlCable(housing=cable.housing, slack=slack).line(ArmLine(), 1.0)
            assert there.take_up == pytest.approx(cable.line(ArmLine(), 1.0).take_up - slack)


def test_give_adds_stretch_of_the_cable_and_compression_of_the_housing() -> None:
    cable = ControlCable(housing=Housing(length=0.3, stiffness=100_000.0), length=0.8, stiffness=50_000.0)
    assert cable.line(ArmLine(), 0.5).give == pytest.approx(0.8 / 50_000 + 0.3 / 100_000)


# --- friction ---------------------------------------------------------------------------------------


@given(st.floats(0.0, 0.6), st.floats(0.0, float(deg(150))), st.floats(0.0, 0.05))
def test_out_and_back_lose_alike_and_nothing_is_gained(friction: float, elbow: float, spare: float) -> None:
    """A cycle under one device force: the harness puts in F x / eta and gets back F x eta."""
    line = ControlCable(friction=friction, housing=Housing(spare=spare)).line(ArmLine(), elbow)
    assert line.hysteresis == pytest.approx(math.exp(-2.0 * friction * line.bend), rel=1e-12)
    assert 1.0 / line.efficiency - line.efficiency_back >= -1e-15


@given(st.floats(0.0, 0.4), st.floats(0.0, 0.4), st.floats(0.0, float(deg(150))))
def test_starting_is_never_easier_than_sliding(one: float, other: float, elbow: float) -> None:
    sliding, resting = sorted((one, other))
    line = ControlCable(friction=sliding, static_friction=resting).line(ArmLine(), elbow)
    assert line.efficiency_start <= line.efficiency
    assert ControlCable(friction=sliding).line(ArmLine(), elbow).efficiency_start == line.efficiency


@given(st.floats(0.0, 0.6), st.floats(0.0, 6.0), st.floats(0.0, float(deg(150))))
def test_bends_outside_the_housing_add(friction: float, fixed: float, elbow: float) -> None:
    with_, without = (ControlCable(friction=friction, fixed_bend=b).line(ArmLine(), elbow) for b in (fixed, 0.0))
    assert with_.bend == pytest.approx(without.bend + fixed)
    assert with_.efficiency == pytest.approx(without.efficiency * math.exp(-friction * fixed))


@pytest.mark.parametrize("name", LININGS)
def test_a_lined_cable_has_a_published_friction(name: str) -> None:
    pair = lining(name)
    for share in (0.0, 0.5, 1.0):
        cable = ControlCable.lined(name, share)
        assert pair.kinetic[0] <= cable.friction <= pair.kinetic[1]
        assert cable.static_friction is not None
        assert cable.friction <= cable.static_friction


# --- what a person may get wrong --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: ControlCable(friction="0.08"), ("friction", "'0.08'", "Give one number")),
        (lambda: ControlCable(housing=0.25), ("housing", "0.25", "Housing()")),
        (lambda: ControlCable(slack=12), ("slack", "12", "Give between")),
        (lambda: ControlCable(friction=0.2, static_friction=0.1), ("at rest", "0.1", "Give between")),
        (lambda: Housing(spare=float("nan")), ("spare", "nan", "mm(3)")),
        (lambda: Housing(length=250), ("length", "250", "Give between")),
        (lambda: Housing(fixed="no"), ("fixed", "'no'", "True")),
        (lambda: ArmLine(upper=15), ("upper", "15", "Give between")),
        (lambda: ArmLine(elbow_offset=0.04), ("offset behind the elbow axis", "40", "Give between")),
        (lambda: ArmLine(elbow_offset="beside"), ("offset behind the elbow axis", "'beside'", "mm(10)")),
        (lambda: ArmLine().limit([0.2]), ("length of the housing", "[0.2]")),
        (lambda: ArmLine().needed(135), ("Full elbow flexion", "0 to 150 degrees")),
        (lambda: ControlCable().line(ArmLine(), 90), ("Elbow flexion", "0 to 150 degrees")),
        (lambda: ControlCable().line(None, 1.0), ("arm", "None", "ArmLine()")),
        (lambda: ControlCable().lines(ArmLine(), [0.1, "1"]), ("Elbow flexion", "'1'")),
        (lambda: ControlCable().lines(ArmLine(), 0.5), ("angles", "0.5", "list")),
        (lambda: ControlCable.lined("butter"), ("butter", "steel in PTFE")),
        (lambda: ControlCable.lined("steel in PTFE", 40), ("share", "40")),
        (lambda: lining(["steel"]), ("steel", "Choose one of")),
    ],
)
def test_a_clear_sentence(ask: Any, words: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as told:
        ask()
    for word in words:
        assert word in str(told.value)
