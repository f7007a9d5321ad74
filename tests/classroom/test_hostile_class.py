"""Hostile notebooks in one class with honest ones: no mark appears, and no neighbour is touched."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from controlkit.checking import Quantity
from controlkit.classroom import begin, make_class, private, release
from controlkit.classroom.begin import module_of
from controlkit.classroom.confined.run import confinement
from controlkit.classroom.handing_out.sealed import hand_out_sealed
from controlkit.classroom.marking.mark import mark
from controlkit.classroom.records import ClassFolder
from controlkit.classroom.records.harmless import seen
from controlkit.classroom.taking_in.take_in import take_in
from tests.checking.hands import ROOT, Hands
from tests.checking.test_guide import example_code
from tests.classroom import attacks, hostile_class
from tests.classroom.attacks import ESCAPE, EVERY, ITEM, RIGHT, Attack
from tests.classroom.handed_in import put
from tests.classroom.hostile_class import SECONDS, Led, alone, led, of
from tests.classroom.walled import in_plain_process, walled

pytestmark = pytest.mark.sandbox

EXERCISES = ("ex04", "ex03")
TABLE = {f"{one.exercise}: {one.name}": one for exercise in EXERCISES for one in of(exercise)}


class _Asked(dict[str, Led]):
    """Classes that are led through once, when they are asked for."""

    def __init__(self, places: pytest.TempPathFactory, *, hostile: bool) -> None:
        self._places, self._hostile = places, hostile

    def __missing__(self, exercise: str) -> Led:
        here = walled(seconds=SECONDS, workers=2)
        place = self._places.mktemp(exercise)
        self[exercise] = led(place, exercise, of(exercise), here=here, hostile=self._hostile)
        return self[exercise]


@pytest.fixture(scope="module")
def classes(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Led]:
    """Each exercise with all its attackers, led from the zip to the feedback."""
    return _Asked(tmp_path_factory, hostile=True)


@pytest.fixture(scope="module")
def calm(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Led]:
    """The same classes; nobody hostile hands in."""
    return _Asked(tmp_path_factory, hostile=False)


def test_there_are_many_kinds() -> None:
    assert len(TABLE) == len({one.name for one in TABLE.values()}) > 100
    assert len(EVERY) > 75


@pytest.mark.long
def test_its_own_entry_prints_the_table_and_nothing_else(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    few = ("replaces mine.score", "every grade id renamed", "no Python at all", "a design of lists")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(hostile_class, "of", lambda name: [one for one in of(name) if one.name in few])
    assert attacks.main() == 0
    said = capsys.readouterr().out.splitlines()
    assert [line[6:58].strip() for line in said[:-1]] == list(few)
    assert said[-1] == "4 attacks: 0 with a mark, 1 left to a person or not read."
    assert list(tmp_path.iterdir()) == []


@pytest.mark.long
@pytest.mark.parametrize("name", TABLE)
def test_no_mark_appears(name: str, classes: dict[str, Led]) -> None:
    (one,) = (one for one in classes[TABLE[name].exercise].came if one.attack.name == TABLE[name].name)
    assert not any(one.points.values()), one
    waiting = [item for item, points in one.points.items() if points is None]
    assert not waiting, one  # everything was run or read; nothing is left to a person


@pytest.mark.long
@pytest.mark.parametrize("exercise", EXERCISES)
def test_honest_neighbours_are_as_without_them(exercise: str, classes: dict[str, Led], calm: dict[str, Led]) -> None:
    run, quiet = classes[exercise], calm[exercise]
    assert len(run.honest) >= len(run.came) / 7
    for student in run.honest:
        marked = run.folder.marked(exercise, student)
        assert marked is not None
        assert all(one.points == one.out_of for one in marked.items if not one.by_hand)
        found = run.files_of(student, exercise)
        assert found == quiet.files_of(student, exercise)
        assert len(found) >= 5


@pytest.mark.long
@pytest.mark.parametrize("exercise", EXERCISES)
def test_nothing_of_the_class_is_changed(exercise: str, classes: dict[str, Led]) -> None:
    run = classes[exercise]
    assert run.before == run.after
    pages = {one.name for one in (run.folder.path / "feedback").iterdir()}
    assert pages == {one.id for one in run.folder.roster} - {one.student for one in run.came if not one.points}


@pytest.mark.long
@pytest.mark.parametrize("exercise", EXERCISES)
def test_what_the_commands_say_no_terminal_obeys(exercise: str, classes: dict[str, Led]) -> None:
    assert seen(ESCAPE) != ESCAPE
    assert not re.findall(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e]", classes[exercise].said)


@pytest.mark.long
@pytest.mark.parametrize("exercise", EXERCISES)
def test_no_page_and_no_table_holds_what_would_run(exercise: str, classes: dict[str, Led]) -> None:
    folder = classes[exercise].folder.path
    pages = [*folder.glob("feedback/*/*/*.html"), *folder.glob("reports/*.html")]
    assert len(pages) > len(classes[exercise].came)
    for page in pages:
        text = page.read_text(encoding="utf-8")
        assert "<script>window.hit" not in text, page
        assert "<img src=x" not in text, page
        assert 'href="javascript:' not in text, page
        assert "\x1b" not in text, page
    tables = [*folder.glob("*.csv"), *folder.glob("reports/*.csv"), *folder.glob("exports/*.csv")]
    tables = [one for one in tables if one.name != "roster.csv"]
    assert tables
    for table in tables:
        assert not re.search(r"(^|[,;\t\"])\s*[=@]", table.read_text(encoding="utf-8"), re.MULTILINE), table


IN_ITS_PROCESS = [one for one in EVERY if one.control in ("score", "check")]


@pytest.mark.parametrize("attack", IN_ITS_PROCESS, ids=lambda one: one.name)
def test_judged_in_its_own_process_it_would_have_a_mark(attack) -> None:  # type: ignore[no-untyped-def]
    ((item, cells),) = attack.cells.items()
    assert in_plain_process(alone(cells, item, attack.control)) is True


@pytest.mark.long
def test_without_the_wall_they_would_have_marks(tmp_path: Path) -> None:
    attacks = [one for one in EVERY if one.control == "unconfined"]
    run = led(tmp_path, "ex04", attacks, here=confinement(unconfined=True, workers=1), back=False)
    assert {one.attack.name: max(p or 0.0 for p in one.points.values()) for one in run.came} == dict.fromkeys(
        (one.name for one in attacks), 4.0
    )
    assert run.before != run.after  # one of them adds to what is kept back


@pytest.mark.long
def test_what_is_kept_is_plain_data(classes: dict[str, Led]) -> None:
    for exercise in EXERCISES:
        run = classes[exercise]
        for room in ("answers", "marks"):
            for path in (run.folder.path / room / exercise).glob("*.json"):
                assert json.loads(path.read_text(encoding="utf-8"))["student"] == path.stem
                assert path.stat().st_size < 5_000_000, path


# --- Where the right answers can be asked for ----------------------------------------------------------------------


def test_in_an_open_hand_out_the_right_answer_can_be_asked_for(tmp_path: Path) -> None:
    """No attack that a wall could stop: the package holds its exercises, and the guide says so."""
    run = led(tmp_path, "ex04", [Attack("asks", {ITEM: RIGHT})], here=walled(), back=False)
    assert run.came[0].points[ITEM] == run.came[0].out_of[ITEM]


ASKS = {
    "of what the notebook has": 'exercise.right(mine.case)["{item}"]',
    "of the file": '__import__("ex42").exercise.right(mine.case)["{item}"]',
    "of what is mounted": (
        '__import__("sys").path.append("/kit") or __import__("ex42").exercise.right(mine.case)["{item}"]'
    ),
}


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    """A class with an exercise of its own, that of the guide, released."""
    there = tmp_path_factory.mktemp("own")
    made = make_class(there / "class", ROOT)
    (made / "solutions" / "ex42").mkdir()
    code = example_code((ROOT / "solutions" / "guide.md").read_text(encoding="utf-8"))
    (made / "solutions" / "ex42" / "ex42.py").write_text(code, encoding="utf-8")
    begin("ex42", made)
    shutil.copytree(made / "solutions" / "ex42", there / "plain" / "solutions" / "ex42")
    shutil.copy(ROOT / "nbgrader_config.py", there / "plain")
    release(there / "plain", ["ex42"], into=made / "release")
    names = {f"s{number}": f"Pat Hostile{number}" for number in range(len(ASKS))}
    lines = [f"{student},{name}\n" for student, name in names.items()]
    (made / "roster.csv").write_text("id,name\n" + "".join(lines), encoding="utf-8")
    hands = Hands("ex42", module_of("ex42", made), private("ex42", made))
    ClassFolder(made).keep_cases("ex42", {student: hands.case(name) for student, name in names.items()}, "1")
    return ClassFolder(made)


@pytest.mark.parametrize("sealed", [False, True], ids=["open", "sealed"])
def test_in_a_sealed_exercise_of_ones_own_it_cannot(sealed: bool, own: ClassFolder, tmp_path: Path) -> None:
    shutil.copytree(own.path, tmp_path / "class")
    folder = ClassFolder(tmp_path / "class")
    if sealed:
        hand_out_sealed(folder, "ex42")
    item = next(one for one in folder.sheet("ex42").items if isinstance(one, Quantity))
    for student, asks in zip(folder.roster, ASKS.values(), strict=True):
        given = folder.path / ("handed-out" if sealed else "release") / (student.id if sealed else "") / "ex42"
        page = json.loads((given / "ex42.ipynb").read_text(encoding="utf-8"))
        for cell in page["cells"]:
            if cell["metadata"]["nbgrader"]["grade_id"] == item.name:
                cell["source"] = f"{item.name} = {asks.format(item=item.name)}"
        put(folder.path / "submitted", f"{student.id}/ex42/ex42.ipynb", json.dumps(page).encode())
    take_in(folder, "ex42", confinement=walled(workers=1))
    found = [{one.item: one.points for one in marked.items}[item.name] for marked in mark(folder, "ex42").marked]
    assert found == [0.0 if sealed else item.points] * len(ASKS)
