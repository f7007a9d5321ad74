"""Choice, order and diagnosis: right, wrong, blank, malformed and sloppy answers, and the words that come back."""

from __future__ import annotations

from typing import Any

import pytest

from controlkit.checking import Choice, Diagnosis, Exercise, Judgement, OneOf, Order, Plan, judge
from controlkit.checking.case.cases import Case
from controlkit.units import InputError
from tests.checking.talk import BACK, OUT, RIGHT, TALK, words


class Forged(str):
    def strip(self, *_: object) -> str:
        raise RuntimeError("trap")

    casefold = lower = __eq__ = strip  # type: ignore[assignment]
    __hash__ = str.__hash__


class ForgedList(list[Any]):
    def __iter__(self) -> Any:
        raise RuntimeError("trap")

    __getitem__ = __len__ = __iter__  # type: ignore[assignment]


BLANK: list[Any] = [None, ..., "", " ", "...", "…"]
MALFORMED: list[Any] = [
    3,
    1.5,
    True,
    (12, 5),
    [1],
    {"a": 1},
    b"more",
    print,
    int,
    object(),
    "b",
    "x" * 9000,
    "\x00",
]


def judged(name: str, answer: Any, case: Case = OUT, attempt: int = 1) -> Judgement:
    return judge(TALK, name, answer, case, attempt=attempt)


@pytest.mark.parametrize("name", RIGHT)
def test_right_answers_earn_everything(name: str) -> None:
    found = judged(name, RIGHT[name])
    assert found.points == found.out_of == TALK.item(name).points
    assert found.feedback[0].label == "right"
    assert len(found.feedback) == 1


@pytest.mark.parametrize("answer", BLANK, ids=repr)
@pytest.mark.parametrize("name", RIGHT)
def test_blank_is_blank(name: str, answer: Any) -> None:
    found = judged(name, answer)
    assert found.feedback[0].kind == "blank"
    assert "nothing stands here yet" in found.words
    assert found.points == 0
    assert not found.costs_attempt


@pytest.mark.parametrize("answer", MALFORMED, ids=lambda answer: str(answer)[:12])
@pytest.mark.parametrize("name", RIGHT)
def test_malformed_costs_nothing_and_says_what_to_write(name: str, answer: Any) -> None:
    found = judged(name, answer)
    assert found.points == 0
    assert found.feedback[0].kind == "unreadable"
    assert "This does not count as an attempt." in found.words
    assert "Error" not in found.words
    assert len(found.words) < 500


@pytest.mark.parametrize("answer", ["MORE", " more ", "“more”", "More.", "more than at the device"])
def test_sloppy_words_are_read(answer: str) -> None:
    assert judged("feels", answer).points == 2


def test_a_misspelt_word_is_asked_back() -> None:
    found = judged("feels", "moer")
    assert found.feedback[0].kind == "unreadable"
    assert "If you mean “more”, write it just so." in found.words


def test_right_depends_on_the_case() -> None:
    assert judged("feels", "more", BACK).points == 0.5
    assert judged("feels", "less", BACK).points == 2


def test_a_wrong_statement_gives_its_own_question_back() -> None:
    found = judged("feels", "the same")
    assert found.feedback[0].label == "the same"
    assert found.words == "feels: not yet. Where does the cable touch?"
    assert found.feedback[0].justification == "friction unseen"
    assert "Hint: Friction is against the motion." in judged("feels", "the same", attempt=2).words


def test_statements_and_steps_are_mixed_for_each_name_but_hold_the_same() -> None:
    seen = set()
    for name in ("ana", "ben", "zoë", "li", "eva", "tom"):
        item = TALK.item("feels")
        assert isinstance(item, Choice)
        (table,) = item.lists(Case("talk", name, 0, {"stroke": "out"}))
        seen.add(table.rows)
        assert sorted(row[0] for row in table.rows) == ["less", "more", "the same"]
    assert len(seen) > 1
    shown = " ".join(repr(TALK("Ana").given(item.name)) for item in TALK.items)
    for word in ("the same", "surround", "dirty housing", "device pull"):
        assert f"\n{word}" in shown


# --- Order --------------------------------------------------------------------------------------


