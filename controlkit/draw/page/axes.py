"""Axes with round numbers, below zero too, and axes of an angle."""

from __future__ import annotations

import math

import numpy as np

from controlkit.draw.page.scene import Axis, Points

__all__ = ["angle_axis", "axis", "held_axis", "nice_ticks", "scaled"]


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


def held_axis(
    label: str, span: tuple[float, float] | None, *values: Points | float, least: float = 0.0, upward: bool = False
) -> Axis:
    """Choose an axis that stays as it is while what it holds changes, as long as that lies within its span.

    Parameters
    ----------
    label : str
        Quantity and unit.
    span : tuple of float, optional
        Where the axis shall end, below and above, in the unit of the label; none to let the values decide [-].
    *values : numpy.ndarray or float
        What must fit, in the unit of the label [-], any shape (N,) or one number.
    least : float
        As for `axis`, where there is no span [-].
    upward : bool
        The same.

    Returns
    -------
    Axis
        The axis with its numbers; where a value lies beyond the span, it ends at the next number beyond that.

    Examples
    --------
    >>> held_axis("path [mm]", (-10.0, 150.0), 80.0).low
    -10.0
    >>> held_axis("path [mm]", (-10.0, 150.0), 80.0, -30.0).low
    -50.0
    """
    if span is None:
        return axis(label, *values, least=least, upward=upward)
    usual = axis(label, *span, upward=True)
    step = usual.ticks[1] - usual.ticks[0]
    every = np.hstack([np.ravel(value) for value in (*values, 0.0)])
    low, high = span
    if every.min() < low:
        low = step * math.floor(float(every.min()) / step)
    if every.max() > high:
        high = step * math.ceil(float(every.max()) / step)
    ticks = np.arange(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1) * step
    return Axis(label, low, high, tuple(float(tick) for tick in ticks), digits=usual.digits)


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


def scaled(span: tuple[float, float] | None, scale: float) -> tuple[float, float] | None:
    """Bring the ends of an axis into its unit.

    Parameters
    ----------
    span : tuple of float, optional
        Both ends [SI].
    scale : float
        How many of the axis's units one SI unit makes [-].

    Returns
    -------
    tuple of float or None
        The ends in the unit of the axis [-]; None where there are none.

    Examples
    --------
    >>> scaled((0.0, 0.15), 1000.0)
    (0.0, 150.0)
    """
    return None if span is None else (span[0] * scale, span[1] * scale)
