"""`controlkit class`: what an instructor types, and what is said back."""

from __future__ import annotations

import csv
import importlib.util
from datetime import datetime
from pathlib import Path

import pytest

from controlkit.classroom.records import ClassFolder, Student
from controlkit.classroom.records.roster import read_roster
from controlkit.cli import classes, main
from tests.checking.hands import ROOT, Hands
from tests.classroom.handed_in import PEOPLE, notebook, put, typed

Said = pytest.CaptureFixture[str]


@pytest.fixture
def names(tmp_path: Path) -> Path:
    path = tmp_path / "names.csv"
    path.write_text(
        "Student ID,First name,Last name\n"
        + "".join(
            f"s{place:02},{' '.join(name.split()[:-1])},{name.split()[-1]}\n" for place, name in enumerate(PEOPLE, 1)
        ),
        encoding="utf-8-sig",
    )
    return path


@pytest.mark.parametrize(
    ("due", "means"),
    [
        ("2026-12-01", datetime(2026, 12, 1, 23, 59, 59)),
        ("2026-12-01 18:00", datetime(2026, 12, 1, 18)),
        ("2026-12-01T00:00", datetime(2026, 12, 1)),
    ],
)
def test_a_day_without_a_time_counts_to_its_end(due: str, means: datetime) -> None:
    assert classes._time(due) == means.astimezone()


@pytest.mark.parametrize("heading", ["ID number", "Student number", "User ID"])
def test_ids_are_those_of_the_learning_platform(heading: str, tmp_path: Path) -> None:
    path = tmp_path / "names.csv"
    path.write_text(f"First name,Last name,{heading},Email address\nZoë,Marsh,90017,z@example.org\n", encoding="utf-8")
    assert read_roster(path).students == (Student("90017", "Zoë Marsh"),)


def words(said: Said) -> str:
    out, err = said.readouterr()
    assert "Traceback" not in out + err
    return f"{out}\n{err}"


def test_a_class_from_roster_to_report(
    names: Path, tmp_path: Path, every: dict[str, Hands], monkeypatch: pytest.MonkeyPatch, capsys: Said
) -> None:
    hands, folder = every["ex04"], tmp_path / "class"
    monkeypatch.chdir(ROOT)
    assert main(["class", "new", str(folder), "--roster", str(names)]) == 0
    assert "for 5 students" in words(capsys)
    monkeypatch.chdir(folder)
    assert main(["class", "hand-out", "ex04"]) == 0
    assert "5 students have a case, 5 of them new." in words(capsys)
    assert main(["class", "export"]) == 1
    assert "Nothing was taken in yet of ex04." in words(capsys)
    for student, name in (("s01", PEOPLE[0]), ("s03", PEOPLE[2])):
        put(tmp_path / "back", f"{student}/ex04.ipynb", notebook(hands, typed(hands, name)))
    put(tmp_path / "back", "who.ipynb", notebook(hands, {}))
    put(tmp_path / "back", "s04.ipynb", b"")
    put(tmp_path / "back", "s05/all.zip", b"PK")
    assert main(["class", "take-in", "ex04", str(tmp_path / "back"), "--due", "2020-01-01"]) == 0
    said = words(capsys)
    for part in (
        "2 notebooks taken in, 0 as before, 1 could not be read.",
        "s04: not read. The file is empty. Tell her or him: Open it in JupyterLab",
        "Late: s01, s03, s04.",
        "1 notebook is nobody's",
        "Nothing from s02, s05.",
        "s05: all.zip, and no notebook. Ask for the file that ends in .ipynb, not packed.",
    ):
        assert part in said
    assert main(["class", "take-in", "ex04", str(tmp_path / "back"), "--due", "2100-01-01"]) == 0
    assert "In time by the time given now: s01, s03, s04." in words(capsys)
    assert main(["class", "mark", "ex04"]) == 0
    said = words(capsys)
    assert "2 marked, 2 of them now." in said
    assert "s04: not read, so no marks. The file is empty." in said
    assert main(["class", "mark", "ex04"]) == 0
    assert "2 marked, 0 of them now." in words(capsys)
    assert main(["class", "hand-back", "ex04"]) == 0
    said = words(capsys)
    assert "3 pages of feedback" in said
    assert "No page, nothing was handed in: s02, s05." in said
    assert main(["class", "report", "ex04"]) == 0
    held = ClassFolder(folder)
    held.keep_cases("ex05", held.cases("ex04"), "1")  # handed out too, and nothing of it is back
    assert main(["class", "export"]) == 0
    assert "No table where nothing was taken in yet: ex05." in words(capsys)
    assert not (folder / "reports" / "ex05-marks.csv").exists()
    assert (folder / "reports" / "ex04.html").is_file()
    table = (folder / "reports" / "ex04-marks.csv").read_text(encoding="utf-8-sig")
    assert len(table.splitlines()) == 6
    assert "Zoë Marsh" in table
    (unread,) = (row for row in csv.DictReader(table.splitlines()) if row["id"] == "s04")
    assert not any(cell == "0" for cell in unread.values())
    assert (unread["total"], unread["waits for"], unread["by checks"]) == ("", "not read", "not read")


def test_a_class_does_not_lie_among_program_text(
    names: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Said
) -> None:
    monkeypatch.chdir(ROOT)
    assert main(["class", "new", "my-class", "--roster", str(names)]) == 1
    assert "name a folder beside it" in words(capsys)
    assert not (ROOT / "my-class").exists()


@pytest.mark.parametrize(
    ("typed_words", "told"),
    [
        (["mark", "ex04"], "is no class folder"),
        (["new", "other"], "There is no folder solutions/ here"),
        (["new", "other", "--roster", "nothing.csv"], "is not there"),
    ],
)
def test_what_is_in_the_way_is_said(
    typed_words: list[str], told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Said
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["class", *typed_words]) == 1
    assert told in words(capsys)


def test_without_the_instructors_part_that_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Said
) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda *_: None)
    assert main(["class", "mark", "ex04"]) == 1
    assert "instructor's line of README" in words(capsys)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("id,name\na1,Ana\na1,Bo\n", "same id"),
        ("id,name\na1,Ana\nb2,ana \n", "same name"),
        ("id,name\n../x,Ana\n", "cannot be an id"),
        ("id,mail\na1,x\n", "It needs the columns id and name"),
        ("", "Nobody is on the list"),
        ("id,name\na1,\n", "no name that can be used"),
    ],
)
def test_a_roster_that_cannot_be_used_is_said(
    text: str, told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Said
) -> None:
    monkeypatch.chdir(ROOT)
    (tmp_path / "names.csv").write_text(text, encoding="utf-8")
    assert main(["class", "new", str(tmp_path / "class"), "--roster", str(tmp_path / "names.csv")]) == 1
    assert told in words(capsys)
    assert not (tmp_path / "class").exists()
