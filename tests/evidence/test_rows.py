"""Every published figure that the package holds, and what became of it.

Each file in ``rows/`` has a subject and holds one line a fact, under a key of its own and a few words:

- ``tested``: the test that compares it, as ``folder/file.py::test`` (or a list of them);
- ``range``: where it is used as a range and not compared;
- ``declined``: why it is not used, honestly.

``sources`` names its values in `controlkit.sources`, ``but`` what the test leaves out. ``records.toml`` names records
by their key: those whose values are inputs or remarks, and those from which a method is taken and no value.
"""

from __future__ import annotations

import ast
import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from functools import cache
from importlib import resources
from pathlib import Path
from typing import Any

import pytest

from controlkit.sources import all_sources, source
from controlkit.units import InputError

TESTS = Path(__file__).resolve().parents[1]
FATES = ("tested", "range", "declined")
ROWS = TESTS / "evidence" / "rows"
FILES = sorted(path for path in ROWS.glob("*.toml") if path.stem != "records")


@cache
def _file(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text(encoding="utf-8"))  # a key that stands twice is an error of the format


def _sections() -> Iterator[tuple[str, dict[str, Any]]]:
    for path in FILES:
        for name, section in _file(path).items():
            yield f"{path.stem}/{name}", section


def _rows() -> list[tuple[str, dict[str, Any]]]:
    return [(f"{name}/{key}", row) for name, section in _sections() for key, row in section.items() if key != "about"]


@cache
def _tests_in(path: Path) -> frozenset[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return frozenset(node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


@cache
def _records() -> dict[str, str]:
    text = (resources.files("controlkit.sources") / "citations.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@pytest.mark.parametrize(("name", "section"), list(_sections()), ids=[name for name, _ in _sections()])
def test_a_section_has_its_subject_and_rows(name: str, section: dict[str, Any]) -> None:
    assert len(section["about"].split()) > 0, name
    assert len(section) > 1, name


@pytest.mark.parametrize(("name", "row"), _rows(), ids=[name for name, _ in _rows()])
def test_each_row_has_one_fate(name: str, row: dict[str, Any]) -> None:
    assert set(row) <= {"is", "sources", "but", *FATES}
    fates = [fate for fate in FATES if fate in row]
    assert len(fates) == 1, name
    assert len(row["is"].split()) <= 16  # words that name a row, no quotation
    for words in (row.get("range"), row.get("declined"), row.get("but")):
        assert words is None or len(words) > 8


@pytest.mark.parametrize(("name", "row"), [r for r in _rows() if "tested" in r[1]])
def test_a_tested_row_names_a_test_that_exists(name: str, row: dict[str, Any]) -> None:
    named = [row["tested"]] if isinstance(row["tested"], str) else row["tested"]
    assert named
    for place in named:
        file, _, test = place.partition("::")
        assert test.startswith("test_")
        assert test in _tests_in(TESTS / file), f"{name}: {place}"


def test_every_source_named_exists_and_no_row_names_one_twice() -> None:
    for name, row in _rows():
        named = row.get("sources", [])
        for id_ in named:
            assert source(id_).id == id_
        assert max(Counter(named).values(), default=1) == 1, name
    with pytest.raises(InputError):
        source("no_such_value")


def test_every_value_in_the_package_has_a_row_or_its_record_says_what_it_is_for() -> None:
    """A value added to the package must be entered here: with its row, or with its record and why it is there."""
    inputs = _file(ROWS / "records.toml")["values"]
    assert set(inputs) <= set(_records())
    of_inputs = {_records()[key] for key in inputs}
    named = {id_ for _, row in _rows() for id_ in row.get("sources", [])}
    left = [v.id for v in all_sources() if v.id not in named and v.citation not in of_inputs]
    assert left == []
    both = [v.id for v in all_sources() if v.id in named and v.citation in of_inputs]
    assert both == []


def test_every_record_has_a_value_or_is_named_where_its_method_is_used() -> None:
    """No record stands for show, and none that a method comes from is missing."""
    methods = _file(ROWS / "records.toml")["methods"]
    cited = {value.citation for value in all_sources()}
    assert {key for key, record in _records().items() if record not in cited} == set(methods)
    for key, method in methods.items():
        text = " ".join((TESTS.parent / method["in"]).read_text(encoding="utf-8").split())
        assert method["names"] in text, key
        author, year = method["names"].split()[0], re.search(r"\d{4}", _records()[key])
        assert author in _records()[key]
        assert year is not None


def test_most_rows_that_carry_a_number_are_tested() -> None:
    """A count to look at, and a floor under it: declining must stay the exception."""
    with_number = [row for _, row in _rows() if row.get("sources")]
    fates = Counter(next(fate for fate in FATES if fate in row) for row in with_number)
    assert fates["tested"] > 0.6 * len(with_number)
    assert fates["declined"] < 0.2 * len(with_number)
