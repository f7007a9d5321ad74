"""Kinds of quantity, the units a person may write, and what they are in SI."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from controlkit.units._errors import InputError

INCH = 0.0254
POUND = 0.45359237
GRAVITY = 9.80665
LBF = POUND * GRAVITY
DEGREE = math.pi / 180.0


@dataclass(frozen=True)
class Unit:
    """One unit that a person may write.

    Parameters
    ----------
    symbol : str
        How it is printed
    name : str
        Its name in words, with its article
    factor : float
        Its size in the SI unit of its kind [-]
    spellings : tuple of str
        Other ways to write it
    """

    symbol: str
    name: str
    factor: float
    spellings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Kind:
    """One kind of quantity with its units.

    Parameters
    ----------
    name : str
        The kind, as it is asked for
    phrase : str
        The kind in a sentence, with its article
    si : str
        Symbol of its SI unit
    units : tuple of Unit
        What may be written, the usual ones first
    metric, inch_pound : tuple of (str, int)
        Symbol and number of decimals with which a value is shown
    """

    name: str
    phrase: str
    si: str
    units: tuple[Unit, ...]
    metric: tuple[str, int]
    inch_pound: tuple[str, int]

    @property
    def choices(self) -> str:
        """The allowed symbols as a phrase, such as 'mm, cm or in'."""
        symbols = [unit.symbol for unit in self.units]
        if len(symbols) == 1:
            return symbols[0]
        return ", ".join(symbols[:-1]) + " or " + symbols[-1]

    def find(self, text: str, *, exact: bool = True) -> Unit | None:
        """Return the unit written as `text`, or nothing.

        Parameters
        ----------
        text : str
            Unit as written
        exact : bool
            Whether capital and small letters must agree

        Returns
        -------
        Unit or None
            The unit, if it is one of this kind
        """
        wanted = tidy(text) if exact else tidy(text).casefold()
        for unit in self.units:
            for spelling in (unit.symbol, *unit.spellings):
                known = tidy(spelling) if exact else tidy(spelling).casefold()
                if known == wanted:
                    return unit
        return None


@lru_cache(maxsize=512)
def tidy(text: str) -> str:
    """Bring different ways of writing one unit to one form.

    Parameters
    ----------
    text : str
        Unit as written

    Returns
    -------
    str
        The same with one blank between factors, ``/`` for "per", ``2`` for a square

    Examples
    --------
    >>> tidy("N·m"), tidy("lbf / in^2"), tidy("newton per metre")
    ('N m', 'lbf/in2', 'newton/metre')
    """
    text = re.sub(r"\bper\b(?!\s*cent)", "/", text)
    text = re.sub(r"[\s·⋅*×-]+", " ", text.replace("^", "").replace("²", "2"))
    return re.sub(r"\s*/\s*", "/", text).strip()


def _kinds() -> dict[str, Kind]:
    length = Kind(
        "length",
        "a length",
        "m",
        (
            Unit("mm", "a millimetre", 1e-3, ("millimetre", "millimetres", "millimeter", "millimeters")),
            Unit("cm", "a centimetre", 1e-2, ("centimetre", "centimetres", "centimeter", "centimeters")),
            Unit("m", "a metre", 1.0, ("metre", "metres", "meter", "meters")),
            Unit("in", "an inch", INCH, ("inch", "inches", '"', "''", "in.")),
            Unit("ft", "a foot", 12 * INCH, ("foot", "feet", "'", "ft.")),
        ),
        metric=("mm", 1),
        inch_pound=("in", 2),
    )
    force = Kind(
        "force",
        "a force",
        "N",
        (
            Unit("N", "a newton", 1.0, ("newton", "newtons")),
            Unit("kN", "a kilonewton", 1e3, ("kilonewton", "kilonewtons")),
            Unit(
                "lbf",
                "a pound-force",
                LBF,
                (
                    "lb",
                    "lbs",
                    "lb.",
                    "lbs.",
                    "pound",
                    "pounds",
                    "pound-force",
                    "pounds-force",
                    "pounds force",
                    "lb force",
                    "lbs force",
                ),
            ),
            Unit(
                "kgf", "a kilogram-force", GRAVITY, ("kilogram-force", "kilograms-force", "kp", "kilopond", "kiloponds")
            ),
        ),
        metric=("N", 1),
        inch_pound=("lbf", 1),
    )
    angle = Kind(
        "angle",
        "an angle",
        "rad",
        (
            Unit("deg", "a degree", DEGREE, ("°", "º", "degree", "degrees", "degs")),
            Unit("rad", "a radian", 1.0, ("radian", "radians", "rads")),
            Unit("turn", "a full turn", 2 * math.pi, ("turns",)),
        ),
        metric=("°", 1),
        inch_pound=("°", 1),
    )
    mass = Kind(
        "mass",
        "a mass",
        "kg",
        (
            Unit(
                "kg", "a kilogram", 1.0, ("kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes")
            ),
            Unit("g", "a gram", 1e-3, ("gram", "grams", "gramme", "grammes")),
            Unit("lb", "a pound", POUND, ("lbs", "lb.", "lbs.", "pound", "pounds", "lbm", "pound-mass", "pounds-mass")),
            Unit("oz", "an ounce", POUND / 16, ("ounce", "ounces")),
        ),
        metric=("kg", 1),
        inch_pound=("lb", 1),
    )
    pressure = Kind(
        "pressure",
        "a pressure",
        "Pa",
        (
            Unit("kPa", "a kilopascal", 1e3, ("kilopascal", "kilopascals")),
            Unit("Pa", "a pascal", 1.0, ("pascal", "pascals", "N/m2")),
            Unit("MPa", "a megapascal", 1e6, ("megapascal", "megapascals", "N/mm2")),
            Unit("N/cm2", "a newton per square centimetre", 1e4, ("N/cm^2",)),
            Unit("mmHg", "a millimetre of mercury", 133.322387415, ("mm Hg", "torr")),
            Unit(
                "psi", "a pound per square inch", LBF / INCH**2, ("lbf/in2", "lb/in2", "lbs/in2", "lb per square inch")
            ),
        ),
        metric=("kPa", 1),
        inch_pound=("psi", 2),
    )
    line_load = Kind(
        "line load",
        "a line load (force per length)",
        "N/m",
        (
            Unit("N/mm", "a newton per millimetre", 1e3, ("newton/millimetre",)),
            Unit("N/cm", "a newton per centimetre", 1e2, ("newton/centimetre",)),
            Unit("N/m", "a newton per metre", 1.0, ("newton/metre", "newtons/metre", "newton/meter", "newtons/meter")),
            Unit(
                "lbf/in",
                "a pound-force per inch",
                LBF / INCH,
                ("lb/in", "lbs/in", "pound/inch", "pounds/inch", "lbf/inch"),
            ),
        ),
        metric=("N/mm", 2),
        inch_pound=("lbf/in", 1),
    )
    ratio = Kind(
        "ratio",
        "a ratio",
        "-",
        (
            Unit("no unit", "a plain number", 1.0, ("", "1")),
            Unit("%", "percent", 1e-2, ("percent", "per cent", "pct")),
        ),
        metric=("", 3),
        inch_pound=("", 3),
    )
    moment = Kind(
        "moment",
        "a moment (force times lever arm)",
        "N m",
        (
            Unit(
                "N m", "a newton metre", 1.0, ("Nm", "newton metre", "newton metres", "newton meter", "newton meters")
            ),
            Unit("N cm", "a newton centimetre", 1e-2, ("Ncm",)),
            Unit("N mm", "a newton millimetre", 1e-3, ("Nmm",)),
            Unit(
                "lbf in",
                "a pound-force inch",
                LBF * INCH,
                ("in lbf", "lb in", "in lb", "in lbs", "inch pound", "inch pounds"),
            ),
            Unit(
                "lbf ft",
                "a pound-force foot",
                LBF * 12 * INCH,
                ("ft lbf", "lb ft", "ft lb", "ft lbs", "foot pound", "foot pounds"),
            ),
        ),
        metric=("N m", 2),
        inch_pound=("lbf in", 1),
    )
    time = Kind(
        "time",
        "a time",
        "s",
        (
            Unit("min", "a minute", 60.0, ("minute", "minutes", "mins", "min.")),
            Unit("h", "an hour", 3600.0, ("hour", "hours", "hr", "hrs")),
            Unit("s", "a second", 1.0, ("second", "seconds", "sec", "secs")),
        ),
        metric=("min", 1),
        inch_pound=("min", 1),
    )
    kinds = (length, force, angle, mass, pressure, line_load, ratio, moment, time)
    return {kind.name: kind for kind in kinds}


KINDS: Mapping[str, Kind] = MappingProxyType(_kinds())


def kind_named(name: str) -> Kind:
    """Return the kind of quantity with this name.

    Parameters
    ----------
    name : str
        One of length, force, angle, mass, pressure, line load, ratio, moment, time

    Returns
    -------
    Kind
        The kind with its units

    Raises
    ------
    InputError
        If there is no such kind
    """
    try:
        return KINDS[name]
    except (KeyError, TypeError):
        raise InputError(
            given=f"“{name}” is not a kind of quantity known here.",
            do=f"Use one of: {', '.join(KINDS)}.",
        ) from None


def units_of(kind: str) -> tuple[str, ...]:
    """Return the units that a person may write for a kind of quantity.

    Parameters
    ----------
    kind : str
        Kind of quantity

    Returns
    -------
    tuple of str
        Their symbols, the usual ones first; empty for a plain number

    Raises
    ------
    InputError
        If there is no such kind

    Examples
    --------
    >>> units_of("time")
    ('min', 'h', 's')
    >>> units_of("ratio")
    ('', '%')
    """
    return tuple("" if unit.symbol == "no unit" else unit.symbol for unit in kind_named(kind).units)


def factor(unit: str, kind: str) -> float:
    """Return the size of a unit in the SI unit of its kind.

    Parameters
    ----------
    unit : str
        Symbol or name
    kind : str
        Kind of quantity

    Returns
    -------
    float
        Size in SI [-]

    Raises
    ------
    InputError
        If the unit does not belong to the kind

    Examples
    --------
    >>> factor("in", "length")
    0.0254
    """
    quantity = kind_named(kind)
    found = quantity.find(unit)
    if found is None:
        raise InputError(
            given=f"“{unit}” is not a unit for {quantity.phrase}.",
            do=f"Use {quantity.choices}.",
        )
    return found.factor
