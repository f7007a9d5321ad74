"""Writing a quantity for a person, in either unit system or both."""

from __future__ import annotations

import math
import numbers
from typing import Literal

from controlkit.units._errors import InputError
from controlkit.units._table import factor, kind_named

System = Literal["both", "metric", "inch-pound"]


def show(value: float, kind: str, system: System = "both", digits: int | None = None) -> str:
    """Write a quantity with its unit.

    Parameters
    ----------
    value : float
        The quantity in SI; an angle in radians [SI]
    kind : str
        What it is: length, force, angle, mass, pressure, line load, ratio, moment or time
    system : {"both", "metric", "inch-pound"}
        Which units to write
    digits : int, optional
        Decimals of the metric figure. The inch-pound figure gets more or fewer by as much as its
        unit is larger or smaller. Without it each kind has its usual decimals

    Returns
    -------
    str
        Such as ``101.6 mm (4.00 in)``

    Raises
    ------
    InputError
        If the value is not a number, or the kind or system is not known

    Examples
    --------
    >>> show(0.1016, "length")
    '101.6 mm (4.00 in)'
    >>> show(53.38, "force", "inch-pound")
    '12.0 lbf'
    >>> show(1.0472, "angle", digits=0)
    '60°'
    """
    quantity = kind_named(kind)
    if system not in ("both", "metric", "inch-pound"):
        raise InputError(
            given=f"“{system}” is not a unit system known here.",
            do="Use both, metric or inch-pound.",
        )
    given: object = value
    if type(given).__name__ in ("bool", "bool_") or not isinstance(given, numbers.Real):
        raise InputError(
            given=f"Only a number can be shown as {quantity.phrase}.",
            do=f"Give one number in {quantity.si}.",
        )
    if digits is not None and (type(digits) is not int or not 0 <= digits <= 12):
        raise InputError(
            given=f"The number of decimals was given as {digits!r}.",
            do="Give a whole number from 0 to 12.",
        )
    if not math.isfinite(value):
        return "no value"
    metric = _figure(float(value), kind, quantity.metric, digits)
    shift = quantity.inch_pound[1] - quantity.metric[1]
    inch_pound = _figure(float(value), kind, quantity.inch_pound, digits, shift=shift)
    if system == "metric" or quantity.metric == quantity.inch_pound:
        return metric
    return inch_pound if system == "inch-pound" else f"{metric} ({inch_pound})"


def _figure(value: float, kind: str, unit: tuple[str, int], digits: int | None, *, shift: int = 0) -> str:
    symbol, usual = unit
    decimals = usual if digits is None else max(0, digits + shift)
    number = f"{value / factor(symbol, kind):.{decimals}f}"
    if float(number) == 0.0:
        number = number.lstrip("-")
    return number + (symbol if symbol in ("", "°") else " " + symbol)
