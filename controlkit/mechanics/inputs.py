"""Refusing, in words, what is not a number or not the right kind of thing."""

from __future__ import annotations

import math
from numbers import Real
from typing import Any

from controlkit.units import InputError, show


def number(what: str, value: Any, example: str) -> float:
    """One finite number, or a sentence that says what to give.

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
        If it is text, a truth value, a list, or not finite

    Examples
    --------
    >>> number("Arm flexion", 1.0, "deg(60)")
    1.0
    """
    if isinstance(value, bool) or not isinstance(value, Real) or not math.isfinite(value):
        raise InputError(f"{what} was given as {value!r}. Give one number, for example {example}.")
    return float(value)


def within(what: str, value: Any, low: float, high: float, *, example: str, of: str = "", unit: str = "") -> float:
    """One number in a range, or a sentence that says what was given and what may be.

    Parameters
    ----------
    what : str
        What was asked for, beginning a sentence
    value, low, high : float
        What was given, and its range [unit]
    example : str
        How to write such a value
    of : str
        Kind of quantity by which to show it, as `controlkit.units.show` knows it; empty shows the plain number
    unit : str
        What to write after a plain number

    Returns
    -------
    float
        The number [unit]

    Raises
    ------
    InputError
        If it is no number or lies outside

    Examples
    --------
    >>> within("The cable's slack", 0.01, -0.1, 0.1, example="mm(10)", of="length")
    0.01
    """
    given = number(what, value, example)
    if not low <= given <= high:
        if of:
            said, least, most = (show(v, of) for v in (given, low, high))
        else:
            said, least, most = f"{given:g}{unit}", f"{low:g}", f"{high:g}{unit}"
        raise InputError(f"{what} was given as {said}. Give between {least} and {most}.")
    return given


def kind(what: str, value: Any, wanted: type, how: str) -> None:
    """Refuse a thing of another kind.

    Parameters
    ----------
    what : str
        What was asked for, beginning a sentence
    value : object
        What was given
    wanted : type
        What it must be
    how : str
        How to make one

    Raises
    ------
    InputError
        If it is something else

    Examples
    --------
    >>> kind("The wearer", 1, int, "1")
    """
    if not isinstance(value, wanted):
        raise InputError(f"{what} was given as {value!r}. Make one first, for example {how}.")
