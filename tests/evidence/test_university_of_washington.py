"""Spaulding S. Upper Limb Prosthetics and Orthotics: Techniques. Open textbook, University of Washington.

It prints inches beside centimetres where a ring and a slip are meant, and else one unit. The sourced value keeps the
first; the second, printed there or worked out by hand, is written here. They must agree within the second's digits.
"""

from __future__ import annotations

import pytest

from controlkit.sources import source
from controlkit.units import read


@pytest.mark.parametrize(
    ("name", "low", "high", "unit", "kind"),
    [
        ("vo_hook_force", 44, 89, "N", "force"),
        ("vc_hook_force", 40, 156, "N", "force"),
        ("vo_hook_travel", 38, 51, "mm", "length"),
        ("vc_hook_travel", 38, 51, "mm", "length"),
    ],
)
def test_textbook_chapter_5_ranges_in_both_units(name: str, low: float, high: float, unit: str, kind: str) -> None:
    printed, half = source(name), read(0.5, kind, unit=unit)
    assert printed.si_low == pytest.approx(read(low, kind, unit=unit), abs=half)
    assert printed.si_high == pytest.approx(read(high, kind, unit=unit), abs=half)


@pytest.mark.parametrize(
    ("name", "other", "half", "kind"),
    [
        ("checkout_axial_load", "222 N", "0.5 N", "force"),
        ("checkout_rotation_force", "13 N", "0.5 N", "force"),
        ("checkout_slip", "2.5 cm", "0.05 cm", "length"),
        ("ring_below_c7", "2.5 cm", "0.05 cm", "length"),
        ("ring_to_sound_side", "2.5 cm", "0.05 cm", "length"),
        ("strap_width_main", "25 mm", "0.5 mm", "length"),
        ("strap_width_inverted_y", "13 mm", "0.5 mm", "length"),
        ("lateral_suspensor_forward", "13 mm", "0.5 mm", "length"),
    ],
)
def test_textbook_single_figures_in_both_units(name: str, other: str, half: str, kind: str) -> None:
    assert source(name).si == pytest.approx(read(other, kind), abs=read(half, kind))
