"""What lesson 4 says in words is what the model computes."""

from __future__ import annotations

import math
from dataclasses import replace
from math import isinf, log
from pathlib import Path

import nbformat
import numpy as np
import pytest

from controlkit.mechanics import ControlCable, Housing, SingleControl, Wearer, figure_of_eight, tension_ratio
from controlkit.mechanics.cable import LININGS, CableLine, lining
from controlkit.sources import source
from controlkit.units import deg, mm

SWING = np.deg2rad(np.arange(0.0, 135.1, 2.5))
FRICTION = 0.16


def _ines(**cable: object) -> SingleControl:
    wearer = Wearer.average("female", amputated="left", name="Ines")
    return SingleControl(figure_of_eight(wearer), cable=ControlCable(friction=FRICTION, **cable))  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def ines() -> SingleControl:
    """The bicycle mechanic of the lesson."""
    return _ines()


@pytest.fixture(scope="module")
def bare() -> SingleControl:
    """Her cable without its housing."""
    return _ines(housing=None)


def _lines(system: SingleControl) -> tuple[CableLine, ...]:
    return system.cable.lines(system.arm_line, SWING)


def test_her_complaint(ines: SingleControl) -> None:
    """Half bent the hook asks a firm pull; bent far the same opening is harder still, and slow to close."""
    half, far = ines.line(deg(45)), ines.line(deg(135))
    assert 1.0 / far.efficiency > 1.2 / half.efficiency
    assert far.hysteresis < 0.5


def test_bends_are_fewest_half_way(ines: SingleControl) -> None:
    """There, because the straight arm makes the housing bow out; 80 % arrives nowhere, with half the friction there."""
    bends = np.array([line.bend for line in _lines(ines)])
    least = int(np.argmin(bends))
    assert deg(40) < SWING[least] < deg(60)
    assert np.all(np.diff(bends[: least + 1]) < 0)
    assert np.all(np.diff(bends[least:]) > 0)
    assert ines.line(0.0).efficiency == pytest.approx(ines.line(deg(120)).efficiency, rel=0.02)
    wanted = source("efficiency_single_control").si
    assert all(line.efficiency < wanted for line in _lines(ines))
    halved = replace(ines, cable=replace(ines.cable, friction=FRICTION / 2))
    enough = np.array([line.efficiency for line in _lines(halved)]) >= wanted
    assert enough.any()
    assert np.count_nonzero(np.diff(enough.astype(int))) == 2
    straight = ines.line(0.0).points
    assert np.ptp(straight[:, 0]) > mm(15)


def test_bends_add_and_shares_multiply(ines: SingleControl) -> None:
    """Once or one by one; twice the friction squares the share, half takes its root; losses do not halve."""
    assert tension_ratio(0.08, deg(90)) == pytest.approx(tension_ratio(0.08, deg(30)) * tension_ratio(0.08, deg(60)))
    assert tension_ratio(0.16, deg(90)) == pytest.approx(tension_ratio(0.08, deg(90)) ** 2)
    old = ines.line(deg(120))
    new = ControlCable(friction=FRICTION / 2).line(ines.arm_line, deg(120))
    assert new.efficiency == pytest.approx(old.efficiency**0.5)
    assert 1.0 - new.efficiency > 0.5 * (1.0 - old.efficiency)


def test_the_worked_numbers_are_those_of_the_law_and_of_the_triangle(ines: SingleControl) -> None:
    """As the text prints them: wrap, exponent and share; the third side, slack, distance and moment; bend for 80 %."""
    path = Path(__file__).resolve().parents[2] / "course" / "04-cable-and-housing.ipynb"
    text = {cell.id: cell.source for cell in nbformat.read(path, as_version=4).cells}
    line = ines.line(deg(90))
    wrap = round(math.degrees(line.bend))
    exponent = wrap / 57.3 * FRICTION
    law = text["explain-law"]
    for number in (f"by {wrap}° in all: {wrap} / 57.3 = {wrap / 57.3:.2f} radians", f"0.16: {exponent:.3f}"):
        assert number in law
    assert f"e^(−{exponent:.3f}) = {math.exp(-exponent):.3f}" in law
    assert math.exp(-exponent) == pytest.approx(line.efficiency, abs=0.001)
    for power in (0.5, 1):
        assert f"e^(−{power:g}) = {math.exp(-power):.2f}" in law
    triangle, cosine = text["explain-triangle"], round(math.cos(deg(45)), 3)
    across = math.sqrt(150**2 + 100**2 - 2 * 150 * 100 * math.cos(deg(45)))
    arm = 150 * 100 * cosine / across
    for number in (f"across = {across:.1f} mm", f"slack is {250 - across:.1f} mm", f"= {arm:.1f} mm"):
        assert number in triangle
    assert f"{arm / 1000:.4f} m = {50 * arm / 1000:.1f} N m" in triangle
    liner, left = text["explain-liner"], log(1 / 0.8)
    assert f"ln(1 / 0.8) = {left:.3f}" in liner
    assert f"/ 0.16 = {left / 0.16:.2f} radians; times 57.3 are {left / 0.16 * 57.3:.0f}°" in liner


