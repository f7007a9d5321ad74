"""The notebook that a person reads and marks: our own pages with a student's answers put in as text.

Nothing else of her notebook gets in: no output, no metadata, no Markdown, nothing that a browser would run.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from controlkit.classroom.handing_back.book import CHECK
from controlkit.classroom.records.answers import Submission
from controlkit.classroom.records.harmless import line, seen
from controlkit.classroom.records.marks import ItemMark, Marked

ABOUT = "controlkit"
"""Under this name the notebook's metadata hold what the feedback page says besides."""

TEXT = "text:"
"""A source with a name that begins so is no program text: it is shown as remarks."""

NOT_RUN = "This cell computes its answer, and could not be run here. Your instructor looks at it."


def autograded(
    released: Mapping[str, Any],
    submission: Submission,
    marked: Marked,
    *,
    name: str = "",
    handouts: Mapping[str, str] | None = None,
) -> dict[str, Any]:
    """The notebook of one submission, as nbgrader's form and feedback read it.

    Parameters
    ----------
    released : mapping
        The notebook that was handed out, as it is stored
    submission : Submission
        What was handed in; of it come the texts of its cells, as text
    marked : Marked
        What it earned; of it come the words below each check
    name : str
        Whose it is, as on the roster
    handouts : mapping, optional
        Cell to what it showed the student, as text: her case, and what is given for an item

    Returns
    -------
    dict
        A notebook, as it is stored

    Notes
    -----
    Sources that belong to no item, such as lines of working in cells of her own, follow at the end.
    """
    marks = {one.item: one for one in marked.items}
    shown = handouts or {}
    cells = []
    for one in released["cells"]:
        cell = copy.deepcopy(dict(one))
        grade_id = cell_id(cell)
        meant = cell["metadata"].get("nbgrader", {})
        if cell["cell_type"] == "code":
            cell["outputs"], cell["execution_count"] = [], None
            cell["metadata"] = {key: value for key, value in cell["metadata"].items() if key != "jupyter"}
            if submission.unread and meant.get("solution"):
                cell["source"] = f"# Not read. {line(submission.unread)}"
            elif grade_id == "who":
                cell["source"] = f"name = {line(submission.name)!r}"
            elif meant.get("solution") and grade_id in submission.sources:
                cell["source"] = seen(submission.sources[grade_id])
            elif grade_id in shown:
                cell["outputs"] = _says(shown[grade_id])
            elif grade_id.startswith(CHECK) and grade_id.removeprefix(CHECK) in marks:
                cell["outputs"] = _says(_words(marks[grade_id.removeprefix(CHECK)]))
        cells.append(cell)
    cells += _others(submission, marks)
    about = {
        "name": line(name or submission.name),
        "late": submission.late,
        "unread": line(submission.unread),
        "do": [line(one.do, 500) for one in dict.fromkeys(submission.remarks + marked.remarks) if one.do],
    }
    kernel = {key: released["metadata"][key] for key in ("kernelspec",) if key in released["metadata"]}
    return {
        "cells": cells,
        "metadata": {**kernel, "language_info": {"name": "python"}, ABOUT: about},
        "nbformat": 4,
        "nbformat_minor": 5,
    }


def cell_id(cell: Mapping[str, Any]) -> str:
    """Under which id nbgrader knows a cell.

    Parameters
    ----------
    cell : mapping
        As it is stored

    Returns
    -------
    str
        Empty for none
    """
    return str(cell["metadata"].get("nbgrader", {}).get("grade_id", ""))


def sources_in(path: Path) -> dict[str, str] | None:
    """What stood in the cells when a person could last see them.

    Parameters
    ----------
    path : Path
        The notebook, made here or by nbgrader

    Returns
    -------
    dict of str to str, or None
        Cell to its text; None where there is no such notebook
    """
    try:
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        return {cell_id(cell): _joined(cell["source"]) for cell in cells}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return None


def _joined(source: str | Sequence[str]) -> str:
    return source if isinstance(source, str) else "".join(source)


def _words(mark: ItemMark) -> str:
    said = mark.words.strip()
    return f"{said}\n{NOT_RUN}".strip() if mark.points is None and mark.how != "not read" else said


def _says(text: str) -> list[dict[str, Any]]:
    """Words below a cell, as plain text and nothing else."""
    return [{"output_type": "stream", "name": "stdout", "text": f"{seen(text)}\n"}] if text else []


def _others(submission: Submission, marks: Mapping[str, ItemMark]) -> list[dict[str, Any]]:
    """Cells of her own, below a line that says so."""
    names = [name for name in submission.sources if name not in marks and name != "who"]
    texts = []
    for name in names:
        text = seen(submission.sources[name])
        texts.append("\n".join(f"# {row}" for row in text.split("\n")) if name.startswith(TEXT) else text)
    if not texts:
        return []
    return [_plain(place, text) for place, text in enumerate(["# Further cells of the student's own:", *texts])]


def _plain(place: int, text: str) -> dict[str, Any]:
    cell = {"cell_type": "code", "id": f"further-{place}", "metadata": {}, "source": text}
    return {**cell, "outputs": [], "execution_count": None}
