"""The table of marks: everybody, rightly quoted, no cell that a spreadsheet would work out."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from controlkit.classroom.handing_back import export_marks
from controlkit.classroom.records import ClassFolder
from controlkit.classroom.records.harmless import for_table
from tests.classroom.handing_back.test_gradebook import by_hand


def rows(text: str) -> dict[str, dict[str, str]]:
    return {row["id"]: row for row in csv.DictReader(io.StringIO(text))}


@pytest.fixture(scope="module")
def table(marked_class: ClassFolder, tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, str]]:
    path = export_marks(marked_class, "ex03", tmp_path_factory.mktemp("marks") / "marks.csv")
    assert path.read_bytes().startswith(b"\xef\xbb\xbf")
    return rows(path.read_text(encoding="utf-8-sig"))


def test_every_student_has_a_row(table: dict[str, dict[str, str]], marked_class: ClassFolder) -> None:
    assert list(table) == [one.id for one in marked_class.roster]
    assert table["s08"]["waits for"] == "nothing handed in"
    assert table["s08"]["total"] == ""


def test_an_unread_answer_is_never_nought(table: dict[str, dict[str, str]]) -> None:
    assert table["s01"]["why (of 4)"] == "not yet read"
    assert table["s01"]["by hand"] == "not yet read"
    assert table["s01"]["by checks"] == "20"
    assert table["s01"]["total"] == ""
    assert table["s01"]["out of"] == "24"
    assert table["s03"]["why (of 4)"] == "0"  # nothing was written
    assert table["s03"]["total"] == "0"
    assert table["s06"]["design (of 6)"] == "not run here"


def test_late_attempt_and_remarks(table: dict[str, dict[str, str]]) -> None:
    assert (table["s04"]["late"], table["s04"]["attempt"]) == ("late", "2")
    assert table["s01"]["remarks"] == "same written answer as Ines, Okoye (s04)"
    assert table["s04"]["name"] == "Ines, Okoye"


def test_no_cell_is_a_formula_and_no_name_moves_a_terminal(table: dict[str, dict[str, str]]) -> None:
    assert table["s06"]["name"] == "'=HYPERLINK(0) Jo"
    for row in table.values():
        for cell in row.values():
            assert not cell.startswith(tuple("=+-@\t\r"))
            assert all(ord(char) >= 32 and not 127 <= ord(char) < 160 for char in cell)


def test_points_by_hand_make_the_total(own_class: ClassFolder) -> None:
    by_hand(own_class, "s01", "why", 3.0)
    one = rows(export_marks(own_class, "ex03").read_text(encoding="utf-8-sig"))["s01"]
    assert (one["total"], one["by hand"], one["why (of 4)"], one["waits for"]) == ("23", "3", "3", "")


@given(st.text(alphabet=st.sampled_from("=+-@a1 ;,\t|\"'\n\r\x1b[;m\x9b＝"), max_size=30))
def test_whatever_parts_the_cells_none_begins_as_a_formula(words: str) -> None:
    """A spreadsheet of another language parts at semicolons or tabs, whatever the quotes say."""
    held = for_table(words)
    for separator in (",", ";", "\t", "|"):
        for cell in held.split(separator):
            assert not cell.strip().strip('"').startswith(tuple("=+-@＝"))


def test_stock_export_still_works(own_class: ClassFolder, stock: Callable[..., str]) -> None:
    by_hand(own_class, "s04", "why", 2.0)
    stock(own_class, "export")
    with (own_class.path / "grades.csv").open(encoding="utf-8") as file:
        (*rows_,) = csv.DictReader(file)
    listed = [row["student_id"] for row in rows_ if row["assignment"] == "ex03"]
    assert sorted(listed) == [one.id for one in own_class.roster]
    by_id = {row["student_id"]: row for row in rows_}
    assert (by_id["s04"]["last_name"], by_id["s04"]["first_name"]) == ("Ines", "Okoye")
    assert float(by_id["s04"]["score"]) == 22
    assert float(by_id["s04"]["max_score"]) == 24
    assert all(None not in row and len(row) == 11 for row in rows_)  # no comma of a name made a cell more
