"""The unit in which a chart draws a quantity."""

from __future__ import annotations

from controlkit.draw.words.pull import Units
from controlkit.units import factor

__all__ = ["drawn_in"]

_METRIC = {"length": "mm", "force": "N", "moment": "N m", "mass": "kg", "line load": "N/mm"}
_INCH_POUND = {"length": "in", "force": "lbf", "moment": "lbf in", "mass": "lb", "line load": "lbf/in"}
_EITHER = {"angle": "°", "ratio": "%"}


def drawn_in(units: Units, kind: str) -> tuple[str, float]:
    """Choose the unit of an axis or a bar.

    Parameters
    ----------
    units : str
        "metric", "inch-pound" or "both" (which draws in metric units).
    kind : str
        "length", "force", "moment", "mass", "line load", "angle" or "ratio".

    Returns
    -------
    tuple
        Its symbol, and how many of them one SI unit makes [-].

    Examples
    --------
    >>> drawn_in("both", "length")
    ('mm', 1000.0)
    """
    unit = _EITHER.get(kind) or (_INCH_POUND if units == "inch-pound" else _METRIC)[kind]
    return unit, 1.0 / factor(unit, kind)
