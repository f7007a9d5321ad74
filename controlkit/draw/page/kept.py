"""Answers about the same results, given once: a page asks for some of its words and places in two pictures."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

__all__ = ["kept"]

P = ParamSpec("P")
T = TypeVar("T")


def kept(many: int) -> Callable[[Callable[P, T]], Callable[P, T]]:
    """Let a function remember its last answers, by which results it was handed and not by what they hold.

    Parameters
    ----------
    many : int
        How many answers it remembers [-].

    Returns
    -------
    callable
        What turns a function of frozen results, texts and numbers into one that remembers.

    Notes
    -----
    Results hold arrays, so they cannot be looked up by value. As long as an answer is remembered, so is
    what it was given for, and no other object can have the same identity.

    Examples
    --------
    >>> @kept(8)
    ... def listed(name: str) -> list[str]:
    ...     return [name]
    >>> listed("ring") is listed("ring")
    True
    """

    def remembering(function: Callable[P, T]) -> Callable[P, T]:
        known: OrderedDict[tuple[object, ...], tuple[T, object]] = OrderedDict()

        @wraps(function)
        def answer(*args: P.args, **kwargs: P.kwargs) -> T:
            given = (*args, *kwargs.values())
            key = (*kwargs, *(one if isinstance(one, str | float) else id(one) for one in given))
            if key in known:
                known.move_to_end(key)
                return known[key][0]
            found = function(*args, **kwargs)
            known[key] = found, given
            if len(known) > many:
                known.popitem(last=False)
            return found

        return answer

    return remembering
