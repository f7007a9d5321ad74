"""A typed or pasted table as a heading and rows of cells, and what a heading says of its column."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from controlkit.units import InputError, factor

LONGEST = 200_000
"""Characters in a pasted text, more than any bench fills [-]."""

KINDS = ("length", "force", "angle", "ratio")
"""What is read on a bench."""

EXAMPLE = '"bend [deg]; device [N]; harness [N]"'

_WORDS = {
    "angle": ("elbow", "bend", "flexion", "angle", "abduction"),
    "force": ("harness", "device", "hanger", "force", "pull", "scale", "tension", "load", "pinch"),
    "length": (
        "travel", "excursion", "opening", "way", "ring", "length", "arm", "lost", "generated", "captured",
        "slack", "stretch", "slip", "width", "distance",
    ),
}  # fmt: skip
_RULE = re.compile(r":?-+:?")
_BEHIND = re.compile(r"(?P<name>.*?)\s*(?:\[(?P<square>[^\[\]]*)\]|\((?P<round>[^()]*)\))$")


@dataclass(frozen=True)
class Heading:
    """What the heading of a column says.

    Parameters
    ----------
    name : str
        Name without the unit
    unit : str
        Unit as written; empty if there is none
    kinds : tuple of str
        Kinds of quantity that it may be, the likeliest first; one where the unit says it
    trouble : str
        What is wrong with the unit; empty if nothing is
    """

    name: str
    unit: str
    kinds: tuple[str, ...]
    trouble: str = ""


def is_empty(cell: object) -> bool:
    """Whether a cell holds no reading: nothing, dashes, dots, a line to write on."""
    if cell is None or cell is ... or (isinstance(cell, float) and cell != cell):
        return True
    return isinstance(cell, str) and (not cell.strip(" \u00a0\t._…-–—−") or cell.strip().casefold() in ("n/a", "na"))


def split_table(table: str | Sequence[Sequence[object]]) -> list[list[object]]:
    """Split a table into lines of cells.

    Parameters
    ----------
    table : str or sequence of sequences
        Text with tabs, bars, semicolons or wide gaps between the cells; or the cells themselves

    Returns
    -------
    list of list
        Cells line by line, the heading first; empty lines and what stands above the table are gone

    Raises
    ------
    InputError
        If there is nothing to read, or only commas part the cells

    Examples
    --------
    >>> split_table("| bend | pull |\\n|---|---:|\\n| 90° | 12,5 N |")
    [['bend', 'pull'], ['90°', '12,5 N']]
    """
    if isinstance(table, str):
        if len(table) > LONGEST:
            raise InputError(
                given="The pasted text is too long for one table of readings.",
                do="Paste one table only.",
            )
        lines = _split_text(table)
    else:
        try:
            lines = [list(row) if not isinstance(row, str) else [row] for row in table]
        except TypeError:
            raise InputError(
                given=f"Readings were given as {table!r:.60}.",
                do=f"Give a text: {EXAMPLE} and lines below.",
            ) from None
    lines = [line for line in lines if not all(is_empty(cell) for cell in line)]
    widest = max((len(line) for line in lines), default=0)
    while lines and len(lines[0]) == 1 < widest:  # a title stands above the table
        lines.pop(0)
    if not lines:
        raise InputError(
            given="There is no table in this.",
            do=f"Write a heading such as {EXAMPLE}, and a line for each reading.",
        )
    return lines


def _split_text(text: str) -> list[list[object]]:
    lines = [line for line in text.replace("\u00a0", " ").splitlines() if line.strip()]
    for mark, needed in (("\t", 1), ("|", 1), (";", 1)):
        if any(line.count(mark) >= needed for line in lines):
            return [cells for line in lines if (cells := _parted(line, mark))]
    if any(re.search(r"\S\s{2,}\S", line) for line in lines):
        return [list(re.split(r"\s{2,}", line.strip())) for line in lines]
    if len(lines) > 1 and all("," in line for line in lines):
        raise InputError(
            given="Only commas stand between the entries, and a comma may be a decimal mark too.",
            do="Put semicolons between them, or copy the cells from the spreadsheet itself.",
        )
    return [[line.strip()] for line in lines]


def _parted(line: str, mark: str) -> list[object]:
    """The cells of one line; none for the rule below a heading."""
    if mark == "|":
        line = line.strip().removeprefix("|").removesuffix("|")
    cells = [_unquoted(cell.strip()) for cell in line.split(mark)]
    return [] if mark == "|" and all(_RULE.fullmatch(cell) for cell in cells) else list(cells)


def _unquoted(cell: str) -> str:
    """A cell without the quotes that a spreadsheet puts round it; an inch mark stays."""
    return cell[1:-1] if len(cell) > 1 and cell[0] == cell[-1] == '"' else cell


def read_heading(cell: object) -> Heading:
    """Read the heading of a column.

    Parameters
    ----------
    cell : object
        Heading as written, with or without a unit: ``harness [N]``, ``travel (in)``, ``bend, deg``

    Returns
    -------
    Heading
        Name, unit, and the kinds that it may be

    Examples
    --------
    >>> read_heading("elbow [deg]")
    Heading(name='elbow', unit='deg', kinds=('angle',), trouble='')
    >>> read_heading("generated (table above)").unit
    ''
    """
    text = " ".join(str(cell).split())
    found = _BEHIND.fullmatch(text)
    if found:
        unit = (found["square"] if found["square"] is not None else found["round"]).strip()
        name = found["name"].strip(" ,:")
        kinds = _kinds_of(unit)
        if kinds:
            return Heading(name, kinds[0][1], tuple(kind for kind, _ in kinds))
        if found["square"] and _likely(name):
            kind = _likely(name)[0]
            return Heading(name, "", (), f"“{unit}” is not a unit for a {kind}. {_advice(unit, kind)}")
    name, _, last = text.replace(",", " ").replace("/", " ").rpartition(" ")
    kinds = _kinds_of(last) if name.strip() else []
    if kinds:
        name = text[: text.rindex(last)].strip(" ,/")
        return Heading(name.removesuffix(" in").strip(), kinds[0][1], tuple(kind for kind, _ in kinds))
    return Heading(text, "", _likely(text) or KINDS[:3])


def _advice(unit: str, kind: str) -> str:
    """What to write instead of a unit that does not fit."""
    if kind == "force" and unit.casefold() in ("kg", "g", "kilo", "kilos", "kilogram", "kilograms"):
        return "A kilogram measures a mass; for what a scale in kilograms shows, write kgf."
    usual = {"force": "N, lb or kgf", "length": "mm, cm or in", "angle": "deg or rad"}
    return f"Write {usual[kind]} there."


def _kinds_of(unit: str) -> list[tuple[str, str]]:
    """The kinds that a unit belongs to, with the spelling that is known."""
    found = []
    for kind in KINDS:
        if kind == "ratio" and unit != "%":
            continue
        for spelling in dict.fromkeys((unit, unit.lower(), unit.upper())):
            try:
                if spelling:
                    factor(spelling, kind)
                    found.append((kind, spelling))
                    break
            except InputError:
                continue
    return found


def _likely(name: str) -> tuple[str, ...]:
    """The kinds that the words of a name speak for, the first word first."""
    words = re.findall(r"[a-z]+", name.casefold())
    return tuple(dict.fromkeys(kind for word in words for kind, known in _WORDS.items() if word in known))
