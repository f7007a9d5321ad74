"""A setting of a lab: checked as it comes from the page, and as one line of text."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from controlkit.labs.controls import Control, Values
from controlkit.units import InputError

__all__ = ["checked", "named_in", "read_line", "write_line"]


def write_line(controls: Sequence[Control], values: Values) -> str:
    """Write a setting as one line of text.

    Parameters
    ----------
    controls : sequence of Control
        The controls of the lab.
    values : mapping
        A value for each [SI].

    Returns
    -------
    str
        Such as ``"ring = 60 mm; view = back"``; always metric, so that it
        stands for exactly this setting. `read_line` takes it back.

    Examples
    --------
    >>> from controlkit.labs.controls import Slider
    >>> ring = Slider("ring", "Ring below C7", "length", (0.0, 0.2), start=0.06)
    >>> write_line([ring], {"ring": 0.06})
    'ring = 60 mm'
    """
    return "; ".join(f"{control.key} = {control.to_line(values[control.key])}" for control in controls)


def read_line(controls: Sequence[Control], text: str, values: Values) -> Values:
    """Read a setting that was written in one line.

    Parameters
    ----------
    controls : sequence of Control
        The controls of the lab.
    text : str
        The line; entries that it leaves out keep their value.
    values : mapping
        The present setting [SI].

    Returns
    -------
    mapping
        The new setting [SI].

    Raises
    ------
    InputError
        If an entry is not known or its value not allowed; nothing is changed then.

    Examples
    --------
    >>> from controlkit.labs.controls import Slider
    >>> ring = Slider("ring", "Ring below C7", "length", (0.0, 0.2), start=0.06)
    >>> dict(read_line([ring], "ring = 3 in", {"ring": 0.06}))
    {'ring': 0.0762}
    """
    known = {control.key: control for control in controls}
    result = dict(values)
    entries = [entry.strip() for entry in re.split(r"[;\n]", text) if entry.strip()]
    if not entries:
        raise InputError(
            given="The line is empty.",
            do="Paste a setting that was copied from this lab.",
        )
    for entry in entries:
        key, equals, written = (part.strip() for part in entry.partition("="))
        if not equals or key not in known:
            shown = entry if len(entry) <= 40 else entry[:40] + "…"
            raise InputError(
                given=f"“{shown}” is no entry of this lab.",
                do=f"Write name = value, entries parted by a semicolon; the names are {', '.join(known)}.",
            )
        result[key] = known[key].from_line(written)
    return MappingProxyType(result)


def named_in(text: str) -> frozenset[str]:
    """Find which controls a line names.

    Parameters
    ----------
    text : str
        The line.

    Returns
    -------
    frozenset of str
        Their keys, and whatever else stands where a key would.

    Examples
    --------
    >>> sorted(named_in("ring = 3 in; view = back"))
    ['ring', 'view']
    """
    return frozenset(entry.partition("=")[0].strip() for entry in re.split(r"[;\n]", text))


def checked(controls: Sequence[Control], given: Mapping[str, Any], units: str) -> Values:
    """Check a setting that came from the page."""
    return MappingProxyType(
        {control.key: control.from_page(given.get(control.key, control.start), units) for control in controls}
    )
