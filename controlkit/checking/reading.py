"""Answers at the door: whatever a student's variable holds becomes a plain number or a sentence."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from controlkit.checking.feedback import Feedback
from controlkit.units import InputError, factor, read

_SLIPS: dict[str, tuple[str, ...]] = {
    "length": ("mm", "cm", "m", "in"),
    "force": ("N", "lbf", "kgf"),
    "angle": ("deg", "rad"),
    "moment": ("N m", "N mm", "N cm", "lbf in"),
    "ratio": ("", "%"),
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
    return {unit: factor(unit, kind) if unit else 1.0 for unit in _SLIPS.get(kind, ())}


def slips(kind: str, unit: str) -> list[tuple[str, float, bool]]:
    """Every way in which the right size can stand with a wrong unit.

    Parameters
    ----------
    kind : str
        Kind of quantity
    unit : str
        The unit that is asked for

    Returns
    -------
    list of (str, float, bool)
        The other unit; what it makes of the right answer [-]; True if the number is right and the unit
        written behind it is not, False if the number is one in the other unit

    Examples
    --------
    >>> slips("angle", "rad")[0][0]
    'deg'
    """
    own = sizes(kind)
    found = []
    for other, size in own.items():
        if other != unit:
            found += [(other, own[unit] / size, False), (other, size / own[unit], True)]
    return found


@dataclass(frozen=True)
class Reading:
    """An answer as it was read: a value, or what to say instead.

    Parameters
    ----------
    value : float or None
        In the unit that was asked for; None if there is something to say [unit]
    trouble : Feedback or None
        Why there is no value
    """

    value: float | None
    trouble: Feedback | None = None


def plain(answer: Any) -> Any:
    """The same answer made of exact built-in types, or the type itself where it is something else.

    Nothing that the object brings along is called: a subclass with its own comparison or
    conversion becomes the plain text or number inside it, a foreign object becomes its type.

    Parameters
    ----------
    answer : object
        Anything

    Returns
    -------
    object
        None, Ellipsis, bool, str, int, float, complex, tuple or list of such, or a type

    Examples
    --------
    >>> plain((12, 5))
    (12, 5)
    """
    kind = type(answer)
    if answer is None or answer is Ellipsis or kind is bool:
        return answer
    if issubclass(kind, np.generic):
        return plain(np.generic.item(answer)) if kind.__module__ == "numpy" else kind
    if issubclass(kind, str):
        return str.__str__(answer)
    if issubclass(kind, int):
        return int.__int__(answer)
    if issubclass(kind, float):
        return float.__float__(answer)
    if issubclass(kind, complex):
        return complex.__complex__(answer)
    if kind is tuple:
        return tuple(plain(part) for part in answer[:4])
    if kind is list:
        return [plain(part) for part in answer[:4]]
    return kind


def is_blank(answer: Any) -> bool:
    """Whether an answer, made plain, is still the empty space of the notebook.

    Parameters
    ----------
    answer : object
        As `plain` returns it

    Returns
    -------
    bool
        True for dots, nothing, and text without content
    """
    return answer is None or answer is Ellipsis or (type(answer) is str and answer.strip(" .…\t\n") == "")


def read_answer(answer: Any, kind: str, unit: str, what: str) -> Reading:
    """Read one number with its unit.

    Parameters
    ----------
    answer : object
        Whatever the student's variable holds
    kind : str
        Kind of quantity
    unit : str
        Unit of a bare number, and of the value returned
    what : str
        What to call it in a sentence

    Returns
    -------
    Reading
        The value in ``unit``, or what to say

    Examples
    --------
    >>> round(read_answer("2 in", "length", "mm", "excursion").value, 1)
    50.8
    """
    given = plain(answer)
    if is_blank(given):
        said = f"{what}: nothing stands here yet. Replace the dots by your value, with its unit in quotes."
        return Reading(None, Feedback("blank", "blank", said, "no answer"))
    if isinstance(given, type):
        return Reading(None, _unreadable(what, _foreign(given, unit)))
    try:
        value = read(given, kind, unit=unit or None) / sizes(kind)[unit]
    except InputError as trouble:
        said = str(trouble).replace("“12.5 N”", f"“{f'12.5 {unit}'.strip()}”")  # the example, in the unit asked for
        return Reading(None, _unreadable(what, said))
    except (TypeError, ValueError, ArithmeticError):
        return Reading(None, _unreadable(what, _foreign(type(given), unit)))
    if not abs(value) < float("inf"):
        return Reading(None, _unreadable(what, "That is not a finite number."))
    return Reading(float(value))


def _unreadable(what: str, reason: str) -> Feedback:
    said = f"{what}: {reason} This does not count as an attempt."
    return Feedback("unreadable", "unreadable", said, f"could not be read: {reason}")


def _foreign(kind: type, unit: str) -> str:
    name = type.__dict__["__name__"].__get__(kind)
    example = f'"12.5 {unit}"'.replace(' "', '"')
    return f"A number or a text is needed, and this is of the sort {name}. Write it like {example}."
