"""One moving finger about one pivot: what both principles share."""

from __future__ import annotations

import numpy as np

from controlkit.mechanics.inputs import number
from controlkit.units import InputError, show

_LIMITS = {"finger": (0.04, 0.2), "lever": (0.015, 0.1)}
_WIDEST = (0.35, 1.75)  # [rad]


def check(finger: float, lever: float, widest: float) -> None:
    """Refuse a finger that no device has.

    Parameters
    ----------
    finger : float
        Pivot to fingertip [m]
    lever : float
        Pivot to cable [m]
    widest : float
        Angle between shut and fully open [rad]

    Raises
    ------
    InputError
        If one is outside its range
    """
    for name, value in (("finger", finger), ("lever", lever)):
        low, high = _LIMITS[name]
        if not low <= number(f"The device's {name}", value, "mm(45)") <= high:
            raise InputError(
                given=f"The device's {name} was given as {show(value, 'length')}.",
                do=f"Give between {show(low, 'length')} and {show(high, 'length')}.",
            )
    low, high = _WIDEST
    if not low <= number("The widest angle of the finger", widest, "deg(55)") <= high:
        raise InputError(
            given=f"A widest angle of {np.rad2deg(widest):.4g} degrees was given.",
            do=f"Give between {np.rad2deg(low):.0f} and {np.rad2deg(high):.0f} degrees; write deg(55) for 55 degrees.",
        )


def not_negative(what: str, value: float, example: str) -> float:
    """Take one number that cannot be below zero.

    Parameters
    ----------
    what : str
        What was asked for, beginning a sentence
    value : float
        What was given [unit]
    example : str
        How to write such a value

    Returns
    -------
    float
        The number [unit]

    Raises
    ------
    InputError
        If it is below zero
    """
    given = number(what, value, example)
    if given < -1e-6:
        raise InputError(
            given=f"{what} was given as {given:g}.",
            do="It is never negative; give 0 or more.",
        )
    return max(given, 0.0)


def apart(finger: float, angle: float) -> float:
    """Distance of the fingertips [m] at an angle of the moving finger from shut [rad]."""
    return float(2.0 * finger * np.sin(0.5 * angle))


def spread(finger: float, width: float, widest: float) -> float | None:
    """Angle from shut at which the fingertips are so far apart [rad]; None if they never are."""
    angle = float(2.0 * np.arcsin(min(width / (2.0 * finger), 1.0)))
    return min(angle, widest) if width <= apart(finger, widest) * (1.0 + 1e-9) else None
