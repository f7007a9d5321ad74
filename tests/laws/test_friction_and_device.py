"""Laws that hold whatever the numbers: friction never helps, a device gives back no more than it took."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from controlkit.mechanics import ControlCable, VoluntaryOpening, tension_ratio
from controlkit.mechanics.cable import bend_from, friction_from
from controlkit.mechanics.harness import line_load, radius_from, tension_from
from controlkit.units import InputError

frictions = st.floats(0.0, 0.6)
bends = st.floats(0.0, 4.0 * math.pi)


@given(bends)
def test_no_friction_loses_nothing(bend: float) -> None:
    assert tension_ratio(0.0, bend) == 1.0


@given(frictions)
def test_no_bend_loses_nothing(friction: float) -> None:
    assert tension_ratio(friction, 0.0) == 1.0


@given(frictions, bends)
def test_two_half_bends_equal_one_whole_bend(friction: float, bend: float) -> None:
    assert tension_ratio(friction, bend / 2) ** 2 == pytest.approx(tension_ratio(friction, bend), rel=1e-12)


@given(frictions, frictions, bends)
def test_more_friction_never_helps(one: float, other: float, bend: float) -> None:
    low, high = sorted((one, other))
    assert tension_ratio(high, bend) <= tension_ratio(low, bend)


@given(frictions, bends)
def test_nothing_is_gained(friction: float, bend: float) -> None:
    assert 0.0 < tension_ratio(friction, bend) <= 1.0


@given(st.floats(0.02, 0.6), st.floats(0.1, 4.0 * math.pi))
def test_the_ratio_is_the_balance_of_many_small_corners(friction: float, bend: float) -> None:
    """Statics of one corner: what presses is (T1 + T2) sin(h), what rubs is friction times that; h is half its turn."""
    corners = 20_000
    half = bend / corners / 2.0
    one = (math.cos(half) - friction * math.sin(half)) / (math.cos(half) + friction * math.sin(half))
    assert tension_ratio(friction, bend) == pytest.approx(one**corners, rel=2e-6)


@given(st.floats(0.8, 2.6), st.floats(0.8, 2.6))
def test_a_bent_elbow_never_helps_the_cable(one: float, other: float) -> None:
    """From where the housing has left its bow of the straight elbow and turns with the elbow."""
    low, high = sorted((one, other))
    cable = ControlCable()
    assert cable.efficiency(high) <= cable.efficiency(low)


@given(st.integers(1, 12))
def test_bands_scale_force_and_not_travel(bands: int) -> None:
    one, many = VoluntaryOpening(bands=1), VoluntaryOpening(bands=bands)
    assert many.travel == one.travel
    assert many.force(0.02) == pytest.approx(bands * one.force(0.02))
    assert many.pinch() == pytest.approx(bands * one.pinch())


@given(st.integers(1, 12), st.floats(0.0, 0.08))
def test_cable_work_is_what_the_fingers_store(bands: int, share: float) -> None:
    """Work of the cable equals work of the bands' moment at the finger, frictionless (virtual work)."""
    hook = VoluntaryOpening(bands=bands)
    travel = np.linspace(0.0, min(share, hook.travel), 400)
    cable = np.trapezoid([hook.force(float(x)) for x in travel], travel)
    angle = travel / hook.lever
    moment = [hook.pinch(2.0 * hook.finger * math.sin(0.5 * a)) * hook.finger for a in angle]
    assert cable == pytest.approx(np.trapezoid(moment, angle), rel=1e-6, abs=1e-12)


@given(st.floats(0.0, 0.08), st.floats(0.0, 60.0), st.floats(0.0, 60.0))
def test_pulling_never_tightens_a_voluntary_opening_grip(width: float, one: float, other: float) -> None:
    hook, (low, high) = VoluntaryOpening(), sorted((one, other))
    assert hook.pinch(width, high) <= hook.pinch(width, low)


@given(st.floats(0.0, 0.08), st.floats(0.0, 0.08))
def test_a_wider_object_is_held_harder(one: float, other: float) -> None:
    narrow, wide = sorted((one, other))
    assert VoluntaryOpening().pinch(narrow) <= VoluntaryOpening().pinch(wide)


@given(st.floats(-0.05, 0.2))
def test_opening_stays_between_shut_and_full(travel: float) -> None:
    hook = VoluntaryOpening()
    assert 0.0 <= hook.opening(travel) <= hook.full_opening


@given(st.floats(0.001, 0.6), st.floats(0.01, 4.0 * math.pi))
def test_the_law_of_bends_can_be_asked_any_way_round(friction: float, bend: float) -> None:
    ratio = tension_ratio(friction, bend)
    assert friction_from(ratio, bend) == pytest.approx(friction, rel=1e-9)
    assert bend_from(ratio, friction) == pytest.approx(bend, rel=1e-9)


@given(st.floats(0.1, 500.0), st.floats(0.005, 0.5))
def test_so_can_the_load_of_a_strap(tension: float, radius: float) -> None:
    load = line_load(tension, radius)
    assert tension_from(load, radius) == pytest.approx(tension, rel=1e-12)
    assert radius_from(tension, load) == pytest.approx(radius, rel=1e-12)


@pytest.mark.parametrize(
    ("ask", "given_", "words"),
    [
        (friction_from, (1.2, 1.0), "1.2"),
        (friction_from, (0.8, 0.0), "The bend was given as 0"),
        (bend_from, (0.0, 0.1), "Above 0"),
        (bend_from, (0.8, -0.1), "Friction was given as -0.1"),
        (line_load, (45.0, 0.0), "The radius"),
        (radius_from, (45.0, 0.0), "The line load"),
        (tension_from, (-1.0, 0.1), "The line load"),
    ],
)
def test_what_has_no_answer_is_refused(ask: Any, given_: tuple[float, float], words: str) -> None:
    with pytest.raises(InputError, match=words):
        ask(*given_)
