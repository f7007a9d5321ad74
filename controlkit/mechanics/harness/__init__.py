"""Harness patterns, the net of their straps, and how skin holds them."""

from controlkit.mechanics.harness.cuff import RIGID, Cuff
from controlkit.mechanics.harness.laws import Straps
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.pattern import Harness, Pattern, Placement
from controlkit.mechanics.harness.patterns import (
    CHEST_LIMITS,
    PATTERNS,
    above_elbow_chest_strap,
    above_elbow_eight,
    bilateral_pair,
    chest_strap,
    figure_of_eight,
    figure_of_nine,
)
from controlkit.mechanics.harness.patterns.eight import LIMITS
from controlkit.mechanics.harness.pressure import line_load, radius_from, tension_from
from controlkit.mechanics.harness.skin import Skin

__all__ = [
    "CHEST_LIMITS",
    "LIMITS",
    "PATTERNS",
    "RIGID",
    "Cuff",
    "Followed",
    "Harness",
    "Pattern",
    "Placement",
    "Skin",
    "Straps",
    "above_elbow_chest_strap",
    "above_elbow_eight",
    "bilateral_pair",
    "chest_strap",
    "figure_of_eight",
    "figure_of_nine",
    "follow",
    "line_load",
    "radius_from",
    "tension_from",
]
