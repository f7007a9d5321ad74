"""Checkout above the elbow: bench, wearer and acceptance tests of a transhumeral prosthesis with dual control."""

from controlkit.mechanics.bench.dual.acceptance import checkout_above
from controlkit.mechanics.bench.dual.table import DualBench
from controlkit.mechanics.bench.dual.worn import FittedDual, WornDual, symptoms_above

__all__ = ["DualBench", "FittedDual", "WornDual", "checkout_above", "symptoms_above"]
