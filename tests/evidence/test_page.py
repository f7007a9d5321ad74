"""The page of evidence: it tells what the rows and the tests tell, and nothing else."""

from __future__ import annotations

import json

import pytest

from controlkit.draw import evidence_tables, practice_tables
from controlkit.draw.page.evidence import _TITLES
from controlkit.sources import all_sources, evidence, evidence_subjects, practice_beside
from controlkit.units import InputError
from tests.evidence.agreement import REWRITE, watched
from tests.evidence.page import PAGE, noted, practice, subjects


def test_the_page_tells_the_rows_and_where_values_are_used() -> None:
    assert noted()["subjects"] == subjects(), REWRITE


def test_every_published_value_of_the_package_is_on_the_page_once() -> None:
    told = [
        name
        for subject in evidence_subjects()
        for part in evidence(subject)
        for row in part.rows
        for name in row.values
    ]
    assert sorted(set(told)) == sorted(value.id for value in all_sources())


def test_every_test_that_the_page_names_was_watched_or_stands_elsewhere() -> None:
    rows = [row for subject in evidence_subjects() for part in evidence(subject) for row in part.rows]
    for row in rows:
        assert (row.fate == "tested") is bool(row.tests)
        for test in row.tests:
            assert (test in noted()["tests"]) is test.startswith("evidence/"), test


def test_the_tables_show_every_row() -> None:
    assert set(_TITLES) == set(evidence_subjects())
    for subject in evidence_subjects():
        shown = [row for table in evidence_tables(subject).parts for row in table.rows]  # type: ignore[union-attr]
        assert len(shown) == sum(len(part.rows) for part in evidence(subject))
        assert all(all(cell for cell in row) for row in shown)
    parts = practice_tables().parts
    assert sum(len(table.rows) for table in parts) == len(practice_beside())  # type: ignore[union-attr]


def test_a_comparison_is_watched_and_an_identity_is_not() -> None:
    with watched() as noted_here:
        assert pytest.approx(10.0, abs=0.5) == 10.2
        assert pytest.approx(3.0) == 3.0
        assert pytest.approx([1.0, 2.0], rel=0.1) == [1.0, 2.1]
        assert pytest.approx(10.0, abs=0.5) != 11.0
    assert noted_here.compared == 4
    assert 0.0999 < noted_here.off < 0.1001


def test_no_evidence_on_what_nobody_knows() -> None:
    with pytest.raises(InputError, match="cable"):
        evidence("weather")


@pytest.mark.long
def test_practice_computed_again_is_what_the_page_tells() -> None:
    told = json.loads(PAGE.read_text(encoding="utf-8"))["practice"]
    assert [row["says"] for row in told] == [row["says"] for row in practice()]
