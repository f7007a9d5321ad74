"""The statistics of a body survey: means, spreads and correlations of 24 measures."""

from __future__ import annotations

import functools
import json
import tomllib
from dataclasses import dataclass
from importlib import resources
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

from controlkit.units import InputError


@dataclass(frozen=True)
class Survey:
    """Statistics of the body measures of one sex.

    Parameters
    ----------
    sex : str
        "female" or "male"
    n : int
        Number of people measured
    order : tuple of str
        Names of the 24 measures, in the order of all arrays
    mean : ndarray, shape (24,)
        Means; lengths in metres, the last, mass, in kilograms [m, kg]
    sd : ndarray, shape (24,)
        Standard deviations [m, kg]
    p05, p95 : ndarray, shape (24,)
        Percentiles 5 and 95, counted [m, kg]
    correlation : ndarray, shape (24, 24)
        Correlations between the measures [-]
    citation : str
        Bibliographic record
    note : str
        Who was measured
    """

    sex: str
    n: int
    order: tuple[str, ...]
    mean: NDArray[np.float64]
    sd: NDArray[np.float64]
    p05: NDArray[np.float64]
    p95: NDArray[np.float64]
    correlation: NDArray[np.float64]
    citation: str
    note: str

    def index(self, measure: str) -> int:
        """Return the place of a measure in the arrays.

        Parameters
        ----------
        measure : str
            One of the names in `order`

        Returns
        -------
        int
            Its place, counted from 0

        Raises
        ------
        InputError
            If the survey has no such measure
        """
        if measure not in self.order:
            raise InputError(
                given=f"The survey has no measure called “{measure}”.",
                allowed=f"It has: {', '.join(self.order)}.",
            )
        return self.order.index(measure)

    def percentile(self, measure: str, percentile: float) -> float:
        r"""Return one percentile of a measure: counted where it was counted, else on a curve through what was.

        .. math:: x(z) = m + b\,z + c\,(z^2 - 1)

        Parameters
        ----------
        measure : str
            One of the names in `order`
        percentile : float
            Between 0.1 and 99.9 [-]

        Returns
        -------
        float
            The measure at that percentile [m, kg]

        Raises
        ------
        InputError
            If the survey has no such measure, or the percentile is not between 0.1 and 99.9

        Notes
        -----
        z is the normal deviate of the percentile, m the mean. Two percentiles were counted, 5 and 95; they give b
        and c, so the curve meets both and keeps the mean. It is a curve of a skewed measure: most are, mass and
        girths above all, so the 50th percentile lies a little below the mean. Between 5 and 95 this interpolates.
        Outside it extrapolates, and is worth less the further out.

        Examples
        --------
        >>> women = survey("female")
        >>> round(women.percentile("stature", 5), 4), round(women.percentile("mass", 50), 1)
        (1.525, 66.9)
        """
        at = self.index(measure)
        if not 0.1 <= percentile <= 99.9:
            raise InputError(
                given=f"A percentile of {percentile:g} was given.",
                do="Give one between 0.1 and 99.9.",
            )
        z, counted = (NormalDist().inv_cdf(share / 100.0) for share in (percentile, 95.0))
        low, mean, high = float(self.p05[at]), float(self.mean[at]), float(self.p95[at])
        slope = (high - low) / (2.0 * counted)
        skew = ((low + high) / 2.0 - mean) / (counted**2 - 1.0)
        return mean + slope * z + skew * (z**2 - 1.0)


@functools.cache
def _file() -> dict[str, Any]:
    root = resources.files("controlkit.sources")
    data: dict[str, Any] = json.loads((root / "survey.json").read_text(encoding="utf-8"))
    citations = tomllib.loads((root / "citations.toml").read_text(encoding="utf-8"))
    data["citation"] = citations[data["citation"]]
    return data


@functools.cache
def _survey(sex: str) -> Survey:
    data = _file()

    def array(name: str) -> NDArray[np.float64]:
        values = np.array(data[sex][name], dtype=np.float64)
        values.setflags(write=False)
        return values

    return Survey(
        sex=sex,
        n=int(data[sex]["n"]),
        order=tuple(data["order"]),
        mean=array("mean"),
        sd=array("sd"),
        p05=array("p05"),
        p95=array("p95"),
        correlation=array("correlation"),
        citation=data["citation"],
        note=data["note"],
    )


def survey(sex: str) -> Survey:
    """Return the survey statistics of one sex.

    Parameters
    ----------
    sex : {"female", "male"}
        Which half of the survey

    Returns
    -------
    Survey
        Means, spreads and correlations; read-only

    Raises
    ------
    InputError
        If the sex is neither of the two that the survey knows

    Notes
    -----
    Gordon and others, 2012 survey of the US Army: 4,082 men and 1,986 women, military adults,
    mostly 17 to 58 years old and fit. Not a clinical population: older, weaker and heavier
    wearers are not in it.

    Examples
    --------
    >>> women = survey("female")
    >>> round(float(women.mean[women.index("stature")]), 4)
    1.6285
    """
    if sex not in ("female", "male"):
        raise InputError(
            given=f"The body survey knows “female” and “male”, not “{sex}”.",
            do="Choose the nearer of the two.",
        )
    return _survey(sex)
