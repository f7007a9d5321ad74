"""Smit G, Plettenburg DH. Efficiency of voluntary closing hand and hook prostheses. 2010;34(4):411-427.

Cable force for 15 N of pinch, lowest 33 N, highest 131 N: 2.2 and 8.7 N for each newton of pinch.
"""

from __future__ import annotations

import pytest

from controlkit.sources import source


@pytest.mark.parametrize("end", ["lowest", "highest"])
def test_smit_plettenburg_2010_cable_force_for_each_newton_of_pinch(end: str) -> None:
    printed = source(f"vc_force_ratio_{end}")
    ratio = source(f"vc_force_{end}").si / source("vc_pinch_tested").si
    assert ratio == pytest.approx(printed.si, abs=printed.digit / 2)


def test_smit_plettenburg_2010_same_extremes_as_in_the_study_of_users() -> None:
    """Two publications, the same lowest and highest cable force."""
    devices = source("device_operating_force")
    assert (source("vc_force_lowest").si, source("vc_force_highest").si) == (devices.si_low, devices.si_high)
