"""Taking in: whose notebook it is, what it answers, what is wrong with it; nothing stops the class or is lost."""

from __future__ import annotations

import os
import stat
import zipfile
from datetime import datetime
from pathlib import Path

import pytest

from controlkit.classroom.records import ClassFolder, Roster, Student
from controlkit.classroom.taking_in.arrived import arrived
from controlkit.classroom.taking_in.pages import MOST_BYTES
from controlkit.classroom.taking_in.take_in import TakenIn, take_in
from controlkit.units import InputError
from tests.checking.hands import Hands
from tests.classroom.handed_in import Nowhere, new_class, notebook, put, typed

EXERCISE = "ex04"


@pytest.fixture
def hands(every: dict[str, Hands]) -> Hands:
    return every[EXERCISE]


@pytest.fixture
def folder(hands: Hands, tmp_path: Path) -> ClassFolder:
    return new_class(tmp_path / "class", hands)


def take(folder: ClassFolder, source: Path | None = None, due: datetime | None = None) -> TakenIn:
    return take_in(folder, EXERCISE, source, confinement=Nowhere(), due=due)


def remarks(folder: ClassFolder, student: str) -> list[str]:
    one = folder.submission(EXERCISE, student)
    assert one is not None
    return [remark.label for remark in one.remarks]


