"""A notebook that nobody trusts, read as a table of cells: nothing in it is run, shown or believed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from controlkit.checking.student.receipt import RECORD
from controlkit.units import InputError

MOST_BYTES = 20_000_000
"""A larger notebook is not read [bytes]."""

MOST_CELLS = 2000
"""More cells than that are not looked at [-]."""

_LONGEST = 200
"""Longest text of a receipt that is looked at [characters]."""

_AGAIN = "Open it in JupyterLab, see whether your answers are there, save it (Ctrl+S) and hand it in again."


@dataclass(frozen=True)
class PageCell:
    """One cell.

    Parameters
    ----------
    kind : str
        "code", "markdown" or "raw"
    source : str
        Its text
    name : str
        Its id, as the exercise gave it; empty for a cell that the student added
    """

    kind: str
    source: str
    name: str = ""


@dataclass(frozen=True)
class ReadPage:
    """A notebook.

    Parameters
    ----------
    cells : tuple of PageCell
        In order
    receipt : mapping
        What its receipt says of name, case and version; empty without one
    """

    cells: tuple[PageCell, ...]
    receipt: Mapping[str, Any] = field(default_factory=dict)

    @property
    def names(self) -> tuple[str, ...]:
        """Ids of its cells, in order, empty ones left out."""
        return tuple(cell.name for cell in self.cells if cell.name)


def read_page(content: bytes) -> ReadPage:
    """Read a notebook.

    Parameters
    ----------
    content : bytes
        The file

    Returns
    -------
    ReadPage
        Its cells

    Raises
    ------
    InputError
        If it is no notebook that can be read: what is wrong, and what the student can do
    """
    if len(content) > MOST_BYTES:
        raise InputError(
            given=f"The file is larger than {MOST_BYTES // 1_000_000} MB.",
            do="Choose Clear Outputs of All Cells in the Edit menu, save it and hand it in again.",
        )
    if not content.strip(b"\x00 \r\n\t"):
        raise InputError(given="The file is empty.", do=_AGAIN)
    try:
        held = json.loads(content.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        raise InputError(given="The file is damaged or cut off: it is no notebook.", do=_AGAIN) from None
    cells = held.get("cells") if isinstance(held, dict) else None
    if not isinstance(cells, list) or not cells:
        raise InputError(given="The file holds no cells.", do=_AGAIN)
    if len(cells) > MOST_CELLS:
        raise InputError(given=f"The file holds more than {MOST_CELLS} cells.", do=_AGAIN)
    read = tuple(_cell(one) for one in cells if isinstance(one, dict))
    return ReadPage(read, _receipt(cells))


def _cell(held: dict[str, Any]) -> PageCell:
    source = held.get("source", "")
    text = "".join(line for line in source if isinstance(line, str)) if isinstance(source, list) else source
    meant = held.get("metadata")
    marks = meant.get("nbgrader") if isinstance(meant, dict) else None
    name = marks.get("grade_id") if isinstance(marks, dict) else held.get("id")
    kind = held.get("cell_type")
    return PageCell(
        kind if kind in ("code", "markdown") else "raw",
        text if isinstance(text, str) else "",
        name if isinstance(name, str) else "",
    )


def _receipt(cells: list[Any]) -> dict[str, Any]:
    """What the last receipt says, short texts and numbers only."""
    found: dict[str, Any] = {}
    for cell in cells:
        outputs = cell.get("outputs") if isinstance(cell, dict) else None
        for output in outputs if isinstance(outputs, list) else ():
            data = output.get("data") if isinstance(output, dict) else None
            record = data.get(RECORD) if isinstance(data, dict) else None
            if isinstance(record, dict):
                found = record
    said: dict[str, Any] = {
        key: str(found[key])[:_LONGEST] for key in ("exercise", "kit_version", "name") if key in found
    }
    case = found.get("case")
    if isinstance(case, dict) and len(case) <= _LONGEST:
        values = {str(key)[:_LONGEST]: value for key, value in case.items() if type(value) in (int, float, str)}
        return {**said, "case": {k: v[:_LONGEST] if isinstance(v, str) else v for k, v in values.items()}}
    return said
