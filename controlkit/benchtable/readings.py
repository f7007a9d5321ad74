"""Readings typed or pasted at the bench: checked cell by cell, in either unit system."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import zip_longest

from controlkit.benchtable.text import EXAMPLE, Heading, is_empty, read_heading, split_table
from controlkit.tables import Handout, Table
from controlkit.units import InputError, read, show

MOST_ROWS = 1000
"""Readings in one table, more than any bench fills [-]."""


@dataclass(frozen=True)
class Unread:
    """A cell, a row or a column that could not be read.

    Parameters
    ----------
    row : int
        Which row below the heading, from 1; 0 for the whole column [-]
    column : str
        Name of the column; empty for the whole row
    says : str
        What was given, what is allowed, what to do
    """

    row: int
    column: str
    says: str

    @property
    def words(self) -> str:
        """Place and trouble in one sentence.

        Returns
        -------
        str
            For example "Row 3, harness: ..."
        """
        place = [f"Row {self.row}"] if self.row else []
        place += [self.column if self.row else f"Column {self.column}"] if self.column else []
        return f"{', '.join(place)}: {self.says}"


@dataclass(frozen=True)
class Column:
    """One column of readings.

    Parameters
    ----------
    name : str
        Name without the unit
    kind : str
        Kind of quantity; empty for a column of words
    values : tuple of float
        Readings; not a number where there is none [SI]
    words : tuple of str
        Cells as written
    """

    name: str
    kind: str
    values: tuple[float, ...]
    words: tuple[str, ...]

    def named(self, *words: str) -> bool:
        """Whether one of some words stands in the name.

        Parameters
        ----------
        *words : str
            Whole words, small letters

        Returns
        -------
        bool
            True if it does
        """
        return bool(set(words) & set(re.findall(r"[a-z0-9]+", self.name.casefold())))


@dataclass(frozen=True)
class BenchReadings:
    """A table of readings in SI units, with what could not be read.

    Parameters
    ----------
    columns : tuple of Column
        In the order of the table, all of the same length
    troubles : tuple of Unread
        What could not be read; the rest stands
    notes : tuple of str
        What was read in another way than the heading says
    """

    columns: tuple[Column, ...]
    troubles: tuple[Unread, ...]
    notes: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.columns[0].words)

    def column(self, name: str) -> Column:
        """The column of that name.

        Parameters
        ----------
        name : str
            Its name, or words of it that no other has all of

        Returns
        -------
        Column
            The column

        Raises
        ------
        InputError
            If there is none, or more than one
        """
        wanted = name.casefold().strip()
        found = [column for column in self.columns if column.name.casefold() == wanted]
        if not found:
            found = [column for column in self.columns if all(column.named(word) for word in wanted.split())]
        if len(found) == 1:
            return found[0]
        names = ", ".join(f'"{column.name}"' for column in self.columns)
        many = "no column" if not found else "more than one column"
        raise InputError(
            given=f'The table has {many} "{name}".',
            allowed=f"Its columns are {names}.",
        )

    @property
    def handout(self) -> Handout:
        """The table in both unit systems, and what could not be read.

        Returns
        -------
        Handout
            HTML in a notebook, text elsewhere
        """
        rows = tuple((str(row + 1), *(_shown(column, row) for column in self.columns)) for row in range(len(self)))
        table = Table("Readings", ("row", *(column.name for column in self.columns)), rows)
        told = [trouble.words for trouble in self.troubles]
        left = (f"{len(told)} could not be read; the rest stands.", *told) if told else ()
        return Handout("Bench readings", (table, *self.notes, *left))

    def _repr_html_(self) -> str:
        return self.handout._repr_html_()

    def __repr__(self) -> str:
        return repr(self.handout)


def read_bench(table: str | Sequence[Sequence[object]], *, heading: str = "") -> BenchReadings:
    """Read a table of bench readings.

    Parameters
    ----------
    table : str or sequence of sequences
        Typed, or pasted from a spreadsheet, a bench sheet or a markdown page. Tabs, bars, semicolons or
        wide gaps part the cells; units stand in the heading, in a line below it, or behind the numbers;
        both decimal marks are read; empty and dashed cells are left out
    heading : str
        The heading, if the table has none: for example ``"bend [deg]; device [N]; harness [N]"``

    Returns
    -------
    BenchReadings
        Every cell that could be read, and a sentence for every one that could not

    Raises
    ------
    InputError
        If there is no table, no heading, or no row

    Examples
    --------
    >>> bench = read_bench("bend [deg]; harness [lb]\\n90; 12,5\\n180; -\\n270; 1x")
    >>> [round(value, 1) for value in bench.column("harness").values]
    [55.6, nan, nan]
    >>> bench.troubles[0].row
    3
    """
    lines = split_table(table)
    if heading:
        lines = [*split_table(heading)[:1], *lines]
    top, rows = lines[0], lines[1:]
    if not any(isinstance(cell, str) and re.match(r"\s*[^\W\d_]", cell) for cell in top):
        raise InputError(
            given="The first line holds no names.",
            do=f"Put a heading above the numbers, for example {EXAMPLE}, or hand it over with the word heading.",
        )
    if rows and all(isinstance(cell, str) and _is_unit(cell) for cell in rows[0]):
        below = [str(cell).strip(" []()") if not is_empty(cell) else "" for cell in rows.pop(0)]
        top = [f"{name} [{unit}]" if unit else name for name, unit in zip_longest(top, below, fillvalue="")]
    if not rows:
        raise InputError(
            given="There is a heading and no reading below it.",
            do="Write one line for each reading.",
        )
    if len(rows) > MOST_ROWS:
        raise InputError(
            given=f"The table has {len(rows)} rows.",
            do=f"Paste at most {MOST_ROWS} at once.",
        )
    troubles = [
        Unread(number, "", f"it has {len(row)} entries and the heading {len(top)}; the row is left out. "
                "Is there a mark too many in it, or a name missing in the heading?")
        for number, row in enumerate(rows, 1)
        if any(not is_empty(cell) for cell in row[len(top):])
    ]  # fmt: skip
    skipped = {trouble.row for trouble in troubles}
    notes: list[str] = []
    columns = []
    for place, name in enumerate(top):
        cells = [row[place] if place < len(row) and n not in skipped else None for n, row in enumerate(rows, 1)]
        columns.append(_read_column(read_heading(name), cells, troubles, notes))
    return BenchReadings(tuple(columns), tuple(sorted(troubles, key=lambda trouble: trouble.row)), tuple(notes))


def _is_unit(cell: str) -> bool:
    inside = cell.strip(" []()")
    return is_empty(cell) or (not re.search(r"\d", cell) and bool(read_heading(f"x [{inside}]").unit))


def _read_column(heading: Heading, cells: list[object], troubles: list[Unread], notes: list[str]) -> Column:
    """Read the cells of one column; what can't be read goes to the lists."""
    words = tuple("" if is_empty(cell) else str(cell).strip() for cell in cells)
    nothing = (math.nan,) * len(cells)
    if heading.trouble:
        troubles.append(Unread(0, heading.name, heading.trouble))
        return Column(heading.name, "", nothing, words)
    if not any(re.search(r"\d", word) for word in words):  # names, strokes, remarks, or nothing yet
        return Column(heading.name, heading.kinds[0] if heading.unit else "", nothing, words)
    kind = _kind_of(heading, words)
    if not heading.unit and not any(_alone(word, kind) is not None for word in words):
        says = f"its numbers have no unit. Write it in the heading, as in “{heading.name} [{_usual(kind)}]”."
        troubles.append(Unread(0, heading.name, says))
        return Column(heading.name, kind, nothing, words)
    values = []
    for row, (cell, word) in enumerate(zip(cells, words, strict=True), 1):
        value = math.nan
        try:
            if word:
                value = _read_cell(cell, kind, heading, row=row, notes=notes)
        except InputError as trouble:
            troubles.append(Unread(row, heading.name, str(trouble)))
        values.append(value)
    return Column(heading.name, kind, tuple(values), words)