@pytest.mark.parametrize("mark", [", ", "; ", "\n", " > ", " -> ", " → "])
def test_an_order_may_be_one_text(mark: str) -> None:
    assert judged("order", mark.join(RIGHT["order"])).points == 5
    numbered = "\n".join(f"{place}. {word.upper()}" for place, word in enumerate(RIGHT["order"], 1))
    assert judged("order", numbered).points == 5
    assert judged("order", tuple(RIGHT["order"])).points == 5


def test_the_step_that_comes_too_early_is_named_with_its_mechanics() -> None:
    order = list(RIGHT["order"])
    place = order.index("surround")
    assert order[place - 1] == "pull"
    order[place - 1 : place + 1] = ["surround", "pull"]
    found = judged("order", order)
    assert found.feedback[0].label == "too-early: surround"
    assert "Up to “reach out” it works. Then “surround” comes too early." in found.words
    assert "What it comes to: Step 3, surround: The fingers are shut" in found.words
    assert "Hint:" in found.words
    assert 0 < found.points < 5


def test_credit_falls_with_how_much_is_out_of_order() -> None:
    right = list(RIGHT["order"])
    one = [*right[1:2], right[0], *right[2:]]
    points = [judged("order", order).points for order in (right, one, right[::-1])]
    assert points[0] > points[1] > points[2]
    assert points[1] == round(5 * (2 * (len(right) - 1) / len(right) - 1), 2)


def test_an_order_by_lot_earns_about_nothing() -> None:
    from random import Random

    draw, right = Random(4), list(RIGHT["order"])
    earned = [judged("order", draw.sample(right, len(right))).points for _ in range(200)]
    assert sum(earned) / len(earned) < 0.2 * 5


def test_stopping_early_and_needless_steps_are_said() -> None:
    right = list(RIGHT["order"])
    early = judged("order", right[:-1])
    assert early.feedback[0].label == "stops-early"
    assert "There it stops" in early.words
    twice = judged("order", [*right, right[-1]])
    assert "is not needed" in twice.words
    assert 0 < twice.points < 5


def test_one_wrong_word_in_an_order_is_named_by_its_place() -> None:
    found = judged("order", ["reach out", "pul", "surround"])
    assert found.words.startswith("order, step 2: “pul” is none of the words. If you mean “pull”")
    assert "step 2: This place is empty" in judged("order", ["reach out", ...]).words
    assert "more than 40 steps" in judged("order", ["pull"] * 60).words


def test_no_order_tells_which_step_belongs() -> None:
    right = RIGHT["order"]
    for start in range(len(right) - 1):
        for other in set(right) - {right[start]}:
            head = judged("order", [*right[:start], other]).feedback[0].message
            assert f"“{right[start]}”" not in head.replace(f"Up to “{right[start - 1]}”", ""), head


def test_any_of_several_right_orders_is_right() -> None:
    item = Order(
        name="dress",
        points=2,
        asks="put on",
        steps=words("sock, shoe, hat"),
        right=lambda _: (("sock", "shoe", "hat"), ("hat", "sock", "shoe")),
    )
    free = Exercise("free", "Free", Plan("free", {"stroke": OneOf(("out",))}), (item,))
    assert judge(free, "dress", "hat, sock, shoe", OUT).points == 2
    assert judge(free, "dress", "shoe, sock, hat", OUT).feedback[0].label == "too-early: shoe"


# --- Diagnosis ----------------------------------------------------------------------------------


def test_the_right_fault_with_a_reading_that_others_share() -> None:
    found = judged("fault", {"fault": "dirty housing", "reading": "harness pull"})
    assert found.points == 2
    assert found.feedback[0].kind == "partly"
    assert "“harness pull” does not decide it: with which other fault does that rise?" in found.words


def test_a_wrong_fault_is_asked_about_and_told_which_kind_of_step_rules_it_out() -> None:
    found = judged("fault", {"fault": "weak bands", "reading": "device pull"})
    assert found.points == 0.5
    assert found.feedback[0].label == "fault: weak bands"
    assert "What would the pinch be?" in found.words
    assert "Write beside each reading whether that fault would raise it, lower it or leave it alone" in found.words
    assert "dirty housing" not in found.words
    assert "device pull" not in found.words
    assert judged("fault", {"fault": "weak bands", "reading": "pinch"}, BACK).points == 3


def test_a_wrong_fault_is_answered_alike_whatever_the_right_one_is() -> None:
    """Else guesses would lead to it."""
    guess = {"fault": "loose strap", "reading": "pinch"}
    assert judged("fault", guess).words == judged("fault", guess, BACK).words


