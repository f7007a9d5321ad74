"""Answers at the door: whatever a student's variable holds becomes a plain number or a sentence."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import numpy as np

from controlkit.checking.feedback import Feedback, in_words, nothing_yet, unreadable
from controlkit.checking.unit_slips import sizes
from controlkit.units import InputError, read

LONGEST = 80
"""Longer texts are not looked at for a calculation [characters]."""

_UNIT = re.compile(
    r"(?<=[\d)\s])(?:N/(?:mm|cm2|cm|m)|lbf/in|[kM]?Pa|psi|[Nn] ?m{1,2}|mm|cm|m|in|N|lbf?|kgf|deg|rad|°|%)(?![A-Za-z])"
)
_BARE = re.compile(r"[-+−–]?[\d.,\s]+(?:[eE][-+]?\d+)?")
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


def read_answer(answer: Any, kind: str, unit: str, what: str, *, counts: str = "") -> float | Feedback:
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
        Name of what was asked, as it is typed
    counts : str, optional
        What is counted, such as "bands": it may stand behind the number

    Returns
    -------
    float or Feedback
        The value in ``unit``, or what to say instead [unit]

    Examples
    --------
    >>> round(read_answer("2 in", "length", "mm", "excursion"), 1)
    50.8
    >>> read_answer("3 bands", "ratio", "", "bands", counts="bands")
    3.0
    """
    given, called = plain(answer), in_words(what)
    given = _uncounted(given, counts) if counts and type(given) is str else given
    if is_blank(given):
        return nothing_yet(called, "Replace the dots by your value, with its unit in quotes.")
    if isinstance(given, type):
        return unreadable(called, _foreign(given, unit))
    if type(given) is str and len(given) <= LONGEST and (sum_ := _SUM.fullmatch(_bare_sum(given))):
        typed = " ".join(sum_[0].split())
        do = f"Type it without quotes and units: `{what} = {typed}`."
        return unreadable(called, f"That is still to be worked out. {do}")
    try:
        value = read(given, kind, unit=unit or None) / sizes(kind)[unit]
    except InputError as trouble:
        return unreadable(called, str(trouble))
    except (TypeError, ValueError, ArithmeticError):
        return unreadable(called, _foreign(type(given), unit))
    if not abs(value) < float("inf"):
        return unreadable(called, "That is not a finite number.")
    return float(value)


def unit_assumed(answer: Any, value: float, kind: str, unit: str) -> tuple[Feedback, ...]:
    """How a number was read that came without its unit, and a request to write it; nothing where there was one.

    Parameters
    ----------
    answer : object
        Whatever the student's variable holds; it could be read
    value : float
        As what it was read [unit]
    kind : str
        Kind of quantity; a share needs no unit
    unit : str
        Unit in which it was read

    Returns
    -------
    tuple of Feedback
        One, or none

    Examples
    --------
    >>> [note.message for note in unit_assumed(32, 32.0, "length", "mm")]
    ['  Read as 32 mm. Next time write the unit too, in quotes: "32 mm".']
    >>> unit_assumed("32 mm", 32.0, "length", "mm")
    ()
    """
    given = plain(answer)
    if not unit or kind == "ratio" or (type(given) is str and not _BARE.fullmatch(given.strip())):
        return ()
    read_as = f"{value:.4g} {unit}" if abs(value) < 1e4 else f"{value:.0f} {unit}"
    said = f'  Read as {read_as}. Next time write the unit too, in quotes: "{read_as}".'
    return (Feedback("unit-assumed", "right", said, "a number without its unit"),)


def _uncounted(text: str, counts: str) -> str:
    """A text without the name of what is counted, one or many, where it stands behind a number."""
    one = counts.removesuffix("s")
    found = re.fullmatch(
        rf"\s*([-+−]?[\d.,]+)\s*(?:[a-z]+ )?(?:{re.escape(one)}s?)[.\s]*", text[:LONGEST], re.IGNORECASE
    )
    return found[1] if found else text


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
    what, typed = in_words(what), [f"`{name}`" for name in names]
    listed = " and ".join(part for part in (", ".join(typed[:-1]), typed[-1]) if part)
    if not issubclass(type(answer), dict):
        if is_blank(plain(answer)):
            return nothing_yet(what, f"Give these by name, as the cell shows them: {listed}.")
        return unreadable(what, f"The entries are needed together, by name, as the cell shows them: {listed}.")
    given = {key: value for key, value in dict.items(answer) if type(key) is str}
    missing = [f"`{name}`" for name in names if name not in given]
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
