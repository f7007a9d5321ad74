"""A sealed hand-out: it reads as the open check does, says nothing of what is right, and is marked the same."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import nbformat
import pytest
from nbclient import NotebookClient

from controlkit.checking import (
    Case,
    Choice,
    Design,
    Diagnosis,
    Exercise,
    Formula,
    Item,
    Order,
    Quantity,
    Setting,
    judge,
    sealed,
)
from controlkit.checking.student.page import wrapped
from controlkit.checking.student.receipt import RECORD
from controlkit.checking.student.sealed_case import SealedCase, seal, sealed_name
from controlkit.classroom.confined.job import Came, Job
from controlkit.classroom.marking.judging import judged
from controlkit.classroom.records import ClassFolder
from controlkit.classroom.taking_in.take_in import take_in
from tests.checking.test_hostile import BLANK, HOSTILE, MALFORMED
from tests.classroom.handed_in import Nowhere
from tests.classroom.sealed_class import (
    ID,
    OWN,
    WHO,
    HandedOut,
    every_given,
    given,
    given_of,
    klass,
    said,
)

__all__ = ["every_given", "given", "klass"]


def wrong(given: HandedOut, item: Item, right: Any) -> list[Any]:
    """What known wrong ideas answer; of a design, other settings than the right ones."""
    found = list(given.exercise.wrong_answers(item.name, given.case))
    if isinstance(item, Quantity):
        found = [f"{value!r} {item.unit}" for value in [*found, 1.37 * given.exercise.right(given.case)[item.name]]]
    if isinstance(item, Design):
        found.append({one.name: other_setting(one, right[one.name]) for one in item.settings})
    if isinstance(item, Diagnosis):
        found += [{**right, "reading": one.word} for one in item.readings]
    return found


def other_setting(setting: Setting, value: Any) -> Any:
    if setting.words:
        return next(one.word for one in setting.words if one.word != value)
    return f"{17 if str(value).startswith('16') else 16} {setting.unit}".strip()


def without_the_answer(text: str, item: Item, case: Case) -> str:
    """What a check says, without what it repeats of the answer."""
    words = [row[0] for table in item.lists(case) for row in table.rows]
    words += [argument.split(",")[0].split(" [")[0] for argument in getattr(item, "arguments", ())]
    text = " ".join(text.split())
    for word in sorted(words, key=len, reverse=True):
        text = text.replace(word, "#")
    text = re.sub(r"[-−]?\d+(?:\.\d+)?(?:e[-+]\d+)?", "#", text)
    return re.sub(r"#(?:(?:, | and )#)+", "#", text)


def test_the_same_is_said_of_right_and_wrong(given: HandedOut, monkeypatch: pytest.MonkeyPatch) -> None:
    mine, right = given.mine(monkeypatch), given.right()
    for item in given.exercise.items:
        answers = [right[item.name], *wrong(given, item, right[item.name])]
        if isinstance(item, Quantity):
            answers[0] = f"{float(given.exercise.right(given.case)[item.name])!r} {item.unit}"
        points = {judge(given.exercise, item.name, one, given.case).points for one in answers}
        assert item.by_hand or len(points) > 1, item.name  # the open check tells them apart
        texts = {without_the_answer(said(mine, item.name, one), item, given.case) for one in answers}
        assert len(texts) == 1, texts
        (text,) = texts
        assert text.startswith(f"{item.called}: "), text
        assert "read" in text, text


def test_what_cannot_be_read_is_said_as_by_the_open_check(given: HandedOut, monkeypatch: pytest.MonkeyPatch) -> None:
    mine, counted = given.mine(monkeypatch), 0
    for item in given.exercise.items:
        parts: list[Any] = [{}, {"ring": 1}, [...], ["", "x"]]
        if isinstance(item, Design | Diagnosis):
            names = [one.name for one in item.settings] if isinstance(item, Design) else ["fault", "reading"]
            parts += [dict.fromkeys(names, one) for one in (..., "...", "ten", "10 Nn", (12, 5))]
        for answer in [*BLANK, *MALFORMED, *parts, *(make() for make in HOSTILE.values())]:
            note = judge(given.exercise, item.name, answer, given.case).feedback[0]
            text = said(mine, item.name, answer)
            if note.kind in ("blank", "unreadable"):
                assert text == wrapped(note.message.replace(" This does not count as an attempt.", ""))
                counted += 1
            else:
                assert text.startswith(f"{item.called}: "), text
            assert "attempt" not in text
    assert counted > 40


def sentences(exercise: Exercise, case: Case) -> Iterator[str]:
    """Every word that stays with the instructor."""
    for idea in exercise.ideas:
        yield from (idea.label, idea.ask, idea.held_because)
    for steps in exercise.worked.values():
        yield from (steps if isinstance(steps, str) else steps(case)).splitlines()
    for item in exercise.items:
        yield from getattr(item, "hints", ())
        told: Sequence[Any] = (
            *(getattr(item, name, ()) for name in ("statements", "faults", "readings", "steps")),
            *(getattr(item, name, ()) for name in ("criteria", "laws", "ideas", "bodies")),
        )
        for one in (one for several in told for one in several):
            for field in ("ask", "held_because", "met", "because", "kind"):
                yield str(getattr(one, field, ""))
            if not hasattr(one, "word"):  # the word of a statement is what a student writes
                yield str(getattr(one, "label", ""))
        if isinstance(item, Formula):
            yield item.right
            yield from item.wrong_answers(exercise.given(item, case))
        yield str(getattr(item, "unfinished", ""))


def numbers(exercise: Exercise, case: Case) -> set[str]:
    """Right answers and what wrong ideas answer, as far as a number is long enough to be known again."""
    found = [*exercise.right(case).values()]
    for item in exercise.items:
        if isinstance(item, Quantity):
            found += list(exercise.wrong_answers(item.name, case))
    shown = {f"{value:.{digits}g}" for value in found for digits in (5, 6, 7)} | {repr(value) for value in found}
    return {text for text in shown if len(re.sub(r"\D", "", text).strip("0")) >= 5}


def test_nothing_of_what_is_right_lies_in_the_folder(given: HandedOut) -> None:
    files = sorted(path.name for path in given.folder.iterdir() if not path.name.startswith("progress"))
    assert files == [f"{given.exercise.name}-sealed.json", f"{given.exercise.name}.ipynb"]
    held = json.dumps([json.loads((given.folder / name).read_text(encoding="utf-8")) for name in files])
    text = " ".join(json.loads(json.dumps(held)).encode().decode("unicode_escape").split())
    raw = b"".join((given.folder / name).read_bytes() for name in files).decode("utf-8")
    shown = " ".join(str(part) for one in seal_of(given).items for part in one.given) + raw
    secret = {" ".join(one.split()) for one in sentences(given.exercise, given.case)}
    secret = {one for one in secret if len(one) > 5 and not is_asked(one, given)} | numbers(given.exercise, given.case)
    assert len(secret) > 10 * (given.exercise.name != OWN) + 5
    for one in secret:
        for place in (text, raw, shown):
            assert one not in place, one
    assert f"controlkit.exercises.{given.exercise.name}" not in raw


def seal_of(given: HandedOut) -> SealedCase:
    return seal(given.exercise, given.case, student=ID, name=WHO)


def is_asked(words: str, given: HandedOut) -> bool:
    """Whether a label or a body's kind is a plain word of the question itself, as the open page has it too."""
    asked = "".join(
        f"{item.heading()} {item.stub()} {item.asked(given.case)} "
        f"{' '.join(table.text() for table in item.lists(given.case))}"
        for item in given.exercise.items
    )
    plain = " ".join(asked.split()).casefold()
    return "-" not in words and len(words.split()) <= 2 and words.casefold() in plain


