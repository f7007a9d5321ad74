"""Checkout: a virtual bench, and the acceptance tests that a fitter makes on it."""

from controlkit.mechanics.bench.acceptance import checkout
from controlkit.mechanics.bench.instruments import Bench, Reading
from controlkit.mechanics.bench.record import Checkout, Row
from controlkit.mechanics.bench.worn import Worn, symptoms

__all__ = ["Bench", "Checkout", "Reading", "Row", "Worn", "checkout", "symptoms"]
