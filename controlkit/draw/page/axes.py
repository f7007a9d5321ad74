"""Axes with round numbers, below zero too, and axes of an angle."""

from __future__ import annotations

import math

import numpy as np

from controlkit.draw.page.scene import Axis, Points

__all__ = ["angle_axis", "axis", "nice_ticks"]


def nice_ticks(high: float, count: int = 5) -> tuple[float, tuple[float, ...]]:
    """Choose round numbers from 0 up to at least a value.

    Parameters
    ----------
    high : float
        The value that must fit [-].
    count : int
        About how many steps are wanted [-].

    Returns
    -------
    tuple
        The end of the axis and the round numbers [-].

    Examples
    --------
    >>> nice_ticks(137.0)
    (150.0, (0.0, 50.0, 100.0, 150.0))
    """
    if not np.isfinite(high) or high <= 0.0:
        high = 1.0
    rough = high / count
    power = 10.0 ** np.floor(np.log10(rough))
    step = float(next(s for s in (1.0, 2.0, 5.0, 10.0) if s * power >= rough - 1e-12) * power)
    steps = int(np.ceil(high / step - 1e-9))
    return steps * step, tuple(step * i for i in range(steps + 1))


def axis(label: str, *values: Points | float, least: float = 0.0, upward: bool = False) -> Axis:
    """Choose an axis that holds all values and zero.

    Parameters
    ----------
    label : str
        Quantity and unit.
    *values : numpy.ndarray or float
        What must fit, in the unit of the label [-], any shape (N,) or one number.
    least : float
        The axis never ends below this, so that small changes stay small [-].
    upward : bool
        Whether what lies above zero alone decides the steps, so that a dip below it leaves them as they are.

    Returns
    -------
    Axis
        The axis with its numbers.

    Examples
    --------
    >>> axis("path [mm]", -30.0, 80.0).ticks
    (-50.0, 0.0, 50.0, 100.0)
    """
    flat = [float(v) for value in values for v in (value if not isinstance(value, float | int) else (value,))]
    lowest, highest = min(0.0, *flat, 0.0), max(least, *flat)
    _, ticks = nice_ticks(highest if upward else highest - lowest)
    step = ticks[1]
    first, last = math.floor(lowest / step + 1e-9), max(math.ceil(highest / step - 1e-9), 1)
    digits = max(0, -math.floor(math.log10(step) + 1e-9))
    return Axis(label, first * step, last * step, tuple(step * i for i in range(first, last + 1)), digits=digits)


def angle_axis(label: str, low: float, high: float, step: float = 30.0) -> Axis:
    """Choose an axis that ends where an angle does, with numbers at whole steps.

    Parameters
    ----------
    label : str
        Quantity and unit.
    low, high : float
        Its ends [deg].
    step : float
        From number to number [deg].

    Returns
    -------
    Axis
        The axis with its numbers.

    Examples
    --------
    >>> angle_axis("elbow flexion [°]", 0.0, 135.0).ticks
    (0.0, 30.0, 60.0, 90.0, 120.0)
    """
    first = math.ceil(low / step - 1e-9) * step
    return Axis(label, low, high, tuple(float(tick) for tick in np.arange(first, high + 1e-6, step)))