def another(item: Item) -> Item:
    """The same question with something else for right, and nothing to say."""
    if isinstance(item, Quantity):
        return replace(item, right=lambda *_: 1234.5678, hints=(), follows="")
    if isinstance(item, Choice):
        mute = tuple(replace(one, ask="", held_because="", share=0.0) for one in item.statements)
        return replace(item, statements=mute, right=lambda _: mute[0].word, hints=(), right_from=None)
    if isinstance(item, Diagnosis):
        mute = tuple(replace(one, ask="", held_because="", share=0.0) for one in item.faults)
        return replace(item, faults=mute, fault=lambda _: mute[0].word, decides=lambda _: (), hints=())
    if isinstance(item, Order):
        mute = tuple(replace(one, ask="", held_because="") for one in item.steps)
        return replace(item, steps=mute, right=lambda _: ((mute[0].word,),), comes_to=None, hints=(), unfinished="")
    if isinstance(item, Formula):
        turns, name = item._reads(item.right).turns, item.names[0]
        other = f"sin({name}) + 7" if turns else f"{name} + 7"
        laws = tuple(replace(one, label="x", met="", ask="", because="") for one in item.laws)
        return replace(item, right=other, ideas=(), hints=(), laws=laws)
    if isinstance(item, Design):
        bare = tuple(
            replace(one, label="x", share=lambda *_: 0.0, met="", ask="", because="", reached=None, counts=None)
            for one in item.criteria
        )
        return replace(item, criteria=bare, simulate=never, wearer=never, works=never, bodies=(), graded_on=())
    return item


def never(*_: Any) -> Any:
    raise AssertionError("nothing is simulated for a sealed hand-out")


