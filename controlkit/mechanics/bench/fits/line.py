"""A straight line through weighted readings: its slope, its margin, and what does not belong."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

Array = NDArray[np.float64]

FINEST = 1e-6
"""Spread below which readings count as exact, so that rounding is not taken for noise [SI]."""

FALSE_ALARM = 0.05
"""How often one of a set of good readings may be pointed out [-]."""


class StraightLine:
    r"""Weighted least squares for ``y = start + slope x``, or through the origin.

    .. math:: \min \sum_i w_i\,(y_i - a - b\,x_i)^2

    Parameters
    ----------
    x, y : ndarray
        Readings [SI], shape (readings,)
    weight : ndarray
        How much each counts [-], shape (readings,)
    origin : bool
        Whether the line goes through the origin

    Attributes
    ----------
    slope, start : float
        Of the line; the start is 0 through the origin [unit]
    freedom : int
        Readings less coefficients [-]

    Notes
    -----
    Leverage, studentised residuals and slopes without a reading follow from one fit (R. D. Cook and S. Weisberg,
    Residuals and Influence in Regression, 1982): time grows with the number of readings.
    """

    def __init__(self, x: Array, y: Array, weight: Array, *, origin: bool) -> None:
        self.x, self.y, self.weight, self.origin = x, y, weight, origin
        columns = [x] if origin else [np.ones_like(x), x]
        root = np.sqrt(weight)
        rows = np.stack(columns, axis=1) * root[:, None]
        self._inverse = np.linalg.pinv(rows.T @ rows)
        coefficients = self._inverse @ (rows.T @ (y * root))
        self.slope = float(coefficients[-1])
        self.start = 0.0 if origin else float(coefficients[0])
        self.freedom = x.size - len(columns)
        self._residual = y * root - rows @ coefficients
        self._pull = rows @ self._inverse  # what each weighted reading does to the coefficients
        self._room = 1.0 - np.sum(self._pull * rows, axis=1)  # one less leverage

    @cached_property
    def spread(self) -> float:
        """Standard deviation of a reading of weight 1 [SI]."""
        return max(float(np.sqrt(self._residual @ self._residual / self.freedom)), FINEST)

    def margin(self, level: float, *, of_start: bool = False) -> float:
        """Half the t interval of the slope, or of the start.

        Parameters
        ----------
        level : float
            Confidence of the interval [-]
        of_start : bool
            Of the start in place of the slope

        Returns
        -------
        float
            Half the interval [unit]
        """
        at = 0 if of_start else -1
        return float(stdtrit(self.freedom, 0.5 + level / 2.0) * self.spread * np.sqrt(self._inverse[at, at]))

    @cached_property
    def studentised(self) -> Array:
        """Each residual over its own spread, estimated without that reading; 0 where it can't be told.

        Returns
        -------
        ndarray
            Externally studentised residuals [-], shape (readings,)
        """
        if self.freedom < 2:
            return np.zeros_like(self.x)
        room = np.maximum(self._room, 1e-9)
        rest = self._residual @ self._residual - self._residual**2 / room
        spread = np.maximum(np.sqrt(np.maximum(rest, 0.0) / (self.freedom - 1)), FINEST)
        return np.where(self._room > 1e-9, self._residual / (spread * np.sqrt(room)), 0.0)

    @cached_property
    def leave_one_out(self) -> Array:
        """The slope without each reading in turn; not a number where the rest has none.

        Returns
        -------
        ndarray
            Slopes [unit], shape (readings,)
        """
        room = np.where(self._room > 1e-9, self._room, np.nan)
        return np.asarray(self.slope - self._pull[:, -1] * self._residual / room)

    def strangeness(self, x: float, y: float, weight: float) -> float:
        """How far another reading lies from this line, over what such a reading may be off.

        Parameters
        ----------
        x, y : float
            The reading [SI]
        weight : float
            How much it counts [-]

        Returns
        -------
        float
            Distance over its spread [-]
        """
        row = np.array([x] if self.origin else [1.0, x])
        spread = self.spread * np.sqrt(1.0 / weight + row @ self._inverse @ row)
        return float((y - self.start - self.slope * x) / spread)

    def only(self, kept: NDArray[np.intp]) -> StraightLine:
        """The line through some of the readings.

        Parameters
        ----------
        kept : ndarray of int
            Places of the readings that stay, shape (kept,)

        Returns
        -------
        StraightLine
            Fitted anew
        """
        return StraightLine(self.x[kept], self.y[kept], self.weight[kept], origin=self.origin)


def far_off(line: StraightLine) -> tuple[int, ...]:
    """Places of the readings that do not belong to the line, for up to a quarter of them.

    Parameters
    ----------
    line : StraightLine
        The line through all of them

    Returns
    -------
    tuple of int
        Places, from 0

    Notes
    -----
    The worst is taken away, the rest fitted anew, and so on; of those taken away all count up to
    the last that stood out by a Bonferroni limit, so that two do not hide each other: the
    generalised extreme studentised deviate (B. Rosner, Technometrics 25, 1983, 165-172). A fit for each
    reading taken away: time grows with the square of the readings.
    """
    kept = np.arange(line.x.size)
    removed: list[int] = []
    counted = 0
    steps = line.x.size // 4
    for _ in range(steps):
        rest = line.only(kept)
        if rest.freedom < 2:
            break
        worst = int(np.argmax(np.abs(rest.studentised)))
        limit = stdtrit(rest.freedom - 1, 1.0 - FALSE_ALARM / (2 * kept.size * steps))
        removed.append(int(kept[worst]))
        if abs(rest.studentised[worst]) > limit:
            counted = len(removed)
        kept = np.delete(kept, worst)
    return tuple(sorted(removed[:counted]))
