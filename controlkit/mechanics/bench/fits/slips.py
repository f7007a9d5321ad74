"""Slips at the bench that would make readings of friction what they are."""

from __future__ import annotations

import math

import numpy as np

from controlkit.mechanics.bench.fits.line import StraightLine
from controlkit.mechanics.states import State
from controlkit.units import lbf

POUND = math.log(lbf(1.0))
"""What one force in pounds-force beside one in newtons adds to the logarithm of their ratio [-]."""


def explains(loss: float, expected: float, near: float) -> str:
    """A slip that makes a reading of friction what it is."""
    if abs(-loss - expected) <= near:
        return "the two forces swapped, or read on the other stroke"
    if min(abs(loss - expected - log) for log in (POUND, -POUND)) <= near:
        return "one force in pounds-force, the other in newtons"
    return ""


def misses_origin(line: StraightLine) -> list[State]:
    """Whether the readings leave a loss where there is no bend.

    Parameters
    ----------
    line : StraightLine
        The line through the origin

    Returns
    -------
    list of State
        One state, or none
    """
    if line.x.size < 4 or np.ptp(line.x) < 1e-9:
        return []
    free = StraightLine(line.x, line.y, line.weight, origin=False)
    if abs(free.start) <= free.margin(0.99, of_start=True) + 1e-6:
        return []
    mixed = min(abs(abs(free.start) - POUND) / free.margin(0.99, of_start=True), 9.0) < 1.0
    return [State.of("origin-missed-by-units" if mixed else "origin-missed", ratio=math.exp(free.start))]
