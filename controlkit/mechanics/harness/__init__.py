"""Harness patterns, the net of their straps, and how skin holds them."""

from controlkit.mechanics.harness.laws import Straps
from controlkit.mechanics.harness.pattern import (
    CHEST_LIMITS,
    LIMITS,
    PATTERNS,
    Harness,
    Placement,
    chest_strap,
    figure_of_eight,
    figure_of_nine,
)
from controlkit.mechanics.harness.skin import Skin

__all__ = [
    "CHEST_LIMITS",
    "LIMITS",
    "PATTERNS",
    "Harness",
    "Placement",
    "Skin",
    "Straps",
    "chest_strap",
    "figure_of_eight",
    "figure_of_nine",
]
