"""Harness patterns, the net of their straps, and how skin holds them."""

from .laws import Straps
from .pattern import CHEST_LIMITS, LIMITS, PATTERNS, Harness, chest_strap, figure_of_eight, figure_of_nine
from .skin import Skin

__all__ = [
    "CHEST_LIMITS",
    "LIMITS",
    "PATTERNS",
    "Harness",
    "Skin",
    "Straps",
    "chest_strap",
    "figure_of_eight",
    "figure_of_nine",
]
