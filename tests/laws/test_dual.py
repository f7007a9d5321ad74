"""Dual control: closed forms, work, order of asking, the engine itself beside the table, and bad input."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import (
    DualControl,
    ExcursionAmplifier,
    Pose,
    VoluntaryOpening,
    Wearer,
    above_elbow_eight,
    dual_pull,
    figure_of_eight,
    hook_closing,
    hook_opening,
)
from controlkit.mechanics.bench.dual import WornDual
from controlkit.mechanics.cable import ControlCable
from controlkit.mechanics.chain.dual import ELBOWS, control
from controlkit.mechanics.chain.dual.capture import PULLS, Capture
from controlkit.mechanics.elbow import GRAVITY, FlexionSpring, LiftLine, forearm_of
from controlkit.mechanics.harness import follow
from controlkit.mechanics.harness.laws import CableLaw
from controlkit.mechanics.sequence import DualErrand
from controlkit.units import InputError, deg, mm

SEXES = ("female", "male")
BOTH: dict[str, float] = {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}
AHEAD = LiftLine(end_ahead=0.025)
SMOOTH = ControlCable(friction=0.0, stiffness=1e7)


def _wearer(sex: str, **other: Any) -> Wearer:
    return Wearer.average(sex, level="transhumeral", **other)


def _system(sex: str = "female", **other: Any) -> DualControl:
    return DualControl(harness=above_elbow_eight(_wearer(sex)), **other)


WOMAN = _system()
EVERY = deg(1) * np.arange(10.0, 136.0)


@dataclass(frozen=True)
class _Same:
    """One law at every pose."""

    law: CableLaw
    give: float

    def __call__(self, pose: Pose, webbing: float) -> CableLaw:
        return replace(self.law, stiffness=1.0 / (webbing + self.give))


@dataclass(frozen=True, kw_only=True)
class _Rigid(DualControl):
    """A harness that gives nothing: every pull has the travel of an arm about the shoulder."""

    arm: float = 0.09

    def capture(self, **angles: float) -> Capture:
        assert not angles
        flexions = np.linspace(0.0, self.furthest, 7)
        travel = np.tile(self.arm * flexions, (len(PULLS), 1))
        return Capture(arm_flexion=flexions, pull=np.array(PULLS), travel=travel, generated=travel[0], settled=True)


def test_a_rigid_harness_without_friction_has_a_closed_form() -> None:
    """Travel r psi meets l(e): psi = l(e) / r, and T = M sin(e + psi) / r(e)."""
    line, arm = LiftLine(end_ahead=0.025), 0.09
    system = _Rigid(harness=WOMAN.harness, cable=SMOOTH, line=line, device=VoluntaryOpening(bands=12), arm=arm)
    lifted = system.lift(ELBOWS[:9])
    psi = np.asarray(line.travel(ELBOWS[:9], system.hangs_at)) / arm
    force = system.lifted_forearm.largest_moment * np.sin(ELBOWS[:9] + psi) / line.moment_arm(ELBOWS[:9])
    assert lifted.arm_flexion == pytest.approx(psi, abs=1e-9)
    assert lifted.harness_force == pytest.approx(force, rel=1e-9)
    assert lifted.device_force == pytest.approx(force, rel=1e-9)
    assert not lifted.jumps.any()


@pytest.mark.parametrize("angles", [{}, BOTH], ids=["arm", "both scapulae"])
@pytest.mark.parametrize("sex", SEXES)
def test_work_out_is_never_above_work_in(sex: str, angles: dict[str, float]) -> None:
    """Lifting takes more at the harness than the weight gives back, friction or not, and letting down gains nothing."""
    for cable in (ControlCable(), ControlCable(friction=0.0), ControlCable(friction=0.3)):
        system = _system(sex, cable=cable)
        lifted = system.lift(EVERY, load=0.1, **angles)
        at_harness, at_loop = (
            np.trapezoid(force, lifted.required) for force in (lifted.harness_force, lifted.lift_force)
        )
        assert at_harness >= at_loop - 1e-12
        if cable.friction == 0.0:
            assert at_harness == pytest.approx(at_loop, rel=1e-12)
        back = lifted.lift_force * np.exp(-cable.friction * system.bends(EVERY)[0])
        assert np.trapezoid(back, lifted.required) <= at_harness + 1e-12  # a full cycle gains nothing


@pytest.mark.parametrize("friction", [0.0, 0.08, 0.3])
@pytest.mark.parametrize("sex", SEXES)
def test_a_full_cycle_of_lifting_and_opening_gains_nothing(sex: str, friction: float) -> None:
    """Lift, lock, open, let close, let down: what the wearer puts in comes back in part; in full without friction."""
    system = _system(sex, cable=ControlCable(friction=friction), device=VoluntaryOpening(bands=5))
    device, at = system.device, deg(70)
    lifted = system.lift(EVERY[at >= EVERY], **BOTH)
    stages = [system.open_locked([at], arm_flexion=float(arm), **BOTH) for arm in np.linspace(0.0, system.furthest, 46)]
    opened = [one for one in stages if one.left_for_opening[0] > 0.0 and one.opening[0] < device.full_opening]
    done = np.array([device.travel_for(float(one.opening[0])) for one in opened])
    pull, arrives = (np.array([getattr(one, name)[0] for one in opened]) for name in ("harness_force", "device_force"))
    assert len(done) > 10
    assert arrives == pytest.approx([device.force(float(x)) for x in done], rel=1e-6)
    back = np.exp(-friction * sum(system.bends(at)))
    opening, closing = (float(np.trapezoid(force, done)) for force in (pull, back * arrives))
    lifting = float(np.trapezoid(lifted.harness_force, lifted.required))
    lowering = float(
        np.trapezoid(lifted.lift_force * np.exp(-friction * system.bends(lifted.elbow_flexion)[0]), lifted.required)
    )
    put_in, given_back = lifting + opening, lowering + closing
    assert given_back <= put_in * (1.0 + 1e-12)
    assert (given_back == pytest.approx(put_in, rel=1e-9)) == (friction == 0.0)


def test_without_friction_the_cable_does_the_work_of_the_weight() -> None:
    """At an arm that stays where it is: the integral of T dl is the rise of the centre of mass, whatever the loop."""
    rise = {}
    for along in (0.03, 0.04, 0.06):
        system = _system(cable=SMOOTH, line=LiftLine(loop_along=along, end_ahead=0.025))
        fine = np.linspace(deg(10), deg(120), 2000)
        tension = system._tension(fine, 0.0, system._largest(0.0))
        rise[along] = float(np.trapezoid(tension, np.asarray(system.line.travel(fine))))
        peak = tension.max()
        assert peak < 90.0
    weight = WOMAN.lifted_forearm.largest_moment * (math.cos(deg(10)) - math.cos(deg(120)))
    assert list(rise.values()) == pytest.approx([weight] * 3, rel=1e-4)


@pytest.mark.parametrize("sex", SEXES)
def test_a_loop_further_out_asks_for_less_force_and_more_cable(sex: str) -> None:
    """A study card has both less; that cannot be, since the work is the same."""
    near, far = (
        _Rigid(harness=_system(sex).harness, line=LiftLine(loop_along=along, end_ahead=0.025), cable=SMOOTH).lift(
            ELBOWS
        )
        for along in (0.035, 0.055)
    )
    assert far.peak < near.peak
    assert (far.required > near.required).all()


@pytest.mark.parametrize("sex", SEXES)
def test_raising_the_load_never_lowers_the_force(sex: str) -> None:
    system = _system(sex)
    loads = [system.lift(load=load, **BOTH) for load in (0.0, 0.1, 0.25, 0.5, 1.0)]
    for light, heavy in itertools.pairwise(loads):
        assert (heavy.arm_flexion >= light.arm_flexion - 1e-12).all()
        same = light.elbow_flexion + np.minimum(heavy.arm_flexion, system.furthest) < deg(90)
        assert (heavy.harness_force[same] >= light.harness_force[same]).all()
        assert (heavy.harness_force[0] > light.harness_force[0]).all()


def test_left_and_right_mirror() -> None:
    right, left = (
        DualControl(harness=above_elbow_eight(_wearer("male", amputated=side))) for side in ("right", "left")
    )
    for one, other in ((right.lift(), left.lift()), (right.open_locked(**BOTH), left.open_locked(**BOTH))):
        assert np.array_equal(one.harness_force, other.harness_force)
        assert one.limited_by == other.limited_by


def test_the_order_of_asking_changes_nothing() -> None:
    fresh, used = _system("male"), _system("male")
    used.open_locked([deg(30)], **BOTH)
    used.lift(load=0.5)
    used.live_lift()
    one, same = fresh.lift([deg(45), deg(90)]), used.lift([deg(90), deg(45)])
    assert np.array_equal(one.arm_flexion, same.arm_flexion[::-1])
    assert np.array_equal(one.harness_force, same.harness_force[::-1])
    assert np.array_equal(fresh.open_locked(**BOTH).opening, used.open_locked(**BOTH).opening)


@pytest.mark.parametrize("sex", SEXES)
def test_locked_it_opens_as_the_engine_of_single_control_says(sex: str) -> None:
    """The same question to the straps themselves, with what the lift has taken up: the table gives up to 4 mm less."""
    system = _system(sex)
    asked = deg(1) * np.array([15.0, 55.0, 85.0])
    opened, device = system.open_locked(asked), system.device
    give = system.cable.length / system.cable.stiffness
    for at, taken, left in zip(asked, opened.taken_by_lift, opened.left_for_opening, strict=True):
        gain = math.exp(system.cable.friction * float(sum(system.bends(at))))
        start, full = gain * device.force(0.0), gain * device.force(device.travel)

        rise = (full - start) / device.travel
        law = CableLaw(stiffness=1.0, start=start, rise=rise, full=full, take_up=-float(taken))
        found = follow(system.harness, [Pose(arm_flexion=system.furthest)], _Same(law, give))
        assert -mm(0.5) < found.travel[found.asked[0]] - left < mm(4.0)


@pytest.mark.parametrize("sex", SEXES)
def test_one_whole_lift_followed_with_all_that_skin_and_loop_remember(sex: str) -> None:
    """Against the same rising and falling pull, station by station: within 3 mm above 20 N."""
    system = _system(sex)
    lifted = system.lift(EVERY[1:])
    reached = np.isfinite(lifted.arm_flexion)
    psi, first = np.unique(lifted.arm_flexion[reached][::-1], return_index=True)
    pull = lifted.harness_force[reached][::-1][first]

    def law(pose: Pose, webbing: float) -> CableLaw:
        held = max(float(np.interp(pose.arm_flexion, psi, pull)), 0.5)
        give = webbing + system.cable.length / system.cable.stiffness
        return CableLaw(stiffness=1.0 / give, start=held, rise=0.0, full=1e6)

    ks = [k for k in (20, 35, 50, 65) if reached[k] and lifted.harness_force[k] > 20.0]
    found = follow(system.harness, [Pose(arm_flexion=float(lifted.arm_flexion[k])) for k in ks], law)
    apart = found.travel[list(found.asked)] - lifted.required[ks]
    assert len(ks) >= 2
    assert np.abs(apart).max() < mm(3.0), apart


@pytest.mark.parametrize("bands", [3, 5])
def test_bands_that_let_the_device_open_first(bands: int) -> None:
    """It does where the lift's tension at the device is above the opening force; said at the angle and all beyond."""
    lifted = _system(device=hook_opening(bands)).lift()
    first = np.flatnonzero(~lifted.stays_shut)
    if bands == 3:
        assert lifted.limited_by[0] == "device opens first"
        assert not lifted.stays_shut[:5].any()
        assert not lifted.lifts.any()
    else:
        assert not len(first)
        assert lifted.lifts.all()


