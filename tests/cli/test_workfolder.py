"""Laying out a work folder: everything is there, and nobody's work is ever lost."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from controlkit.cli import workfolder
from controlkit.cli.release import Release, find_release
from controlkit.cli.trouble import Trouble
from controlkit.cli.workfolder import OWN_FOLDER, lay_out, prepare

Make = Callable[..., Release]
LESSON = "course/lesson.ipynb"


@pytest.fixture
def folder(tmp_path: Path, make_release: Make) -> Path:
    return prepare(tmp_path / "my course", make_release())


def test_everything_released_is_laid_out(folder: Path, make_release: Make) -> None:
    release = make_release()
    done = lay_out(folder, release)
    assert {str(place) for place, _ in release.files()} == set(done.copied)
    for place, source in release.files():
        assert (folder / place).read_bytes() == source.read_bytes()


def test_the_real_release_has_a_start_page_and_leaves_leftovers_out(tmp_path: Path) -> None:
    places = {str(place) for place, _ in find_release().files()}
    assert "course/index.ipynb" in places
    assert {"LICENSE", "LICENSE-CONTENT"} <= places
    assert not [place for place in places if "checkpoints" in place or "__pycache__" in place]


def test_the_licences_lie_at_the_top_of_the_work_folder(tmp_path: Path) -> None:
    """Content and program text go along with what they are the licences of."""
    folder = prepare(tmp_path / "mine", find_release())
    lay_out(folder, find_release())
    for name in ("LICENSE", "LICENSE-CONTENT"):
        assert (folder / name).read_bytes() == (Path(__file__).resolve().parents[2] / name).read_bytes()


def test_leftovers_of_tools_are_not_handed_out(make_release: Make) -> None:
    release = make_release()
    (release.course / ".ipynb_checkpoints").mkdir()
    (release.course / ".ipynb_checkpoints" / "index-checkpoint.ipynb").write_text("old")
    (release.exercises / "ex03" / "__pycache__").mkdir()
    (release.exercises / "ex03" / "__pycache__" / "ex03.cpython-311.pyc").write_bytes(b"x")
    assert {place.name for place, _ in release.files()} == {"index.ipynb", "lesson.ipynb", "ex03.ipynb", "ex03.py"}


def test_a_second_start_changes_nothing(folder: Path, make_release: Make) -> None:
    lay_out(folder, make_release())
    (folder / LESSON).write_text("my work")
    done = lay_out(folder, make_release())
    assert done.words() == []
    assert (folder / LESSON).read_text() == "my work"


def test_an_untouched_file_is_brought_up_to_date(folder: Path, make_release: Make) -> None:
    lay_out(folder, make_release())
    done = lay_out(folder, make_release("newer", lesson="lesson, better"))
    assert done.renewed == [LESSON]
    assert (folder / LESSON).read_text() == "lesson, better"
    assert done.words() == ["1 file brought up to date (you had not changed them)."]


def test_a_newer_release_is_laid_beside_worked_files_once_and_said(folder: Path, make_release: Make) -> None:
    lay_out(folder, make_release())
    (folder / LESSON).write_text("my work")
    newer = make_release("newer", lesson="lesson, better")
    done = lay_out(folder, newer)
    assert done.beside == [(LESSON, "lesson (new).ipynb")]
    assert 'stays as it is. The newer release lies beside it as "lesson (new).ipynb"' in done.words()[0]
    assert (folder / LESSON).read_text() == "my work"
    beside = folder / "course" / "lesson (new).ipynb"
    assert beside.read_text() == "lesson, better"

    beside.unlink()  # not wanted: it does not come back
    assert lay_out(folder, newer).words() == []
    assert not beside.exists()


def test_the_next_release_replaces_an_unread_one_but_not_a_worked_one(folder: Path, make_release: Make) -> None:
    lay_out(folder, make_release())
    (folder / LESSON).write_text("my work")
    lay_out(folder, make_release("second", lesson="second"))
    done = lay_out(folder, make_release("third", lesson="third"))
    assert done.beside == [(LESSON, "lesson (new).ipynb")]
    beside = folder / "course" / "lesson (new).ipynb"
    assert beside.read_text() == "third"

    beside.write_text("my work in the third")
    done = lay_out(folder, make_release("fourth", lesson="fourth"))
    assert done.beside == [(LESSON, "lesson (new 2).ipynb")]
    assert beside.read_text() == "my work in the third"


def page(words: str, **ran: object) -> str:
    """A start page with one cell to run."""
    cell = {"cell_type": "code", "source": ["so_far()"], "outputs": [], "execution_count": None, **ran}
    return json.dumps({"cells": [{"cell_type": "markdown", "source": words}, cell], "nbformat": 4})


def test_a_start_page_that_was_only_run_is_brought_up_to_date(folder: Path, make_release: Make) -> None:
    """There is nothing to answer on it; one that somebody wrote on is left alone like any other page."""
    lay_out(folder, make_release(index=page("welcome")))
    start = folder / "course" / "index.ipynb"
    start.write_text(page("welcome", execution_count=3, outputs=[{"output_type": "stream", "text": "6 of 20"}]))
    newer = make_release("newer", index=page("welcome back"))
    assert lay_out(folder, newer).renewed == ["course/index.ipynb"]
    assert start.read_text() == page("welcome back")
    start.write_text(page("my own notes"))
    last = make_release("last", index=page("the last"))
    assert lay_out(folder, last).beside == [("course/index.ipynb", "index (new).ipynb")]
    assert start.read_text() == page("my own notes")
    (folder / "course" / "index (new).ipynb").write_text(page("the last", execution_count=1))
    done = lay_out(folder, make_release("latest", index=page("the latest")))
    assert done.beside == [("course/index.ipynb", "index (new).ipynb")]  # that one was only run


def test_a_deleted_file_comes_back_fresh(folder: Path, make_release: Make) -> None:
    lay_out(folder, make_release())
    (folder / LESSON).write_text("a mess")
    (folder / LESSON).unlink()
    done = lay_out(folder, make_release())
    assert done.copied == [LESSON]
    assert (folder / LESSON).read_text() == "lesson as released"


@pytest.mark.parametrize("damage", ["", "[1, 2]", '{"files": [1]}', '{"files": {"course/lesson.ipynb": 3}}', "{"])
def test_a_damaged_record_costs_no_work(folder: Path, make_release: Make, damage: str) -> None:
    lay_out(folder, make_release())
    (folder / LESSON).write_text("my work")
    (folder / OWN_FOLDER / "files.json").write_text(damage)
    done = lay_out(folder, make_release())
    assert (folder / LESSON).read_text() == "my work"
    assert done.beside == [(LESSON, "lesson (new).ipynb")]


def test_a_folder_filled_by_hand_before_the_first_start_is_respected(folder: Path, make_release: Make) -> None:
    (folder / "course").mkdir()
    (folder / LESSON).write_text("brought from another machine")
    lay_out(folder, make_release())
    assert (folder / LESSON).read_text() == "brought from another machine"


def test_a_file_in_the_folders_place_is_told(tmp_path: Path, make_release: Make) -> None:
    (tmp_path / "taken").write_text("a letter")
    with pytest.raises(Trouble, match=r"is a file, not a folder\.\nName another folder"):
        prepare(tmp_path / "taken", make_release())
    assert (tmp_path / "taken").read_text() == "a letter"


def test_a_folder_below_a_file_is_told(tmp_path: Path, make_release: Make) -> None:
    (tmp_path / "taken").write_text("a letter")
    with pytest.raises(Trouble, match="Nothing can be written to"):
        prepare(tmp_path / "taken" / "course", make_release())


def test_a_read_only_folder_is_told(tmp_path: Path, make_release: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(self: Path, *_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied", str(self))

    release = make_release()
    monkeypatch.setattr(workfolder.Path, "mkdir", refuse)
    with pytest.raises(Trouble) as caught:
        prepare(tmp_path / "locked", release)
    assert "(Permission denied)" in caught.value.found
    assert "controlkit start FOLDER" in caught.value.next_step


@pytest.mark.parametrize("inside", [".", "course", "exercises/ex03", "course/pictures"])
def test_the_release_itself_is_no_work_folder(make_release: Make, inside: str) -> None:
    release = make_release()
    with pytest.raises(Trouble, match="stay as they were released"):
        prepare(release.course.parent / inside, release)
    assert not list(release.course.parent.rglob(OWN_FOLDER))


def test_what_was_laid_out_before_a_failure_is_remembered(folder: Path, make_release: Make) -> None:
    (folder / "exercises").write_text("a file where a folder must be")
    with pytest.raises(Trouble, match="Nothing can be written to"):
        lay_out(folder, make_release())
    (folder / "exercises").unlink()
    done = lay_out(folder, make_release("newer", lesson="lesson, better"))
    assert LESSON in done.renewed
    assert "exercises/ex03/ex03.ipynb" in done.copied


def test_the_record_is_plain_text_without_a_path_of_the_machine(folder: Path, make_release: Make) -> None:
    lay_out(folder, make_release())
    text = (folder / OWN_FOLDER / "files.json").read_text()
    assert set(json.loads(text)["files"]) >= {LESSON, "exercises/ex03/ex03.py"}
    assert str(folder.parent) not in text


STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("work"), st.integers(0, 3)),
        st.tuples(st.just("release"), st.integers(0, 3)),
        st.tuples(st.just("delete"), st.just(0)),
        st.tuples(st.just("lose record"), st.just(0)),
    ),
    max_size=12,
)


@settings(max_examples=60)
@given(STEPS)
def test_no_order_of_work_and_releases_loses_work(steps: list[tuple[str, int]]) -> None:
    """Whatever a person wrote, and did not delete herself, is still in the file where she wrote it."""
    with tempfile.TemporaryDirectory() as made:
        root = Path(made)
        release = Release(root / "course", root / "exercises")
        release.course.mkdir()
        release.exercises.mkdir()
        (release.course / "lesson.ipynb").write_text("release 0")
        folder = prepare(root / "mine", release)
        lay_out(folder, release)
        mine: str | None = None
        for step, number in steps:
            if step == "work":
                mine = f"work {number}"
                (folder / LESSON).write_text(mine)
            elif step == "release":
                (release.course / "lesson.ipynb").write_text(f"release {number}")
            elif step == "delete":
                mine = None
                (folder / LESSON).unlink()
            else:
                (folder / OWN_FOLDER / "files.json").unlink()
            lay_out(folder, release)
            newest = (release.course / "lesson.ipynb").read_text()
            if mine is not None:
                assert (folder / LESSON).read_text() == mine
            elif step == "delete":
                assert (folder / LESSON).read_text() == newest
