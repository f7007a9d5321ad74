"""Meriam JL, Kraige LG, Bolton JN. Engineering Mechanics: Statics, 9th ed., problem 6/86.

50 kg lowered by 70 N over a boulder, wrap pi: exp(mu pi) = 7.007 and mu pi = 1.947, as worked on a
solutions site (the book itself was not seen). g = 9.81.
"""

from __future__ import annotations

import math

import pytest

from controlkit.mechanics.cable import tension_ratio
from controlkit.sources import source


def test_meriam_problem_6_86_the_printed_exponent_holds_the_load() -> None:
    exponent, ratio = source("belt_example_5_exponent"), source("belt_example_5_ratio")
    assert exponent.value is not None
    assert ratio.value is not None
    mu = exponent.value / math.pi
    larger_over_smaller = 1.0 / tension_ratio(friction=mu, bend=math.pi)
    slack = ratio.digit / 2 + ratio.value * exponent.digit / 2  # the exponent is printed rounded too
    assert larger_over_smaller == pytest.approx(ratio.value, abs=slack)


def test_meriam_problem_6_86_seventy_newton_lower_fifty_kilogram() -> None:
    exponent = source("belt_example_5_exponent")
    assert exponent.value is not None
    held = 50.0 * 9.81 * tension_ratio(friction=exponent.value / math.pi, bend=math.pi)
    assert held == pytest.approx(70.0, abs=70.0 * exponent.digit / 2)
