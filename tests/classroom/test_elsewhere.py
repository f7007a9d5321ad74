"""A class on other machines: the same answers, marks and gradebook as on one, whoever goes away in the middle."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from concurrent.futures import BrokenExecutor, ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from controlkit.classroom.confined import elsewhere
from controlkit.classroom.confined.elsewhere import OtherMachines, protected, run_batch
from controlkit.classroom.confined.job import Confinement
from controlkit.classroom.confined.probe import Protection
from controlkit.classroom.confined.reply import Reply
from controlkit.classroom.confined.run import NothingRuns
from controlkit.classroom.handing_back import enter_marks, export_marks
from controlkit.classroom.marking import ahead
from controlkit.classroom.marking.mark import SIMULATED, mark
from controlkit.classroom.records import ClassFolder
from controlkit.classroom.taking_in.take_in import take_in
from controlkit.cli import main
from controlkit.executors import cluster
from controlkit.executors.cluster import Refused
from tests.checking.hands import Hands
from tests.classroom.handed_in import PEOPLE, Nowhere, new_class, notebook, put, typed
from tests.classroom.walled import HONEST, job, protection, values, walled
from tests.executors.machines import machines

NO_WALL = Protection(None, "Cells that compute are not run: there is no wall.")


class Threads(ThreadPoolExecutor):
    """Stands for a cluster: its workers are threads of this process."""

    address = "tcp://nowhere:8786"

    def __init__(self, *refused: str) -> None:
        super().__init__(2)
        self.workers = {f"tcp://nowhere:{number}": protected()[1] for number in (1, 2)}
        self.refused = {f"tcp://nowhere:{word}": Refused(word, same=True) for word in refused}


class Gone(Threads):
    """Its workers go away with whatever they have."""

    def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Any:
        return super().submit(_lost)


def _lost() -> None:
    raise BrokenExecutor("they went away")


def nowhere() -> Confinement:
    raise AssertionError("nothing is left to this machine")


@pytest.fixture
def jobs() -> list[Any]:
    cells = [HONEST, "got = 1 / 0", "import os\nos._exit(0)", "got = open('bench.csv').read()", HONEST]
    return [job(f"s{number:02}", cell) for number, cell in enumerate(cells)]


@pytest.mark.sandbox
def test_what_comes_from_elsewhere_is_what_comes_from_here(jobs: list[Any], tmp_path: Path) -> None:
    (tmp_path / "deeper").mkdir()
    (tmp_path / "bench.csv").write_text("12.5", encoding="utf-8")
    (tmp_path / "deeper" / "more.csv").write_text("1", encoding="utf-8")
    here = {came.student: came for came in walled(workers=2).run("ex04", jobs, kit=tmp_path)}
    done: list[str] = []
    with Threads("no wall") as workers:
        there = OtherMachines(workers, here=nowhere)  # type: ignore[arg-type]
        found = {came.student: came for came in there.run("ex04", jobs, kit=tmp_path, done=done.append)}
    assert found == here
    assert sorted(done) == sorted(here)
    assert values(found["s03"]) == {"got": "12.5"}
    assert there.words.startswith(f"2 of the workers at tcp://nowhere:8786: {protection().words}")
    assert "tcp://nowhere:no wall is given no cells. no wall" in there.words
    assert "left to this machine" not in there.words


@pytest.mark.sandbox
def test_what_no_worker_answers_is_run_here(jobs: list[Any]) -> None:
    with Gone() as workers:
        there = OtherMachines(workers, here=lambda: walled(workers=2))  # type: ignore[arg-type]
        found = {came.student: came for came in there.run("ex04", jobs[:2])}
    assert set(found) == {"s00", "s01"}
    assert values(found["s00"]) == {"got": 20.0}
    assert "What 2 of the notebooks compute was left to this machine" in there.words


def test_a_worker_without_protection_runs_nothing(jobs: list[Any], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(elsewhere, "_protection", lambda: NO_WALL)
    assert protected() == (False, NO_WALL.words)
    batch = elsewhere.Batch(exercise="ex04", beside={}, jobs=(b"", b""), seconds=5.0)
    assert run_batch(batch) == [Reply(why=NO_WALL.words, ran=False)] * 2
    with Threads() as workers:
        workers.workers = {}
        there = OtherMachines(workers, here=lambda: NothingRuns(NO_WALL.words))  # type: ignore[arg-type]
        found = list(there.run("ex04", jobs[:3]))
    assert {answer.how for came in found for answer in came.answers.values()} == {"not run"}
    assert NO_WALL.words in there.words


@pytest.mark.parametrize("sent", [None, [], ["ended"], [Reply(), ("held", "ended")], "nonsense"])
def test_what_no_worker_sends_is_not_read(sent: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(elsewhere, "run_batch", lambda _: sent)
    left: list[str] = []

    class Here(NothingRuns):
        def run(self, exercise: str, jobs: Any, **more: Any) -> Iterator[Any]:
            left.extend(one.student for one in jobs)
            return iter(())

    monkeypatch.setattr(elsewhere, "MOST", 2)
    with Threads() as workers:
        workers.workers = {"one": ""}
        list(OtherMachines(workers, here=lambda: Here("")).run("ex04", [job("a", HONEST), job("b", HONEST)]))  # type: ignore[arg-type]
    assert left == ["a", "b"]


# --- Marking -------------------------------------------------------------------------------------------------------


@pytest.fixture
def hands(every: dict[str, Hands]) -> Hands:
    return every["ex03"]


def class_of(hands: Hands, folder: Path, *students: str) -> ClassFolder:
    """Typed answers, computed ones, a design that cannot be read, one that cannot be worn, and a blank."""
    made = new_class(folder, hands)
    computed = {
        item.name: f"(lambda: {hands.solved(PEOPLE[1])[item.name]!r})()"
        for item in hands.exercise.items
        if not item.by_hand
    }
    far = {**hands.solved(PEOPLE[2])["design"], "ring_below_c7": "2 m"}
    work = {
        "s01": typed(hands, PEOPLE[0]),
        "s02": typed(hands, PEOPLE[1], **computed),
        "s03": typed(hands, PEOPLE[2], design=repr(far)),
        "s04": {"who": f"name = {PEOPLE[3]!r}"},
        "s05": typed(hands, PEOPLE[4], design="'what'"),
    }
    for student, cells in work.items():
        if students and student not in students:
            continue
        put(made.path / "submitted", f"{student}/ex03/ex03.ipynb", notebook(hands, cells))
    return made


def records(folder: ClassFolder) -> dict[str, bytes]:
    """All that is kept as data of what was handed in and what it earned."""
    return {
        path.relative_to(folder.path).as_posix(): path.read_bytes()
        for room in ("answers", "marks")
        for path in sorted((folder.path / room).rglob("*.json"))
    }


def test_designs_are_simulated_before_and_judged_here(hands: Hands, tmp_path: Path) -> None:
    here = class_of(hands, tmp_path / "class", "s01", "s03")
    take_in(here, "ex03", confinement=Nowhere())
    there = ClassFolder(Path(shutil.copytree(here.path, tmp_path / "other")))
    assert mark(here, "ex03").simulated == 0
    told: list[tuple[int, int]] = []
    with ThreadPoolExecutor(1) as one:
        found = mark(there, "ex03", executor=one, told_designs=lambda *far: told.append(far))
        assert found.simulated == told[-1][0] == told[-1][1] == len(results(there)) > 3
        assert mark(there, "ex03", executor=one).simulated == 0
    assert records(there) == records(here)
    kept, simulated = ({path.name: path.read_bytes() for path in results(one)} for one in (here, there))
    assert kept.items() <= simulated.items()  # bodies were tried too on whom judging does not ask


def test_what_nobody_could_simulate_is_not_counted(
    hands: Hands, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = class_of(hands, tmp_path / "class", "s01")
    take_in(made, "ex03", confinement=Nowhere())
    monkeypatch.setattr(ahead, "simulate_one", lambda task: (task[0], None))
    with ThreadPoolExecutor(1) as one:
        found = mark(made, "ex03", executor=one)
    assert (found.judged, found.simulated) == (1, 0)
    assert found.marked[0].points > 0.0, "judging has simulated it itself"


def results(folder: ClassFolder) -> list[Path]:
    return sorted((folder.path / SIMULATED).rglob("*.result"))


def test_a_simulation_that_goes_wrong_stops_no_class(hands: Hands) -> None:
    one = ahead.Simulation(exercise="ex03", item="design", wearer=None, settings={}, case=hands.case("Ana"))
    assert ahead.simulate_one(("there", one)) == ("there", None)


# --- With a scheduler ----------------------------------------------------------------------------------------------


@pytest.mark.long
@pytest.mark.sandbox
def test_a_class_on_two_workers_has_the_same_gradebook_though_one_is_killed(
    hands: Hands, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    here = class_of(hands, tmp_path / "class")
    there = ClassFolder(Path(shutil.copytree(here.path, tmp_path / "there")))
    killed = ClassFolder(Path(shutil.copytree(here.path, tmp_path / "killed")))
    take_in(here, "ex03", confinement=walled(workers=2))
    mark(here, "ex03")
    enter_marks(here, "ex03")
    with machines() as found:
        monkeypatch.chdir(there.path)
        assert main(["class", "take-in", "ex03", "--on", found.address]) == 0
        said = capsys.readouterr().out
        assert f"2 of the workers at {found.address}: {protection().words}" in said
        assert main(["class", "mark", "ex03", "--on", found.address]) == 0
        assert f"Designs are simulated by 2 workers at {found.address}." in capsys.readouterr().out

        def pull_a_plug(done: int, count: int) -> None:
            if done == 2 and found.processes[2].poll() is None:
                found.kill(found.processes[2])

        with cluster(found.address, fit=protected) as workers:
            take_in(killed, "ex03", confinement=OtherMachines(workers, here=nowhere))
            mark(killed, "ex03", executor=workers, told_designs=pull_a_plug)
            assert len(workers.workers) == 1
    enter_marks(killed, "ex03")
    assert records(there) == records(here)
    assert records(killed) == records(here)
    assert export_marks(there, "ex03").read_bytes() == export_marks(here, "ex03").read_bytes()
    assert export_marks(killed, "ex03").read_bytes() == export_marks(here, "ex03").read_bytes()


def test_without_a_scheduler_that_is_said(
    hands: Hands, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(new_class(tmp_path / "class", hands).path)
    assert main(["class", "take-in", "ex03", "--on", "what"]) == 1
    assert "“what” is no address of a scheduler." in capsys.readouterr().err
    assert main(["class", "take-in", "ex03", "--on", "what", "--unconfined"]) == 1
    assert "other machines run cells confined" in capsys.readouterr().err
    assert main(["class", "mark", "ex03", "--on", "what"]) == 1
    assert "“what” is no address of a scheduler." in capsys.readouterr().err


def test_an_exercise_of_the_class_is_simulated_here(
    hands: Hands, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    made = new_class(tmp_path / "class", hands)
    (made.path / "solutions" / "ex03" / "ex03.py").write_text("from controlkit.exercises.ex03 import exercise\n")
    monkeypatch.chdir(made.path)
    assert made.own("ex03")
    assert main(["class", "mark", "ex03", "--on", "what"]) == 1
    out, err = capsys.readouterr()
    assert "its designs are simulated here" in out
    assert "Nothing of ex03 was taken in yet." in err