@pytest.mark.parametrize(
    ("answer", "words_back"),
    [
        ({"fault": "dirty housing"}, "The entries are `fault` and `reading`"),
        ({"fault": "dirty housing", "reading": "pinch", "why": 1}, "and no others"),
        ({"fault": "dirty housing", "reading": ...}, "fault, reading: nothing stands here yet"),
        ({"fault": ..., "reading": ...}, "nothing stands here yet"),
        ({"fault": 3, "reading": "pinch"}, "fault, fault: A word is needed"),
        ("dirty housing", "needed together"),
    ],
)
def test_a_diagnosis_needs_both_entries(answer: Any, words_back: str) -> None:
    found = judged("fault", answer)
    assert words_back in found.words
    assert not found.costs_attempt


# --- All of them in a student's hands -------------------------------------------------------------


def test_hostile_answers_earn_nothing_and_spring_no_trap(capsys: pytest.CaptureFixture[str]) -> None:
    mine = TALK("Ana")
    mine._case = OUT
    for name in RIGHT:
        for answer in (Forged("nothing"), ForgedList(["nothing"]), type("D", (dict,), {"items": None})()):
            mine.check(name, answer)
            assert mine.score(name, answer) == 0.0
    shown = capsys.readouterr()
    assert "trap" not in shown.out
    assert shown.err == ""
    assert mine.score("feels", Forged("more")) == 2.0
    assert mine.score("order", ForgedList(RIGHT["order"])) == 5.0


def test_check_counts_attempts_and_score_is_a_plain_float(capsys: pytest.CaptureFixture[str]) -> None:
    mine = TALK("Ana")
    mine._case = OUT
    wrong: dict[str, Any] = {"feels": "the same", "order": RIGHT["order"][::-1]}
    wrong["fault"] = {"fault": "loose strap", "reading": "pinch"}
    for name in RIGHT:
        for answer in (..., "b", wrong[name], wrong[name], RIGHT[name]):
            mine.check(name, answer)
        assert mine._attempts(name) == 2
        assert type(mine.score(name, RIGHT[name])) is float
    assert f"This answer: {TALK.item('order').points:g} of 5 points." in capsys.readouterr().out


def test_points_do_not_depend_on_attempts_and_labels_hold_no_numbers() -> None:
    answers = [*RIGHT.values(), "the same", RIGHT["order"][::-1], {"fault": "weak bands", "reading": "pinch"}, "b", ...]
    for name in RIGHT:
        for answer in answers:
            many = [judged(name, answer, attempt=attempt) for attempt in (1, 2, 5)]
            assert len({found.points for found in many}) == 1
            labels = [note.label for found in many for note in found.feedback]
            assert not any(character.isdigit() for label in labels for character in label)


def test_items_that_cannot_be_judged_are_refused() -> None:
    with pytest.raises(InputError, match="a word of its own"):
        Choice(name="x", points=1, asks="x", statements=words("one, One"), right=lambda _: "one")
    with pytest.raises(InputError, match="free of numbers"):
        Order(name="x", points=1, asks="x", steps=words("step 1, step 2"), right=lambda _: ())
    plan = Plan("x", {"stroke": OneOf(("out",))})
    for item in (
        Choice(name="x", points=1, asks="x", statements=words("one, two"), right=lambda _: "three"),
        Order(name="x", points=1, asks="x", steps=words("one, two"), right=lambda _: (("one", "three"),)),
        Order(name="x", points=1, asks="x", steps=words("one, two"), right=lambda _: ()),
        Diagnosis(
            name="x", asks="x", faults=words("a, b"), readings=words("c, d"), fault=lambda _: "a", decides=lambda _: ()
        ),
        Diagnosis(
            name="x",
            asks="x",
            faults=words("a, b"),
            readings=words("c, d"),
            fault=lambda _: "a",
            decides=lambda _: ("c", "d"),
        ),
        Diagnosis(
            name="x",
            asks="x",
            faults=words("a, b"),
            readings=words("c, d"),
            fault=lambda _: "c",
            decides=lambda _: ("c",),
        ),
    ):
        assert not Exercise("x", "X", plan, (item,)).admits(OUT)
    assert TALK.admits(OUT)
    assert TALK.admits(BACK)
