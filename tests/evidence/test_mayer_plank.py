"""Mayer B. Tutorial ENGR36, working problem P8.133 of Hibbeler RC, Statics, 13th ed.

A 10 ft, 50 lb plank, a rope from its end over a peg (wrap 90 degrees) to a 100 lb block that
stands on the plank, friction 0.4 at peg and block. Printed: d = 4.634 ft, from
d = (L/2)/Wb (Wp + 2 mu Wb exp(-mu pi/2)). The book itself was not seen.
"""

from __future__ import annotations

import math

import pytest

from controlkit.mechanics.cable import tension_ratio
from controlkit.sources import source


def test_mayer_p8_133_where_the_block_slips() -> None:
    printed = source("belt_example_plank")
    assert printed.value is not None
    plank, block, length, mu = 50.0, 100.0, 10.0, 0.4
    rope = mu * block * tension_ratio(friction=mu, bend=math.pi / 2)
    reach = (length / 2) / block * (plank + 2 * rope)
    assert reach == pytest.approx(printed.value, abs=printed.digit / 2)
