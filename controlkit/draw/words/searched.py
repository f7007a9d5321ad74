"""Sentences about a search for a fault: what speaks against one, which are left, what to read next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from controlkit.draw.words.bench import written
from controlkit.draw.words.pull import Units, joined

if TYPE_CHECKING:
    from controlkit.mechanics.bench.faults import Against

__all__ = ["against_words", "fault_words", "left_words", "rival_words"]

_HEALTHY = "healthy"
_MOST = 6  # faults that are listed by name [-]


def fault_words(name: str) -> str:
    """Call a fault by its name, or health by what it means on a shelf.

    Parameters
    ----------
    name : str
        Name of the fault, or "healthy".

    Returns
    -------
    str
        In quotation marks.

    Examples
    --------
    >>> fault_words("healthy")
    '“as it was fitted”'
    """
    return "“as it was fitted”" if name == _HEALTHY else f"“{name}”"


def against_words(name: str, against: Against, short: str, kind: str, *, units: Units) -> str:
    """Say what speaks against a fault.

    Parameters
    ----------
    name : str
        Name of the fault.
    against : Against
        What does.
    short : str
        What was read, in a few words.
    kind : str
        Its kind of quantity.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A sentence with both numbers.

    Examples
    --------
    >>> from controlkit.mechanics.bench.faults import Against
    >>> against_words("weak bands", Against("device", 28.5, 20.4, 4.05), "pull, device", "force", units="metric")
    'Against “weak bands” speaks “pull, device”: you read 28.5 N; with it, at the size that fits best, it is 20.4 N.'
    """
    read, expected = (written(value, kind, units) for value in (against.read, against.expected))
    return (
        f"Against {fault_words(name)} speaks “{short}”: you read {read}; with it, at the size that fits best, it is "
        f"{expected}."
    )


def left_words(left: Sequence[str]) -> str:
    """Say which faults are left.

    Parameters
    ----------
    left : sequence of str
        Their names.

    Returns
    -------
    str
        A sentence.

    Examples
    --------
    >>> left_words(("weak bands", "dirt in the pivot"))
    'Left: “weak bands” and “dirt in the pivot”.'
    """
    if not left:
        return "Left: none of the list. One reading may lie far off by chance, or two things are wrong: read again."
    if len(left) > _MOST:
        return f"Left: {len(left)} of the list."
    return f"Left: {joined([fault_words(name) for name in left], 'and')}."


def rival_words(one: str, other: str, reading: str) -> str:
    """Say that two are not told apart yet, and by what they would be.

    Parameters
    ----------
    one, other : str
        Names of both.
    reading : str
        What would tell them apart, in a few words; empty if nothing would.

    Returns
    -------
    str
        One sentence or two.

    Examples
    --------
    >>> rival_words("cable too long", "control attachment strap slack", "cable")
    'Undecided: “cable too long” or “control attachment strap slack”. “cable” would tell them apart.'
    """
    said = f"Undecided: {fault_words(one)} or {fault_words(other)}."
    if not reading:
        return f"{said} Nothing that this bench reads once tells them apart for sure: read again, or finer."
    return f"{said} “{reading}” would tell them apart."