def test_the_data_is_the_same_whatever_is_right(given: HandedOut) -> None:
    """Other right answers, no ideas, no hints, no steps: not one byte differs."""
    items = tuple(another(item) for item in given.exercise.items)
    other = replace(given.exercise, items=items, ideas=(), worked={})
    changed = [one.name for one, two in zip(given.exercise.items, items, strict=True) if one != two]
    assert set(changed) == {one.name for one in given.exercise.items if not one.by_hand}
    kept = json.loads((given.folder / sealed_name(given.exercise.name)).read_text(encoding="utf-8"))
    assert json.loads(json.dumps(seal(other, given.case, student=ID, name=WHO).as_data())) == kept


def test_the_values_of_the_case_stay_in_the_class(given: HandedOut, monkeypatch: pytest.MonkeyPatch) -> None:
    """A case may hold the answer that it asks for."""
    mine = given.mine(monkeypatch)
    assert mine.case is not None
    assert (mine.case.seed, mine.case.draw, mine.case.as_data()) == (given.case.seed, given.case.draw, {})
    assert mine.record().data["case"] == {}


def test_it_shows_what_the_open_page_shows(given: HandedOut, monkeypatch: pytest.MonkeyPatch) -> None:
    mine = given.mine(monkeypatch)
    own = given.exercise(WHO)
    own._case = given.case
    first, rest = repr(mine.show()).split("\n\n", 1)
    assert first == repr(own.show()).split("\n\n", 1)[0]
    assert rest.split("\n\n", 1)[1] == repr(own.show()).split("\n\n", 1)[1]
    assert rest.startswith("This exercise was handed out sealed")
    for item in given.exercise.items:
        assert repr(mine.given(item.name)) == repr(own.given(item.name))
        assert mine.given(item.name)._repr_html_() == own.given(item.name)._repr_html_()


PROMISED = re.compile(
    r"at once|whether it is right, and|attempt|like case|[Yy]our points|points? in a file|check names"
)
"""What only an open exercise does."""


def test_no_text_promises_what_a_sealed_exercise_does_not_do(given: HandedOut) -> None:
    """Of the package's exercises, and of one that was begun for an instructor's own."""
    name = given.exercise.name
    page = nbformat.read(given.folder / f"{name}.ipynb", as_version=4)
    texts = {cell.id: cell.source for cell in page.cells if cell.cell_type == "markdown"}
    assert [(one, found[0]) for one, text in texts.items() if (found := PROMISED.search(text))] == []
    assert "says whether it can be read, and as what, and not whether it is right" in texts["title"]
    assert "shows which answers were read" in texts["hand-in"]
    released = nbformat.read(given.klass.path / "release" / name / f"{name}.ipynb", as_version=4)
    assert any(PROMISED.search(cell.source) for cell in released.cells)  # the open one does promise it


def test_only_the_cell_that_brings_the_exercise_and_words_differ(given: HandedOut) -> None:
    name = given.exercise.name
    ours = nbformat.read(given.folder / f"{name}.ipynb", as_version=4)
    released = nbformat.read(given.klass.path / "release" / name / f"{name}.ipynb", as_version=4)
    nbformat.validate(ours)
    differing = [one.id for one, two in zip(ours.cells, released.cells, strict=True) if one != two]
    texts = {one.id for one in released.cells if one.cell_type == "markdown"}
    assert [one for one in differing if one not in texts] == ["case"]
    assert {"title", "hand-in"} <= set(differing)
    (cell,) = (one for one in ours.cells if one.id == "case")
    assert cell.source == f'from controlkit.checking import sealed\n\nmine = sealed("{name}", name)\nmine.show()'


def typed(given: HandedOut, folder: Path, answers: dict[str, Any]) -> Path:
    """The sealed notebook with answers in it, in a folder of the student's."""
    name = given.exercise.name
    page = nbformat.read(given.folder / f"{name}.ipynb", as_version=4)
    for cell in page.cells:
        if cell.id == "who":
            cell.source = f"name = {WHO!r}"
        elif cell.id in answers:
            cell.source = f"{cell.id} = {answers[cell.id]!r}"
    folder.mkdir(parents=True)
    nbformat.write(page, folder / f"{name}.ipynb")
    shutil.copy(given.folder / sealed_name(name), folder)
    return folder / f"{name}.ipynb"


