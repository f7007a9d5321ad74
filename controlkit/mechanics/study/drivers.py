"""Which body measures excursion depends on, over a population: a small table that the course quotes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.wearer import measure_names
from controlkit.mechanics.study.population import Population
from controlkit.units import InputError

Array = NDArray[np.float64]

MEASURES = (
    "stature",
    "acromion_radiale_length",
    "biceps_circumference_flexed",
    "chest_circumference",
    "c7_above_acromion",
)
"""Measures that a fitter can take. The last is how much the shoulders slope: C7 height less acromion height."""


@dataclass(frozen=True, kw_only=True)
class Drivers:
    """What generated excursion depends on, over one population.

    Attributes
    ----------
    sex : str
        "female" or "male"
    measures : tuple of str
        Body measures
    coefficient : ndarray
        Change of excursion with each measure, the others held, both in standard deviations [-], shape (measures,)
    alone : ndarray
        Share of excursion's variance that goes with each measure by itself [-], shape (measures,)
    together : float
        Share that goes with all of them in one linear sum [-]
    mean, sd : float
        Excursion over the population [m]
    wearers : int
        Wearers counted [-]
    unanswered : int
        Wearers left out because no answer was found [-]
    """

    sex: str
    measures: tuple[str, ...]
    coefficient: Array
    alone: Array
    together: float
    mean: float
    sd: float
    wearers: int
    unanswered: int


def measure(population: Population, name: str) -> Array:
    """One body measure of everybody.

    Parameters
    ----------
    population : Population
        The population
    name : str
        A measurement of the survey, or "c7_above_acromion"

    Returns
    -------
    ndarray
        The measure [m, kg], shape (wearers,)

    Raises
    ------
    InputError
        If there is no such measure

    Examples
    --------
    >>> from controlkit.mechanics.study.population import population
    >>> some = population("male", 2, seed=1, processes=1)
    >>> measure(some, "stature").shape
    (2,)
    """
    if name == "c7_above_acromion":
        return measure(population, "cervicale_height") - measure(population, "acromial_height")
    if name not in measure_names():
        raise InputError(
            given=f'"{name}" is not a measure of a population.',
            do="Use c7_above_acromion or one of the survey.",
        )
    return np.asarray(population.measures[:, measure_names().index(name)])


def drivers(population: Population, measures: tuple[str, ...] = MEASURES) -> Drivers:
    r"""Which body measures generated excursion at the last angle depends on.

    .. math:: \frac{e - \bar e}{s_e} \approx \sum_k \beta_k \frac{m_k - \bar m_k}{s_k}

    Parameters
    ----------
    population : Population
        Wearers of one sex
    measures : tuple of str
        Body measures

    Returns
    -------
    Drivers
        Coefficients and shares

    Raises
    ------
    InputError
        If there are not ten wearers to a measure

    Notes
    -----
    Least squares. Measures go together (a broad chest has a thick arm), so shares alone do not add up, and a
    coefficient says what is left for a measure once the others are known. One placement of ring and crossbar for
    everybody; moving the average man's ring from 60 to 100 mm below C7 gives 11 mm, about one standard
    deviation between bodies.

    Examples
    --------
    >>> from controlkit.mechanics.study.population import population
    >>> few = drivers(population("male", 60, seed=1, processes=1))
    >>> few.measures[-1], bool(few.coefficient[-1] < 0)
    ('c7_above_acromion', True)
    """
    rows = population.settled
    count = int(np.count_nonzero(rows))
    if count < 10 * len(measures):
        raise InputError(
            given=f"{count} wearers were given for {len(measures)} measures.",
            do=f"Give {10 * len(measures)} wearers or more, or fewer measures.",
        )
    bodies = np.stack([measure(population, name)[rows] for name in measures])
    excursion = population.generated[rows, -1]
    scaled = (bodies - bodies.mean(axis=1, keepdims=True)) / bodies.std(axis=1, keepdims=True)
    target = (excursion - excursion.mean()) / excursion.std()
    single = scaled @ target / count
    coefficient = np.linalg.solve(scaled @ scaled.T / count, single)
    return Drivers(
        sex=population.sex,
        measures=measures,
        coefficient=coefficient,
        alone=single**2,
        together=float(coefficient @ single),
        mean=float(excursion.mean()),
        sd=float(excursion.std(ddof=1)),
        wearers=count,
        unanswered=int(np.count_nonzero(population.done & ~rows)),
    )
