"""A value as a literal of Python: what is written can be read again without running anything."""

from __future__ import annotations

from typing import Any

from controlkit.checking.reading import plain
from controlkit.classroom.records.answers import LONGEST, How, ReadAnswer

MOST = 200
"""Parts of a list or dict that are kept [-]."""

DEEPEST = 4
"""So deep may parts stand in parts [-]."""

_TOO_LARGE = 10**300


def as_answer(value: Any, how: How) -> ReadAnswer:
    """Keep a value, nothing of a foreign object called.

    Parameters
    ----------
    value : object
        Whatever stands in the variable
    how : str
        How it was come by

    Returns
    -------
    ReadAnswer
        The literal; or only the sort of thing, where it is no plain value, too deep or too long

    Examples
    --------
    >>> as_answer({"ring": "45 mm", "bands": 3}, "typed").says
    "{'ring': '45 mm', 'bands': 3}"
    >>> as_answer({"ring": ...}, "typed").value
    {'ring': Ellipsis}
    >>> as_answer(print, "ran").sort
    'builtin_function_or_method'
    """
    try:
        says = written(_kept(value, 0))
    except _ForeignError as foreign:
        return ReadAnswer(how, sort=foreign.sort)
    return ReadAnswer(how, says=says) if len(says) <= LONGEST else ReadAnswer(how, sort="very long value")


def written(value: Any) -> str:
    """A plain value as program text that names it.

    Parameters
    ----------
    value : object
        Made of exact built-in values

    Returns
    -------
    str
        What `ast.literal_eval` reads

    Examples
    --------
    >>> written({"ring": ..., "bands": (3,)})
    "{'ring': ..., 'bands': (3,)}"
    """
    if value is ...:
        return "..."
    if type(value) is dict:
        return f"{{{', '.join(f'{key!r}: {written(one)}' for key, one in value.items())}}}"
    if type(value) is list:
        return f"[{', '.join(written(one) for one in value)}]"
    if type(value) is tuple:
        inside = ", ".join(written(one) for one in value)
        return f"({inside},)" if len(value) == 1 else f"({inside})"
    return repr(value)


class _ForeignError(Exception):
    """Something that is no plain value."""

    def __init__(self, sort: str) -> None:
        super().__init__(sort)
        self.sort = sort


def _kept(value: Any, deep: int) -> Any:
    kind = type(value)
    if deep > DEEPEST:
        raise _ForeignError("list in lists in lists")
    if issubclass(kind, dict):
        parts = list(dict.items(value))
        if len(parts) > MOST or any(type(key) is not str for key, _ in parts):
            raise _ForeignError("dict")
        return {key: _kept(one, deep + 1) for key, one in parts}
    if kind is list or kind is tuple:
        if len(value) > MOST:
            raise _ForeignError("very long list")
        return kind(_kept(one, deep + 1) for one in value)
    simple = plain(value)
    if isinstance(simple, type):
        raise _ForeignError(str(type.__dict__["__name__"].__get__(simple))[:40])
    if type(simple) is int and abs(simple) > _TOO_LARGE:
        return "inf"
    if type(simple) is float and not abs(simple) < float("inf"):
        return str(simple)
    if type(simple) is complex and not abs(simple) < float("inf"):
        return "nan"
    return simple
