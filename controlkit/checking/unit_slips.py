"""The right size with a wrong unit: which units students mix up, and what to say of it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from controlkit.checking.feedback import Feedback
from controlkit.units import factor

_MIXED_UP: dict[str, tuple[str, ...]] = {
    "length": ("mm", "cm", "m", "in"),
    "force": ("N", "lbf", "kgf"),
    "angle": ("deg", "rad"),
    "moment": ("N m", "N mm", "N cm", "lbf in"),
    "line load": ("N/mm", "N/cm", "N/m", "lbf/in"),
    "pressure": ("kPa", "MPa", "N/cm2", "psi"),
    "ratio": ("", "%"),
    "time": ("min", "h"),
}

UNIT_WORDS = {
    "mm": "millimetres",
    "cm": "centimetres",
    "m": "metres",
    "in": "inches",
    "N": "newtons",
    "lbf": "pounds-force",
    "kgf": "kilograms-force",
    "deg": "degrees",
    "rad": "radians",
    "N m": "newton metres",
    "N mm": "newton millimetres",
    "N cm": "newton centimetres",
    "lbf in": "pound-inches",
    "min": "minutes",
    "h": "hours",
    "N/mm": "newtons per millimetre",
    "N/cm": "newtons per centimetre",
    "N/m": "newtons per metre",
    "lbf/in": "pounds-force per inch",
    "kPa": "kilopascals",
    "MPa": "megapascals",
    "N/cm2": "newtons per square centimetre",
    "psi": "pounds per square inch",
    "": "a plain share",
    "%": "per cent",
}
"""What to call each unit in a sentence."""


@cache
def sizes(kind: str) -> dict[str, float]:
    """The units between which students slip, with their size.

    Parameters
    ----------
    kind : str
        Kind of quantity

    Returns
    -------
    dict of str to float
        Unit to its size in SI units

    Examples
    --------
    >>> sizes("length")["cm"]
    0.01
    """
    return {unit: factor(unit, kind) if unit else 1.0 for unit in _MIXED_UP.get(kind, ())}


@dataclass(frozen=True)
class UnitSlip:
    """One way in which the right size can stand with a wrong unit.

    Parameters
    ----------
    unit : str
        The other unit
    factor : float
        What it makes of the right answer [-]
    number_right : bool
        True if the number is right and the unit written behind it is not, False if the number is one in the
        other unit
    """

    unit: str
    factor: float
    number_right: bool


def unit_slips(kind: str, unit: str) -> list[UnitSlip]:
    """Every way in which the right size can stand with a wrong unit.

    Parameters
    ----------
    kind : str
        Kind of quantity
    unit : str
        The unit that is asked for

    Returns
    -------
    list of UnitSlip
        Two for each other unit

    Examples
    --------
    >>> unit_slips("angle", "rad")[0].unit
    'deg'
    """
    own = sizes(kind)
    found = []
    for other, size in own.items():
        if other != unit:
            found.append(UnitSlip(other, own[unit] / size, number_right=False))
            found.append(UnitSlip(other, size / own[unit], number_right=True))
    return found


def wrong_unit(what: str, asked: str, slip: UnitSlip) -> Feedback:
    """What to say of the right size with a wrong unit.

    Parameters
    ----------
    what : str
        Name of the item
    asked : str
        The unit that was asked for
    slip : UnitSlip
        What was mixed up

    Returns
    -------
    Feedback
        Both units by name, and no number
    """
    wrote, meant = (slip.unit, asked) if slip.number_right else (asked, slip.unit)
    said = (
        f"{what}: the size is right, the unit is not. Your number looks like one in "
        f"{UNIT_WORDS[meant]}, and it was read as {UNIT_WORDS[wrote]}."
    )
    return Feedback(f"unit:{slip.unit}", "unit", said, f"right size: {meant} given as {wrote}")
