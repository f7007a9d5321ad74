"""A sealed exercise in the hands of a student: what its lines say, what is kept, what is missing or damaged."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from controlkit.checking import (
    Case,
    Exercise,
    Function,
    Item,
    Law,
    Plan,
    Quantity,
    Range,
    WrongFunction,
    judge,
    sealed,
)
from controlkit.checking.feedback import NO_ATTEMPT
from controlkit.checking.forms.data import form_data, form_from
from controlkit.checking.student.page import wrapped
from controlkit.checking.student.sealed_case import seal, sealed_name
from controlkit.classroom import make_class
from controlkit.classroom.begin import module_of
from controlkit.classroom.handing_out.sealed import hand_out_sealed
from controlkit.classroom.records import ClassFolder
from controlkit.units import InputError
from tests.checking.hands import ROOT
from tests.classroom.sealed_class import (
    ID,
    OTHER,
    OTHER_ID,
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


@pytest.fixture
def lever(
    klass: ClassFolder, every_given: dict[str, HandedOut], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> HandedOut:
    """The guide's exercise in a folder of its own."""
    given = given_of(OWN, klass, every_given)
    shutil.copy(given.folder / sealed_name(OWN), tmp_path)
    monkeypatch.chdir(tmp_path)
    return replace(given, folder=tmp_path)


def test_what_a_check_says(lever: HandedOut) -> None:
    mine = sealed(OWN, f"  {WHO.upper()} ")
    assert said(mine, "effort", "12,5 N") == "effort: read as 12.5 N."
    assert said(mine, "effort", "2 lbf") == "effort: read as 8.89644 N."
    assert said(mine, "effort", 12.5) == (
        'effort: read.\n  Read as 12.5 N. Next time write the unit too, in quotes: "12.5 N".'
    )
    assert said(mine, "ring", 1) == 'This exercise has no item "ring". Its items are "effort".'
    assert "Its worked steps are with your instructor" in repr(mine.steps("effort"))
    assert mine.case is not None
    with pytest.raises(AttributeError, match="this case has no 'load'"):
        _ = mine.case.load


def test_a_bare_share_where_per_cent_is_asked_for_says_both() -> None:
    share = Quantity(name="share", points=1, kind="ratio", unit="%", asks="a share", right=lambda *_: 40.0, within=1.0)
    form = share.form(Case("", "", 0, {}))
    both = "share: read as 0.4 % or, as a plain share, as 40 %; the better of the two counts."
    assert form.said(0.4, 0.4) == (both,)
    assert form.said("40 %", 40.0) == ("share: read as 40 %.",)
    assert {judge(plain_sheet(share), "share", one, Case("", "", 0, {})).points for one in (0.4, 40, "40 %")} == {1.0}


def plain_sheet(item: Item) -> Exercise:
    return Exercise(name="ex77", title="One", plan=Plan("ex77", {}), items=(item,))


def test_an_answer_that_cannot_be_read_does_not_pass_for_the_one_before(lever: HandedOut) -> None:
    mine = sealed(OWN, WHO)
    said(mine, "effort", "12.5 N")
    assert "1 of 1 answers were read" in repr(mine.record())
    said(mine, "effort", "12.5 mm")
    for own in (mine, sealed(OWN, WHO)):  # and so the next day
        assert "Cannot be read yet: 1. effort." in repr(own.record())
        assert own.record().data["typed"] == {}
        assert own.record().data["answers"] == {}


def test_without_a_name_or_with_another(lever: HandedOut) -> None:
    for name, says in (
        (..., "Your name is needed first."),
        (12, "A name is a text: it stands between quotes."),
        ("Zoe Dvorak", f"These questions were handed out to “{WHO}”, and “Zoe Dvorak” stands in the cell above."),
    ):
        mine = sealed(OWN, name)
        assert mine.case is None
        for shown in (mine.show(), mine.given("effort"), mine.steps(), mine.record()):
            assert says in repr(shown)
        assert says in " ".join(said(mine, "effort", 1).split())
        assert mine.record().data["case"] is None
    assert sealed(OWN, ID).case is not None


