"""Braman JP et al. J Shoulder Elbow Surg 2009;18:960-967, doi 10.1016/j.jse.2009.02.001; girdle arithmetic.

The abstract prints the rhythm both as a ratio (2.3 raising, 2.7 lowering) and as scapular rotation
for each degree of glenohumeral elevation (0.43 and 0.37): one must be the inverse of the other.
"""

from __future__ import annotations

import math

import pytest

from controlkit.sources import source
from controlkit.units import deg, mm


@pytest.mark.parametrize("way", ["raising", "lowering"])
def test_braman_2009_ratio_and_its_inverse(way: str) -> None:
    ratio, inverse = source(f"rhythm_{way}"), source(f"scapula_per_degree_{way}")
    assert ratio.value is not None
    assert inverse.value is not None
    least = 1 / (ratio.value + ratio.digit / 2) - inverse.digit / 2
    most = 1 / (ratio.value - ratio.digit / 2) + inverse.digit / 2
    assert least <= inverse.value <= most


def test_clavicle_of_150_mm_swept_by_30_degrees() -> None:
    printed = source("clavicle_chord_30_degrees")
    assert 2 * mm(150) * math.sin(deg(15)) == pytest.approx(printed.si, abs=printed.digit / 2 * printed.factor)


def test_bernat_clavicle_of_all_lies_between_women_and_men() -> None:
    women, everyone, men = (source(f"clavicle_length{who}").si for who in ("_women", "", "_men"))
    assert women < everyone < men
