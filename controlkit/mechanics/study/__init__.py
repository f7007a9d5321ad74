"""Many wearers at once, and what excursion depends on."""

from controlkit.mechanics.study.drivers import MEASURES, Drivers, drivers, measure
from controlkit.mechanics.study.dual import DualPopulation, dual_population, tally
from controlkit.mechanics.study.population import Population, population

__all__ = [
    "MEASURES",
    "Drivers",
    "DualPopulation",
    "Population",
    "drivers",
    "dual_population",
    "measure",
    "population",
    "tally",
]
