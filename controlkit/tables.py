"""Words and tables for people: as HTML in a notebook and as text anywhere else."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Any


@dataclass(frozen=True)
class Table:
    """A small table with a caption.

    Parameters
    ----------
    caption : str
        What the table holds
    header : tuple of str
        Names of the columns
    rows : tuple of tuple of str
        One entry a column; the first names the row
    sources : tuple of str
        Where it comes from, a line each: in a notebook folded away beneath the table
    """

    caption: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    sources: tuple[str, ...] = ()

    def html(self) -> str:
        """The table for a notebook.

        Returns
        -------
        str
            HTML with a caption and named rows and columns, all of it left-aligned, and its sources folded beneath
        """
        head = "".join(_cell('th scope="col"', name) for name in self.header)
        body = "".join(
            "<tr>"
            + _cell('th scope="row"', row[0], "font-weight:normal")
            + "".join(_cell("td", one) for one in row[1:])
            + "</tr>"
            for row in self.rows
        )
        caption = _cell("caption", self.caption, "font-weight:bold")
        table = f"<table>{caption}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
        if not self.sources:
            return table
        lines = "".join(f"<li>{escape(line)}</li>" for line in self.sources)
        return f"{table}<details><summary>Sources and remarks</summary><ul>{lines}</ul></details>"

    def text(self) -> str:
        """The table as plain text.

        Returns
        -------
        str
            Columns lined up with blanks

        Examples
        --------
        >>> print(Table("Rings", ("ring", "height"), (("one", "60 mm"), ("second", "90 mm"))).text())
        Rings
        ring    height
        one     60 mm
        second  90 mm
        """
        lines = [self.header, *self.rows]
        widths = [max(len(line[column]) for line in lines) for column in range(len(self.header))]
        set_out = ["  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)) for line in lines]
        sources = ["Sources and remarks:", *self.sources] if self.sources else []
        return "\n".join([self.caption, *(line.rstrip() for line in set_out), *sources])

    def __str__(self) -> str:
        return self.text()

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        return {"text/html": self.html(), "text/plain": self.text()}


@dataclass(frozen=True)
class Handout:
    """Words and tables in order.

    Parameters
    ----------
    title : str
        Heading
    parts : tuple of str or Table
        Paragraphs and tables
    """

    title: str
    parts: tuple[str | Table, ...]

    def _repr_html_(self) -> str:
        inner = "".join(part.html() if isinstance(part, Table) else f"<p>{escape(part)}</p>" for part in self.parts)
        return f"<section><h4>{escape(self.title)}</h4>{inner}</section>"

    def __repr__(self) -> str:
        return "\n\n".join([self.title, *(part.text() if isinstance(part, Table) else part for part in self.parts)])


def _cell(tag: str, text: str, style: str = "") -> str:
    """One cell of a table, left-aligned."""
    look = ";".join(part for part in ("text-align:left", style) if part)
    return f'<{tag} style="{look}">{escape(text)}</{tag.split()[0]}>'