def test_typed_answers_are_read_without_running_anything(folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    put(tmp_path / "back", "s01/ex04.ipynb", notebook(hands, typed(hands, "Ana Lima", route='"narrow parts"')))
    found = take(folder, tmp_path / "back")
    one = folder.submission(EXERCISE, "s01")
    assert one is not None
    assert found.new == (one,)
    assert {how.how for how in one.answers.values()} == {"typed"}
    assert one.answers["route"].value == "narrow parts"
    assert one.name == "Ana Lima"
    assert one.remarks == ()
    assert [student.id for student in found.missing] == ["s02", "s03", "s04", "s05"]


@pytest.mark.parametrize(
    ("path", "who"),
    [
        ("s02/ex04/ex04.ipynb", "s02"),
        ("s02.ipynb", "s02"),
        ("S02_late_ex04.ipynb", "s02"),
        ("Bo Ek_12345_submission_file_/ex04.ipynb", "s02"),
        ("ekbo_12345_67890_ex04-1.ipynb", "s02"),
        ("Ek, Bo/ex04.ipynb", "s02"),
        ("s02+ex04+2026-11-02 10:00:00 UTC+abc/ex04.ipynb", "s02"),
        ("Zoe Marsh/ex04.ipynb", "s03"),
        ("ZOË MARSH_77_x/ex04.ipynb", "s03"),
        ("Ana Lima Reis_1_x/ex04.ipynb", "s04"),
        ("Ana Lima_1_x/ex04.ipynb", "s01"),
        ("s01/Bo Ek.ipynb", "s01"),
        ("s01_Ana Lima/ex04 (2).ipynb", "s01"),
        ("Zoë Marsh_1_x/ex04.ipynb.txt", "s03"),
        ("Zoë Marsh_1_x/EX04.IPYNB", "s03"),
    ],
)
def test_a_path_tells_whose_it_is(path: str, who: str, folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    put(tmp_path / "back", path, notebook(hands, {}))
    assert [one.student for one in take(folder, tmp_path / "back").new] == [who]


@pytest.mark.parametrize(
    "path",
    [
        "Ana Lima_1_x/s02.ipynb",
        "Ana Lima_s02_x/ex04.ipynb",
        "Bo Ek_1_x/Ana Lima.ipynb",
        "Ana Lima_1_x/Ana Lima Reis.ipynb",
    ],
)
def test_a_file_named_after_a_neighbour_replaces_nothing_of_hers(
    path: str, folder: ClassFolder, hands: Hands, tmp_path: Path
) -> None:
    put(tmp_path / "back", path, notebook(hands, {}))
    found = take(folder, tmp_path / "back")
    assert found.new == ()
    assert [one.why for one in found.unclaimed] == ["it may be more than one student's"]


@pytest.mark.parametrize(
    "path", ["Sean O'Brien_1_x", "Sean OBrien_1_x", "O’Brien, Sean", "Sean O_Brien_1_x", "seanobrien_1"]
)
def test_a_platform_may_leave_apostrophes_out(path: str, hands: Hands, tmp_path: Path) -> None:
    folder = new_class(tmp_path / "class", hands, Roster((Student("s01", "Sean O'Brien"), Student("s02", "Bo Ek"))))
    put(tmp_path / "back", f"{path}/ex04.ipynb", notebook(hands, {}))
    assert [one.student for one in take(folder, tmp_path / "back").new] == ["s01"]


def test_two_files_of_one_time_are_told_and_a_copy_is_the_later(
    folder: ClassFolder, hands: Hands, tmp_path: Path
) -> None:
    back = tmp_path / "back"
    for name, route in (("ex04.ipynb", "first"), ("ex04 (1).ipynb", "second")):
        put(back, f"s01/{name}", notebook(hands, typed(hands, "Ana Lima", route=f'"{route}"')))
        os.utime(back / "s01" / name, (1.7e9, 1.7e9))
    take(folder, back)
    one = folder.submission(EXERCISE, "s01")
    assert one is not None
    assert (one.answers["route"].value, remarks(folder, "s01")) == ("second", ["two-at-once"])
    assert "“s01/ex04 (1).ipynb” counts, and “s01/ex04.ipynb” does not" in one.remarks[0].says
    assert take(folder, back).new == ()


def test_another_time_makes_late_what_was_taken_in_before(folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    back = tmp_path / "back"
    for student in ("s01", "s02"):
        put(back, f"{student}/ex04.ipynb", notebook(hands, {}))
        when = datetime(2026, 11, 9).timestamp()
        os.utime(back / f"{student}/ex04.ipynb", (when, when))
    early, later = (datetime(2026, 11, day).astimezone() for day in (8, 10))

    def late() -> list[bool]:
        found = [folder.submission(EXERCISE, student) for student in ("s01", "s02")]
        return [one is not None and one.late for one in found]

    take(folder, back)
    assert late() == [False, False]
    assert [one.student for one in take(folder, back, early).other_date] == ["s01", "s02"]
    assert late() == [True, True]
    assert take(folder, back).other_date == ()
    put(tmp_path, "hers/s02/ex04.ipynb", (back / "s02/ex04.ipynb").read_bytes())  # copied today: her own time counts
    assert [one.student for one in take(folder, tmp_path / "hers", later).other_date] == ["s02"]
    assert late() == [True, False]


def test_what_came_in_place_of_a_notebook_is_named(folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    back = tmp_path / "back"
    put(back, "Bo Ek_1_x/my work.zip", b"PK")
    put(back, "Ana Lima_1_x/ex04.ipynb", notebook(hands, {}))
    put(back, "Ana Lima_1_x/progress.json", b"{}")
    assert take(folder, back).no_notebook == {"s02": ("my work.zip",)}
    with zipfile.ZipFile(tmp_path / "back.zip", "w") as packed:
        packed.writestr("Ines Okoye_1_x/ex04.pdf", b"%PDF")
        packed.writestr("__MACOSX/Zoë Marsh_1_x/ex04.pdf", b"")
    assert take(folder, tmp_path / "back.zip").no_notebook == {"s05": ("ex04.pdf",)}


def test_what_no_path_tells_is_left_to_a_person(folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    back = tmp_path / "back"
    put(back, "final (2).ipynb", notebook(hands, typed(hands, "Bo Ek"), {"name": "Bo Ek"}))
    put(back, "s01 and s02.ipynb", notebook(hands, {}))
    os.utime(back / "s01 and s02.ipynb", (1.6e9, 1.6e9))
    found = take(folder, back)
    assert found.new == ()
    assert {(one.path, one.perhaps) for one in found.unclaimed} == {
        ("final (2).ipynb", "s02"),
        ("s01 and s02.ipynb", ""),
    }
    table = folder.path / "unclaimed" / EXERCISE / "whose.csv"
    table.write_text(
        table.read_text(encoding="utf-8").replace("final (2).ipynb,,", "final (2).ipynb,s02,"), encoding="utf-8"
    )
    again = take(folder, back)
    assert [one.student for one in again.new] == ["s02"]
    assert [one.path for one in again.unclaimed] == ["s01 and s02.ipynb"]
    assert [path.name for path in table.parent.glob("*.ipynb")] == ["s01 and s02.ipynb"]
    table.write_text(table.read_text(encoding="utf-8").replace("s02.ipynb,,", "s02.ipynb,s01,"), encoding="utf-8")
    put(tmp_path / "empty", "x.txt", b"")
    came = datetime.fromtimestamp((back / "s01 and s02.ipynb").stat().st_mtime).astimezone()
    (one,) = take(folder, tmp_path / "empty").new
    assert (one.student, one.handed_in) == ("s01", came.isoformat(timespec="seconds"))  # when it came, not when it lay
    assert not table.exists()


def test_a_typed_name_is_compared_and_never_swapped(folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    hers = notebook(hands, typed(hands, "Bo Ek"), {"name": "Bo Ek", "case": hands.case("Bo Ek").as_data()})
    put(tmp_path / "back", "s01/ex04.ipynb", hers)
    take(folder, tmp_path / "back")
    one = folder.submission(EXERCISE, "s01")
    assert one is not None
    assert (one.student, one.name) == ("s01", "Bo Ek")
    assert remarks(folder, "s01") == ["another-name", "another-case"]


def test_a_time_that_a_student_lays_beside_her_file_tells_nothing(
    folder: ClassFolder, hands: Hands, tmp_path: Path
) -> None:
    put(tmp_path / "back", "Bo Ek_1_x/ex04.ipynb", notebook(hands, {}))
    put(tmp_path / "back", "Bo Ek_1_x/timestamp.txt", b"2020-01-01 08:00:00.000000 UTC")
    (one,) = take(folder, tmp_path / "back", datetime(2021, 1, 1).astimezone()).new
    assert one.late
    assert not one.handed_in.startswith("2020")


def test_a_class_id_for_a_name_draws_another_case_and_is_told(
    folder: ClassFolder, hands: Hands, tmp_path: Path
) -> None:
    assert hands.case("s01") != hands.case("Ana Lima")
    put(tmp_path / "back", "s01/ex04.ipynb", notebook(hands, {**typed(hands, "Ana Lima"), "who": "name = 'S01'"}))
    take(folder, tmp_path / "back")
    assert remarks(folder, "s01") == ["id-for-name"]
    folder.keep_cases(EXERCISE, {"s02": hands.case("s02")}, "1")  # a case that was drawn from the id
    put(tmp_path / "id", "s02/ex04.ipynb", notebook(hands, {**typed(hands, "s02"), "who": "name = 's02'"}))
    take(folder, tmp_path / "id")
    assert remarks(folder, "s02") == []


def test_second_and_late_submissions_are_kept_and_told(folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    due = datetime(2026, 11, 10, 12).astimezone()
    for day, route in ((9, "narrow"), (11, "wide")):
        back = tmp_path / f"day{day}"
        put(back, "s01/ex04.ipynb", notebook(hands, typed(hands, "Ana Lima", route=f'"{route}"')))
        when = datetime(2026, 11, day).timestamp()
        os.utime(back / "s01/ex04.ipynb", (when, when))
        take(folder, back, due)
        take(folder, back, due)  # and once more: nothing new
    one = folder.submission(EXERCISE, "s01")
    assert one is not None
    assert (one.attempt, one.late, one.answers["route"].value) == (2, True, "wide")
    assert "narrow" in (folder.path / "earlier" / EXERCISE / "s01-1.ipynb").read_text(encoding="utf-8")
    found = take(folder, tmp_path / "day9", due)  # the first one again: it does not replace the second
    assert (found.new, found.as_before) == ((), 1)
    back = tmp_path / "older"
    put(back, "s01/ex04.ipynb", notebook(hands, typed(hands, "Ana Lima", route='"older"')))
    os.utime(back / "s01/ex04.ipynb", (1e9, 1e9))
    take(folder, back, due)
    again = folder.submission(EXERCISE, "s01")
    assert again is not None
    assert (again.attempt, again.answers["route"].value) == (2, "wide")


BROKEN = {
    "empty": b"",
    "cut off": b'{"cells": [{"cell_type": "code", "sour',
    "no notebook": b"\x89PNG\r\n\x1a\n" * 10,
    "a list": b"[]",
    "nested": b"[" * 100_000,
    "no cells": b'{"cells": [], "nbformat": 4}',
    "zeros": b"\x00" * 1000,
    "huge": b" " * (MOST_BYTES + 1),
    "not utf-8": b'{"cells": "\xff\xfe"}',
}


@pytest.mark.parametrize("kind", BROKEN)
def test_a_broken_file_has_its_line_and_stops_nobody(
    kind: str, folder: ClassFolder, hands: Hands, tmp_path: Path
) -> None:
    put(tmp_path / "back", "s01/ex04.ipynb", BROKEN[kind])
    put(tmp_path / "back", "s02/ex04.ipynb", notebook(hands, typed(hands, "Bo Ek")))
    found = take(folder, tmp_path / "back")
    assert [one.student for one in found.new] == ["s01", "s02"]
    (told,) = found.new[0].remarks
    assert told.label == "unreadable"
    assert told.do
    assert {one.how for one in found.new[0].answers.values()} == {"not read"}
    assert found.new[0].unread == told.says
    assert found.unread == (found.new[0],)
    assert (found.new[1].remarks, found.new[1].unread) == ((), "")
    assert [one.student for one in take(folder, tmp_path / "back").unread] == ["s01"]  # told as long as it is so


@pytest.mark.parametrize("route", ['"wide"', '"wi" + "de".join([""])'], ids=["typed", "runs"])
@pytest.mark.parametrize("at_once", [True, False])
def test_a_damaged_file_replaces_nothing_that_was_read(
    at_once: bool, route: str, folder: ClassFolder, hands: Hands, tmp_path: Path
) -> None:
    good, bad = tmp_path / "first" / "s01/ex04.ipynb", tmp_path / ("first" if at_once else "then") / "s01/new.ipynb"
    put(tmp_path, str(good), notebook(hands, typed(hands, "Ana Lima", route=route)))
    if not at_once:
        take(folder, tmp_path / "first")
    put(tmp_path, str(bad), b"{")
    os.utime(good, (1e9, 1e9))
    found = take(folder, bad.parents[1])
    one = folder.submission(EXERCISE, "s01")
    assert one is not None
    assert (one.attempt, one.unread) == (1, "")
    assert one.answers["friction"].how == "typed"
    assert "later-unreadable" in remarks(folder, "s01")
    assert (found.new, found.set_aside) == (((one,), ()) if at_once else ((), (one,)))
    put(tmp_path / "third", "s01/ex04.ipynb", notebook(hands, typed(hands, "Ana Lima", route='"narrow"')))
    take(folder, tmp_path / "third")
    assert remarks(folder, "s01") == []


def test_what_can_be_read_replaces_what_could_not(folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    put(tmp_path / "damaged", "s01/ex04.ipynb", b"{")
    take(folder, tmp_path / "damaged")
    put(tmp_path / "older", "s01/ex04.ipynb", notebook(hands, typed(hands, "Ana Lima")))
    os.utime(tmp_path / "older" / "s01/ex04.ipynb", (1e9, 1e9))  # made before the damaged one
    found = take(folder, tmp_path / "older")
    assert (found.unread, remarks(folder, "s01")) == ((), [])


def test_odd_cells_stop_nobody(folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    odd = b'{"cells": [1, null, {}, {"cell_type": 3, "source": 4, "metadata": []}, {"id": "route", "metadata": {}, '
    odd += b'"cell_type": "code", "source": ["route = ", 7, "\\"fewer degrees\\""], "outputs": [[], {"data": 3}]}]}'
    put(tmp_path / "back", "s01/ex04.ipynb", odd)
    put(tmp_path / "back", "s02/ex04.ipynb", notebook(hands, {}).replace(b'"t-route"', b'"t-friction"'))
    found = take(folder, tmp_path / "back")
    assert found.new[0].student == "s02"
    assert set(remarks(folder, "s02")) >= {"copied-cells", "no-name"}
    assert [one.why for one in found.unclaimed] == ["it is no notebook of ex04"]


def test_a_zip_is_never_unpacked(folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    packed = tmp_path / "back.zip"
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("../../s01/ex04.ipynb", notebook(hands, typed(hands, "Ana Lima")))
        file.writestr("s02/ex04.ipynb", b" " * (3 * MOST_BYTES))  # three kilobytes that would be sixty megabytes
        file.writestr("s03/controlkit.py", "raise SystemExit")
        link = zipfile.ZipInfo("s03/ex04.ipynb")
        link.external_attr = (stat.S_IFLNK | 0o777) << 16
        file.writestr(link, "/etc/passwd")
        file.writestr("__MACOSX/s04/._ex04.ipynb", b"x")
    assert packed.stat().st_size < 1_000_000
    before = {path for path in tmp_path.rglob("*") if folder.path not in path.parents}
    found = take(folder, packed)
    assert {path for path in tmp_path.rglob("*") if folder.path not in path.parents} == before
    assert [one.student for one in found.new] == ["s01", "s02"]
    assert remarks(folder, "s02") == ["unreadable"]
    assert max(len(one.content) for one in arrived(packed)) <= MOST_BYTES + 1


def test_what_is_no_zip_is_told(folder: ClassFolder, tmp_path: Path) -> None:
    put(tmp_path, "back.zip", b"PK\x03\x04 but no zip")
    with pytest.raises(InputError, match="damaged"):
        take(folder, tmp_path / "back.zip")
    with pytest.raises(InputError, match="neither a folder nor a zip"):
        take(folder, tmp_path / "nothing")


def test_links_out_of_the_folder_are_not_followed(folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    put(tmp_path / "secret", "s01/ex04.ipynb", notebook(hands, {}))
    (tmp_path / "back").mkdir()
    (tmp_path / "back" / "s01").symlink_to(tmp_path / "secret" / "s01")
    put(tmp_path / "back", "s02/ex04.ipynb", notebook(hands, {}))
    assert [one.student for one in take(folder, tmp_path / "back").new] == ["s02"]


def test_what_lies_in_the_class_is_taken_in_place(folder: ClassFolder, hands: Hands) -> None:
    own = folder.path / "submitted"
    put(own, "s01/ex04/ex04.ipynb", notebook(hands, typed(hands, "Ana Lima")))
    put(own, "s01/ex04/timestamp.txt", b"2026-11-09 08:00:00.000000 UTC")
    put(own, "s01/ex04/class-id.txt", b"s02")  # what a submission brings along is never looked at
    put(own, "s01/ex03/ex03.ipynb", b"another exercise")
    put(own, "s02/ex04/my answers.ipynb", notebook(hands, typed(hands, "Bo Ek")))
    put(own, "nobody/ex04/ex04.ipynb", notebook(hands, {}))
    found = take(folder)
    assert [one.student for one in found.new] == ["s01", "s02"]
    assert found.new[0].handed_in.startswith("2026-11-09")
    assert [one.path for one in found.unclaimed] == ["nobody/ex04/ex04.ipynb"]
    assert (own / "s02/ex04/ex04.ipynb").is_file()


def test_an_exercise_that_was_not_handed_out_is_told(folder: ClassFolder, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="was not handed out"):
        take_in(folder, "ex05", tmp_path, confinement=Nowhere())


def test_who_joined_later_is_told(folder: ClassFolder, hands: Hands, tmp_path: Path) -> None:
    with (folder.path / "roster.csv").open("a", encoding="utf-8") as file:
        file.write("s06,New Here\n")
    put(tmp_path / "back", "s06/ex04.ipynb", notebook(hands, typed(hands, "New Here")))
    late = ClassFolder(folder.path)
    take(late, tmp_path / "back")
    assert remarks(late, "s06") == ["no-case"]
    late.keep_cases(EXERCISE, {**late.cases(EXERCISE), "s06": hands.case("New Here")}, "1")
    take(late, tmp_path / "back")  # the very same file, now that there is a case
    assert remarks(late, "s06") == []
