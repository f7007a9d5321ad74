"""Marking: the same points as a student's own check, once, whatever stops it on the way."""

from __future__ import annotations

import multiprocessing
import os
import random
import shutil
import signal
import time
from pathlib import Path

import pytest

from controlkit.checking import judge
from controlkit.classroom.marking import mark as marking
from controlkit.classroom.marking.mark import mark
from controlkit.classroom.marking.simulated import remembering
from controlkit.classroom.records import ClassFolder, Roster, Student
from controlkit.classroom.records.kept import keep
from controlkit.classroom.taking_in.take_in import take_in
from controlkit.units import InputError
from tests.checking.hands import Hands
from tests.checking.school import answers_with_ideas
from tests.classroom.handed_in import PEOPLE, Nowhere, new_class, notebook, put, typed

EXERCISE = "ex04"


@pytest.fixture
def hands(every: dict[str, Hands]) -> Hands:
    return every[EXERCISE]


@pytest.fixture
def folder(hands: Hands, tmp_path: Path) -> ClassFolder:
    """Five students: right, with wrong ideas, blank, a neighbour's answers, and working that has to be run."""
    made = new_class(tmp_path / "class", hands)
    ideas = {item: repr(answer) for item, answer in answers_with_ideas(hands, PEOPLE[1]).items() if answer is not ...}
    work = {
        "s01": typed(hands, PEOPLE[0]),
        "s02": typed(hands, PEOPLE[1], **ideas),
        "s03": {"who": f"name = {PEOPLE[2]!r}"},
        "s04": typed(hands, PEOPLE[0]),
        "s05": typed(hands, PEOPLE[4], friction="sum([1, 2][k] for k in range(2))"),
    }
    for student, cells in work.items():
        put(made.path / "submitted", f"{student}/ex04/ex04.ipynb", notebook(hands, cells))
    take_in(made, EXERCISE, confinement=Nowhere())
    return made


def marks(folder: ClassFolder) -> dict[str, dict[str, float | None]]:
    found = {}
    for student in folder.roster:
        one = folder.marked(EXERCISE, student.id)
        if one is not None:
            found[student.id] = {item.item: item.points for item in one.items}
    return found


def test_marks_are_those_of_the_check(folder: ClassFolder, hands: Hands) -> None:
    found = mark(folder, EXERCISE)
    assert (len(found.marked), found.judged) == (5, 5)
    full = {item.name: item.points for item in hands.exercise.items}
    assert marks(folder)["s01"] == full
    mine = hands.exercise(PEOPLE[1])
    ideas = answers_with_ideas(hands, PEOPLE[1])
    told = {item: mine.score(item, answer, hands.kept_back) for item, answer in ideas.items()}
    assert marks(folder)["s02"] == told
    assert set(marks(folder)["s03"].values()) == {0.0}
    assert marks(folder)["s05"] == {**full, "friction": None}
    labels = {item.noted[0].label for item in folder.marked(EXERCISE, "s02").items}  # type: ignore[union-attr]
    assert labels & {idea.label for idea in hands.exercise.ideas}


def test_a_neighbours_work_is_listed_and_earns_little(folder: ClassFolder) -> None:
    mark(folder, EXERCISE)
    for one, other in (("s01", "s04"), ("s04", "s01")):
        found = folder.marked(EXERCISE, one)
        assert found is not None
        told = [remark.says for remark in found.remarks if remark.label == "alike"]
        assert len(told) == 1
        assert other in told[0]
        assert "equal answers to different cases" in told[0]
    hers = folder.marked(EXERCISE, "s04")
    assert hers is not None
    assert hers.points < 0.4 * hers.out_of
    assert "another-name" in [remark.label for remark in hers.remarks]


def test_nothing_is_judged_twice_and_what_changed_is_judged_again(folder: ClassFolder, hands: Hands) -> None:
    mark(folder, EXERCISE)
    assert mark(folder, EXERCISE).judged == 0
    put(folder.path / "submitted", "s03/ex04/ex04.ipynb", notebook(hands, typed(hands, PEOPLE[2])))
    take_in(folder, EXERCISE, confinement=Nowhere())
    assert mark(folder, EXERCISE).judged == 1
    assert marks(folder)["s03"] == {item.name: item.points for item in hands.exercise.items}
    keep(folder.path / "marks" / EXERCISE / "s01.json", {"points": 99})  # changed by hand: judged again
    assert mark(folder, EXERCISE).judged == 1
    assert marks(folder)["s01"] == {item.name: item.points for item in hands.exercise.items}