@pytest.mark.parametrize("sort", ["right", "wrong"])
def test_the_class_marks_it_like_the_open_one(given: HandedOut, tmp_path: Path, sort: str) -> None:
    """Typed in the sealed notebook, taken in and judged: the points and words of the one judging function."""
    right = given.right()
    answers = dict(right)
    if sort == "wrong":
        for item in given.exercise.items:
            others = wrong(given, item, right[item.name])
            answers[item.name] = others[0] if others else right[item.name]
    typed(given, tmp_path / "back" / ID, answers)
    taken = take_in(given.klass, given.exercise.name, tmp_path / "back", confinement=Nowhere())
    (one,) = taken.new
    assert not [note.label for note in one.remarks]
    marked = judged(given.exercise, one, given.case, given.hands.kept_back, digest="")
    earlier: dict[str, float] = {}
    for item, mark in zip(given.exercise.items, marked.items, strict=True):
        kept = given.hands.kept_back
        found = judge(given.exercise, item.name, answers[item.name], given.case, earlier=earlier, kept_back=kept)
        if found.value is not None:
            earlier[item.name] = found.value
        assert mark.words == found.words.replace(" This does not count as an attempt.", "")  # nobody counts any more
        assert mark.points == (None if item.by_hand else found.points)
    total = sum(mark.points or 0.0 for mark in marked.items)
    most = sum(item.points for item in given.exercise.items if not item.by_hand)
    assert total == pytest.approx(most) if sort == "right" else total < most


class Noting(Nowhere):
    """Runs nothing, and keeps what it was asked to."""

    def __init__(self) -> None:
        self.jobs: list[Job] = []

    def run(self, exercise: str, jobs: Iterable[Job], **_: Any) -> Iterator[Came]:
        self.jobs += jobs
        return (Came(one.student) for one in self.jobs)


def test_cells_are_told_no_value_of_the_case_when_it_is_taken_in(
    klass: ClassFolder, every_given: dict[str, HandedOut], tmp_path: Path
) -> None:
    """On her own page ``mine.case`` holds none; here it must not either, for it may hold the answer."""
    given = given_of(OWN, klass, every_given)
    (item,) = given.exercise.items
    c = given.case
    page = nbformat.read(typed(given, tmp_path / "back" / ID, {}), as_version=4)
    for asks in ("mine.case.load * mine.case.short / mine.case.long", "max(mine.case.values.values())"):
        for cell in page.cells:
            cell.source = f"{item.name} = {asks}" if cell.id == item.name else cell.source
        nbformat.write(page, tmp_path / "back" / ID / f"{OWN}.ipynb")
        noting = Noting()
        (one,) = take_in(klass, OWN, tmp_path / "back", confinement=noting).new
        assert one.answers[item.name].how == "not run"
        assert [(job.case.seed, job.case.draw, job.case.as_data()) for job in noting.jobs] == [(c.seed, c.draw, {})]
        assert not [note for note in one.remarks if note.label == "another-case"]


@pytest.mark.parametrize("name", [OWN, "ex11"])
def test_it_runs_in_a_kernel_of_its_own_today_and_tomorrow(
    name: str, klass: ClassFolder, every_given: dict[str, HandedOut], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = given_of(name, klass, every_given)
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    path = typed(given, tmp_path / "at-home", given.right())

    def run() -> nbformat.NotebookNode:
        page = nbformat.read(path, as_version=4)
        NotebookClient(page, timeout=120, resources={"metadata": {"path": str(path.parent)}}).execute()
        return page

    ran = run()
    outputs = {cell.id: cell.outputs for cell in ran.cells if cell.cell_type == "code"}
    assert not [one for several in outputs.values() for one in several if one.get("name") == "stderr"]
    assert not [one for several in outputs.values() for one in several if one.output_type == "error"]
    record = outputs["record"][0]["data"][RECORD]
    assert record["sealed"] is True
    assert "points" not in record
    assert set(record["typed"]) == {item.name for item in given.exercise.items}
    assert record["answers"].keys() == given.exercise.right(given.case).keys()
    page = nbformat.read(path, as_version=4)
    page.cells = [cell for cell in page.cells if cell.id in ("who", "case", "record")]  # nothing is checked anew
    nbformat.write(page, path)
    later = run().cells[-1].outputs[0]["data"]
    assert later[RECORD] == record
    assert "Nothing is missing." in later["text/plain"]
    kept = json.loads((path.parent / "progress.json").read_text(encoding="utf-8"))
    assert "points" not in json.dumps(kept["progress"])


def test_a_blank_notebook_says_what_is_missing(
    given: HandedOut, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    shutil.copy(given.folder / sealed_name(given.exercise.name), tmp_path)
    monkeypatch.chdir(tmp_path)
    mine = sealed(given.exercise.name, WHO)
    for item in given.exercise.items:
        said(mine, item.name, ...)
    assert not (tmp_path / "progress.json").exists()
    page = repr(mine.record())
    assert f"0 of {len(given.exercise.items)} answers were read." in page
    assert f"Still without an answer: 1. {given.exercise.items[0].called}" in page
