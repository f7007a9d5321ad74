"""Documentation of the functions that open a lab: what all of them take, give and raise stands here once."""

from __future__ import annotations

from collections.abc import Callable
from inspect import cleandoc, signature
from typing import TypeVar

from controlkit.labs.frame import Lab

__all__ = ["documented"]

Opening = TypeVar("Opening", bound=Callable[..., Lab])

_WEARER = """wearer : Wearer, optional
    A wearer of your own, put before those of the list."""
_COMMON = """setting : str
    A setting in one line, copied from the lab, to start from. In a notebook, the same call again opens the lab as it
    was left.
units : str
    "metric" or "inch-pound"; can be changed in the lab.

Returns
-------
Lab
    The lab; as the last line of a cell it is shown below it.

Raises
------
InputError
    If the setting cannot be read or the unit system is not known."""


def documented(function: Opening) -> Opening:
    """Add to the docstring of a function that opens a lab what all of them take, give and raise.

    Parameters
    ----------
    function : callable
        Takes a setting in one line and a unit system, perhaps a wearer; its text has a first line and notes.

    Returns
    -------
    callable
        The same function, documented in full.

    Examples
    --------
    >>> from controlkit.labs import motion_lab
    >>> "A wearer of your own" in motion_lab.__doc__
    True
    """
    first, _, rest = cleandoc(function.__doc__ or "").partition("\n\n")
    wearer = [_WEARER] if "wearer" in signature(function).parameters else []
    function.__doc__ = "\n".join([first, "", "Parameters", "----------", *wearer, _COMMON, "", rest])
    return function