def test_locking_gives_nothing_back() -> None:
    """Every millimetre that the lift took is missing for opening, until something else is the limit."""
    opened = _system("male").open_locked()
    assert (np.diff(opened.opening) <= 1e-9).all()
    assert (
        opened.captured == pytest.approx(opened.taken_by_lift + opened.left_for_opening, abs=1e-9)
        or (
            opened.captured[opened.left_for_opening == 0.0]
            <= opened.taken_by_lift[opened.left_for_opening == 0.0] + 1e-9
        ).all()
    )
    assert opened.limited_by[-1] == "excursion"


@pytest.mark.parametrize("sex", SEXES)
def test_a_load_slips_before_the_device_opens(sex: str) -> None:
    """Grip falls with the tension of the cable, and some is still needed as it slips."""
    live = _system(sex).live_lift()
    assert (live.slips_at < live.opens_at).all()
    assert (live.grip < live.grip_unpulled).all()
    assert 2.0 * 0.4 * live.grip == pytest.approx(live.slips_at * GRAVITY, rel=1e-6)


def test_a_collinear_lift_from_a_straight_elbow_gets_stuck() -> None:
    """Loop, axis and housing end on a line: no moment arm, and the arm is raised by the time the harness is taut."""
    system = _system(line=LiftLine(), hangs_at=0.0)
    lifted = system.lift([deg(30), deg(90)])
    assert not np.isfinite(lifted.arm_flexion).any()
    assert not lifted.lifts.any()


