"""Checkout: a virtual bench, and the acceptance tests that a fitter makes on it."""

from controlkit.mechanics.bench.acceptance import checkout
from controlkit.mechanics.bench.instruments import Bench, InstrumentReading
from controlkit.mechanics.bench.record import Checkout, CheckoutRow
from controlkit.mechanics.bench.taken import INSTRUMENTS, Repeated, share
from controlkit.mechanics.bench.worn import WornBench, symptoms

__all__ = [
    "INSTRUMENTS",
    "Bench",
    "Checkout",
    "CheckoutRow",
    "InstrumentReading",
    "Repeated",
    "WornBench",
    "checkout",
    "share",
    "symptoms",
]
