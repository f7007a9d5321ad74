"""The notebook that a person marks: our pages, her answers as text, our words; nothing else of hers."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import nbformat

from controlkit.classroom.handing_back.autograded import sources_in
from controlkit.classroom.records import ClassFolder
from tests.classroom.handing_back.conftest import SCRIPT, WHY


def notebook(folder: ClassFolder, student: str) -> Any:
    return nbformat.read(folder.path / "autograded" / student / "ex03" / "ex03.ipynb", as_version=4)


def cells(folder: ClassFolder, student: str) -> dict[str, Any]:
    return {
        cell.metadata.get("nbgrader", {}).get("grade_id", cell.id): cell for cell in notebook(folder, student).cells
    }


def test_it_is_a_valid_notebook_with_the_cells_that_nbgrader_knows(
    marked_class: ClassFolder, as_json: Callable[[Path], Any]
) -> None:
    released = as_json(marked_class.path / "release" / "ex03" / "ex03.ipynb")
    known = [cell["metadata"]["nbgrader"] for cell in released["cells"]]
    for student in ("s01", "s02", "s03", "s05"):
        nbformat.validate(notebook(marked_class, student))
        ours = [cell.metadata.nbgrader for cell in notebook(marked_class, student).cells if "nbgrader" in cell.metadata]
        assert ours == known


def test_answers_stand_in_it_as_they_were_typed(marked_class: ClassFolder) -> None:
    there = cells(marked_class, "s01")
    assert WHY in there["why"].source
    assert there["who"].source == "name = 'Ana Lima'"
    assert cells(marked_class, "s03")["excursion"].source == "excursion = ..."


def test_below_a_check_stand_its_own_words_and_nothing_else(marked_class: ClassFolder) -> None:
    for student in ("s01", "s02", "s03", "s06"):
        marked = marked_class.marked("ex03", student)
        assert marked is not None
        there = cells(marked_class, student)
        for mark in marked.items:
            if not mark.by_hand:
                (output,) = there[f"t-{mark.item}"].outputs
                assert output.output_type == "stream"
                assert output.text.startswith(mark.words)
    assert "could not be run here" in cells(marked_class, "s06")["t-design"].outputs[0].text


def test_who_marks_sees_the_case(marked_class: ClassFolder, ex03: Any) -> None:
    case = marked_class.cases("ex03")["s01"]
    assert f"{case.pull}" in "".join(output.text for output in cells(marked_class, "s01")["given-excursion"].outputs)


def test_hostile_text_is_text_and_only_text(marked_class: ClassFolder) -> None:
    raw = (marked_class.path / "autograded" / "s02" / "ex03" / "ex03.ipynb").read_text(encoding="utf-8")
    assert "\\u001b" not in raw
    assert "\x1b" not in raw
    for student in ("s02", "s05", "s07"):
        for cell in notebook(marked_class, student).cells:
            assert cell.cell_type == "code" or SCRIPT not in cell.source
            for output in cell.get("outputs", []):
                assert output.output_type == "stream"
    further = [cell for cell in notebook(marked_class, "s05").cells if "nbgrader" not in cell.metadata]
    assert [cell.cell_type for cell in further] == ["code"] * 3
    assert all(line.startswith("# ") for line in further[2].source.splitlines())


def test_a_broken_page_is_no_page(tmp_path: Path) -> None:
    assert sources_in(tmp_path / "none.ipynb") is None
    for broken in ("", "[]", '{"cells": 3}', '{"cells": [{"metadata": 1}]}'):
        (tmp_path / "broken.ipynb").write_text(broken, encoding="utf-8")
        assert sources_in(tmp_path / "broken.ipynb") is None
    (tmp_path / "good.ipynb").write_text(json.dumps({"cells": []}), encoding="utf-8")
    assert sources_in(tmp_path / "good.ipynb") == {}
