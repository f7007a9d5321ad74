"""What the hook demands beside the published table of an open textbook (University of Washington, chapter 5).

Voluntary-opening hooks: 44 to 89 N and 38 to 51 mm to operate. Nothing is tuned to the forces: a pound of
pinch a band (study cards) and the hook's levers give them.
"""

from __future__ import annotations

import pytest

from controlkit.mechanics import VoluntaryOpening
from controlkit.mechanics.device import KINDS
from controlkit.sources import source


def test_travel_lies_in_the_published_range() -> None:
    printed = source("vo_hook_travel")
    assert printed.si_low <= VoluntaryOpening().travel <= printed.si_high


@pytest.mark.parametrize(("bands", "inside"), [(1, False), (2, False), (4, True), (5, True), (6, True), (8, False)])
def test_force_to_open_fully_beside_the_published_range(bands: int, inside: bool) -> None:
    """Four to six bands ask what the table prints; fewer ask less, more ask more."""
    printed, hook = source("vo_hook_force"), VoluntaryOpening(bands=bands)
    assert (printed.si_low <= hook.force(hook.travel) <= printed.si_high) is inside


def test_pinch_of_a_band_is_the_pound_that_is_taught() -> None:
    assert VoluntaryOpening(bands=1).pinch() == pytest.approx(source("pinch_per_band").si, rel=0.01)


@pytest.mark.parametrize("name", KINDS)
def test_travel_of_every_kind_lies_in_the_published_range_of_its_principle(name: str) -> None:
    """Printed for hooks; that a hand travels as far is an assumption of the kinds."""
    printed = source("vo_hook_travel" if "opening" in name else "vc_hook_travel")
    assert printed.si_low <= KINDS[name]().travel <= printed.si_high
