"""What friction in a housing leaves of a pull, asked any way round."""

from __future__ import annotations

import math

from controlkit.mechanics.inputs import number
from controlkit.units import InputError


def tension_ratio(friction: float, bend: float) -> float:
    r"""Tension out over tension in for a cable drawn round bends.

    .. math:: T_{out}/T_{in} = e^{-\mu\,\theta}

    Parameters
    ----------
    friction : float
        Sliding friction coefficient of cable in housing [-]
    bend : float
        Total bend, all bends added without sign [rad]

    Returns
    -------
    float
        Ratio, 1 for no friction or no bend [-]

    Raises
    ------
    InputError
        If friction or bend is negative

    Notes
    -----
    Flexible cable, sliding steadily, no bending stiffness; the radius of a bend plays no part.
    Source: Baker and Haynes, Engineering Statics: Open and Interactive, chapter 9.

    Examples
    --------
    >>> round(tension_ratio(0.15, 1.5707963), 4)
    0.7901
    """
    friction, bend = number("Friction", friction, "0.08"), number("The bend", bend, "deg(90)")
    if friction < 0.0 or bend < 0.0:
        raise InputError(
            given=f"Friction {friction:g} and a bend of {math.degrees(bend):.4g} degrees were given.",
            allowed="Neither can be negative: add up the sizes of all bends.",
        )
    return math.exp(-friction * bend)


def friction_from(ratio: float, bend: float) -> float:
    r"""Friction from what bends leave of a pull: `tension_ratio` asked for its friction.

    .. math:: \mu = -\ln(T_{out}/T_{in}) / \theta

    Parameters
    ----------
    ratio : float
        Tension out over tension in [-]
    bend : float
        Total bend, all bends added without sign [rad]

    Returns
    -------
    float
        Sliding friction coefficient [-]

    Raises
    ------
    InputError
        If the ratio is not above 0 and at most 1, or there is no bend

    Examples
    --------
    >>> round(friction_from(0.7901, 1.5707963), 3)
    0.15
    """
    return _loss(ratio) / _more_than_nothing("The bend", bend, "deg(90)")


def bend_from(ratio: float, friction: float) -> float:
    r"""Bend from what friction leaves of a pull: `tension_ratio` asked for its bend.

    .. math:: \theta = -\ln(T_{out}/T_{in}) / \mu

    Parameters
    ----------
    ratio : float
        Tension out over tension in [-]
    friction : float
        Sliding friction coefficient of cable in housing [-]

    Returns
    -------
    float
        Total bend [rad]

    Raises
    ------
    InputError
        If the ratio is not above 0 and at most 1, or there is no friction

    Examples
    --------
    >>> round(math.degrees(bend_from(0.7901, 0.15)))
    90
    """
    return _loss(ratio) / _more_than_nothing("Friction", friction, "0.08")


def _loss(ratio: float) -> float:
    if not 0.0 < number("The ratio of the tensions", ratio, "0.8") <= 1.0:
        raise InputError(
            given=f"A ratio of the tensions of {ratio:g} was given.",
            allowed="Above 0 and up to 1: friction leaves a part of the pull, and adds nothing.",
        )
    return -math.log(ratio)


def _more_than_nothing(what: str, value: float, example: str) -> float:
    if number(what, value, example) <= 0.0:
        raise InputError(
            given=f"{what} was given as {value:g}.",
            allowed="More than nothing: without it every pull comes through whole.",
            do=f"Write {example}, for example.",
        )
    return float(value)
