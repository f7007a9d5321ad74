"""What lesson 7 says in words is what the model computes."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import nbformat
import numpy as np
import pytest

from controlkit.mechanics import DualControl, Wearer, above_elbow_eight, hook_opening
from controlkit.mechanics.elbow import GRAVITY, LiftLine, forearm_of, lift
from controlkit.sources import source
from controlkit.units import deg, mm

BOTH: dict[str, float] = {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}
FORWARD = {"loop_along": 40.0, "end_ahead": 25.0}
LOOPS = tuple({"loop_along": along, "end_ahead": end} for along in (30.0, 40.0, 50.0, 60.0) for end in (0.0, 25.0))
UP = tuple(deg(angle) for angle in range(11, 136))  # one degree after the other from the stop to full flexion
NINETY = 79  # of those


@pytest.fixture(scope="module")
def text() -> dict[str, str]:
    """The lesson's cells by their names."""
    path = Path(__file__).resolve().parents[2] / "course" / "07-dual-control.ipynb"
    return {cell.id: cell.source for cell in nbformat.read(path, as_version=4).cells}


@pytest.fixture(scope="module")
def emeka() -> DualControl:
    """The bee-keeper of the lesson, as he comes."""
    wearer = Wearer.average("male", amputated="right", level="transhumeral", name="Emeka")
    return DualControl(harness=above_elbow_eight(wearer), line=LiftLine(), device=hook_opening(3))


def _at(system: DualControl, *, bands: int = 5, **places: float) -> DualControl:
    line = LiftLine(**{name: mm(place) for name, place in places.items()})
    return replace(system, line=line, device=hook_opening(bands))


def _peak(system: DualControl, **angles: Any) -> float:
    """Largest pull of the harness, from just off the stop to full flexion [N]."""
    off = system.hangs_at + deg(0.001)
    return system.lift([off, *(angle for angle in UP if angle > off)], **angles).peak


def _weight(system: DualControl) -> float:
    return system.lifted_forearm.largest_moment


def test_his_complaint(emeka: DualControl) -> None:
    """The hook opens and the forearm stays down; bands alone do not cure it, a place in front and bands do."""
    assert set(emeka.lift(UP).limited_by) == {"device opens first"}
    assert set(_at(emeka, bands=10).lift(UP).limited_by) == {"device opens first"}
    assert "device opens first" in _at(emeka, bands=3, loop_along=40.0, end_ahead=45.0).lift(UP).limited_by
    assert set(_at(emeka, loop_along=40.0, end_ahead=45.0).lift(UP).limited_by) == {"nothing"}


def test_the_weight_part_by_part(emeka: DualControl, text: dict[str, str]) -> None:
    """As the text prints it, and the human forearm beside it."""
    worked, (shell, wrist, hook) = text["explain-human"], emeka.lifted_forearm.pieces
    moments = [GRAVITY * part.mass * part.centre for part in (shell, wrist, hook)]
    assert f"Shell {shell.mass:.2f} kg · 9.81 · {shell.centre:.3f} m = {moments[0]:.2f} N m" in worked
    assert f"wrist unit {wrist.mass:.2f} · 9.81 · {wrist.centre:.3f} = {moments[1]:.2f}" in worked
    assert f"hook {hook.mass:.2f} · 9.81 · {hook.centre:.3f} = {moments[2]:.2f}" in worked
    level = _weight(emeka)
    assert f"Together {level:.2f} N m" in worked
    assert f"{level:.2f} · {math.sin(deg(60)):.3f} = {level * math.sin(deg(60)):.2f} N m" in worked
    assert moments[2] > 0.5 * sum(moments), "the hook makes more than half"
    wearer = emeka.harness.wearer
    mass = {part: wearer.mass * source(f"{part}_mass_de_leva_men").si for part in ("forearm", "hand")}
    hand = wrist.centre + source("hand_centre_plagenhoef").si * wearer.hand_length
    human = GRAVITY * (mass["forearm"] * source("forearm_centre_de_leva_men").si * wrist.centre + mass["hand"] * hand)
    assert f"would make {human:.1f} N m on Emeka, three times as much" in worked
    assert human / level == pytest.approx(3.0, abs=0.15)


