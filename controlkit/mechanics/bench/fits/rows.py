"""Rows of readings, checked one by one: an error names the reading."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from controlkit.mechanics.inputs import number
from controlkit.units import InputError

Array = NDArray[np.float64]

FEWEST = 3
"""Readings below which no interval is worth stating [-]."""

MOST_BEND = 8.0 * np.pi
"""Four turns, more than any housing makes [rad]."""


def series(what: str, values: ArrayLike) -> Array:
    """Readings as one row of finite numbers.

    Parameters
    ----------
    what : str
        What was read
    values : array_like
        The readings [unit], shape (readings,)

    Returns
    -------
    ndarray
        The readings [unit], shape (readings,)

    Raises
    ------
    InputError
        If they are no row of numbers, or one is missing
    """
    try:
        row = np.atleast_1d(np.asarray(values, dtype=float))
    except (TypeError, ValueError):
        raise InputError(
            given=f"The {what} was given as {values!r:.60}.",
            do="Give a row of numbers, one a reading.",
        ) from None
    if row.ndim != 1:
        raise InputError(
            given=f"The {what} came as a table of {row.shape}.",
            do="Give one row of numbers, one a reading.",
        )
    for k in np.flatnonzero(~np.isfinite(row)):
        raise InputError(
            given=f"Reading {k + 1}: the {what} is missing or not finite.",
            do="Leave the reading out or fill it in.",
        )
    return row


def sizes(what: str, values: ArrayLike, *, zero: bool = False) -> Array:
    """Readings that cannot be negative, nor zero unless that is allowed."""
    row = series(what, values)
    for k in np.flatnonzero(row < 0.0 if zero else row <= 0.0):
        least = "0 or more" if zero else "more than 0"
        raise InputError(
            given=f"Reading {k + 1}: the {what} is {row[k]:g}.",
            do=f"Give its size, {least}, or leave the reading out.",
        )
    return row


def bends(values: ArrayLike) -> Array:
    """Bends in radians; a number that only makes sense in degrees is refused."""
    row = sizes("bend", values, zero=True)
    for k in np.flatnonzero(row > MOST_BEND):
        raise InputError(
            given=f"Reading {k + 1}: a bend of {row[k]:g} radians is many turns.",
            do=f"For degrees write deg({row[k]:g}).",
        )
    return row


def paired(*rows: Array, fewest: int = FEWEST) -> None:
    """Refuse columns of different length, or too few readings."""
    if len({row.size for row in rows}) > 1:
        raise InputError(
            given=f"The columns have {', '.join(str(row.size) for row in rows)} readings.",
            do="Give as many in each.",
        )
    if rows[0].size < fewest:
        raise InputError(
            given=f"{rows[0].size} readings were given.",
            do=f"Give at least {fewest}; six or more are better.",
        )


def strokes(back: bool | Sequence[bool] | NDArray[np.bool_], like: Array) -> NDArray[np.bool_]:
    """For each reading whether the cable was let back."""
    given = np.atleast_1d(np.asarray(back))
    if given.dtype != bool or given.shape not in ((1,), like.shape):
        raise InputError(
            given=f"Strokes were given as {back!r:.60}.",
            do=f"Say True or False, once or for each of the {like.size} readings: was the cable let back?",
        )
    return np.broadcast_to(given, like.shape)


def uncertain(what: str, value: float) -> None:
    """Refuse what an instrument may be off unless it is above zero."""
    if number(f"What the {what} may be off", value, "2.0") <= 0.0:
        raise InputError(
            given=f"What the {what} may be off was given as {value:g}.",
            do="Give a size above 0.",
        )


def confidence(level: float) -> None:
    """Refuse a confidence that is none."""
    if not 0.5 <= number("The confidence", level, "0.95") < 1.0:
        raise InputError(
            given=f"A confidence of {level:g} was given.",
            do="Give at least 0.5 and below 1, usually 0.95.",
        )
