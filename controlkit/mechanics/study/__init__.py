"""Many wearers at once, and what excursion depends on."""

from controlkit.mechanics.study.drivers import MEASURES, Drivers, drivers, measure
from controlkit.mechanics.study.dual import DualPopulation, dual_population, tally
from controlkit.mechanics.study.fitting import (
    Served,
    Trial,
    TriedOn,
    by_lot,
    candidates,
    interval,
    mean_strength,
    served,
    try_on,
)
from controlkit.mechanics.study.population import Population, population

__all__ = [
    "MEASURES",
    "Drivers",
    "DualPopulation",
    "Population",
    "Served",
    "Trial",
    "TriedOn",
    "by_lot",
    "candidates",
    "drivers",
    "dual_population",
    "interval",
    "mean_strength",
    "measure",
    "population",
    "served",
    "tally",
    "try_on",
]
