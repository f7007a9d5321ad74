"""Pickedshares, Engineering Mechanics, exercise 27 (worked solution on the site of that name).

100 kg lowered steadily over a wrap of 3 pi/2, friction 0.2, g = 9.81; answer 382.26 N.
"""

from __future__ import annotations

import math

import pytest

from controlkit.mechanics.cable import tension_ratio
from controlkit.sources import source


def test_pickedshares_exercise_27_lowering_100_kg() -> None:
    printed = source("belt_example_2")
    assert printed.value is not None
    held = 100.0 * 9.81 * tension_ratio(friction=0.2, bend=1.5 * math.pi)
    assert held == pytest.approx(printed.value, abs=printed.digit / 2)
