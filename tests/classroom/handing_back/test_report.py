"""The report of a class: what it counts, who needs a word, and a page that names nobody."""

from __future__ import annotations

import csv
import io
import re
from html import unescape
from pathlib import Path

import pytest

from controlkit.checking import Exercise
from controlkit.classroom.handing_back import write_report
from controlkit.classroom.handing_back.page import histogram
from controlkit.classroom.handing_back.report import Reports, report
from controlkit.classroom.handing_back.standing import standings
from controlkit.classroom.handing_back.tally import Tally, tally
from controlkit.classroom.records import ClassFolder
from tests.classroom.handing_back.conftest import SCRIPT
from tests.classroom.handing_back.test_gradebook import by_hand


@pytest.fixture(scope="module")
def reports(marked_class: ClassFolder) -> Reports:
    return write_report(marked_class, "ex03")


@pytest.fixture(scope="module")
def words(reports: Reports) -> str:
    return plain(reports.page)


def plain(path: Path) -> str:
    """What a page says, a blank between its parts."""
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", path.read_text(encoding="utf-8"))).split())


def test_the_middle_of_the_class_is_told_in_words(words: str, ex03_exercise: Exercise) -> None:
    assert re.search(r"Half of the class or more earned at least \d+% of the points marked so far\.", words)
    best = Tally(students=3, handed_in=3, late=0, unread=0, shares=(0.5, 1.0, 1.0), items=(), ideas=())
    said = " ".join(re.sub(r"<[^>]+>", " ", report(ex03_exercise, (), best)).split())
    assert "Half of the class or more earned all of the points marked so far." in said


def test_it_counts_the_class(words: str) -> None:
    assert "7 of 8 students handed in, 1 of them late." in words
    assert "Ana Lima s01 not yet read 4 4 2 4 6 ?" in words
    assert "Nothing Yet s08 nothing handed in" in words


def test_it_names_who_needs_a_word_and_why(words: str) -> None:
    section = words.split("Who needs a word, and why")[1].split("What waits for you")[0]
    assert "Ana Lima s01 same written answer as Ines, Okoye (s04)" in section
    assert "Zoë van der Berg s03 every answer is blank" in section
    assert re.search(r"Ines, Okoye s04 late: handed in \d+ March 2026, \d\d:\d\d", section)
    assert "Nothing Yet s08 nothing handed in" in section
    assert f"the notebook bears the name {SCRIPT}" in section
    assert re.search(r"Bo Ek s02 \d+% of the points marked so far", section)


def test_it_says_what_waits_and_what_was_not_run(words: str) -> None:
    section = words.split("What waits, and why")[1].split("Items, the hardest first")[0]
    assert "=HYPERLINK(0) Jo s06 design: not run here; why: not yet read" in section
    assert "s03" not in section


def test_wrong_ideas_are_counted_with_their_reason_and_their_question(
    marked_class: ClassFolder, ex03_exercise: Exercise
) -> None:
    counted = tally(ex03_exercise, standings(marked_class, "ex03"))
    assert counted.ideas
    known = {(idea.item, idea.label): idea for idea in ex03_exercise.ideas}
    for one in counted.ideas:
        name = ex03_exercise.items[one.place - 1].name
        expected = sum(
            any(note.label == one.label and note.kind == "idea" for note in mark.noted)
            for student in marked_class.roster
            if (marked := marked_class.marked("ex03", student.id)) is not None
            for mark in marked.items
            if mark.item == name
        )
        assert one.students == expected > 0
        if (name, one.label) in known:
            assert (one.because, one.asks) == (known[name, one.label].held_because, known[name, one.label].ask)


def test_items_are_sorted_and_shares_are_of_what_is_settled(marked_class: ClassFolder, ex03_exercise: Exercise) -> None:
    counted = tally(ex03_exercise, standings(marked_class, "ex03"))
    assert counted.items[-1].called == "why"  # five of seven wait: the two that are blank do not make it the hardest
    shares = [one.share for one in counted.items[:-1] if one.share is not None]
    assert shares == sorted(shares)
    by_name = {one.called: one for one in counted.items}
    assert (by_name["design"].settled, by_name["design"].waits) == (6, 1)
    assert (by_name["why"].settled, by_name["why"].share, by_name["why"].waits) == (2, 0.0, 5)  # two are blank


def test_a_class_that_did_nothing_has_a_report_too(own_class: ClassFolder) -> None:
    made = write_report(own_class, "ex04")
    assert "0 of 8 students handed in." in plain(made.page)
    assert "Nothing is marked yet." in plain(made.page)


def test_once_all_is_read_totals_stand_there(own_class: ClassFolder) -> None:
    by_hand(own_class, "s01", "why", 3.0)
    assert "Ana Lima s01 23 4 4 2 4 6 3" in plain(write_report(own_class, "ex03").page)


def test_the_shared_page_and_table_name_nobody(reports: Reports, marked_class: ClassFolder) -> None:
    for path in (reports.without_names, reports.table):
        text = unescape(path.read_text(encoding="utf-8"))
        for student in marked_class.roster:
            assert student.name not in text
            assert student.id not in text
        assert "alike" not in text
    assert "Items, the hardest first" in plain(reports.without_names)


def test_the_tally_is_a_table_of_whole_rows(reports: Reports) -> None:
    rows = list(csv.DictReader(io.StringIO(reports.table.read_text(encoding="utf-8"))))
    assert {row["what"] for row in rows} == {"item", "idea"}
    assert all(None not in row and None not in row.values() for row in rows)
    assert all(int(row["students"]) <= int(row["of"]) for row in rows)


def test_every_word_of_others_is_escaped(reports: Reports) -> None:
    text = reports.page.read_text(encoding="utf-8")
    assert "<script" not in text
    assert "<img" not in text
    assert "&lt;script&gt;window.hit" in text
    assert not re.search(r"(?:src|href)\s*=\s*[\"']?(?:https?:)?//", text)


def test_the_picture_counts_everybody_once() -> None:
    drawn = histogram("Marks", (0.0, 0.05, 0.1, 0.3, 0.999, 1.0))
    assert "0 to 10 %: 2" in drawn
    assert "10 to 20 %: 1" in drawn
    assert "30 to 40 %: 1" in drawn
    assert "90 to 100 %: 2" in drawn
    assert drawn.count("<rect") == 10
