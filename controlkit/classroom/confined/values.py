"""Values on their way out of confinement: what a variable holds, as bare data, and back, strictly.

Nothing that an object brings along is called on the way out, and nothing is evaluated on the way in.
"""

from __future__ import annotations

import re
from typing import Any

from controlkit.checking.reading import DEEPEST, plain
from controlkit.classroom.records.answers import LONGEST

MOST_PARTS, MOST_ENTRIES = 200, 50
"""Parts of a list, entries of a dict that come out; no item asks for as many [-]."""

_LARGEST = 10**400
"""A larger whole number becomes this: none of a calculation [-]."""

_WHOLE = re.compile(r"-?\d{1,401}")
_NUMBER = re.compile(r"-?\d{1,320}(?:\.\d{1,340})?(?:e[-+]?\d{1,3})?|nan|-?inf")
_NAME = re.compile(r"\w{1,40}")


class TooLongError(ValueError):
    """An answer that is longer than `LONGEST` characters."""


class StrangeError(ValueError):
    """Data that no worker writes."""


class Stranger:
    """What an object was that is no plain value.

    Parameters
    ----------
    name : str
        Name of its sort
    """

    def __init__(self, name: str) -> None:
        self.name = name


def out(value: Any) -> list[Any]:
    """A value as bare data, for JSON.

    Parameters
    ----------
    value : object
        Anything; what is no plain value comes out as the name of its sort

    Returns
    -------
    list
        A word for the kind, then what it holds

    Raises
    ------
    TooLongError
        If it is longer than an answer may be

    Examples
    --------
    >>> out({"strap": [1, "57 mm", ...]})
    ['dict', [['strap', ['list', [['whole', '1'], ['text', '57 mm'], ['dots']]]]]]
    """
    return _out(value, 0, [LONGEST])


def _out(value: Any, deep: int, left: list[int]) -> list[Any]:
    kind = type(value)
    left[0] -= 4
    if left[0] < 0:
        raise TooLongError
    if deep < DEEPEST:
        for base, word in ((list, "list"), (tuple, "tuple")):
            if issubclass(kind, base):
                parts = base.__getitem__(value, slice(MOST_PARTS))
                return [word, [_out(part, deep + 1, left) for part in parts]]
        if issubclass(kind, dict):
            entries = list(dict.items(value))[:MOST_ENTRIES]
            return ["dict", [[_key(key, left), _out(part, deep + 1, left)] for key, part in entries]]
    given = plain(value, deep=DEEPEST)
    if given is Ellipsis:
        return ["dots"]
    if given is None or type(given) is bool:
        return ["plain", given]
    if type(given) is str:
        left[0] -= len(given)
        if left[0] < 0:
            raise TooLongError
        return ["text", given]
    if type(given) is int:
        return ["whole", str(max(-_LARGEST, min(_LARGEST, given)))]
    if type(given) is float:
        return ["number", repr(given)]
    if type(given) is complex:
        return ["complex", repr(given.real), repr(given.imag)]
    return ["sort", _sort(given if isinstance(given, type) else type(given))]


def _key(key: Any, left: list[int]) -> str:
    given = key if type(key) is str else f"({_sort(type(key))})"
    left[0] -= len(given)
    if left[0] < 0:
        raise TooLongError
    return given


def _sort(kind: type) -> str:
    name = type.__dict__["__name__"].__get__(kind)
    return name if _NAME.fullmatch(name) else "object"


def back(data: Any) -> Any:
    """A value from bare data.

    Parameters
    ----------
    data : object
        As JSON gave it, from whomever

    Returns
    -------
    object
        Exact built-in values, or a `Stranger`. What is no finite number is a text, "nan" or "inf"; a stranger among
        the parts of a value is a text that names its sort

    Raises
    ------
    StrangeError
        If `out` does not write such data

    Examples
    --------
    >>> back(["dict", [["strap", ["number", "inf"]]]])
    {'strap': 'inf'}
    """
    return _back(data, 0)


def _back(data: Any, deep: int) -> Any:
    if type(data) is not list or not 1 <= len(data) <= 3 or type(data[0]) is not str or deep > DEEPEST:
        raise StrangeError
    word, held = data[0], data[1:]
    if word == "dots" and not held:
        return ...
    if word == "complex" and len(held) == 2:
        parts = [_number(one) for one in held]
        return next((one for one in parts if type(one) is str), None) or complex(*parts)
    if len(held) != 1:
        raise StrangeError
    (one,) = held
    if word == "plain" and (one is None or type(one) is bool):
        return one
    if word == "text" and type(one) is str and len(one) <= LONGEST:
        return one
    if word == "whole" and type(one) is str and _WHOLE.fullmatch(one):
        return int(one)
    if word == "number":
        return _number(one)
    if word == "sort" and type(one) is str and _NAME.fullmatch(one):
        return Stranger(one)
    if word in ("list", "tuple") and type(one) is list and len(one) <= MOST_PARTS:
        parts = [_part(part, deep + 1) for part in one]
        return parts if word == "list" else tuple(parts)
    if word == "dict" and type(one) is list and len(one) <= MOST_ENTRIES:
        return dict(_entry(entry, deep + 1) for entry in one)
    raise StrangeError


def _part(data: Any, deep: int) -> Any:
    part = _back(data, deep)
    return f"something of the sort {part.name}" if type(part) is Stranger else part


def _entry(data: Any, deep: int) -> tuple[str, Any]:
    if type(data) is not list or len(data) != 2 or type(data[0]) is not str or len(data[0]) > LONGEST:
        raise StrangeError
    return data[0], _part(data[1], deep)


def _number(text: Any) -> float | str:
    if type(text) is not str or not _NUMBER.fullmatch(text):
        raise StrangeError
    return text if text.endswith(("nan", "inf")) else float(text)
