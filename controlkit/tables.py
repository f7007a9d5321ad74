"""Words and tables for people: as HTML in a notebook and as text anywhere else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from html import escape
from typing import Any

_NAMES, _LONG, _WORDS = 150, 200, 250
"""Room for names, bars and words beside each other in a picture of bars [px]."""


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
    about : tuple of str
        Names of the questions that need it; empty where it is for all of them
    """

    caption: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    sources: tuple[str, ...] = ()
    about: tuple[str, ...] = ()

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

    def as_data(self) -> dict[str, Any]:
        """The table as plain data.

        Returns
        -------
        dict
            For JSON

        Examples
        --------
        >>> rings = Table("Rings", ("ring", "height"), (("one", "60 mm"), ("second", "90 mm")))
        >>> Table.from_data(rings.as_data()) == rings
        True
        """
        return {one.name: getattr(self, one.name) for one in fields(self)}

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> Table:
        """A table from its plain data.

        Parameters
        ----------
        data : mapping
            As `as_data` gave it

        Returns
        -------
        Table
            The same

        Raises
        ------
        KeyError, TypeError
            If it is none
        """
        rows = tuple(tuple(str(cell) for cell in row) for row in data["rows"])
        header, sources, about = (tuple(str(one) for one in data[name]) for name in ("header", "sources", "about"))
        return cls(str(data["caption"]), header, rows, sources=sources, about=about)

    def __str__(self) -> str:
        return self.text()

    def _repr_mimebundle_(self, **_: Any) -> dict[str, str]:
        return {"text/html": self.html(), "text/plain": self.text()}


@dataclass(frozen=True)
class Bars:
    """Shares of something, each as a bar, a name and words.

    Parameters
    ----------
    caption : str
        What the bars show
    rows : tuple of (str, float, str)
        Name, share from 0 to 1 [-], and the share in words
    """

    caption: str
    rows: tuple[tuple[str, float, str], ...]

    def html(self) -> str:
        """The bars for a notebook.

        Returns
        -------
        str
            A picture in the colour of the text around it, with everything it shows in words for those who do not
            see it
        """
        drawn = "".join(
            f'<text x="{_NAMES - 8}" y="{y + 13}" text-anchor="end">{escape(name)}</text>'
            f'<rect x="{_NAMES}" y="{y + 2}" width="{_LONG}" height="14" fill="currentColor" opacity="0.15"/>'
            f'<rect x="{_NAMES}" y="{y + 2}" width="{_LONG * share:.1f}" height="14" fill="currentColor" opacity=".7"/>'
            f'<text x="{_NAMES + _LONG + 8}" y="{y + 13}">{escape(words)}</text>'
            for y, (name, share, words) in ((20 * line, row) for line, row in enumerate(self.rows))
        )
        spoken = escape(f"{self.caption}: " + "; ".join(f"{name}, {words}" for name, _, words in self.rows), quote=True)
        high, wide = 20 * len(self.rows), _NAMES + _LONG + _WORDS
        return (
            f'<svg role="img" aria-label="{spoken}" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}" '
            f'style="max-width:100%;fill:currentColor;font-size:13px;font-family:inherit">{drawn}</svg>'
        )

    def text(self) -> str:
        """The bars as plain text.

        Returns
        -------
        str
            One line a bar

        Examples
        --------
        >>> print(Bars("Points", (("ring", 0.5, "2 of 4"), ("crossbar", 1.0, "full"))).text())
        Points
        ring      #####.....  2 of 4
        crossbar  ##########  full
        """
        longest = max((len(name) for name, _, _ in self.rows), default=0)
        return "\n".join(
            [
                self.caption,
                *(f"{name:{longest}}  {'#' * round(10 * share):.<10}  {words}" for name, share, words in self.rows),
            ]
        )


@dataclass(frozen=True)
class Fold:
    """Words and tables behind one line that opens them.

    Parameters
    ----------
    line : str
        What can be read before it is opened
    parts : tuple of str, Table or Bars
        What is behind it
    """

    line: str
    parts: tuple[str | Table | Bars, ...]

    def html(self) -> str:
        """The fold for a notebook.

        Returns
        -------
        str
            A line that opens with mouse or keyboard
        """
        inner = "".join(_html(part) for part in self.parts)
        return f'<details><summary style="cursor:pointer">{escape(self.line)}</summary>{inner}</details>'

    def text(self) -> str:
        """The fold as plain text.

        Returns
        -------
        str
            Everything, one below the other
        """
        return "\n\n".join([self.line, *(_text(part) for part in self.parts)])


@dataclass(frozen=True)
class Handout:
    """Words, tables and bars in order.

    Parameters
    ----------
    title : str
        Heading
    parts : tuple of str, Table, Bars or Fold
        What stands below it; lines of a text stay lines
    """

    title: str
    parts: tuple[str | Table | Bars | Fold, ...]

    def _repr_html_(self) -> str:
        return f"<section><h4>{escape(self.title)}</h4>{''.join(_html(part) for part in self.parts)}</section>"

    def __repr__(self) -> str:
        return "\n\n".join([self.title, *(_text(part) for part in self.parts)])


def _html(part: str | Table | Bars | Fold) -> str:
    if isinstance(part, str):
        return f'<p style="white-space:pre-line">{escape(part)}</p>'
    return part.html()


def _text(part: str | Table | Bars | Fold) -> str:
    return part if isinstance(part, str) else part.text()


def _cell(tag: str, text: str, style: str = "") -> str:
    """One cell of a table, left-aligned."""
    look = ";".join(part for part in ("text-align:left", style) if part)
    return f'<{tag} style="{look}">{escape(text)}</{tag.split()[0]}>'
