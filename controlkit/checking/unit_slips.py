"""The right size with a wrong unit: which units students mix up, and what to say of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from controlkit.checking.feedback import Feedback
from controlkit.units import factor, read_apart, units_of

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
"""Mixed up so often that no wrong idea of a case may look like it."""

UNIT_WORDS = {
    "mm": "millimetres",
    "cm": "centimetres",
    "m": "metres",
    "in": "inches",
    "ft": "feet",
    "N": "newtons",
    "kN": "kilonewtons",
    "lbf": "pounds-force",
    "kgf": "kilograms-force",
    "deg": "degrees",
    "rad": "radians",
    "turn": "full turns",
    "kg": "kilograms",
    "g": "grams",
    "lb": "pounds",
    "oz": "ounces",
    "N m": "newton metres",
    "N mm": "newton millimetres",
    "N cm": "newton centimetres",
    "lbf in": "pound-inches",
    "lbf ft": "pound-feet",
    "min": "minutes",
    "h": "hours",
    "s": "seconds",
    "N/mm": "newtons per millimetre",
    "N/cm": "newtons per centimetre",
    "N/m": "newtons per metre",
    "lbf/in": "pounds-force per inch",
    "kPa": "kilopascals",
    "Pa": "pascals",
    "MPa": "megapascals",
    "N/cm2": "newtons per square centimetre",
    "mmHg": "millimetres of mercury",
    "psi": "pounds per square inch",
    "": "a plain share",
    "%": "per cent",
}
"""What to call each unit in a sentence."""


@cache
def sizes(kind: str) -> dict[str, float]:
    """The units between which students slip, with their size: all that may be written.

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
    return {unit: factor(unit, kind) for unit in units_of(kind)}


@dataclass(frozen=True)
class UnitSlip:
    """One way in which the right size can stand with a wrong unit.

    Parameters
    ----------
    unit : str
        The other unit
    factor : float
        What it makes of the right answer [-]
    """

    unit: str
    factor: float


def unit_slips(kind: str, unit: str) -> list[UnitSlip]:
    """The ways in which the right size often stands with a wrong unit: a case tells them from wrong ideas.

    Parameters
    ----------
    kind : str
        Kind of quantity
    unit : str
        The unit that is asked for

    Returns
    -------
    list of UnitSlip
        Two for each other unit: the number in that unit, and the right number with that unit

    Examples
    --------
    >>> unit_slips("angle", "rad")[0].unit
    'deg'
    """
    own = sizes(kind)
    found = []
    for other in _MIXED_UP.get(kind, ()):
        size = own[other]
        if other != unit:
            found.append(UnitSlip(other, own[unit] / size))
            found.append(UnitSlip(other, size / own[unit]))
    return found


def slipped(what: str, answer: Any, kind: str, unit: str, *, fits: Callable[[float], bool]) -> Feedback | None:
    """What to say of the right size with a wrong unit, or nothing where the size is not right.

    The number as it was written is tried in each unit; where it fits none, a conversion may have been made the
    wrong way round.

    Parameters
    ----------
    what : str
        Name of the item
    answer : object
        The answer, made `plain`; it could be read
    kind : str
        Kind of quantity
    unit : str
        The unit that is asked for
    fits : callable
        Whether a value in that unit is the right one

    Returns
    -------
    Feedback or None
        The units by name, and no number

    Examples
    --------
    >>> near = lambda value: abs(value - 12) < 0.1
    >>> slipped("Pressure", "12 Pa", "pressure", "kPa", fits=near).justification
    'right size: kPa given as Pa'
    >>> slipped("Pressure", 12000, "pressure", "kPa", fits=near).justification
    'right size: Pa given as kPa'
    """
    own = sizes(kind)
    try:
        number, wrote, size = read_apart(answer, kind, unit=unit or None)
    except (ValueError, TypeError, ArithmeticError):
        return None
    for meant in (unit, *own):
        if own[meant] != size and fits(number * own[meant] / own[unit]):
            return _wrong_unit(what, unit, meant, wrote or unit)
    turned = (slip for slip in unit_slips(kind, unit) if fits(number * size / own[unit] / slip.factor))
    slip = next(turned, None)
    if slip is None:
        return None
    said = (
        f"{what}: the size is right, the unit is not. A step between {UNIT_WORDS[unit]} and {UNIT_WORDS[slip.unit]} "
        "looks as if it was made the wrong way round, or once too often."
    )
    return Feedback(f"unit:{slip.unit}", "unit", said, f"right size: between {unit} and {slip.unit} the wrong way")


def _wrong_unit(what: str, asked: str, meant: str, wrote: str) -> Feedback:
    """What to say of a number in one unit that was read in another."""
    called = UNIT_WORDS.get(wrote, f"“{wrote[:20]}”")
    said = (
        f"{what}: the size is right, the unit is not. Your number looks like one in {UNIT_WORDS[meant]}, "
        f"and it was read as {called}."
    )
    other = wrote if meant == asked else meant
    return Feedback(f"unit:{other}", "unit", said, f"right size: {meant} given as {wrote}")