def test_the_worked_lever_and_force(emeka: DualControl, text: dict[str, str]) -> None:
    """The triangle, the tension, and the same from coordinates, rounded as on paper."""
    worked = text["explain-arm"]
    square = 80**2 + 40**2 - 2 * 80 * 40 * math.cos(deg(120))
    assert f"6 400 + 1 600 − 2 · 80 · 40 · cos 120° = {square:,.0f}".replace(",", " ") in worked
    lever = 80 * 40 * math.sin(deg(120)) / math.sqrt(square)
    assert f"across = {math.sqrt(square):.1f} mm" in worked
    assert f"80 · 40 · 0.866 / {math.sqrt(square):.1f} = {lever:.1f} mm" in worked
    assert 1e3 * float(emeka.line.moment_arm(deg(60))) == pytest.approx(lever)
    moment = float(emeka.lifted_forearm.moment(deg(60)))
    assert f"{moment:.3f} N m / {lever / 1e3:.4f} m = {1e3 * moment / lever:.1f} N" in worked
    ahead, up = round(40 * math.sin(deg(60)), 1), round(-40 * math.cos(deg(60)), 1)
    across = round(math.hypot(ahead - 25, up - 80), 1)
    cross = round(abs(25 * up - 80 * ahead))
    assert f"= ({ahead:.1f}, −{-up:.1f})" in worked
    assert f"/ {across} = {cross:,} / {across} = {cross / across:.1f} mm".replace(",", " ") in worked
    exact = 1e3 * float(LiftLine(end_ahead=mm(25)).moment_arm(deg(60)))
    assert f"says {exact:.1f} mm" in worked


def test_the_motion_that_pulls_also_tilts(emeka: DualControl, text: dict[str, str]) -> None:
    def tension(end: float, elbow: float, raised: float) -> float:
        line = LiftLine(end_ahead=mm(end))
        found = lift(line, emeka.lifted_forearm, np.array([deg(elbow)]), arm_inclination=deg(raised))
        return float(found.force[0])

    said = text["explain-coupled-2"]
    assert f"raise {tension(0, 10, 0):.0f} N to {tension(0, 10, 30):.0f} N" in said
    assert f"take the {tension(0, 10, 30):.0f} N to {tension(25, 10, 30):.0f}" in said
    level = [tension(end, 60, raised) for end in (0, 25, 45) for raised in (0, 15, 30, 45)]
    assert max(max(level[k : k + 4]) / min(level[k : k + 4]) for k in (0, 4, 8)) < 1.2, "hardly matters at 60 degrees"
    table = emeka.capture()
    arms = np.linspace(0.0, deg(90), 901)
    first = float(np.degrees(arms[int(np.argmax(table.at(arms, 35.0) >= 0.0))]))
    assert f"holds 35 N, his arm is {first:.0f}° forward" in text["explain-coupled"]
    system = _at(emeka, **FORWARD)
    peaks = [_peak(replace(system, hangs_at=deg(stop))) for stop in (0, 10, 20)]
    assert (
        f"largest pull is {peaks[0]:.0f} N from straight, {peaks[1]:.0f} N from 10°, {peaks[2]:.0f} N from 20°" in said
    )
    assert f"the most is {_peak(system, **BOTH):.0f} N" in said


