"""A file that nobody could read: it is told as that wherever marks stand, and nowhere is it nought."""

from __future__ import annotations

import csv
import io
import re
from html import unescape
from pathlib import Path

import pytest

from controlkit.checking import Exercise
from controlkit.classroom.handing_back import enter_marks, export_marks, hand_back, write_report
from controlkit.classroom.handing_back.standing import standings
from controlkit.classroom.handing_back.tally import tally
from controlkit.classroom.marking.mark import mark
from controlkit.classroom.records import ClassFolder
from controlkit.classroom.taking_in.take_in import take_in
from tests.checking.hands import Hands
from tests.classroom.handed_in import Nowhere, notebook, put, typed
from tests.classroom.handing_back.test_gradebook import Book, by_hand

WHO = "s08"


@pytest.fixture
def unread(own_class: ClassFolder, tmp_path: Path) -> ClassFolder:
    """The class in which the last student handed in a file that is cut off."""
    put(tmp_path / "back", f"{WHO}/ex03.ipynb", b'{"cells": [')
    take_in(own_class, "ex03", tmp_path / "back", confinement=Nowhere())
    mark(own_class, "ex03")
    enter_marks(own_class, "ex03")
    return own_class


def row(folder: ClassFolder) -> dict[str, str]:
    text = export_marks(folder, "ex03").read_text(encoding="utf-8-sig")
    return next(one for one in csv.DictReader(io.StringIO(text)) if one["id"] == WHO)


def plain(path: Path) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", path.read_text(encoding="utf-8").split("<body>")[1])).split())


def test_it_has_no_marks_and_no_nought(unread: ClassFolder, gradebook: Book) -> None:
    (one,) = (one for one in standings(unread, "ex03") if one.student.id == WHO)
    assert (one.total, one.share, one.says) == (None, None, "not read")
    assert one.unread == "The file is damaged or cut off: it is no notebook."
    for cell in gradebook(unread)[WHO].values():
        if "auto_score" in cell:
            assert (cell["auto_score"], cell["needs_manual_grade"]) == (None, True)
    told = {cell.get("auto_comment") for cell in gradebook(unread)[WHO].values()}
    assert f"Not read. {one.unread}" in told


def test_the_table_of_marks_says_it(unread: ClassFolder) -> None:
    held = row(unread)
    assert (held["total"], held["waits for"], held["by checks"], held["by hand"]) == ("", *["not read"] * 3)
    assert {cell for name, cell in held.items() if "(of" in name} == {"not read"}
    assert "damaged or cut off" in held["remarks"]


def test_her_page_says_what_was_wrong_and_what_to_do(unread: ClassFolder) -> None:
    assert WHO in dict(hand_back(unread, "ex03", processes=1).pages)
    said = plain(unread.path / "feedback" / WHO / "ex03" / "ex03.html")
    assert "Your file could not be read, so it has no marks yet." in said
    assert "The file is damaged or cut off: it is no notebook." in said
    assert "Open it in JupyterLab, see whether your answers are there" in said
    assert not re.search(r"\b0 of", said)
    assert "Your answer" not in said
    assert "why not read , up to 4 points your instructor" in said
    assert "comment" not in said


def test_the_report_counts_it_apart(unread: ClassFolder, ex03_exercise: Exercise) -> None:
    counted = tally(ex03_exercise, standings(unread, "ex03"))
    assert (counted.handed_in, counted.unread, len(counted.shares)) == (8, 1, 7)
    said = plain(write_report(unread, "ex03").page)
    assert "1 file could not be read" in said
    assert f"Nothing Yet {WHO} not read – – – – – –" in said
    assert f"Nothing Yet {WHO} not read. The file is damaged or cut off" in said.split("What waits, and why")[1]


def test_what_comes_after_it_is_marked_as_ever(
    unread: ClassFolder, ex03: Hands, tmp_path: Path, gradebook: Book
) -> None:
    put(tmp_path / "again", f"{WHO}/ex03.ipynb", notebook(ex03, typed(ex03, "Nothing Yet")))
    take_in(unread, "ex03", tmp_path / "again", confinement=Nowhere())
    mark(unread, "ex03")
    enter_marks(unread, "ex03")
    assert row(unread)["by checks"] == "20"
    assert gradebook(unread)[WHO]["t-excursion"]["auto_score"] == 4
    assert not any(str(cell.get("auto_comment")).startswith("Not read") for cell in gradebook(unread)[WHO].values())


def test_points_that_a_person_gave_all_the_same_count(unread: ClassFolder) -> None:
    """She read the answers on paper, say."""
    names = gradebook_cells(unread)
    for name in names:
        by_hand(unread, WHO, name, 2.0)
    assert row(unread)["total"] == f"{2 * len(names)}"


def gradebook_cells(folder: ClassFolder) -> list[str]:
    found = folder.marked("ex03", WHO)
    assert found is not None
    return [one.item if one.by_hand else f"t-{one.item}" for one in found.items]
