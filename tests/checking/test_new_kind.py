"""A new kind of item is one class: shown, checked, scored, admitted and begun, without a line in any other file."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

import pytest

from controlkit.checking import Exercise, Feedback, Given, Item, Judgement, KeptBack, Plan, Question, Range, judge
from controlkit.checking.case.cases import Case
from controlkit.classroom import begin


@dataclass(frozen=True, kw_only=True)
class YesOrNo(Item):
    """A statement that holds or does not."""

    keeps_back: ClassVar[bool] = True

    name: str
    points: float
    asks: str
    holds: Callable[[Case], bool]

    def asked(self, case: Case) -> str:
        return f"{self.asks}: {case.load} N. Write True or False"

    def stub(self) -> str:
        return f"{self.name} = ...  # True or False"

    def admits(self, given: Given) -> bool:
        return given.case.load != 50  # on the border nobody can tell

    def wrong_answers(self, given: Given) -> tuple[bool, ...]:
        return (not self.holds(given.case),)

    def judge(self, question: Question) -> Judgement:
        if type(question.answer) is not bool:
            said = f"{self.name}: write True or False."
            return self.judged(0.0, Feedback("unreadable", "unreadable", said, "no yes or no"))
        holds = self.holds if question.kept_back is None else question.kept_back
        if question.answer == holds(question.case):
            return self.judged(self.points, Feedback("right", "right", f"{self.name}: yes.", "right"))
        return self.judged(0.0, Feedback("other", "idea", f"{self.name}: not yet. What pulls?", "guessed"))


MINUTES = 5
exercise = Exercise(
    name="ex77",
    title="Heavy or not",
    plan=Plan("ex77", {"load": Range(40, 60, 5, "N")}),
    items=(YesOrNo(name="heavy", points=3, asks="is it more than 50 N", holds=lambda c: c.load > 50),),
)


def test_it_is_shown_checked_and_scored(capsys: pytest.CaptureFixture[str]) -> None:
    mine = exercise("Ana")
    assert mine.case is not None
    right = mine.case.load > 50
    assert "1. heavy  3       is it more than 50 N" in repr(mine.show())
    assert f"Asked: is it more than 50 N: {mine.case.load} N. Write True or False." in repr(mine.given("heavy"))
    for answer in ("yes", not right, right):
        mine.check("heavy", answer)
    said = capsys.readouterr().out
    assert "heavy: write True or False." in said
    assert "heavy: not yet. What pulls?\n  This answer: 0 of 3 points." in said
    assert "heavy: yes.\n  This answer: 3 of 3 points." in said
    assert mine._attempts("heavy") == 2
    assert mine.score("heavy", right) == 3.0
    assert mine.score("heavy", right, KeptBack({"heavy": lambda c: not c.load > 50})) == 0.0


def test_it_admits_cases_and_knows_its_wrong_answers() -> None:
    assert not exercise.admits(Case("ex77", "x", 0, {"load": 50}))
    for number in range(30):
        case = exercise.own_case(f"Student {number}")
        assert case.load != 50
        (wrong,) = exercise.wrong_answers("heavy", case)
        assert judge(exercise, "heavy", wrong, case).feedback[0].kind == "idea"


def test_its_cells_are_begun(tmp_path: Path) -> None:
    folder = tmp_path / "solutions" / "ex77"
    folder.mkdir(parents=True)
    (folder / "ex77.py").write_text(f"from {__name__} import MINUTES, exercise\n", encoding="utf-8")
    begin("ex77", tmp_path)
    page = json.loads((folder / "ex77.ipynb").read_text(encoding="utf-8"))
    cells = {cell["id"]: "".join(cell["source"]) for cell in page["cells"]}
    assert cells["heavy-asks"] == "## 1. Heavy\n\nIs it more than 50 N."
    assert cells["heavy"].startswith("heavy = ...  # True or False\n### BEGIN SOLUTION")
    assert 'mine.score("heavy", heavy, private("ex77"))' in cells["t-heavy"]


def test_a_kind_that_says_no_more_than_it_must_has_the_usual_answers() -> None:
    @dataclass(frozen=True, kw_only=True)
    class Anything(Item):
        name: str = "any"
        points: float = 1.0
        asks: str = "write anything"

        def judge(self, question: Question) -> Judgement:
            return self.judged(1.0, Feedback("right", "right", "yes", "anything will do"), value=7.0)

    item = Anything()
    free = Exercise("free", "Free", Plan("free", {"load": Range(1, 5)}), (item,))
    case = free.own_case("Ana")
    assert judge(free, "any", None, case) == Judgement(
        item="any", points=1.0, out_of=1.0, feedback=(Feedback("right", "right", "yes", "anything will do"),), value=7.0
    )
    assert (item.asked(case), item.heading(), item.stub()) == ("write anything", "Write anything.", "any = ...")
    assert free.right(case) == {}
    assert free.wrong_answers("any", case) == ()
    assert free.carried({"any": 7.0}, case) == {}
    assert not item.keeps_back
    assert not item.by_hand
    assert free.given(item, case) == Given(case=case, ideas=(), right=free.right)


def test_no_other_file_names_a_kind(root: Path) -> None:
    """Only the file of a kind, and the door of the room, hold its name."""
    room = root / "controlkit" / "checking"
    files = [*room.rglob("*.py"), *(root / "controlkit" / "classroom").rglob("*.py")]
    source = {path.relative_to(room.parent).as_posix(): path.read_text(encoding="utf-8") for path in files}
    for kind in ("choice", "design", "diagnosis", "formula", "function", "order", "quantity", "written"):
        naming = [name for name, text in source.items() if f"items.{kind} import" in text]
        assert naming == ["checking/__init__.py"], kind
