"""Friction tables: sliding and at rest, for each pair of cable and lining that figures were found for.

A general physics text, OpenStax College Physics table 5.1 (second-hand), the Handbook of Surface Improvement
and Modification table 11.1, and general tribology tables from memory. They differ up to fourfold for one pair.
"""

from __future__ import annotations

import pytest

from controlkit.mechanics.cable import LININGS, ControlCable, lining

PRINTED = {  # lowest and highest of all tables: sliding, at rest; how far to trust them
    "steel in steel, dry": ((0.23, 0.57), (0.31, 0.74), ("seen", "seen-second-hand")),
    "steel in steel, oiled": ((0.03, 0.06), (0.05, 0.15), ("memory", "seen-second-hand")),
    "steel in PTFE": ((0.04, 0.16), (0.04, 0.18), ("seen", "seen-second-hand")),
    "steel in UHMWPE": ((0.10, 0.20), (0.10, 0.20), ("memory",)),
}


@pytest.mark.parametrize("name", LININGS)
def test_ranges_are_those_of_the_tables(name: str) -> None:
    sliding, resting, flags = PRINTED[name]
    pair = lining(name)
    assert pair.kinetic == pytest.approx(sliding)
    assert pair.static == pytest.approx(resting)
    assert pair.flags == flags, "the range says how its ends were come by"
    assert all(value.citation for value in pair.published)


def test_every_table_says_that_rest_holds_at_least_as_well_as_sliding() -> None:
    for name in LININGS:
        assert all(at_rest >= on for on, at_rest in zip(lining(name).kinetic, lining(name).static, strict=True))


def test_the_default_friction_lies_among_the_published_ones() -> None:
    low = min(lining(name).kinetic[0] for name in LININGS)
    high = max(lining(name).kinetic[1] for name in LININGS)
    assert low < ControlCable().friction < high
    oiled, lined = lining("steel in steel, oiled").kinetic, lining("steel in PTFE").kinetic
    assert oiled[1] < ControlCable().friction < lined[1], "above oiled steel, inside the range of PTFE"
