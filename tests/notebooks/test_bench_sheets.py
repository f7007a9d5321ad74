"""What is written into the tables of a bench sheet can be typed into the course and is read back."""

from __future__ import annotations

import math
import re
from html.parser import HTMLParser
from pathlib import Path

import nbformat
import pytest

from controlkit.benchtable.findings import friction_of
from controlkit.benchtable.readings import read_bench
from controlkit.mechanics import tension_ratio
from controlkit.units import deg

SHEETS = sorted((Path(__file__).resolve().parents[2] / "course" / "bench-sheets").glob("*.html"))


class _Tables(HTMLParser):
    """Cells of every table of a page, row by row."""

    def __init__(self) -> None:
        super().__init__()
        self.tables: list[list[list[str]]] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("th", "td"):
            self.tables[-1][-1].append("")
            self._inside = True

    def handle_endtag(self, tag: str) -> None:
        if tag in ("th", "td"):
            self._inside = False

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.tables[-1][-1][-1] += data


def _tables(path: Path) -> list[list[list[str]]]:
    parser = _Tables()
    parser.feed(path.read_text(encoding="utf-8"))
    return parser.tables


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_every_table_is_read_back(path: Path) -> None:
    """Filled in, no cell is left unread; empty, it is a table without readings. The first is the lesson's own."""
    tables = _tables(path)
    assert tables
    for heads, *rows in tables if path.stem[:2] in ("04", "05") else tables[:1]:
        assert all(len(row) == len(heads) for row in rows)
        # what is printed in a row stays, a hint where a reading belongs is written over
        filled = [
            [
                cell if "[" not in head or re.search(r"\d", cell) else "12,5"
                for cell, head in zip(row, heads, strict=True)
            ]
            for row in rows
        ]
        filled = [[cell or "12.5 mm" for cell in row] for row in filled]
        bench = read_bench([heads, *filled])
        assert [trouble.words for trouble in bench.troubles] == []
        for column, head, cells in zip(bench.columns, heads, zip(*rows, strict=True), strict=True):
            if not all(cells):
                assert column.kind, head
                assert all(math.isfinite(value) for value in column.values), head
        assert len(read_bench([heads, *rows])) == len(rows)


def test_sheet_4_gives_the_friction_back() -> None:
    """A cable of known friction, written into the sheet's own table."""
    (path,) = (path for path in SHEETS if path.stem.startswith("04-"))
    heads, *rows = _tables(path)[0]
    filled = []
    for bend, *_ in rows:
        share = tension_ratio(0.11, deg(float(bend)))
        filled.append([bend, "20", f"{20 / share:.1f}", f"{20 * share:.1f}"])
    assert friction_of(read_bench([heads, *filled])).result.value == pytest.approx(0.11, abs=0.003)


def test_the_lesson_has_the_tables_of_its_sheet() -> None:
    """The heading in the cell that reads it is the heading on paper."""
    for path in SHEETS:
        heads, *rows = _tables(path)[0]
        cells = nbformat.read(path.parents[1] / f"{path.stem}.ipynb", as_version=4).cells
        source = next(cell.source for cell in cells if cell.id == "bench-table")
        typed = [[part.strip() for part in line.split("|")] for line in source.splitlines() if "|" in line]
        empty = [row[:1] + [cell if re.fullmatch(r"[\d.]+", cell) else "-" for cell in row[1:]] for row in rows]
        assert typed == [heads, *empty], path.stem
