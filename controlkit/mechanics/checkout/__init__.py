"""Checkout: a virtual bench, and the acceptance tests that a fitter makes on it."""

from .acceptance import checkout
from .bench import Bench, Reading
from .record import Checkout, Row
from .worn import Worn, symptoms

__all__ = ["Bench", "Checkout", "Reading", "Row", "Worn", "checkout", "symptoms"]
