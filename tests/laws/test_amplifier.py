"""The excursion amplifier: closed forms, work, and whom it serves."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from controlkit.mechanics import DualControl, ExcursionAmplifier, Wearer, above_elbow_eight
from controlkit.mechanics.cable import ControlCable
from controlkit.mechanics.chain.strength import Strength
from controlkit.units import InputError, deg

SEXES = ("female", "male")
BOTH: dict[str, float] = {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}
STIFF = ControlCable(friction=0.0, stiffness=1e7)
PULLEY = ExcursionAmplifier()


def _system(
    sex: str,
    amplifier: ExcursionAmplifier | None = None,
    *,
    cable: ControlCable = ControlCable(),
    furthest: float = deg(90),
    strength: Strength = Strength(),
) -> DualControl:
    harness = above_elbow_eight(Wearer.average(sex, level="transhumeral"))
    return DualControl(harness=harness, amplifier=amplifier, cable=cable, furthest=furthest, strength=strength)


@pytest.mark.parametrize("ratio", [1.0, 1.5, 2.0, 3.0])
@pytest.mark.parametrize("efficiency", [0.5, 0.9, 1.0])
def test_work_out_is_what_its_efficiency_leaves_of_work_in(ratio: float, efficiency: float) -> None:
    """A closed form: k times the travel, k over the efficiency times the force."""
    amplifier = ExcursionAmplifier(ratio, efficiency)
    drawn, tension = 0.03, 45.0
    work_in, work_out = amplifier.force(tension) * drawn, tension * amplifier.travel(drawn)
    assert work_out == pytest.approx(efficiency * work_in, rel=1e-12)
    assert work_out <= work_in * (1.0 + 1e-12)


def test_one_that_changes_nothing_changes_nothing() -> None:
    same, bare = _system("female", ExcursionAmplifier(1.0, 1.0)), _system("female")
    for one, other in ((same.lift(**BOTH), bare.lift(**BOTH)), (same.open_locked(), bare.open_locked())):
        assert one.harness_force == pytest.approx(other.harness_force, rel=0.01)
        assert one.limited_by == other.limited_by
    assert same.live_lift().harness_force == pytest.approx(bare.live_lift().harness_force, rel=1e-12)


@pytest.mark.parametrize("sex", SEXES)
def test_what_the_harness_captures_at_a_pull_comes_twice_at_half_of_it(sex: str) -> None:
    bare, twice = (_system(sex, amplifier, cable=STIFF).capture(**BOTH) for amplifier in (None, PULLEY))
    known = len(bare.pull)
    assert twice.pull[:known] * PULLEY.force(1.0) == pytest.approx(bare.pull, rel=1e-12)
    assert twice.travel[:known] == pytest.approx(2.0 * bare.travel, abs=1e-4)
    assert np.array_equal(twice.generated, bare.generated)


def test_a_cable_stretches_by_its_own_tension() -> None:
    """What the strap feels of that, made much of again, is the tension beyond the amplifier times the cable's give."""
    amplifier, tension, give = ExcursionAmplifier(3.0, 0.8), 40.0, 2e-5
    felt = amplifier.force(tension) * amplifier.felt_give(give)
    assert amplifier.travel(felt) == pytest.approx(tension * give, rel=1e-12)


@pytest.mark.parametrize("sex", SEXES)
def test_a_softer_cable_hands_on_less(sex: str) -> None:
    soft = ControlCable(friction=0.0, stiffness=20000.0)
    given, stiff = (_system(sex, PULLEY, cable=cable).capture(**BOTH) for cable in (soft, STIFF))
    lost = (stiff.travel - given.travel)[:, -1]
    assert (lost > 0.0).all()
    assert (np.diff(lost) > 0.0).all()


@pytest.mark.parametrize("sex", SEXES)
def test_work_at_the_harness_is_never_below_work_at_the_loop(sex: str) -> None:
    """Lifting: the strap is drawn by half of what the forearm takes up, under more than twice the tension."""
    lifted = _system(sex, PULLEY).lift(deg(1) * np.arange(10.0, 136.0), **BOTH)
    at_strap = float(np.trapezoid(lifted.harness_force, lifted.required / PULLEY.ratio))
    at_loop = float(np.trapezoid(lifted.lift_force, lifted.required))
    assert at_loop < PULLEY.efficiency * at_strap <= at_strap


@pytest.mark.parametrize("sex", SEXES)
def test_it_serves_a_wearer_whose_excursion_is_short(sex: str) -> None:
    """A motion that ends at 45 degrees, both scapulae drawn: it lifts, and opens more, for over twice the force."""
    bare, twice = (_system(sex, amplifier, furthest=deg(45)) for amplifier in (None, PULLEY))
    assert "excursion" in bare.lift(**BOTH).limited_by
    assert twice.lift(**BOTH).lifts.all()
    less, more = (system.open_locked([deg(90)], **BOTH) for system in (bare, twice))
    assert more.opening[0] > 2.0 * less.opening[0]
    assert more.harness_force[0] > 2.0 * less.harness_force[0]


@pytest.mark.parametrize("sex", SEXES)
def test_it_fails_a_wearer_whose_force_is_short(sex: str) -> None:
    """110 N open the device through a plain joint; through an amplifier they do not."""
    bare, twice = (_system(sex, amplifier, strength=Strength(cable=110.0)) for amplifier in (None, PULLEY))
    less, more = (system.open_locked([deg(90)], **BOTH) for system in (bare, twice))
    assert less.limited_by == ("nothing",)
    assert more.limited_by == ("force",)
    assert less.cable_share[0] < 1.0 < more.cable_share[0]


@pytest.mark.parametrize("sex", SEXES)
def test_with_arm_flexion_alone_it_does_not_lift(sex: str) -> None:
    """Twice the pull draws the harness further before it gives; by then the raised arm asks for more still."""
    bare, twice = (_system(sex, amplifier).lift() for amplifier in (None, PULLEY))
    assert twice.arm_flexion[0] > bare.arm_flexion[0] + deg(5)
    assert twice.limited_by[0] == "device opens first"
    assert twice.lift_force[0] > bare.lift_force[0]


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: ExcursionAmplifier(0.5), "The amplifier's ratio"),
        (lambda: ExcursionAmplifier(2.0, 1.1), "The amplifier's efficiency"),
        (lambda: ExcursionAmplifier(2.0, 0.1), "The amplifier's efficiency"),
    ],
)
def test_what_cannot_be_is_said(ask: Callable[[], ExcursionAmplifier], says: str) -> None:
    with pytest.raises(InputError, match=says):
        ask()
