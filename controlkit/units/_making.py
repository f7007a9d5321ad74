"""Makers: from the unit in which a person thinks to SI."""

from __future__ import annotations

import math
import numbers
from typing import TYPE_CHECKING, TypeVar

from controlkit.units._errors import InputError
from controlkit.units._table import DEGREE, GRAVITY, INCH, LBF, POUND

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Amount = TypeVar("Amount", float, NDArray[np.float64])
else:
    Amount = TypeVar("Amount")


def deg(value: Amount) -> Amount:
    """Make an angle from degrees.

    Parameters
    ----------
    value : float or ndarray of any shape
        Angle [deg]

    Returns
    -------
    float or ndarray of the same shape
        Angle [rad]

    Examples
    --------
    >>> round(deg(60), 6)
    1.047198
    """
    return _made(value, DEGREE, "deg(60)")


def mm(value: Amount) -> Amount:
    """Make a length from millimetres.

    Parameters
    ----------
    value : float or ndarray of any shape
        Length [mm]

    Returns
    -------
    float or ndarray of the same shape
        Length [m]

    Examples
    --------
    >>> mm(25)
    0.025
    """
    return _made(value, 1e-3, "mm(25)")


def cm(value: Amount) -> Amount:
    """Make a length from centimetres.

    Parameters
    ----------
    value : float or ndarray of any shape
        Length [cm]

    Returns
    -------
    float or ndarray of the same shape
        Length [m]

    Examples
    --------
    >>> cm(2.5)
    0.025
    """
    return _made(value, 1e-2, "cm(2.5)")


def inch(value: Amount) -> Amount:
    """Make a length from inches.

    Parameters
    ----------
    value : float or ndarray of any shape
        Length [in]

    Returns
    -------
    float or ndarray of the same shape
        Length [m]

    Examples
    --------
    >>> inch(1)
    0.0254
    """
    return _made(value, INCH, "inch(1)")


def newton(value: Amount) -> Amount:
    """Make a force from newtons.

    Parameters
    ----------
    value : float or ndarray of any shape
        Force [N]

    Returns
    -------
    float or ndarray of the same shape
        Force [N]

    Examples
    --------
    >>> newton(50)
    50.0
    """
    return _made(value, 1.0, "newton(50)")


def lbf(value: Amount) -> Amount:
    """Make a force from pounds-force.

    Parameters
    ----------
    value : float or ndarray of any shape
        Force [lbf]

    Returns
    -------
    float or ndarray of the same shape
        Force [N]

    Examples
    --------
    >>> round(lbf(12), 3)
    53.379
    """
    return _made(value, LBF, "lbf(12)")


def kgf(value: Amount) -> Amount:
    """Make a force from kilograms-force.

    Parameters
    ----------
    value : float or ndarray of any shape
        Force [kgf]

    Returns
    -------
    float or ndarray of the same shape
        Force [N]

    Examples
    --------
    >>> round(kgf(5), 3)
    49.033
    """
    return _made(value, GRAVITY, "kgf(5)")


def kg(value: Amount) -> Amount:
    """Make a mass from kilograms.

    Parameters
    ----------
    value : float or ndarray of any shape
        Mass [kg]

    Returns
    -------
    float or ndarray of the same shape
        Mass [kg]

    Examples
    --------
    >>> kg(70)
    70.0
    """
    return _made(value, 1.0, "kg(70)")


def pound(value: Amount) -> Amount:
    """Make a mass from pounds.

    Parameters
    ----------
    value : float or ndarray of any shape
        Mass [lb]

    Returns
    -------
    float or ndarray of the same shape
        Mass [kg]

    Examples
    --------
    >>> round(pound(150), 3)
    68.039
    """
    return _made(value, POUND, "pound(150)")


def _made(value: Amount, factor: float, example: str) -> Amount:
    """Return the value times the factor, once it is known to be a number or an array of them."""
    name = example.partition("(")[0]
    if isinstance(value, numbers.Real) and type(value).__name__ not in ("bool", "bool_"):
        number = float(value)
        if not math.isfinite(number):
            raise InputError(
                given=f"{name}() was given {value}, which is not a size that can be measured.",
                do=f"Give an ordinary number, such as {example}.",
            )
        return number * factor
    kind = getattr(getattr(value, "dtype", None), "kind", "")
    if kind and kind in "iuf":
        return value * factor
    raise InputError(
        given=f"{name}() takes one number, or an array of numbers, without quotation marks or unit.",
        do=f"Write, for example, {example}.",
    )