def test_a_cable_behind_the_axis_lifts_nothing_and_says_so() -> None:
    behind = _system(line=LiftLine(end_ahead=-0.03)).lift([deg(15), deg(90)])
    assert behind.limited_by == ("dead point", "dead point")
    assert not np.isfinite(behind.arm_flexion).any()


def test_a_spring_that_holds_the_forearm_leaves_nothing_to_lift() -> None:
    lifted = _system(spring=FlexionSpring(3.0)).lift()
    assert (lifted.harness_force == 0.0).all()
    assert lifted.stays_shut.all()


@pytest.mark.parametrize("count", [40, pytest.param(1000, marks=pytest.mark.long)])
def test_no_random_wearer_fails(count: int) -> None:
    for k, sex in enumerate(SEXES):
        for wearer in Wearer.draw(sex, count // 2, seed=150 + k):
            system = DualControl(harness=above_elbow_eight(wearer.with_(level="transhumeral")))
            lifted, opened = system.lift([deg(90)]), system.open_locked([deg(90)])
            assert lifted.settled, wearer
            assert opened.settled, wearer
            assert math.isfinite(opened.harness_force[0])
            assert 0.0 <= opened.opening[0] <= system.device.full_opening + 1e-12


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: WOMAN.lift([deg(170)]), "Elbow flexion"),
        (lambda: WOMAN.lift([]), "No elbow angle"),
        (lambda: WOMAN.lift(load=-0.1), "The load"),
        (lambda: WOMAN.open_locked(arm_flexion=deg(150)), "Arm flexion"),
        (lambda: WOMAN.live_lift(width=0.5), "The width"),
        (lambda: WOMAN.lift(knee=1.0), "knee"),
        (lambda: _system(device=hook_closing()), "closes on the pull"),
        (lambda: _system(hangs_at=deg(120)), "hangs"),
        (lambda: DualControl(harness=figure_of_eight(Wearer.average("male"))), "transhumeral"),
        (lambda: LiftLine(loop_along=0.6), "The lift loop"),
    ],
)
def test_what_cannot_be_asked_is_said(ask: Any, says: str) -> None:
    with pytest.raises(InputError, match=says):
        ask()