def _kind_of(heading: Heading, words: tuple[str, ...]) -> str:
    """The kind of quantity: by the unit of the heading, else of the first cell that has one, else by name."""
    if heading.unit:
        return heading.kinds[0]
    for word in words:
        for kind in dict.fromkeys((*heading.kinds, "length", "force", "angle")):
            if _alone(word, kind) is not None:
                return kind
    return heading.kinds[0]


def _alone(word: str, kind: str) -> float | None:
    """A cell that is complete in itself, with a unit of that kind."""
    try:
        return read(word, kind) if word else None
    except InputError:
        return None


def _read_cell(cell: object, kind: str, heading: Heading, *, row: int, notes: list[str]) -> float:
    given = cell.strip() if isinstance(cell, str) else cell
    value = _alone(given, kind) if isinstance(given, str) and kind != "ratio" else None
    if value is None:
        value = read(given, kind, unit=heading.unit or None)
    elif heading.unit:
        assert isinstance(given, str)
        bare = re.sub(r"\D+$", "", given)
        asked = _alone(f"{bare} {heading.unit}", kind)
        if asked is None or not math.isclose(asked, value, rel_tol=1e-9):
            notes.append(
                f"Row {row}, {heading.name}: “{given}” was read in its own unit, as {show(value, kind)}, "
                f"not in the {heading.unit} of the heading."
            )
    if kind == "force" and value < 0.0:
        raise InputError(
            given=f"“{given}” is negative, and a scale reads how hard it pulls.",
            do="Write the size; which way the cable moved goes into a column “stroke”: out or back.",
        )
    return value


def _usual(kind: str) -> str:
    return {"force": "N", "length": "mm", "angle": "deg"}.get(kind, "%")


def _shown(column: Column, row: int) -> str:
    if column.kind and math.isfinite(column.values[row]):
        return show(column.values[row], column.kind)
    return column.words[row] if not column.kind else "-"
