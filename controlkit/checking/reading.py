"""Answers at the door: whatever a student's variable holds becomes a plain number or a sentence."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import numpy as np

from controlkit.checking.feedback import Feedback, nothing_yet, unreadable
from controlkit.checking.unit_slips import sizes
from controlkit.units import InputError, read

LONGEST = 80
"""Longer texts are not looked at for a calculation [characters]."""

_UNIT = re.compile(r"(?<=[\d)\s])(?:[Nn] ?m{1,2}|mm|cm|m|in|N|lbf?|kgf|deg|rad|°|%)(?![A-Za-z])")
_SUM = re.compile(r"[\d.]+(?:\s*[-+*]\s*[\d.]+|\s+/\s+[\d.]+)+")

MOST_PARTS = 40
"""Parts of one answer that are looked at, more than any sequence of steps has [-]."""


DEEPEST = 4
"""So deep may parts of an answer stand in parts [-]."""


def plain(answer: Any, *, deep: int = 0) -> Any:
    """The same answer made of exact built-in types, or the type itself where it is something else.

    Nothing that the object brings along is called: a subclass with its own comparison or
    conversion becomes the plain text or number inside it, a foreign object becomes its type.

    Parameters
    ----------
    answer : object
        Anything

    deep : int, optional
        How many lists it stands in; below `DEEPEST` only the type is kept [-]

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
    if deep >= DEEPEST:
        return kind
    if kind is tuple:
        return tuple(plain(part, deep=deep + 1) for part in answer[:4])
    if kind is list:
        return [plain(part, deep=deep + 1) for part in answer[:4]]
    return kind


def is_blank(answer: Any) -> bool:
    """Whether an answer, made `plain`, is still empty: dots, nothing, or text without content."""
    return answer is None or answer is Ellipsis or (type(answer) is str and answer.strip(" .…\t\n") == "")


def read_answer(answer: Any, kind: str, unit: str, what: str) -> float | Feedback:
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
    float or Feedback
        The value in ``unit``, or what to say instead [unit]

    Examples
    --------
    >>> round(read_answer("2 in", "length", "mm", "excursion"), 1)
    50.8
    """
    given = plain(answer)
    if is_blank(given):
        return nothing_yet(what, "Replace the dots by your value, with its unit in quotes.")
    if isinstance(given, type):
        return unreadable(what, _foreign(given, unit))
    if type(given) is str and len(given) <= LONGEST and (sum_ := _SUM.fullmatch(_bare_sum(given))):
        typed = " ".join(sum_[0].split())
        return unreadable(what, f"That is still to be worked out. Type it without quotes and units: {what} = {typed}.")
    try:
        value = read(given, kind, unit=unit or None) / sizes(kind)[unit]
    except InputError as trouble:
        return unreadable(what, str(trouble))
    except (TypeError, ValueError, ArithmeticError):
        return unreadable(what, _foreign(type(given), unit))
    if not abs(value) < float("inf"):
        return unreadable(what, "That is not a finite number.")
    return float(value)


def _bare_sum(text: str) -> str:
    """A text without its units, signs of calculation as Python writes them."""
    signs = text.replace("−", "-").replace("–", "-").replace("×", "*").replace("·", "*").replace("÷", "/")
    return _UNIT.sub("", re.sub(r"(?<=\d),(?=\d)", ".", signs)).strip()


def read_entries(answer: Any, names: Sequence[str], what: str) -> dict[str, Any] | Feedback:
    """Read an answer of several parts, each with its name.

    Parameters
    ----------
    answer : object
        Whatever the student's variable holds; a dict is meant
    names : sequence of str
        The parts that are asked for
    what : str
        What to call it in a sentence

    Returns
    -------
    dict or Feedback
        Name to part as it was given, or what to say instead

    Examples
    --------
    >>> read_entries({"fault": "weak bands", "reading": "pinch"}, ("fault", "reading"), "diagnosis")["reading"]
    'pinch'
    """
    listed = " and ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)
    if not issubclass(type(answer), dict):
        if is_blank(plain(answer)):
            return nothing_yet(what, f"Give these by name, as the cell shows them: {listed}.")
        return unreadable(what, f"The entries are needed together, by name, as the cell shows them: {listed}.")
    given = {key: value for key, value in dict.items(answer) if type(key) is str}
    missing = [name for name in names if name not in given]
    if missing or dict.__len__(answer) > len(names):
        lacks = f"; missing: {', '.join(missing)}" if missing else ""
        return unreadable(what, f"The entries are {listed}, and no others{lacks}.")
    if all(is_blank(plain(given[name])) for name in names):
        return nothing_yet(what, "Replace the dots in all entries.")
    return {name: given[name] for name in names}


def _foreign(kind: type, unit: str) -> str:
    name = type.__dict__["__name__"].__get__(kind)
    example = f'"12.5 {unit}"'.replace(' "', '"')
    return f"A number or a text is needed, and this is of the sort {name}. Write it like {example}."