@pytest.mark.parametrize(
    "change",
    [
        {"amplifier": ExcursionAmplifier()},
        {"cable": ControlCable(stiffness=4e3)},
        {"furthest": deg(50)},
        {"harness": above_elbow_eight(_wearer("female"), ring_below_c7=mm(60))},
        {"line": LiftLine(loop_along=0.05)},
    ],
    ids=lambda change: next(iter(change)),
)
def test_what_was_captured_for_one_set_up_answers_for_no_other(change: dict[str, Any]) -> None:
    """Asked after another set-up, and asked alone."""
    used = DualControl(harness=WOMAN.harness)
    before = used.lift([deg(60), deg(90)])
    after = replace(used, **change).lift([deg(60), deg(90)])
    control._captured.cache_clear()
    alone = DualControl(**{"harness": WOMAN.harness, **change}).lift([deg(60), deg(90)])
    assert np.array_equal(after.arm_flexion, alone.arm_flexion)
    assert np.array_equal(after.harness_force, alone.harness_force)
    assert not np.array_equal(after.arm_flexion, before.arm_flexion)


@pytest.mark.parametrize(
    "ask",
    [
        lambda: dual_pull(replace(WOMAN, amplifier=ExcursionAmplifier()), 40.0),
        lambda: DualErrand(system=replace(WOMAN, amplifier=ExcursionAmplifier())),
        lambda: WornDual(replace(WOMAN, amplifier=ExcursionAmplifier())),
    ],
)
def test_what_knows_no_amplifier_says_so(ask: Any) -> None:
    with pytest.raises(InputError, match="without one"):
        ask()


def test_the_same_set_up_on_another_wearer() -> None:
    man = WOMAN.on(_wearer("male"))
    assert man.lifted_forearm == forearm_of(_wearer("male"))
    assert replace(man, harness=WOMAN.harness) == WOMAN
