"""Feedback by nbgrader's own command, for everybody, offline, never nought of four for what nobody has read."""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from pathlib import Path

import pytest
from traitlets.config import PyFileConfigLoader

from controlkit.classroom.handing_back import HandedBack, enter_marks, hand_back
from controlkit.classroom.records import ClassFolder
from tests.classroom.handing_back.conftest import SCRIPT, WHY
from tests.classroom.handing_back.test_gradebook import by_hand


def read(folder: ClassFolder, student: str) -> str:
    return (folder.path / "feedback" / student / "ex03" / "ex03.html").read_text(encoding="utf-8")


def test_everybody_who_handed_in_gets_a_page_and_the_others_are_named(
    handed_back: HandedBack, marked_class: ClassFolder
) -> None:
    assert [student for student, _ in handed_back.pages] == ["s01", "s02", "s03", "s04", "s05", "s06", "s07"]
    assert handed_back.without == (("s08", "nothing was handed in"),)
    assert all(page.is_file() for _, page in handed_back.pages)


def test_what_is_not_read_is_never_nought_of_four(handed_back: HandedBack, marked_class: ClassFolder) -> None:
    page = unescape(read(marked_class, "s01"))
    assert "20 of 20 points" in page
    assert "4 more wait for your instructor, so this is not yet the whole" in page
    assert "not yet read" in page
    for student in ("s01", "s02", "s04", "s05", "s06"):
        assert not re.search(
            r"\b0(\.0)? (of|/) 4", read(marked_class, student).split("Points by item")[1].split("excursion")[0]
        )
        assert "why: <strong>not yet read</strong>, up to 4 points" in read(marked_class, student)
    assert "why: 0 of 4 points" in read(marked_class, "s03")  # nothing was written
    assert "comment:" not in read(marked_class, "s03")  # and nobody commented on that
    assert "with a comment" not in read(marked_class, "s03")


def test_what_could_not_be_run_is_said(handed_back: HandedBack, marked_class: ClassFolder) -> None:
    assert "design: <strong>could not be run here</strong>, up to 6 points" in read(marked_class, "s06")


def test_it_holds_answers_words_and_what_to_do(handed_back: HandedBack, marked_class: ClassFolder) -> None:
    assert WHY in unescape(read(marked_class, "s01"))
    marked = marked_class.marked("ex03", "s02")
    assert marked is not None
    for mark in marked.items:
        if not mark.by_hand:
            assert mark.words in unescape(read(marked_class, "s02"))
    assert "Write your own name." in read(marked_class, "s07")
    assert "Handed in after the time set." in read(marked_class, "s04")
    assert "Traceback" not in read(marked_class, "s02")


def test_nothing_in_it_runs_or_is_fetched(handed_back: HandedBack, marked_class: ClassFolder) -> None:
    for student, page in handed_back.pages:
        text = page.read_text(encoding="utf-8")
        assert "<script" not in text, student
        assert "<img" not in text, student
        assert not re.search(r"(?:src|href)\s*=\s*[\"']?(?:https?:)?//", text), student
        assert "javascript:" not in re.sub(r"<pre.*?</pre>", "", text, flags=re.DOTALL)
        assert len(text) < 200_000
    assert SCRIPT in unescape(read(marked_class, "s02"))  # it is there to be read


def test_marks_and_comments_by_hand_come_with_the_next_page(own_class: ClassFolder, stock: Callable[..., str]) -> None:
    by_hand(own_class, "s01", "why", 3.5, "See page 2 & <i>think</i>.")
    stock(own_class, "generate_feedback", "ex03", "--force")  # by nbgrader's own command alone
    page = read(own_class, "s01")
    assert "why: 3.5 of 4 points" in page
    assert "23.5 of 24 points" in page
    assert "See page 2 &amp; &lt;i&gt;think&lt;/i&gt;." in page
    assert "not yet" not in page
    assert "not yet read" in read(own_class, "s04")


def test_one_bad_page_stops_no_other(own_class: ClassFolder) -> None:
    (own_class.path / "autograded" / "s02" / "ex03" / "ex03.ipynb").write_text("{", encoding="utf-8")
    told: list[str] = []
    back = hand_back(own_class, "ex03", done=told.append, processes=1)
    assert [student for student, _ in back.pages] == ["s01", "s03", "s04", "s05", "s06", "s07"]
    assert [student for student, _ in back.without] == ["s02", "s08"]
    assert "NotJSONError" in dict(back.without)["s02"]
    assert sorted(told) == [one.id for one in own_class.roster]


def test_nothing_marked_is_no_work(own_class: ClassFolder) -> None:
    back = hand_back(own_class, "ex04")
    assert back.pages == ()
    assert {why for _, why in back.without} == {"nothing was handed in"}


def test_what_the_exchange_laid_beside_a_notebook_goes_on_with_its_page(own_class: ClassFolder) -> None:
    """By it feedback finds its way back; no link is followed, and nothing large is taken for it."""
    for student in ("s01", "s02", "s03"):
        (own_class.path / "submitted" / student / "ex03").mkdir(parents=True)
    came = own_class.path / "submitted"
    (came / "s01" / "ex03" / "timestamp.txt").write_text("2026-03-02 09:30:00.000000 UTC")
    (came / "s01" / "ex03" / "submission_secret.txt").write_text("ab12")
    (came / "s02" / "ex03" / "submission_secret.txt").symlink_to(own_class.path / "roster.csv")
    (came / "s03" / "ex03" / "submission_secret.txt").write_text("0" * 1001)
    enter_marks(own_class, "ex03")
    beside = {path.parents[1].name: path.read_text() for path in own_class.path.glob("autograded/*/ex03/*secret.txt")}
    assert beside == {"s01": "ab12"}
    assert (own_class.path / "autograded/s01/ex03/timestamp.txt").read_text() == "2026-03-02 09:30:00.000000 UTC"
    (came / "s01" / "ex03" / "submission_secret.txt").write_text("cd34")  # handed in again
    enter_marks(own_class, "ex03")
    assert (own_class.path / "autograded/s01/ex03/submission_secret.txt").read_text() == "cd34"


def test_the_configuration_of_a_class_holds_wherever_it_is_read(
    marked_class: ClassFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A hub starts nbgrader's form in a home, and not in the class folder."""
    monkeypatch.chdir(tmp_path)
    held = PyFileConfigLoader("nbgrader_config.py", path=str(marked_class.path)).load_config()
    assert Path(held.OnlyOurs.released) == marked_class.path.resolve() / "release"
    assert str(marked_class.path.resolve() / "templates") in held.HTMLExporter.extra_template_basedirs
