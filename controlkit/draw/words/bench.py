"""Sentences about readings at a bench: what was read, how sure it is, what was wished, and what was there before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from controlkit.draw.words.pull import Units
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.bench import CheckoutRow

__all__ = ["SURE", "BenchRow", "changed_words", "doubted", "judged_words", "row_words", "written"]

SURE = 1.5
"""How many doubts away a reading counts as changed: as the mechanics puts out a fault [-]."""


@dataclass(frozen=True, kw_only=True)
class BenchRow:
    """One line of a record.

    Parameters
    ----------
    name : str
        What was read, in a few words.
    kind : str
        Kind of quantity.
    mean, doubt : float
        Mean, and how far it may be off: twice its standard deviation [SI].
    readings : tuple of float
        The readings themselves; none where the line is worked out from others [SI].
    with_ : str
        What it was read with.
    fitted : float or None
        What it was when the prosthesis was fitted; nothing on a new fitting [SI].
    criteria : tuple of CheckoutRow
        What was wished, by whom, and whether it is met.
    """

    name: str
    kind: str
    mean: float
    doubt: float
    readings: tuple[float, ...] = ()
    with_: str = ""
    fitted: float | None = None
    criteria: tuple[CheckoutRow, ...] = ()

    @property
    def changed(self) -> str:
        """Whether it is "more", "less" or the "same" since the fitting; empty where that is not sure or not known."""
        if self.fitted is None:
            return ""
        away = (self.mean - self.fitted) / self.doubt
        return "more" if away > SURE else "less" if away < -SURE else "same" if abs(away) <= 1.0 else ""


def written(value: float, kind: str, units: Units) -> str:
    """Write a quantity; a share in percent.

    Parameters
    ----------
    value : float
        The quantity [SI].
    kind : str
        What it is.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        Number and unit.

    Examples
    --------
    >>> written(0.789, "ratio", "metric"), written(0.02, "length", "metric")
    ('79 %', '20.0 mm')
    """
    return f"{100.0 * value:.0f} %" if kind == "ratio" else show(value, kind, units)


def doubted(value: float, doubt: float, kind: str, units: Units) -> str:
    """Write a quantity and how far it may be off.

    Parameters
    ----------
    value, doubt : float
        Both [SI].
    kind : str
        What it is.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        One unit behind both.

    Examples
    --------
    >>> doubted(36.0, 1.0, "force", "metric"), doubted(0.789, 0.036, "ratio", "metric")
    ('36.0 ± 1.0 N', '78.9 ± 3.6 %')
    """
    if kind == "ratio":
        return f"{100.0 * value:.1f} ± {100.0 * doubt:.1f} %"
    said, off = (show(one, kind, "metric" if units == "both" else units) for one in (value, doubt))
    unit = off.lstrip("-\N{MINUS SIGN}0123456789.,")
    return f"{said.removesuffix(unit)} ± {off}"


def judged_words(row: CheckoutRow, units: Units) -> str:
    """Write a criterion, how it is known, and the outcome.

    Parameters
    ----------
    row : CheckoutRow
        One test.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        Three parts.

    Examples
    --------
    >>> from controlkit.mechanics.bench import CheckoutRow
    >>> row = CheckoutRow(test="slip", measured=0.02, high=0.0254, kind="length", source="checkout_slip", how="tape")
    >>> judged_words(row, "metric")
    'at most 25.4 mm (read in the source): met'
    """
    low, high = (None if limit is None else written(limit, row.kind, units) for limit in (row.low, row.high))
    wished = f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}"
    known = "" if row.printed is None else f" ({row.printed.how_known})"
    outcome = "left to the person" if row.left else "not sure" if row.close else row.outcome
    return f"{wished}{known}: {outcome}"


def changed_words(row: BenchRow, units: Units) -> str:
    """Say what a reading was when the prosthesis was fitted, and whether it has changed.

    Parameters
    ----------
    row : BenchRow
        One line of a record.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        Empty on a new fitting.

    Examples
    --------
    >>> changed_words(BenchRow(name="ring", kind="length", mean=0.030, doubt=0.002, fitted=0.025), "metric")
    'when fitted 25.0 mm: more now'
    """
    if row.fitted is None:
        return ""
    outcome = {"more": "more now", "less": "less now", "same": "unchanged", "": "not sure"}[row.changed]
    return f"when fitted {written(row.fitted, row.kind, units)}: {outcome}"


def row_words(row: BenchRow, units: Units) -> str:
    """Say one line of a record in a sentence.

    Parameters
    ----------
    row : BenchRow
        The line.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        What was read, with what, how often, and beside what.

    Examples
    --------
    >>> row_words(BenchRow(name="C7 to ring", kind="length", mean=0.03, doubt=0.002, readings=(0.03,), with_="tape",
    ...     fitted=0.025), "metric")
    'C7 to ring: 30.0 ± 2.0 mm (tape, once); when fitted 25.0 mm: more now.'
    """
    often = {0: "worked out", 1: "once"}.get(len(row.readings), f"{len(row.readings)} times")
    how = f" ({row.with_}, {often})" if row.with_ else f" ({often})"
    beside = [changed_words(row, units), *(judged_words(one, units) for one in row.criteria)]
    said = "; ".join(text for text in beside if text)
    return f"{row.name}: {doubted(row.mean, row.doubt, row.kind, units)}{how}{'; ' if said else ''}{said}."


def record_words(rows: Sequence[BenchRow], units: Units) -> str:
    """Say a whole record.

    Parameters
    ----------
    rows : sequence of BenchRow
        Its lines.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A sentence a line.
    """
    if not rows:
        return "The record is empty."
    return "The record. " + " ".join(row_words(row, units) for row in rows)
