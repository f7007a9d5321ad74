"""What friction in a housing leaves of a pull."""

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
