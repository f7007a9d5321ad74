"""Many wearers at once, and what excursion depends on."""

from controlkit.mechanics.study.drivers import MEASURES, Drivers, drivers, measure
from controlkit.mechanics.study.population import Population, population

__all__ = [
    "MEASURES",
    "Drivers",
    "Population",
    "drivers",
    "measure",
    "population",
]
