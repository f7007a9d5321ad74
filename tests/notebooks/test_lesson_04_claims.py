"""What lesson 4 says in words is what the model computes."""

from __future__ import annotations

from math import isinf, log

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
    """A little bent the hook opens well; bent far it is hard work, and slow to close."""
    little, far = ines.line(deg(30)), ines.line(deg(120))
    assert little.efficiency > source("efficiency_single_control").si > far.efficiency
    assert 1.0 / far.efficiency > 1.25 / little.efficiency
    assert far.hysteresis < 0.5


def test_bends_are_fewest_a_little_beyond_straight(ines: SingleControl) -> None:
    """There, because the straight arm makes the housing bow out; and 80 % arrives in one range of angles only."""
    bends = np.array([line.bend for line in _lines(ines)])
    least = int(np.argmin(bends))
    assert deg(5) < SWING[least] < deg(45)
    assert np.all(np.diff(bends[least:]) > 0)
    enough = np.array([line.efficiency for line in _lines(ines)]) >= source("efficiency_single_control").si
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


def test_friction_changes_sides(ines: SingleControl) -> None:
    """Pulling and letting back are as far above as below, in ratio."""
    line = ines.line(deg(120))
    assert line.efficiency_back == pytest.approx(line.efficiency)
    assert line.hysteresis == pytest.approx(np.exp(-2 * FRICTION * line.bend))


def test_a_bare_cable_passes_more_force_and_is_of_no_use(ines: SingleControl, bare: SingleControl) -> None:
    """More arrives; the slack is more than her shoulder can take up; the pull lifts her forearm."""
    held, free = ines.line(deg(120)), bare.line(deg(120))
    assert free.efficiency > held.efficiency
    assert free.elbow_arm > mm(50)
    assert held.elbow_arm == 0.0
    assert all(line.take_up == 0.0 for line in _lines(ines))
    most = ines.at(arm_flexion=deg(90), elbow_flexion=deg(120), scapular_abduction=deg(15)).excursion.generated
    assert -free.take_up > most
    assert bare.at(arm_flexion=deg(90), elbow_flexion=deg(120)).opening < mm(1)


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
    """Millimetres at the short end, bends at the long end, at every angle."""
    lines = {spare: _lines(_ines(housing=Housing(spare=mm(spare)))) for spare in (-2, 3, 20, 50)}
    assert lines[-2][0].elbow_limit < deg(30)
    assert all(isinf(lines[spare][0].elbow_limit) for spare in (3, 20, 50))
    for shorter, longer in ((3, 20), (20, 50)):
        assert all(b.bend > a.bend for a, b in zip(lines[shorter], lines[longer], strict=True))
    assert "housing-catches" in {state.code for state in lines[50][0].states}
    assert "housing-catches" not in {state.code for line in lines[3] for state in line.states}


def test_published_friction_scatters_by_four() -> None:
    """For one pair, and so the bend that one can afford does too."""
    low, high = lining("steel in PTFE").kinetic
    assert high >= 4 * low
    wanted = source("efficiency_single_control").si
    for name in LININGS:
        low, high = lining(name).kinetic
        assert tension_ratio(low, log(1 / wanted) / low) == pytest.approx(wanted)
        assert log(1 / wanted) / high < log(1 / wanted) / low
