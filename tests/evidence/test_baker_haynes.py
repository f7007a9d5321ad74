"""Baker DW, Haynes W. Engineering Statics: Open and Interactive, chapter 9, flexible belts.

Worked example: 100 lb held by a rope with 4.5 turns round a post, friction 0.23; answer 0.15 lb.
"""

from __future__ import annotations

import math

import pytest

from controlkit.mechanics.cable import tension_ratio
from controlkit.sources import source


def test_baker_haynes_chapter_9_rope_with_four_and_a_half_turns() -> None:
    printed = source("belt_example_post")
    assert printed.value is not None
    held = 100.0 * tension_ratio(friction=0.23, bend=4.5 * 2 * math.pi)
    assert held == pytest.approx(printed.value, abs=printed.digit / 2)


def test_baker_haynes_chapter_9_angles_add() -> None:
    """The exponential law of the source: two bends act as one with the summed angle."""
    two = tension_ratio(friction=0.23, bend=1.1) * tension_ratio(friction=0.23, bend=0.4)
    assert two == pytest.approx(tension_ratio(friction=0.23, bend=1.5), rel=1e-12)
