"""Smit G, Plettenburg DH. Efficiency of voluntary closing hand and hook prostheses. 2010;34(4):411-427.

Cable force for 15 N of pinch, lowest 33 N, highest 131 N: 2.2 and 8.7 N for each newton of pinch.
Energy lost in a cycle 52 and 1409 N mm; hands take 1.5 to 8 times the work of hooks. The two closing
kinds are fitted to the first two figures, so those tests guard the fit; for the third only the
opening was chosen, and travel comes from another source.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from controlkit.mechanics import VoluntaryClosing, hand_closing, hook_closing
from controlkit.sources import source

KINDS = [(hook_closing(), "lowest"), (hand_closing(), "highest")]


def _work(device: VoluntaryClosing, force: Callable[[float], float]) -> float:
    travel = np.linspace(0.0, device.travel, 501)
    return float(np.trapezoid([force(float(x)) for x in travel], travel))


@pytest.mark.parametrize("end", ["lowest", "highest"])
def test_smit_plettenburg_2010_cable_force_for_each_newton_of_pinch(end: str) -> None:
    printed = source(f"vc_force_ratio_{end}")
    ratio = source(f"vc_force_{end}").si / source("vc_pinch_tested").si
    assert ratio == pytest.approx(printed.si, abs=printed.digit / 2)


def test_smit_plettenburg_2010_same_extremes_as_in_the_study_of_users() -> None:
    """Two publications, the same lowest and highest cable force."""
    devices = source("device_operating_force")
    assert (source("vc_force_lowest").si, source("vc_force_highest").si) == (devices.si_low, devices.si_high)


@pytest.mark.parametrize(("device", "end"), KINDS)
def test_smit_plettenburg_2010_fitted_kinds_pinch_as_printed(device: VoluntaryClosing, end: str) -> None:
    force, pinch = source(f"vc_force_{end}").si, source("vc_pinch_tested").si
    assert device.pinch(0.0, force) == pytest.approx(pinch, rel=1e-9)


@pytest.mark.parametrize(("device", "end"), KINDS)
def test_smit_plettenburg_2010_fitted_kinds_lose_what_is_printed(device: VoluntaryClosing, end: str) -> None:
    printed = source(f"vc_energy_lost_{end}")
    lost = _work(device, device.force) - _work(device, device.force_back)
    assert lost == pytest.approx(printed.si, abs=0.5 * printed.digit * printed.factor)


def test_smit_plettenburg_2010_work_of_a_hand_over_that_of_a_hook() -> None:
    printed, (hook, hand) = source("vc_hand_over_hook_work"), (KINDS[0][0], KINDS[1][0])
    assert printed.si_low <= _work(hand, hand.force) / _work(hook, hook.force) <= printed.si_high


def test_closing_hook_over_the_textbooks_operating_force() -> None:
    """The easiest hook grips 15 N within the 40 to 156 N of an open textbook's table, the hand not below it."""
    printed, pinch = source("vc_hook_force"), source("vc_pinch_tested").si
    hook, hand = KINDS[0][0], KINDS[1][0]
    assert hook.pinch(0.0, printed.si_low) > pinch
    assert hand.pinch(0.0, printed.si_low) == 0.0
    assert hand.pinch(0.0, printed.si_high) > pinch
