"""Harness patterns, each in a file of its own."""

from controlkit.mechanics.harness.pattern import Pattern
from controlkit.mechanics.harness.patterns.above_elbow import AboveElbow, above_elbow_eight
from controlkit.mechanics.harness.patterns.above_elbow_chest import above_elbow_chest_strap
from controlkit.mechanics.harness.patterns.chest import CHEST_LIMITS, ChestStrap, chest_strap
from controlkit.mechanics.harness.patterns.eight import FigureOfEight, figure_of_eight
from controlkit.mechanics.harness.patterns.nine import FigureOfNine, figure_of_nine
from controlkit.mechanics.harness.patterns.pair import BilateralPair, bilateral_pair

PATTERNS: tuple[Pattern, ...] = (FigureOfEight(), FigureOfNine(), ChestStrap())
"""Patterns below the elbow, each as it usually is."""

__all__ = [
    "CHEST_LIMITS",
    "PATTERNS",
    "AboveElbow",
    "BilateralPair",
    "ChestStrap",
    "FigureOfEight",
    "FigureOfNine",
    "above_elbow_chest_strap",
    "above_elbow_eight",
    "bilateral_pair",
    "chest_strap",
    "figure_of_eight",
    "figure_of_nine",
]