def test_a_file_that_is_missing_or_damaged(lever: HandedOut) -> None:
    path = lever.folder / sealed_name(OWN)
    good = path.read_text(encoding="utf-8")
    data = json.loads(good)
    for bad in (
        "", "[]", "null", "{}", good[: len(good) // 2], "[" * 100_000, '{"format": 1}',
        json.dumps({**data, "format": 2}),
        json.dumps({**data, "items": [{}]}), json.dumps({**data, "name": 3}), json.dumps({**data, "page": [5]}),
        good.replace('"form": "number"', '"form": "program"'),
    ):  # fmt: skip
        path.write_text(bad, encoding="utf-8")
        mine = sealed(OWN, WHO)
        assert "cannot be read: it is damaged, or of another version" in repr(mine.show()), bad[:60]
        assert "damaged" in said(mine, "effort", "12 N")
        assert "damaged" in repr(mine.record())
    path.unlink()
    assert f"The file {sealed_name(OWN)} does not lie beside this notebook." in repr(sealed(OWN, WHO).show())


def test_who_cannot_be_handed_out_to(klass: ClassFolder, every_given: dict[str, HandedOut], tmp_path: Path) -> None:
    given_of(OWN, klass, every_given)
    assert [path.parent.name for path in hand_out_sealed(klass, OWN, students=[OTHER_ID])] == [OTHER_ID]
    with pytest.raises(InputError, match="no case of ex42 for s99"):
        hand_out_sealed(klass, OWN, students=[ID, "s99"])
    bare = ClassFolder(make_class(tmp_path / "BARE", ROOT))
    (bare.path / "roster.csv").write_text(f"id,name\n{ID},{WHO}\n", encoding="utf-8")
    with pytest.raises(InputError, match="was not handed out"):
        hand_out_sealed(bare, "ex01")
    bare.keep_cases("ex01", {ID: module_of("ex01").exercise.own_case(WHO)}, "1")
    with pytest.raises(InputError, match="ex01 is not released"):
        hand_out_sealed(bare, "ex01")


def test_two_students_have_two_cases(klass: ClassFolder, every_given: dict[str, HandedOut]) -> None:
    given = given_of(OWN, klass, every_given)
    hand_out_sealed(klass, OWN)
    other = json.loads((klass.path / "handed-out" / OTHER_ID / OWN / sealed_name(OWN)).read_text(encoding="utf-8"))
    own = json.loads((given.folder / sealed_name(OWN)).read_text(encoding="utf-8"))
    assert (own["name"], other["name"]) == (WHO, OTHER)
    assert own["page"][0] != other["page"][0]
    assert OTHER not in json.dumps(own)


def doubled(one: float, rows: list[Any]) -> float:
    return 2 * one + sum(rows)


FUNCTION = Function(
    name="twice",
    asks="the double [N]",
    arguments=("one, the first [N]", "rows, the others [N]"),
    right=doubled,
    inputs=lambda c: ((float(c.load), [1.0, 2.0]), (2.0, [3.0, 4.0])),
    results_points=2,
    laws=(
        Law(
            label="nought-stays",
            points=1,
            inputs=lambda _: ((0.0, [0.0, 0.0]),),
            holds=lambda found: found[0] == 0.0,
            met="nought stays nought",
            ask="What of nothing?",
            because="an offset",
        ),
    ),
    ideas=(WrongFunction(label="once-only", model=lambda one, rows: one + sum(rows), ask="Once?", held_because="x"),),
)


def test_a_function_is_read_by_the_same_form(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    sheet = Exercise(name="ex77", title="Twice", plan=Plan("ex77", {"load": Range(40, 60, 5)}), items=(FUNCTION,))
    case = sheet.own_case(WHO)
    data = seal(sheet, case, student=ID, name=WHO).as_data()
    (tmp_path / sealed_name("ex77")).write_text(json.dumps(data), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    mine = sealed("ex77", WHO)
    for answer in (doubled, FUNCTION.ideas[0].model):
        assert said(mine, "twice", answer) == "twice: read as a function that returns a number each time."
    strange: tuple[Any, ...] = (
        ..., 12.0, print, lambda one: one,
        lambda one, rows: None,  # noqa: ARG005
        lambda one, rows: "x",  # noqa: ARG005
        lambda one, rows: [1.0, 2.0],  # noqa: ARG005
        lambda one, rows: one / 0,  # noqa: ARG005
        lambda one, rows: rows.append(1) or one,
        lambda one, rows: float("nan"),  # noqa: ARG005
    )  # fmt: skip
    for answer in strange:
        note = judge(sheet, "twice", answer, case).feedback[0]
        assert note.kind in ("blank", "unreadable")
        assert said(mine, "twice", answer) == wrapped(note.message.replace(f" {NO_ATTEMPT}", ""))
    assert "once-only" not in json.dumps(data)
    assert "nought-stays" not in json.dumps(data)


def test_a_form_comes_back_from_its_data(given: HandedOut) -> None:
    for item in given.exercise.items:
        form = item.form(given.case)
        kept = json.loads(json.dumps(form_data(form)))
        assert form_from(kept) == form
        assert set(kept) & {"right", "ask", "share", "hints"} == set()


def test_a_kind_without_a_form_of_its_own_is_not_guessed_at(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from tests.checking.test_new_kind import exercise

    case = exercise.own_case(WHO)
    data = seal(exercise, case, student=ID, name=WHO).as_data()
    (tmp_path / sealed_name("ex77")).write_text(json.dumps(data), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    mine = sealed("ex77", WHO)
    assert said(mine, "heavy", ...) == "heavy: nothing stands here yet."
    assert {said(mine, "heavy", one) for one in (True, False, "yes")} == {
        "heavy: something stands here. Whether it can be read shows when it is marked."
    }
