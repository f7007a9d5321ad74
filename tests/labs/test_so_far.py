"""The start page says how far a learner is, from what she kept: exercises, labs, and nothing that cannot be read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from controlkit.checking.student.standing import standings
from controlkit.exercises.ex05 import exercise
from controlkit.labs import so_far
from controlkit.labs.noted import LabNotes
from controlkit.labs.so_far import LESSONS


@pytest.fixture
def course(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A work folder, and in it the exercise's folder to work in."""
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    (tmp_path / "course").mkdir()
    (tmp_path / "exercises" / "ex05").mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "exercises" / "ex05")
    return tmp_path / "course"


def work(name: str, share: int) -> None:
    """Answer the first so many items right."""
    mine = exercise(name)
    assert mine.case is not None
    for item in exercise.items[:share]:
        answer = exercise.right(mine.case).get(item.name)
        mine.check(item.name, getattr(item, "right", lambda _: None)(mine.case) if answer is None else answer)


def line(course: Path, number: int) -> str:
    (found,) = [one for one in repr(so_far(course)).splitlines() if one.startswith(f"{number}. ")]
    return found


def test_a_new_folder_has_nothing_yet(course: Path) -> None:
    for number in range(1, 7):
        assert line(course, number).endswith("not begun")
        assert "nothing kept yet" in line(course, number)
    assert "Points" not in repr(so_far(course))


def test_an_exercise_begun_is_counted_and_one_that_is_full_is_ticked(course: Path) -> None:
    points = sum(item.points for item in exercise.items)
    work("Ana", 1)
    assert line(course, 5).endswith(
        f"{exercise.items[0].points:g} of {points:g} points by the checks, 1 of {len(exercise.items)} answers"
    )
    assert "✓" not in line(course, 5)
    work("Ana", len(exercise.items))
    assert f"✓ {points:g} of {points:g} points" in line(course, 5)
    assert f"exercise 5  ##########  {points:g} of {points:g} points" in repr(so_far(course))
    work("Ben", 1)
    assert "✓ ana: " in line(course, 5)
    assert "; ben: " in line(course, 5)
    assert 'aria-label="Points: exercise 5, ana, ' in so_far(course)._repr_html_()


def test_a_written_answer_is_part_of_what_is_missing(course: Path) -> None:
    from controlkit.exercises.ex03 import exercise as third

    mine = third("Ana")
    assert mine.case is not None
    for name, value in third.right(mine.case).items():
        mine.check(name, value)
    (found,) = standings(Path.cwd(), "ex03")
    assert (found.answered, found.items) == (4, 6)
    mine.check("why", "Because.")
    (found,) = standings(Path.cwd(), "ex03")
    assert (found.answered, found.points, found.out_of) == (5, 14, 20)
    assert not found.full


def test_what_labs_keep_is_counted(course: Path) -> None:
    from controlkit.labs import chain_lab

    lab = LabNotes(chain_lab().plan["title"], course)
    lab.predict("more", "less")
    lab.note({"settings": {}, "readings": [["Captured", "51 mm"]]})
    lab.note({"settings": {}, "readings": [["Captured", "52 mm"]]})
    lab.meet("Serve the bowl", "Maren")
    assert "✓ 1 prediction, 1 challenge met, 2 readings noted" in line(course, 6)
    assert "nothing kept yet" in line(course, 5)


def test_each_lesson_finds_its_lab_by_how_its_title_begins() -> None:
    from controlkit import labs

    makers = (
        labs.sequence_lab,
        labs.motion_lab,
        labs.strap_lab,
        labs.housing_lab,
        labs.device_lab,
        labs.chain_lab,
        labs.dual_lab,
        labs.lock_lab,
        labs.pattern_lab,
        labs.pair_lab,
        labs.bench_lab,
        labs.population_lab,
    )
    for (_, begins), make in zip(LESSONS, makers, strict=True):
        assert make().plan["title"].startswith(begins)


@pytest.mark.parametrize(
    "damaged",
    ["", "[]", "{", '{"format": 1, "progress": {"ex05: a": {"pull": 3}}, "asked": {}}', "[" * 100_000, "1e999", "null",
     '{"format": 1, "progress": {}, "asked": {"ex05": [["pull"]]}}', '{"format": 1, "progress": {}, "asked": 5}'],
)  # fmt: skip
def test_files_that_cannot_be_read_count_as_nothing_and_are_left_alone(course: Path, damaged: str) -> None:
    Path("progress.json").write_text(damaged, encoding="utf-8")
    (course / "lab-notes.json").write_text(damaged, encoding="utf-8")
    assert line(course, 5).endswith("not begun")
    assert Path("progress.json").read_text(encoding="utf-8") == damaged
    (course / "lab-notes.json").write_text(json.dumps({"Device lab: x": damaged}), encoding="utf-8")
    assert "nothing kept yet" in line(course, 5)


def test_a_challenge_met_on_another_body_is_news() -> None:
    """What was handed out before is not changed behind the page's back, or the page would not be told."""
    notes = LabNotes("Some lab", None)
    notes.meet("a goal", "one body")
    before = notes.met
    assert notes.meet("a goal", "another body")
    assert before == {"a goal": ["one body"]}
    assert notes.met == {"a goal": ["one body", "another body"]}