def test_it_stays_shut_or_opens_first(emeka: DualControl, text: dict[str, str]) -> None:
    said = text["explain-shut"]
    before, beyond = (float(bend) for bend in emeka.bends(deg(60)))
    moment, lever = float(emeka.lifted_forearm.moment(deg(60))), float(emeka.line.moment_arm(deg(60)))
    gap, mu = moment / lever, emeka.cable.friction
    assert f"*T* = {gap:.1f} N" in said
    assert (
        f"turns {np.degrees(beyond):.0f}° ({beyond:.3f} rad), before it {np.degrees(before):.0f}° ({before:.3f} rad)"
        in said
    )
    comes, pulls = gap * math.exp(-mu * beyond), gap * math.exp(mu * before)
    assert f"{gap:.1f} · e^(−{mu:.2f} · {beyond:.3f}) = {comes:.1f} N come to the hook" in said
    assert f"{gap:.1f} · e^({mu:.2f} · {before:.3f}) = {pulls:.1f} N" in said
    three, five = (hook_opening(bands).force(0.0) for bands in (3, 5))
    assert three < comes < five
    assert f"Three bands hold up to {three:.1f} N: the hook opens. Five hold up to {five:.1f} N" in said
    first = ["device opens first" in _at(emeka, bands=3, **places).lift(UP, **BOTH).limited_by for places in LOOPS]
    assert (sum(first), len(first)) == (6, 8)
    assert "at six of eight places" in said
    assert _peak(_at(emeka, bands=3, **FORWARD)) == _peak(_at(emeka, bands=6, **FORWARD)), "bands do not ease the lift"


def test_outward_costs_travel_and_no_work(emeka: DualControl, text: dict[str, str]) -> None:
    said, angles = text["explain-loop"], np.linspace(deg(10), deg(135), 2001)
    parts = []
    for along in (40.0, 60.0):
        line = LiftLine(loop_along=mm(along), end_ahead=mm(25))
        found = lift(line, emeka.lifted_forearm, angles)
        travel = float(found.travel[-1])
        assert f"it is {found.work:.2f} J" in said
        parts.append(f"at {along:.0f} mm {found.work / travel:.1f} N")
        assert f"{1e3 * travel:.1f} mm" in said
    assert all(part in said for part in parts), parts
    tried = [_at(emeka, loop_along=along, end_ahead=25.0) for along in (30.0, 40.0, 50.0, 60.0)]
    pulls = [_peak(one, **BOTH) for one in tried]
    taken = [float(one.required(deg(90))) for one in tried]
    left = [float(one.open_locked([deg(90)], **BOTH).left_for_opening[0]) for one in tried]
    assert pulls == sorted(pulls, reverse=True)
    assert taken == sorted(taken)
    assert left == sorted(left, reverse=True)


def test_dead_points(emeka: DualControl, text: dict[str, str]) -> None:
    said = text["explain-dead"]
    assert LiftLine().dead_points() == (0.0,)
    (dead,) = LiftLine(loop_ahead=mm(20), end_ahead=mm(30)).dead_points()
    assert f"it lies at {np.degrees(dead):.0f}°" in said
    forward = LiftLine(loop_ahead=mm(20), end_ahead=mm(30))
    assert forward.moment_arm(deg(135)) < 0.0, "beyond it the cable extends"
    hanging = lift(forward, emeka.lifted_forearm, np.array([deg(130), deg(135)]))
    assert np.isfinite(hanging.force).tolist() == [True, False]
    lifted = _at(emeka, bands=9, loop_along=40.0, loop_ahead=20.0, end_ahead=30.0).lift(UP, **BOTH)
    assert lifted.limited_by[-1] == "nothing", "with the arm forward it tips over"
    assert lifted.elbow_flexion[-1] + lifted.arm_flexion[-1] > deg(180)
    far = _at(emeka, loop_along=40.0, loop_ahead=45.0, end_ahead=45.0)
    (dead,) = far.line.dead_points()
    assert f"Both 45 mm in front, the dead point lies at {np.degrees(dead):.0f}°" in said
    stopped = far.lift(UP, **BOTH)
    first = stopped.limited_by.index("device opens first")
    assert deg(60) < stopped.elbow_flexion[first] < dead


