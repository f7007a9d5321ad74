"""Hichert M, Vardy AN, Plettenburg D. Prosthet Orthot Int 2018;42(1):84-92. doi 10.1177/0309364617708651.

Users' maximum cable force 87 to 538 N, devices ask for 33 to 131 N, limit 20 % of the maximum; 9 of
23 users (about 40 %) reported discomfort or pain.
"""

from __future__ import annotations

import pytest

from controlkit.sources import source


def test_hichert_2018_twenty_percent_of_the_users_maximum() -> None:
    share, users = source("fatigue_free_share").si, source("user_maximum_force")
    for name, force in (("weakest", users.si_low), ("strongest", users.si_high)):
        printed = source(f"fatigue_free_force_{name}")
        assert share * force == pytest.approx(printed.si, abs=printed.digit / 2)


@pytest.mark.parametrize(("suffix", "share"), [("", "fatigue_free_share"), ("_18", "fatigue_share_critical")])
def test_hichert_2018_maximum_that_a_device_needs(suffix: str, share: str) -> None:
    devices = source("device_operating_force")
    for name, force in (("easiest", devices.si_low), ("hardest", devices.si_high)):
        printed = source(f"maximum_needed_{name}_device{suffix}")
        assert force / source(share).si == pytest.approx(printed.si, abs=printed.digit / 2)


def test_hichert_2018_share_with_discomfort() -> None:
    """The abstract gives the share with one significant digit."""
    assert source("users_with_discomfort").si / 23 == pytest.approx(0.40, abs=0.05)


def test_hichert_2018_more_than_half_are_too_weak() -> None:
    assert source("users_too_weak").si / 23 > 0.5
