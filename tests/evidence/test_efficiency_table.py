"""Table of efficiencies exp(-mu bend), worked out for this course with four decimals.

Not a published table: an independent computation, printed before the package existed, with its
inverse values and the hysteresis of a return stroke.
"""

from __future__ import annotations

import math

import pytest

from controlkit.mechanics.cable import tension_ratio
from controlkit.sources import source
from controlkit.units import deg

ROWS = {
    "efficiency_friction_0_04": 0.04,
    "efficiency_friction_0_06": 0.06,
    "efficiency_friction_0_10": 0.10,
    "efficiency_friction_0_15": 0.15,
    "efficiency_friction_0_20": 0.20,
    "efficiency_friction_0_30": 0.30,
}


@pytest.mark.parametrize(("name", "mu"), ROWS.items())
def test_efficiency_table_row(name: str, mu: float) -> None:
    row = source(name)
    assert len(row.series) == len(row.at) == 6
    for bend, printed in zip(row.at, row.series, strict=True):
        assert tension_ratio(friction=mu, bend=deg(bend)) == pytest.approx(printed, abs=row.digit / 2)


@pytest.mark.parametrize(
    ("name", "efficiency"),
    [
        ("friction_for_efficiency_80", 0.80),
        ("friction_for_efficiency_70", 0.70),
        ("friction_for_efficiency_50", 0.50),
    ],
)
def test_friction_that_leaves_an_efficiency_over_180_degrees(name: str, efficiency: float) -> None:
    printed = source(name)
    assert printed.value is not None
    lower = tension_ratio(friction=printed.value + printed.digit / 2, bend=math.pi)
    upper = tension_ratio(friction=printed.value - printed.digit / 2, bend=math.pi)
    assert lower <= efficiency <= upper


def test_hysteresis_at_an_efficiency_of_80_percent() -> None:
    printed = source("hysteresis_at_efficiency_80")
    mu = source("friction_for_efficiency_80").value
    assert printed.value is not None
    assert mu is not None
    there_and_back = tension_ratio(friction=mu, bend=math.pi) ** 2
    assert there_and_back == pytest.approx(printed.value, abs=printed.digit / 2)