def test_locking_gives_nothing_back(emeka: DualControl, text: dict[str, str]) -> None:
    said, system = text["explain-lock"], _at(emeka, **FORWARD)
    device = 1e3 * system.device.travel
    for angle in (90, 135):
        taken = 1e3 * float(system.required(deg(angle)))
        assert f"At {angle}°: {taken:.1f} + {device:.1f} = {taken + device:.1f} mm" in said
    assert f"4.5 in, {1e3 * source('total_travel_above_elbow').si:.0f} mm" in said
    alone, two = emeka.capture(), emeka.capture(**BOTH)
    found = [(1e3 * float(one.gives(deg(90))), 1e3 * float(one.at(deg(90), 65.0))) for one in (alone, two)]
    assert f"*generates* {found[0][0]:.1f} mm, and captures {found[0][1]:.1f} mm of it against 65 N" in said
    assert f"generates {found[1][0]:.1f} mm and captures {found[1][1]:.1f}" in said
    assert system.open_locked([deg(90)]).limited_by == ("excursion",)
    assert system.open_locked([deg(90)], **BOTH).limited_by == ("nothing",)
    left = system.open_locked([deg(angle) for angle in (30, 60, 90, 120, 135)], **BOTH).left_for_opening
    assert np.all(np.diff(left) < 0.0), "the higher it is locked, the less is left"


def test_beside_practice(emeka: DualControl, text: dict[str, str]) -> None:
    said, system = text["explain-practice-2"], _at(emeka, **FORWARD)
    lifted = system.lift(UP, **BOTH)
    travel = source("elbow_flexion_travel").si
    assert float(lifted.required[-1]) == pytest.approx(travel, rel=0.10)
    force = source("forearm_flexion_force")
    mean = float(np.trapezoid(lifted.lift_force, lifted.required) / np.ptp(lifted.required))
    assert force.si_low < mean < force.si_high < lifted.peak
    assert f"{force.si_low:.1f} N · {travel:.4f} m = {force.si_low * travel:.3f} J" in said
    assert f"7 lb over 2.5 in are {force.si_high * travel:.2f} J" in said
    gained = _weight(emeka) * (math.cos(deg(10)) - math.cos(deg(135)))
    assert f"forearm gains {gained:.2f} J" in said
    assert force.si_low * travel < gained < force.si_high * travel
    both, alone = (system.lift([deg(135)], **angles) for angles in (BOTH, {}))
    assert f"needs {np.degrees(both.arm_flexion[0]):.0f}° with both scapulae" in said
    assert both.limited_by == ("nothing",)
    assert alone.limited_by == ("device opens first",)
    assert "without them his hook opens before the forearm is up" in said
    assert "device opens first" in _at(emeka, loop_along=40.0).lift(UP).limited_by
    assert set(_at(emeka, loop_along=40.0).lift(UP, **BOTH).limited_by) == {"nothing"}


def test_a_load_slips_before_the_hook_opens(emeka: DualControl, text: dict[str, str]) -> None:
    said = text["explain-live-2"]
    three, *more = (
        _at(emeka, bands=bands, loop_along=45.0, end_ahead=45.0).live_lift([deg(60)]) for bands in (3, 5, 6, 8)
    )
    assert f"a jar of {three.slips_at[0]:.2f} kg slips" in said
    assert f"of {three.grip_unpulled:.1f} N grip {three.grip[0]:.1f} N are left" in said
    for live in (three, *more):
        assert live.slips_at[0] < live.opens_at[0]
        assert live.grip[0] < 0.25 * live.grip_unpulled


def test_what_the_tasks_ask_for_happens(emeka: DualControl) -> None:
    """Heavier devices ask for more, a hand with glove for what five bands cannot hold with the arm alone."""
    fitted = _at(emeka, loop_along=45.0, end_ahead=45.0)
    wearer = emeka.harness.wearer
    comes = [
        float(replace(fitted, forearm=forearm_of(wearer, carried)).lift(UP).device_force.max())
        for carried in ("light hook", "hook", "steel hook", "hand with glove")
    ]
    assert comes == sorted(comes)
    assert comes[1] < hook_opening(5).force(0.0) < comes[3]


def test_the_try_is_right() -> None:
    line = LiftLine(loop_along=mm(30), end_above=mm(100))
    lever = float(line.moment_arm(deg(90)))
    assert (round(1e3 * lever, 1), round(1.1 / lever, 1)) == (28.7, 38.3)
