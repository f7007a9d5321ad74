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
    >>> against_words("weak bands", Against("slack", 0.0285, 0.004, 8.2), "slack", "length", units="metric")
    'Against “weak bands” speaks “slack”: you read 28.5 mm; with it, at the size that fits best, it is 4.0 mm.'
    """
    read, expected = (written(value, kind, units) for value in (against.read, against.expected))
    return (
        f"Against {fault_words(name)} speaks “{short}”: you read {read}; with it, at the size that fits best, it is "
        f"{expected}."
    )


def left_words(left: Sequence[str], of: int) -> str:
    """Say which faults are left.

    Parameters
    ----------
    left : sequence of str
        Their names.
    of : int
        How many the list has [-].

    Returns
    -------
    str
        A sentence.

    Examples
    --------
    >>> left_words(("weak bands", "dirt in the pivot"), 18)
    'Left, 2 of 18: “weak bands” and “dirt in the pivot”. Ruled out: 16.'
    """
    if not left:
        return "Left: none of the list. One reading may lie far off by chance, or two things are wrong: read again."
    out = f" Ruled out: {of - len(left)}." if len(left) < of else " None is ruled out."
    return f"Left, {len(left)} of {of}: {joined([fault_words(name) for name in left], 'and')}.{out}"


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