def test_a_regrade_reads_no_notebook(folder: ClassFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    mark(folder, EXERCISE)
    before = marks(folder)
    shutil.rmtree(folder.path / "submitted")
    monkeypatch.setattr(marking, "_program", lambda *_: "a mended tolerance")
    assert mark(folder, EXERCISE).judged == 5
    assert marks(folder) == before


def test_before_anything_was_taken_in_that_is_told(hands: Hands, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="Nothing of ex04"):
        mark(new_class(tmp_path / "class", hands), EXERCISE)


def test_without_her_case_nothing_is_judged_and_the_words_say_what_to_do(folder: ClassFolder) -> None:
    """Taken in with it, and gone since: she waits, and nobody else does."""
    cases = folder.cases(EXERCISE)
    folder.keep_cases(EXERCISE, {student: case for student, case in cases.items() if student != "s01"}, "0")
    assert mark(folder, EXERCISE).judged == 4
    hers = folder.marked(EXERCISE, "s01")
    assert hers is not None
    assert hers.unread
    assert all(item.points is None and "hand the exercise out again" in item.words for item in hers.items)
    folder.keep_cases(EXERCISE, cases, "0")
    assert mark(folder, EXERCISE).judged == 2, "and the neighbour, of whom it is told again that both are alike"
    assert folder.marked(EXERCISE, "s01").points > 0.0  # type: ignore[union-attr]


def _run(path: str) -> None:
    mark(ClassFolder(Path(path)), EXERCISE)


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is of POSIX systems")
@pytest.mark.parametrize("seed", range(6))
def test_killed_anywhere_it_ends_with_the_same_marks(seed: int, folder: ClassFolder) -> None:
    mark(folder, EXERCISE)
    before = marks(folder)
    shutil.rmtree(folder.path / "marks")
    context = multiprocessing.get_context("fork")
    for _ in range(3):
        run = context.Process(target=_run, args=(str(folder.path),))
        run.start()
        time.sleep(random.Random(seed).uniform(0.0, 0.5))
        if run.pid is not None and run.is_alive():
            os.kill(run.pid, signal.SIGKILL)
        run.join()
    for path in (folder.path / "marks").rglob("*.json"):
        assert path.read_text(encoding="utf-8").endswith("}\n")
    mark(folder, EXERCISE)
    assert marks(folder) == before


def test_a_full_disk_loses_nothing(folder: ClassFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    mark(folder, EXERCISE)
    before = marks(folder)
    kept = (folder.path / "marks" / EXERCISE / "s01.json").read_bytes()
    monkeypatch.setattr(marking, "_program", lambda *_: "another")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as disk:
        disk.setattr(os, "fsync", full)
        with pytest.raises(OSError, match="No space"):
            mark(folder, EXERCISE)
    assert (folder.path / "marks" / EXERCISE / "s01.json").read_bytes() == kept
    assert not list(folder.path.rglob("*.part"))
    mark(folder, EXERCISE)
    assert marks(folder) == before


@pytest.mark.parametrize("name", ["ex03", "ex12"])
def test_a_design_is_simulated_once(name: str, every: dict[str, Hands], tmp_path: Path) -> None:
    hands = every[name]
    case, answer = hands.case("Ana"), hands.solved("Ana")["design"]
    kept = remembering(hands.exercise, tmp_path)
    plain = judge(hands.exercise, "design", answer, case, kept_back=hands.kept_back)
    assert judge(kept, "design", answer, case, kept_back=hands.kept_back) == plain
    lies = sorted(tmp_path.glob("*.result"))
    assert len(lies) > 1
    written = [path.stat().st_mtime_ns for path in lies]
    assert judge(kept, "design", answer, case, kept_back=hands.kept_back) == plain
    assert [path.stat().st_mtime_ns for path in sorted(tmp_path.glob("*.result"))] == written
    lies[0].write_bytes(b"damaged")
    assert judge(kept, "design", answer, case, kept_back=hands.kept_back) == plain


def test_a_class_of_one_is_marked_too(hands: Hands, tmp_path: Path) -> None:
    made = new_class(tmp_path / "class", hands, Roster((Student("only", "Only One"),)))
    put(made.path / "submitted", "only/ex04/ex04.ipynb", notebook(hands, typed(hands, "Only One")))
    take_in(made, EXERCISE, confinement=Nowhere())
    assert mark(made, EXERCISE).marked[0].points == sum(item.points for item in hands.exercise.items)