def test_friction_changes_sides(ines: SingleControl) -> None:
    """Pulling and letting back are as far above as below, in ratio."""
    line = ines.line(deg(120))
    assert line.efficiency_back == pytest.approx(line.efficiency)
    assert line.hysteresis == pytest.approx(np.exp(-2 * FRICTION * line.bend))


def test_a_bare_cable_passes_more_force_and_is_of_no_use(ines: SingleControl, bare: SingleControl) -> None:
    """More arrives; slack takes most of what raising her arm gives, at 135 degrees all; the pull lifts her forearm."""
    held, free = ines.line(deg(120)), bare.line(deg(120))
    assert free.efficiency > held.efficiency
    assert free.elbow_arm > mm(50)
    assert held.elbow_arm == 0.0
    assert all(line.take_up == 0.0 for line in _lines(ines))
    raised, full = (ines.at(arm_flexion=deg(90), elbow_flexion=deg(e)).excursion.generated for e in (120, 135))
    assert 0.7 * raised < -free.take_up < raised
    assert -bare.line(deg(135)).take_up > full
    assert bare.at(arm_flexion=deg(90), elbow_flexion=deg(120)).opening < 0.5 * bare.device.full_opening
    assert bare.at(arm_flexion=deg(90), elbow_flexion=deg(135)).opening < mm(1)
    loose = _ines(housing=Housing(fixed=False)).line(deg(120))
    assert loose.take_up / free.take_up == pytest.approx(2.0, abs=0.1)
    passing = bare.line(deg(20))
    assert mm(1) < passing.take_up < mm(5), "longer by a few millimetres while it passes behind the axis"


def test_the_tape_finds_the_moment_arm(bare: SingleControl) -> None:
    """Shortening over angle, five degrees to each side."""
    before, here, after = (bare.line(deg(angle)) for angle in (115, 120, 125))
    assert (before.take_up - after.take_up) / deg(10) == pytest.approx(here.elbow_arm, rel=0.01)


def test_what_would_help_her(ines: SingleControl, bare: SingleControl) -> None:
    """A new liner and fewer other bends each lower the pull, together most; and the housing can stay."""
    changes = [{}, {"fixed_bend": deg(25)}, {"friction": 0.08}, {"friction": 0.08, "fixed_bend": deg(25)}]
    shares = [
        ControlCable(**{"friction": FRICTION, **change}).line(ines.arm_line, deg(120)).efficiency for change in changes
    ]
    assert shares == sorted(shares)
    assert shares[2] > bare.line(deg(120)).efficiency


def test_length_of_housing(ines: SingleControl) -> None:
    """Short stops full flexion, at 78 degrees with 10 mm missing; long costs bends at every angle."""
    lines = {spare: _lines(_ines(housing=Housing(spare=mm(spare)))) for spare in (-10, 3, 20, 50)}
    assert lines[-10][0].elbow_limit == pytest.approx(deg(135) - 1.0, abs=deg(0.1))
    assert round(math.degrees(lines[-10][0].elbow_limit)) == 78
    assert not lines[-10][0].states, "the straight elbow is free"
    assert all(isinf(lines[spare][0].elbow_limit) for spare in (3, 20, 50))
    for shorter, longer in ((3, 20), (20, 50)):
        assert all(b.bend > a.bend for a, b in zip(lines[shorter], lines[longer], strict=True))
    assert "housing-catches" in {state.code for state in lines[50][0].states}
    assert "housing-catches" not in {state.code for line in lines[3] for state in line.states}


def test_beside_the_axis_a_short_housing_stops_the_nearly_straight_elbow(ines: SingleControl) -> None:
    beside = replace(ines, elbow_offset=None).arm_line
    way = beside.way(SWING)
    assert deg(0) < SWING[int(np.argmax(way))] < deg(45)
    assert beside.limit(beside.needed() - mm(1)) < deg(30)


def test_published_friction_scatters_by_four() -> None:
    """For one pair, and so the bend that one can afford does too."""
    low, high = lining("steel in PTFE").kinetic
    assert high >= 4 * low
    wanted = source("efficiency_single_control").si
    for name in LININGS:
        low, high = lining(name).kinetic
        assert tension_ratio(low, log(1 / wanted) / low) == pytest.approx(wanted)
        assert log(1 / wanted) / high < log(1 / wanted) / low
