"""Readings as they are taken: each with its scatter, repeated ones with a mean and a doubt."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from controlkit.mechanics.bench.instruments import END, GONIOMETER, SCALE, TAPE
from controlkit.mechanics.inputs import number
from controlkit.units import InputError, mm, newton

FINE_SCALE, FINE_TAPE, FINE_GONIOMETER = newton(0.5), mm(0.5), float(np.deg2rad(2.0))
"""How far finer instruments may be off: a smaller scale [N], a calliper [m], a goniometer with long arms [rad].
Assumptions."""
_GRAIN = {"force": newton(0.5), "length": mm(1.0), "angle": float(np.deg2rad(1.0))}
_FINE_GRAIN = {"force": newton(0.1), "length": mm(0.1), "angle": float(np.deg2rad(1.0))}


@dataclass(frozen=True, kw_only=True)
class Instrument:
    """What a quantity is read with.

    Parameters
    ----------
    name : str
        What it is called
    kind : str
        Kind of quantity: "force", "length" or "angle"
    error : float
        How far one reading may be off: twice its standard deviation [SI]
    grain : float
        Smallest step in which it is read [SI]
    end : float
        Where its scale ends [SI]

    Examples
    --------
    >>> INSTRUMENTS["force"].name, INSTRUMENTS["force"].end
    ('spring scale', 300.0)
    """

    name: str
    kind: str
    error: float
    grain: float
    end: float

    def read(self, value: float, draw: np.random.Generator) -> float | None:
        """Take one reading.

        Parameters
        ----------
        value : float
            What there is to be read [SI]
        draw : numpy.random.Generator
            Where the scatter comes from

        Returns
        -------
        float or None
            The reading in whole grains; never below nought where there is none below; nothing beyond the end of the
            scale [SI]

        Notes
        -----
        Scatter is normal, and each reading's is its own: an assumption. What is off in every reading alike, such as
        a scale that does not show nought, no repetition takes away; it is not in here.

        Examples
        --------
        >>> INSTRUMENTS["length"].read(0.0251, np.random.default_rng(1))
        0.025
        """
        seen = value + 0.5 * self.error * float(draw.standard_normal())
        if max(seen, value) >= self.end - 1e-12:
            return None
        grains = round(seen / self.grain)
        return round((max(grains, 0) if value >= 0.0 else grains) * self.grain, 9)


INSTRUMENTS = {
    "force": Instrument(name="spring scale", kind="force", error=SCALE, grain=_GRAIN["force"], end=END),
    "length": Instrument(name="tape", kind="length", error=TAPE, grain=_GRAIN["length"], end=2.0),
    "angle": Instrument(name="goniometer", kind="angle", error=GONIOMETER, grain=_GRAIN["angle"], end=math.pi),
}
"""The usual ones, by kind of quantity."""
FINE_INSTRUMENTS = {
    "force": Instrument(
        name="small spring scale", kind="force", error=FINE_SCALE, grain=_FINE_GRAIN["force"], end=newton(50.0)
    ),
    "length": Instrument(name="calliper", kind="length", error=FINE_TAPE, grain=_FINE_GRAIN["length"], end=mm(150.0)),
    "angle": Instrument(
        name="long goniometer", kind="angle", error=FINE_GONIOMETER, grain=_FINE_GRAIN["angle"], end=math.pi
    ),
}
"""Finer ones, which end sooner. Where they end is an assumption."""


@dataclass(frozen=True)
class Repeated:
    """One quantity, read once or more often.

    Parameters
    ----------
    readings : tuple of float
        What was read [SI]
    errors : tuple of float
        How far each may be off: twice a standard deviation [SI]

    Raises
    ------
    InputError
        If there is no reading, or not as many errors, or one is not above nought

    Notes
    -----
    Readings count by the inverse of their squared errors. The doubt comes from what the instruments may be off, not
    from the spread of a few readings, which tells little: two that agree by chance are not certain.

    Examples
    --------
    >>> four = Repeated((36.0, 35.0, 37.5, 35.5), (2.0, 2.0, 2.0, 2.0))
    >>> four.mean, four.doubt, round(four.spread, 2)
    (36.0, 1.0, 1.08)
    """

    readings: tuple[float, ...]
    errors: tuple[float, ...]

    def __post_init__(self) -> None:
        if not self.readings or len(self.readings) != len(self.errors):
            raise InputError(
                given=f"{len(self.readings)} readings with {len(self.errors)} errors were given.",
                do="Give at least one reading, and an error for each.",
            )
        for reading, error in zip(self.readings, self.errors, strict=True):
            number("A reading", reading, "36.0")
            if number("Its error", error, "2.0") <= 0.0:
                raise InputError(given=f"An error of {error:g} was given.", do="Give more than nought.")

    @property
    def count(self) -> int:
        """How often it was read [-]."""
        return len(self.readings)

    @property
    def _weights(self) -> tuple[float, ...]:
        return tuple(1.0 / error**2 for error in self.errors)

    @property
    def mean(self) -> float:
        """Weighted mean [SI]."""
        pairs = zip(self._weights, self.readings, strict=True)
        return sum(weight * reading for weight, reading in pairs) / sum(self._weights)

    @property
    def doubt(self) -> float:
        """How far the mean may be off: twice its standard deviation [SI]."""
        return 1.0 / math.sqrt(sum(self._weights))

    @property
    def spread(self) -> float:
        """Standard deviation of the readings themselves; nought for one [SI]."""
        return float(np.std(self.readings, ddof=1)) if self.count > 1 else 0.0


def share(part: Repeated, whole: Repeated) -> tuple[float, float]:
    """One quantity as a share of another, such as the efficiency of a cable from two scales.

    Parameters
    ----------
    part, whole : Repeated
        Both, as they were read

    Returns
    -------
    tuple of float
        The share, and how far it may be off: twice its standard deviation [-]

    Raises
    ------
    InputError
        If either mean is not above nought

    Examples
    --------
    >>> device, hanger = Repeated((28.0,), (2.0,)), Repeated((35.0,), (2.0,))
    >>> [round(v, 3) for v in share(device, hanger)]
    [0.8, 0.073]
    """
    if part.mean <= 0.0 or whole.mean <= 0.0:
        raise InputError(given="A share was asked of a reading of nought.", do="Read both until something moves.")
    found = part.mean / whole.mean
    return found, found * math.hypot(part.doubt / part.mean, whole.doubt / whole.mean)


def clear_of(found: Repeated, limit: float) -> bool:
    """Whether a mean lies further from a limit than it may be off.

    Parameters
    ----------
    found : Repeated
        What was read
    limit : float
        The limit [SI]

    Returns
    -------
    bool
        Whether the outcome is sure

    Examples
    --------
    >>> clear_of(Repeated((36.0,), (2.0,)), 35.0), clear_of(Repeated((36.0,) * 9, (2.0,) * 9), 35.0)
    (False, True)
    """
    return abs(found.mean - limit) > found.doubt


def all_of(taken: Sequence[tuple[float, float]]) -> Repeated:
    """Put readings of one quantity together, each with its error [SI]."""
    return Repeated(tuple(value for value, _ in taken), tuple(error for _, error in taken))
