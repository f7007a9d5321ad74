"""Triple control: what opening keeps once it no longer shares a cable with the lift."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from controlkit.mechanics import DualControl, Wearer, above_elbow_eight, hook_opening
from controlkit.mechanics.cable import ControlCable
from controlkit.mechanics.chain.dual import ELBOWS, TripleControl
from controlkit.units import InputError, deg, mm

SEXES = ("female", "male")
BOTH: dict[str, float] = {"scapular_abduction": deg(20), "sound_scapular_abduction": deg(20)}


@cache
def _both(sex: str, bands: int = 5, friction: float = ControlCable().friction) -> tuple[DualControl, TripleControl]:
    harness = above_elbow_eight(Wearer.average(sex, level="transhumeral"))
    dual = DualControl(harness=harness, device=hook_opening(bands), cable=ControlCable(friction=friction))
    return dual, TripleControl(system=dual)


@pytest.mark.parametrize("arm", [deg(30), deg(60), deg(90)])
@pytest.mark.parametrize("sex", SEXES)
def test_the_lift_takes_nothing_from_opening(sex: str, arm: float) -> None:
    """Without friction every elbow angle opens alike; under dual control each opens less by what the lift took."""
    dual, triple = _both(sex, friction=0.0)
    alone, shared = triple.open_locked(ELBOWS, arm), dual.open_locked(ELBOWS, arm, **BOTH)
    assert np.ptp(alone.opening) < 1e-9
    assert (alone.taken_by_lift == 0.0).all()
    assert (alone.opening >= shared.opening - 1e-9).all()
    assert (np.diff(shared.opening) <= 1e-9).all()
    assert alone.opening[-1] > shared.opening[-1] + mm(20)


@pytest.mark.parametrize("sex", SEXES)
def test_a_straight_forearm_that_took_nothing_up_opens_alike(sex: str) -> None:
    """Where it hangs nothing is taken up, and without friction one cable or two are the same."""
    dual, triple = _both(sex, friction=0.0)
    at = [dual.hangs_at]
    one, other = triple.open_locked(at, deg(40)), dual.open_locked(at, deg(40), **BOTH)
    assert one.opening == pytest.approx(other.opening, abs=1e-9)
    assert one.harness_force == pytest.approx(other.harness_force, rel=1e-9)


@pytest.mark.parametrize("sex", SEXES)
def test_a_bent_elbow_still_costs_friction(sex: str) -> None:
    """Its housing goes round with the elbow."""
    _, triple = _both(sex)
    opened = triple.open_locked(ELBOWS, deg(60))
    gain = opened.harness_force / opened.device_force
    assert (np.diff(gain) > 0.0).all()
    turned = triple.system.bend_above + triple.system.bend_beyond + ELBOWS
    assert gain == pytest.approx(np.exp(triple.system.cable.friction * turned), rel=1e-9)


@pytest.mark.parametrize("sex", SEXES)
def test_weak_bands_do_not_stop_the_lift(sex: str) -> None:
    """Three bands let the device open first under dual control; here the lift passes it by, with the same tension."""
    dual, triple = _both(sex, bands=3)
    shared, alone = dual.lift(**BOTH), triple.lift(**BOTH)
    assert "device opens first" in shared.limited_by
    assert alone.lifts.all()
    assert (alone.device_force == 0.0).all()
    assert alone.harness_force == pytest.approx(shared.harness_force, rel=1e-12)
    assert alone.opening_force == shared.opening_force


@pytest.mark.parametrize("sex", SEXES)
def test_scapulae_alone_hardly_open_anything(sex: str) -> None:
    """With the arm hanging the harness takes up what they give at the device's pull."""
    opened = _both(sex)[1].open_locked([deg(90)], 0.0)
    assert opened.generated > mm(20)
    assert opened.opening[0] < mm(5)
    assert opened.limited_by == ("excursion",)


def test_what_cannot_be_is_said() -> None:
    dual, triple = _both("female")
    with pytest.raises(InputError, match="Scapular abduction"):
        TripleControl(system=dual, girdle=deg(60))
    with pytest.raises(InputError, match="Elbow flexion"):
        triple.lift([deg(170)])
    with pytest.raises(InputError, match="The system"):
        TripleControl(system="dual")  # type: ignore[arg-type]
