"""Small tables for the text of a lesson, readable on the screen, in print and aloud."""

from __future__ import annotations

from collections.abc import Sequence

from controlkit.sources import SourcedValue, source
from controlkit.tables import Table
from controlkit.units import show

__all__ = ["facts", "text_table"]


def text_table(title: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> Table:
    """Make a table for the text.

    Parameters
    ----------
    title : str
        What it holds.
    heads : sequence of str
        Names of the columns.
    rows : sequence of sequence of str
        The cells; the first of each row names the row.

    Returns
    -------
    Table
        The table; as the last line of a cell it is shown below it.

    Examples
    --------
    >>> print(text_table("Rings", ["ring", "height"], [["one", "60 mm"]]))
    Rings
    ring  height
    one   60 mm
    """
    return Table(title, tuple(heads), tuple(tuple(row) for row in rows))


def facts(*names: str, in_full: bool = False) -> Table:
    """List sourced values with what they are worth.

    Parameters
    ----------
    *names : str
        Names of the values, as `source` takes them.
    in_full : bool
        Whether source and remarks stand beside each value; else they are folded beneath, each source once.

    Returns
    -------
    Table
        Value, how far to trust it, and where it comes from.

    Raises
    ------
    InputError
        If there is no such value.

    Examples
    --------
    >>> facts("arm_flexion_excursion").rows[0][1]
    '53.0 ± 10.0 mm (2.09 ± 0.39 in)'
    """
    values = [source(name) for name in names]
    rows = [(value.what, printed(value), value.how_known) for value in values]
    heads = ("what", "value", "how we know")
    if in_full:
        beside = [f"{value.citation} {value.note}".strip() for value in values]
        full = [(*row, where) for row, where in zip(rows, beside, strict=True)]
        return text_table("Facts", (*heads, "source and remarks"), full)
    remarks: dict[str, list[str]] = {}
    for value in values:
        of_source = remarks.setdefault(value.citation, [])
        if value.note:
            of_source.append(f"{value.what}: {value.note}")
    return Table("Facts", heads, tuple(rows), tuple(" ".join([where, *said]) for where, said in remarks.items()))


def printed(value: SourcedValue) -> str:
    """Write a value in both unit systems where there are two, else as it was printed; a row of a table as it is.

    Parameters
    ----------
    value : SourcedValue
        The value

    Returns
    -------
    str
        Number or range with its unit

    Examples
    --------
    >>> printed(source("vc_force_lowest"))
    '33.0 N (7.4 lbf)'
    """
    if value.series:
        columns = ", ".join(f"{column:g}" for column in value.at)
        return f"{', '.join(f'{number:g}' for number in value.series)}{_unit(value)} at {columns}"
    if value.kind not in ("length", "force", "mass", "moment", "pressure", "angle"):
        if value.value is not None:
            return f"{value.value:g}{_unit(value)}"
        return f"{value.low:g} to {value.high:g}{_unit(value)}"
    if value.value is None:
        return _merged(show(value.si_low, value.kind), show(value.si_high, value.kind), " to ")
    written = show(value.si, value.kind)
    return _merged(written, show(value.si_sd, value.kind), " ± ") if value.sd is not None else written


def _unit(value: SourcedValue) -> str:
    return "" if value.unit == "-" else f" {value.unit}"


def _merged(first: str, second: str, sign: str) -> str:
    """Join '53.0 mm (2.09 in)' and '10.0 mm (0.39 in)' to one phrase with two units."""
    if "(" not in first:
        return f"{first.split()[0]}{sign}{second}"
    metric, inch = first.rstrip(")").split(" (")
    metric_2, inch_2 = second.rstrip(")").split(" (")
    return f"{metric.split()[0]}{sign}{metric_2} ({inch.split()[0]}{sign}{inch_2})"
