"""Laws of terminal devices: nothing is gained in a cycle, work is kept by levers, grip follows its cause."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from controlkit.mechanics import VoluntaryClosing, VoluntaryOpening
from controlkit.mechanics.device import KINDS, fewest_bands, most_bands, refit, two_loads
from controlkit.mechanics.device.opening import MOST_BANDS
from controlkit.units import InputError, deg, mm

Device = VoluntaryOpening | VoluntaryClosing

openers = st.builds(
    VoluntaryOpening,
    bands=st.integers(1, 12),
    finger=st.floats(0.05, 0.15),
    lever=st.floats(0.02, 0.08),
    stretch=st.floats(0.0, 3.0),
    friction=st.floats(0.0, 0.6),
)
closers = st.builds(
    VoluntaryClosing,
    finger=st.floats(0.05, 0.15),
    lever=st.floats(0.02, 0.08),
    spring=st.floats(5.0, 40.0),
    stretch=st.floats(0.0, 5.0),
    drag=st.floats(0.0, 4.9),
    lock=st.booleans(),
)
devices = st.one_of(openers, closers)
shares = st.floats(0.0, 1.0)
pulls = st.floats(0.0, 200.0)


def work(force: Callable[[float], float], low: float, high: float) -> float:
    travel = np.linspace(low, high, 201)
    return float(np.trapezoid([force(float(x)) for x in travel], travel))


@given(devices, shares, shares)
def test_a_cycle_gives_back_no_more_than_it_took(device: Device, one: float, other: float) -> None:
    low, high = sorted((one * device.travel, other * device.travel))
    assert work(device.force, low, high) >= work(device.force_back, low, high) - 1e-12


@given(devices)
def test_without_friction_the_loop_closes(device: Device) -> None:
    kept = replace(device, friction=0.0) if isinstance(device, VoluntaryOpening) else replace(device, drag=0.0)
    assert all(kept.force(x) == kept.force_back(x) for x in np.linspace(0.0, kept.travel, 9))


@given(openers, st.floats(0.0, 0.6))
def test_more_friction_loses_more_and_grips_less(hook: VoluntaryOpening, friction: float) -> None:
    worse = replace(hook, friction=max(friction, hook.friction))
    assert worse.force(0.01) >= hook.force(0.01)
    assert worse.force_back(0.01) <= hook.force_back(0.01)
    assert worse.pinch(0.03) <= hook.pinch(0.03)


@given(devices)
def test_the_spring_always_brings_it_back(device: Device) -> None:
    assert all(device.force_back(float(x)) > 0.0 for x in np.linspace(0.0, device.travel, 9))


@given(openers, st.floats(1.0, 2.0), shares)
def test_a_lever_further_out_asks_less_force_more_travel_and_the_same_work(
    hook: VoluntaryOpening, outward: float, share: float
) -> None:
    out = replace(hook, lever=min(hook.lever * outward, 0.1))
    assert out.travel >= hook.travel
    assert out.force(share * out.travel) <= hook.force(share * hook.travel) * (1.0 + 1e-12)
    assert work(out.force, 0.0, out.travel) == pytest.approx(work(hook.force, 0.0, hook.travel), rel=1e-9)
    assert (out.full_opening, out.pinch(0.02)) == pytest.approx((hook.full_opening, hook.pinch(0.02)))


@given(openers, st.floats(0.0, 40.0), shares, st.floats(0.0, 60.0), st.floats(0.3, 1.0))
def test_the_fewest_bands_serve_and_one_less_does_not(
    hook: VoluntaryOpening, pinch: float, share: float, tension: float, efficiency: float
) -> None:
    width = 0.99 * share * hook.full_opening
    left = [replace(hook, bands=n).pinch(width, tension) for n in range(1, MOST_BANDS + 1)]
    serve = [one > 0.0 and one >= pinch for one in left]
    if not any(serve):
        with pytest.raises(InputError, match="up to 12 bands"):
            fewest_bands(hook, pinch, width=width, tension=tension)
        return
    found = fewest_bands(hook, pinch, width=width, tension=tension, efficiency=efficiency)
    assert serve[found.bands - 1]
    assert not any(serve[: found.bands - 1])
    assert found.begins == found.hook.force(0.0)
    assert found.at_harness * efficiency == pytest.approx(found.hook.force(found.hook.travel))


@given(openers, st.floats(0.0, 500.0))
def test_the_most_bands_open_and_one_more_does_not(hook: VoluntaryOpening, pull: float) -> None:
    bands = most_bands(hook, pull)
    if bands:
        assert replace(hook, bands=bands).force(hook.travel) <= pull * (1.0 + 1e-6)
    if bands < MOST_BANDS:
        assert replace(hook, bands=bands + 1).force(hook.travel) > pull


@given(openers, st.integers(1, 11), st.integers(1, 11))
def test_two_loads_differ_in_force_and_in_nothing_else(hook: VoluntaryOpening, light: int, more: int) -> None:
    assume(light + more <= MOST_BANDS)
    one, other = two_loads(hook, light, light + more)
    assert replace(one, bands=other.bands) == other
    assert other.force(0.01) / one.force(0.01) == pytest.approx((light + more) / light)


@given(devices, st.floats(0.0, 0.2))
def test_a_pivot_that_rubs_widens_the_loop_and_moves_nothing_else(device: Device, friction: float) -> None:
    stiff = refit(device, friction=friction)
    assert (stiff.travel, stiff.full_opening) == (device.travel, device.full_opening)
    assert stiff.force(0.01) >= device.force(0.01) * (1.0 - 1e-12)
    assert stiff.force_back(0.01) <= device.force_back(0.01) * (1.0 + 1e-12)


@given(devices, st.floats(0.05, 0.9))
def test_forces_follow_from_the_fingers_path(device: Device, share: float) -> None:
    """Virtual work: fingertip's path over cable's travel is the cable force that one newton of pinch takes."""
    x, step = share * device.travel, 1e-6

    def path(travel: float) -> float:
        return 2.0 * device.finger * math.asin(device.opening(travel) / (2.0 * device.finger))

    ratio = abs(path(x + step) - path(x - step)) / (2.0 * step)
    width = device.opening(x)
    if isinstance(device, VoluntaryOpening):
        change = (device.pinch(width, 0.0) - device.pinch(width, 0.01 * device.force_back(x))) / (
            0.01 * device.force_back(x)
        )
    else:
        change = device.pinch(width, device.force(x) + 10.0) / 10.0
    assert ratio * change == pytest.approx(1.0, rel=1e-5)


@given(devices, shares)
def test_travel_for_a_width_opens_to_that_width(device: Device, share: float) -> None:
    width = share * device.full_opening
    assert device.opening(device.travel_for(width)) == pytest.approx(width, abs=1e-9)


@given(devices, shares, shares)
def test_opening_goes_one_way(device: Device, one: float, other: float) -> None:
    less, more = sorted((one * device.travel, other * device.travel))
    first, second = device.opening(less), device.opening(more)
    assert (first <= second) if isinstance(device, VoluntaryOpening) else (first >= second)


@pytest.mark.parametrize("name", KINDS)
def test_at_rest_as_its_principle_says(name: str) -> None:
    device = KINDS[name]()
    assert device.kind in name
    rest = 0.0 if isinstance(device, VoluntaryOpening) else device.full_opening
    assert device.opening(0.0) == rest
    assert device.opening(device.travel) == pytest.approx(device.full_opening - rest, abs=1e-12)


@given(openers, shares, shares)
def test_accidental_tension_takes_grip_until_nothing_is_left(hook: VoluntaryOpening, share: float, pull: float) -> None:
    width = share * hook.full_opening
    all_of_it = hook.force_back(hook.travel_for(width))
    assert hook.pinch(width, pull * all_of_it) == pytest.approx((1.0 - pull) * hook.pinch(width), abs=1e-9)
    assert hook.pinch(width, 1.001 * all_of_it) == 0.0


@given(openers, shares, shares)
def test_longer_bands_hold_a_wider_object_harder(hook: VoluntaryOpening, one: float, other: float) -> None:
    narrow, wide = sorted((one, other))
    assert hook.pinch(narrow * hook.full_opening) <= hook.pinch(wide * hook.full_opening) + 1e-9


@given(closers, shares, pulls, pulls)
def test_pinch_of_a_closing_device_follows_the_cable(
    device: VoluntaryClosing, share: float, one: float, other: float
) -> None:
    width, (less, more) = share * device.full_opening, sorted((one, other))
    assert device.pinch(width, less) <= device.pinch(width, more)
    assert device.pinch(width, 0.0) == 0.0


@given(closers, pulls, shares, shares)
def test_a_stretched_return_spring_leaves_less_for_a_thin_object(
    device: VoluntaryClosing, pull: float, one: float, other: float
) -> None:
    thin, thick = sorted((one, other))
    assert device.pinch(thin * device.full_opening, pull) <= device.pinch(thick * device.full_opening, pull) + 1e-9


@given(closers, shares, st.floats(0.0, 80.0))
def test_pull_for_a_pinch_gives_that_pinch(device: VoluntaryClosing, share: float, pinch: float) -> None:
    width = share * device.full_opening
    assert device.pinch(width, device.pull_for(pinch, width)) == pytest.approx(pinch, abs=1e-9)


@given(closers, shares, pulls, shares, shares)
def test_letting_go_loses_grip_unless_locked(
    device: VoluntaryClosing, share: float, peak: float, one: float, other: float
) -> None:
    width, (more, less) = share * device.full_opening, sorted((one * peak, other * peak), reverse=True)
    gripped = device.pinch(width, peak)
    assert device.held(width, peak, peak) == pytest.approx(gripped, abs=1e-9)
    assert device.held(width, peak, less) <= device.held(width, peak, more) + 1e-9 <= gripped + 2e-9
    assert device.held(width, peak, 0.0) == (gripped if device.lock else 0.0)


@given(closers, st.floats(60.0, 200.0), shares)
def test_drag_keeps_the_grip_over_the_first_newtons(device: VoluntaryClosing, peak: float, share: float) -> None:
    """Friction turns round before the finger gives: twice the drag may be let back first."""
    free = replace(device, lock=False)
    assume(free.pinch(0.0, peak) > 0.0)
    eased = peak - 2.0 * share * free.drag
    assert free.held(0.0, peak, eased) == pytest.approx(free.pinch(0.0, peak), abs=1e-9)


@given(devices, st.floats(1.001, 3.0), pulls)
def test_what_does_not_fit_is_not_held(device: Device, times: float, pull: float) -> None:
    assert device.pinch(times * device.full_opening, pull) == 0.0


BAD: list[tuple[str, Callable[[], Any], tuple[str, ...]]] = [
    ("drag beyond the spring", lambda: VoluntaryClosing(drag=30.0), ("30 N", "not open again", "stronger spring")),
    ("glove that pulls shut", lambda: VoluntaryClosing(stretch=-0.95), ("rise", "-0.95", "Give between")),
    ("millimetres for metres", lambda: VoluntaryClosing(finger=63), ("finger", "Give between")),
    ("text for a lock", lambda: VoluntaryClosing(lock="yes"), ("'yes'", "True or False")),  # type: ignore[arg-type]
    ("degrees for radians", lambda: VoluntaryOpening(widest=55), ("3151 degrees", "deg(55)")),
    ("friction in percent", lambda: VoluntaryOpening(friction=10), ("friction", "10", "0.8")),
    ("no pinch", lambda: VoluntaryOpening(band_pinch=0.0), ("0 N", "Give between")),
    ("text for travel", lambda: VoluntaryOpening().force("far"), ("'far'", "mm(20)")),  # type: ignore[arg-type]
    ("no number for travel", lambda: VoluntaryClosing().opening(math.nan), ("nan", "mm(20)")),
    ("negative width", lambda: VoluntaryOpening().pinch(-0.02), ("-0.02", "never negative")),
    ("pushing cable", lambda: VoluntaryClosing().pinch(mm(20), -30.0), ("-30", "never negative")),
    ("more grip than bands make", lambda: fewest_bands(VoluntaryOpening(), 60.0), ("60 N", "12 bands", "less grip")),
    (
        "too wide to hold",
        lambda: fewest_bands(VoluntaryOpening(), 5.0, width=mm(120)),
        ("120 mm", "an object that fits"),
    ),
    ("percent for a share", lambda: fewest_bands(VoluntaryOpening(), 5.0, efficiency=80), ("efficiency", "80")),
    ("loads the wrong way round", lambda: two_loads(VoluntaryOpening(), 5, 2), ("5 bands", "fewer bands")),
    ("negative grip", lambda: VoluntaryClosing().pull_for(-1.0), ("-1", "never negative")),
]


@pytest.mark.parametrize(("ask", "words"), [(a, w) for _, a, w in BAD], ids=[name for name, _, _ in BAD])
def test_a_clear_sentence(ask: Callable[[], Any], words: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as caught:
        ask()
    assert all(word in str(caught.value) for word in words)


def test_a_wider_swing_opens_further_and_asks_more_travel() -> None:
    wide, usual = VoluntaryOpening(widest=deg(70)), VoluntaryOpening()
    assert wide.travel > usual.travel
    assert wide.full_opening > usual.full_opening
