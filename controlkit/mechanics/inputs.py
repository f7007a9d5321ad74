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
    if not _is_number(value):
        raise _refused(what, given=repr(value), do="Give", allowed="one number", more=f", for example {example}")
    return float(value)


def within(
    what: str,
    value: Any,
    low: float,
    high: float,
    *,
    example: str,
    of: str = "",
    unit: str = "",
    why: str = "",
    hint: str = "",
) -> float:
    """One number in a range, or a sentence that says what was given, what may be, and what to do.

    Parameters
    ----------
    what : str
        What was asked for, beginning a sentence
    value, low, high : float
        What was given, and its range, both ends included [unit]
    example : str
        How to write such a value
    of : str
        Kind of quantity by which to show it, as `controlkit.units.show` knows it; empty shows the plain number
    unit : str
        What to write after a plain number
    why : str
        Why no other value will do
    hint : str
        What else helps, ending the sentence

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
    >>> try:
    ...     within("Friction", 2.0, 0.0, 1.0, example="0.08", hint="zero switches it off")
    ... except InputError as refused:
    ...     print(refused)
    Friction was given as 2. Give between 0 and 1; zero switches it off.
    """
    if _is_number(value) and low <= value <= high:
        return float(value)
    least, most = (show(end, of) for end in (low, high)) if of else (f"{low:g}", f"{high:g}{unit}")
    allowed = f"between {least} and {most}"
    if not _is_number(value):
        more = f", for example {example}"
        raise _refused(what, given=repr(value), why=why, do="Give", allowed=f"one number {allowed}", more=more)
    given = show(float(value), of) if of else f"{value:g}{unit}"
    raise _refused(what, given=given, why=why, do="Give", allowed=allowed, more=hint and f"; {hint}")


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
        raise _refused(what, given=repr(value), do="Make one first, for example", allowed=how)


def _is_number(value: Any) -> bool:
    """Whether it is one finite number, and no truth value."""
    return not isinstance(value, bool) and isinstance(value, Real) and math.isfinite(value)


def _refused(what: str, *, given: str, do: str, allowed: str, why: str = "", more: str = "") -> InputError:
    """Every refusal: what was given and why it will not do, what is allowed, what to do."""
    return InputError(
        given=f"{what} was given as {given}{why and f': {why}'}.", allowed=allowed, do=f"{do} {allowed}{more}."
    )
