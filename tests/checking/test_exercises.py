"""Every exercise by the same rules: its cases, its words, what each sort of answer earns, what a swap gains."""

from __future__ import annotations

import json
import re
import unicodedata
from collections import Counter
from collections.abc import Mapping
from itertools import pairwise
from typing import Any

import pytest

from controlkit.checking import Case, Choice, Design, Diagnosis, Exercise, Formula, Order, Quantity, Written, judge
from controlkit.checking.feedback import in_words
from controlkit.checking.student.siblings import Siblings
from controlkit.checking.unit_slips import UNIT_WORDS, sizes, unit_slips
from controlkit.tables import Table
from tests.checking.golden import GOLDEN, PEOPLE, digest
from tests.checking.hands import Hands

NUMBER = re.compile(r"\d+(?:\.\d+)?")
WORDS = (Choice, Order, Diagnosis)
"""Kinds whose answers are words."""


def right(exercise: Exercise, case: Case) -> dict[str, Any]:
    """The right answer of every item that is not a formula, a design or a text."""
    answers: dict[str, Any] = dict(exercise.right(case))
    for item in exercise.items:
        if isinstance(item, Choice):
            answers[item.name] = item.right(case)
        elif isinstance(item, Order):
            answers[item.name] = list(item.right(case)[0])
        elif isinstance(item, Diagnosis):
            answers[item.name] = {"fault": item.fault(case), "reading": item.decides(case)[0]}
    return answers


def check_case(exercise: Exercise, case: Case) -> None:
    """Right is right, every idea is known for itself, and no words tell the answer."""
    answers = right(exercise, case)
    for item in exercise.items:
        if isinstance(item, Quantity):
            check_quantity(exercise, item, case, answers)
        elif isinstance(item, Choice):
            for statement in item.statements:
                judged = judge(exercise, item.name, statement.word, case)
                good = statement.word == answers[item.name]
                assert judged.points == (item.points if good else statement.share * item.points)
                assert good or statement.ask in judged.words
        elif isinstance(item, Order):
            for order in item.right(case):
                assert judge(exercise, item.name, order, case).points == item.points
            backward = judge(exercise, item.name, answers[item.name][::-1], case)
            assert backward.points < 0.5 * item.points
        elif isinstance(item, Diagnosis):
            assert judge(exercise, item.name, answers[item.name], case).points == item.points
            for fault in item.faults:
                if fault.word != answers[item.name]["fault"]:
                    wrong = judge(exercise, item.name, {**answers[item.name], "fault": fault.word}, case)
                    assert wrong.points <= 0.5 * item.points
                    assert answers[item.name]["fault"] not in wrong.words


def check_quantity(exercise: Exercise, item: Quantity, case: Case, answers: Mapping[str, Any]) -> None:
    answer = answers[item.name]
    assert item.credible[0] <= answer <= item.credible[1]
    assert judge(exercise, item.name, answer, case).points == item.points
    assert judge(exercise, item.name, f"{answer:.6f} {item.unit}".replace(".", ","), case).points == item.points
    for idea in exercise.about(item):
        for value in idea.values(case, exercise.right(case)):
            judged = judge(exercise, item.name, value, case)
            assert judged.feedback[0].label == idea.label, (item.name, case)
            assert judged.points == idea.share * item.points
            assert idea.ask in judged.words
    off = (answer + 3 * item.tolerance(answer, answer), 1.31 * answer, 7.7 * answer, -answer, answer / 1000)
    for value in (*off, f"{answer:.4f} kg", "", f"{answer:.4f}, or so"):
        judged = judge(exercise, item.name, value, case, attempt=2)
        assert judged.points < item.points
        words = judged.words.replace(str(value), "")
        if isinstance(value, float):  # her own number, as it was read
            words = words.replace(f"{value:.4g} {item.unit}", "")
        told = [float(number) for number in NUMBER.findall(words)]
        assert not any(abs(number - answer) < 0.005 * answer and number not in (0, 1, 2) for number in told), (
            judged.words
        )


# --- Cases ------------------------------------------------------------------------------------

MANY = 24
"""Names whose cases are looked at in every run."""


def test_cases_and_answers_of_many_names(hands: Hands) -> None:
    for number in range(MANY):
        check_case(hands.exercise, hands.case(number))


@pytest.mark.long
def test_cases_and_answers_of_five_hundred_names(hands: Hands) -> None:
    for number in range(500):
        check_case(hands.exercise, hands.case(number))
        assert in_limits(hands, hands.case(number))


def lines(exercise: Exercise, case: Case) -> int:
    """The measure of difficulty: lines of working that a case needs."""
    told = [steps if isinstance(steps, str) else steps(case) for steps in exercise.worked.values()]
    return sum(len(steps.split("\n")) for steps in told)


def in_limits(hands: Hands, case: Case) -> bool:
    low, high = hands.module.DIFFICULTY
    return bool(low <= lines(hands.exercise, case) <= high)


def test_no_case_is_much_harder_than_another(hands: Hands) -> None:
    low, high = hands.module.DIFFICULTY
    assert high <= 1.7 * low
    assert all(in_limits(hands, hands.case(number)) for number in range(MANY)), sorted(
        {lines(hands.exercise, hands.case(number)) for number in range(MANY)}
    )


def test_cases_are_spread(hands: Hands) -> None:
    cases = [hands.case(number) for number in range(MANY)]
    assert len({tuple(case.as_data().items()) for case in cases}) == MANY
    for name, draw in hands.exercise.plan.draws.items():
        assert len({case[name] for case in cases}) >= min(3, len(draw.values()) - 1), name
    assert all(case.draw < 200 for case in cases)  # far from the 400 after which a student would be sent away


def test_a_name_has_one_case_however_it_is_typed(hands: Hands) -> None:
    case = hands.case("Zoë Dvořák")
    for form in ("  zoë   dvořák ", unicodedata.normalize("NFD", "Zoë Dvořák"), "ZOË DVOŘÁK"):
        assert hands.case(form).as_data() == case.as_data()


def test_cases_are_those_of_the_release(hands: Hands) -> None:
    """The same on every machine and under every numpy; after a change of the mechanics write them anew.

    `python -m tests.checking.golden` does that.
    """
    known = json.loads(GOLDEN.read_text(encoding="utf-8"))[hands.name]
    assert known == {name: digest(hands.case(name)) for name in PEOPLE}


def test_a_swap_gains_nothing(hands: Hands) -> None:
    """With another's answers each item earns what it would by guessing, and no student the exercise.

    A choice is guessed right as often as one statement is right in the class; a number that is a count of whole
    millimetres has few values. An item that asks every student the same has no case of its own.
    """
    exercise, students = hands.exercise, [hands.case(number) for number in range(50)]
    asked = [item for item in exercise.items if isinstance(item, (Quantity, *WORDS))]
    answers = [right(exercise, case) for case in students]
    hits: Counter[str] = Counter()
    earned: list[float] = []
    own: set[str] = set()
    for theirs, case in pairwise(range(50)):
        points = {item.name: judge(exercise, item.name, answers[theirs][item.name], students[case]) for item in asked}
        hits.update(item.name for item in asked if points[item.name].points == item.points)
        own |= {item.name for item in asked if answers[theirs][item.name] != answers[case][item.name]}
        earned.append(sum(one.points for one in points.values()) / sum(item.points for item in asked))
    for item in asked:
        if isinstance(item, Quantity):
            assert hits[item.name] <= 49 / 3, item.name
        elif item.name in own:
            words = Counter(str(answer[item.name]) for answer in answers)
            assert hits[item.name] <= 1.5 * max(words.values()), item.name
    assert {item.name for item in asked} - own <= ALIKE
    assert len(asked) == 1 or max(earned) <= 0.75
    assert sum(earned) / len(earned) <= 0.25


ALIKE = {"route", "one_more_band"}
"""Items that ask every student the same: what stands in a law, what one more band changes."""


# --- Right answers, and what follows from a wrong one -----------------------------------------


def test_the_solution_earns_every_point(hands: Hands) -> None:
    for who in ("Solution", "Zoë Dvořák"):
        answers = hands.solved(who)
        mine = hands.exercise(who)
        for item in hands.exercise.items:
            if not isinstance(item, Written):
                assert mine.score(item.name, answers[item.name], hands.kept_back) == item.points, item.name
            assert item.points > 0


def test_a_later_part_follows_from_the_students_own_value(hands: Hands) -> None:
    exercise = hands.exercise
    for item in exercise.items:
        if isinstance(item, Quantity) and item.follows:
            case = hands.case(5)
            truth = exercise.right(case)
            before = exercise.item(item.follows)
            assert isinstance(before, Quantity)
            for more in (1.17, 1.5, 2.0):  # a count follows in steps
                own = {item.follows: truth[item.follows] * more}
                carried = item.right(case, {**truth, **own})
                if abs(carried - truth[item.name]) > item.tolerance(carried, carried):
                    break
            assert before.credible[0] <= own[item.follows] <= before.credible[1]
            assert abs(carried - truth[item.name]) > item.tolerance(carried, carried)
            assert judge(exercise, item.name, carried, case, earlier=own).points == item.points
            assert "follows from your own" in judge(exercise, item.name, carried, case, earlier=own).words
            assert judge(exercise, item.name, carried, case).points < item.points


def test_worked_steps_open_after_an_attempt_and_end_at_the_answer_of_their_case(hands: Hands) -> None:
    exercise = hands.exercise
    written = {item.name for item in exercise.items if isinstance(item, Written)}
    quantities = {item.name for item in exercise.items if isinstance(item, Quantity)}
    assert quantities <= set(exercise.worked) <= {item.name for item in exercise.items} - written
    for number in range(10):
        case = hands.case(number)
        for name in quantities:
            steps = exercise.worked[name]
            assert callable(steps), name
            tail = steps(case).replace("²", " ")
            told = [float(value) for value in re.findall(r"-?\d+(?:\.\d+)?", tail)]
            item = exercise.item(name)
            assert isinstance(item, Quantity)
            kinds = [judge(exercise, name, value, case).feedback[0].kind for value in told[-4:]]
            percent = [judge(exercise, name, f"{value} %", case).feedback[0].kind for value in told[-4:]]
            assert "right" in (kinds + percent if item.unit == "" else kinds), (name, tail)
    mine = exercise("Student 0")
    for name in exercise.worked:
        assert "open after your first attempt" in repr(mine.steps(name))


def test_worked_steps_walk_a_like_case_and_never_end_at_the_students_own_answer(hands: Hands) -> None:
    """Taken over as they stand, the numbers of the steps are no full answer to her own case."""
    exercise = hands.exercise
    for number in range(6):
        case = hands.case(number)
        walked = Siblings(exercise, case, exercise.worked)
        for name, steps in exercise.worked.items():
            found = walked.walk(name)
            assert found is not None, (number, name)
            told, like = found
            assert (like is None) == isinstance(steps, str)
            if like is None:
                assert case.seed not in told
                continue
            assert not isinstance(steps, str)
            assert Siblings(exercise, case, exercise.worked).walk(name) == found  # the same whenever it is asked for
            item, own = exercise.item(name), steps(case)
            if isinstance(item, Quantity):
                right = item.number(like, exercise.right(like))
                assert judge(exercise, name, right, case).points < item.points, (number, name)
            else:
                assert told.splitlines()[-1] != own.splitlines()[-1], (number, name)
            if isinstance(item, Choice):
                assert item.right(like) != item.right(case), (number, name)
            if isinstance(item, Diagnosis):
                assert item.fault(like) != item.fault(case), (number, name)


def test_every_table_stands_at_the_top_or_beside_questions_that_there_are(hands: Hands) -> None:
    exercise = hands.exercise
    names = {item.name for item in exercise.items}
    parts = exercise.present(hands.case(0))
    beside = {name for part in parts if isinstance(part, Table) for name in part.about}
    assert beside <= names
    mine = exercise("Student 0")
    for part in parts:
        text = part.text() if isinstance(part, Table) else part
        about = part.about if isinstance(part, Table) else ()
        assert (text in repr(mine.show())) == (not about)
        for item in exercise.items:
            assert (text in repr(mine.given(item.name))) == (item.name in about), (item.name, text)
    for item in exercise.items:
        assert item.asked(hands.case(0)) in repr(mine.given(item.name))
        for table in item.lists(hands.case(0)):
            assert table.text() in repr(mine.given(item.name))


# --- Any other answer -------------------------------------------------------------------------

BLANK = (..., None, "", "  ", "...")


def malformed(item: Any, case: Case, exercise: Exercise) -> list[tuple[Any, str]]:
    """Answers that cannot be read, each with a word expected back."""
    if isinstance(item, Written):
        return [(12.5, "three quotes at each end"), (["Because"], "three quotes at each end")]
    if isinstance(item, Quantity):
        other = "kg" if item.kind != "mass" else "N"
        return [
            ("about twelve", item.called),
            ([12, 13], "several values"),
            ((12, 5), "two numbers, 12 and 5"),
            (float("nan"), item.called),
            (float("inf"), item.called),
            (3 + 1j, "imaginary part"),
            ("1,234", "1,234"),
            (f"12 {other}", item.called),
            ("12 milimeters", item.called),
            (True, "yes or no"),
        ]
    if isinstance(item, Choice):
        return [("something else", "none of the words"), (3, "A word is needed"), (["a", "b"], "A word is needed")]
    if isinstance(item, Order):
        return [(3.5, "A list of steps"), (["jump"], "step 1"), ("jump, run", "step 1"), ([1, 2], "A word is needed")]
    if isinstance(item, Diagnosis):
        return [("a word", "needed together"), ({"fault": "x"}, "The entries are"), (7, "needed together")]
    if isinstance(item, Design):
        names = [setting.name for setting in item.settings]
        return [
            ("high", "by name"),
            ({names[0]: 1}, "missing"),
            ({**dict.fromkeys(names, "5 kg")}, in_words(names[0])),
            ({**dict.fromkeys(names, 1), "more": 1}, "no others"),
        ]
    if isinstance(item, Formula):
        first = item.names[0]
        return [
            (12.5, "A formula between quotes is needed here"),
            ("12.5 N", "That is a number, and a formula is asked for"),
            ("2 * pi", "None of the names stands in it"),
            (f"{first} *", "Something is missing after"),
            (f"2 * ({first}", "opened and not closed"),
            (f"2 * {first})", "one closing bracket too many"),
            (f"{first} / 2 {first}", "stands below the line too"),
            (f"{first} / ({first} - {first})", "no finite number"),
            (f"{first} + 9^9^9^9", "no finite number"),
            ("(" * 10_000 + first, "very long"),
            (f"{first} * sinus", "none of the names"),
            (f"{first} * __import__('os')", "is not known in a formula"),
        ]
    return []


def test_blank_and_unreadable_answers_cost_nothing_and_say_what_to_type(
    hands: Hands, capsys: pytest.CaptureFixture[str]
) -> None:
    exercise, case = hands.exercise, hands.case(7)
    mine = exercise("Student 7")
    for item in exercise.items:
        for answer, words in [(blank, "nothing stands here yet") for blank in BLANK] + malformed(item, case, exercise):
            mine.check(item.name, answer)
            shown = capsys.readouterr()
            assert shown.err == ""
            assert "Traceback" not in shown.out
            assert "could not be judged" not in shown.out
            assert words in " ".join(shown.out.split()), (item.name, answer, shown.out)
            assert mine._attempts(item.name) == 0, (item.name, answer)
            assert mine.score(item.name, answer, hands.kept_back) == 0.0


def test_the_right_size_in_a_wrong_unit_is_said_to_be_just_that(hands: Hands) -> None:
    case = hands.case(3)
    for item in hands.exercise.items:
        if not isinstance(item, Quantity):
            continue
        answer = hands.exercise.right(case)[item.name]
        own, usual = sizes(item.kind), {slip.unit for slip in unit_slips(item.kind, item.unit)}
        for unit, size in own.items():
            if unit == item.unit:
                continue
            number = answer * own[item.unit] / size
            bare: Any = f"{number:.9f} %" if item.unit == "%" else number  # a bare share of one is read as it is meant
            told = ((bare, unit, item.unit), (f"{answer:.9f} {unit}", item.unit, unit))
            for typed, meant, wrote in told:
                judged = judge(hands.exercise, item.name, typed, case)
                if judged.feedback[0].kind == "idea" and unit not in usual:  # it is that idea's number too
                    continue
                if item.unit == "%" and unit == "" and meant == "%":
                    continue  # the right number without a unit is right
                assert judged.feedback[0].label == f"unit:{unit}", (item.name, typed)
                assert "the size is right, the unit is not" in judged.words
                assert f"like one in {UNIT_WORDS[meant]}, and it was read as {UNIT_WORDS[wrote]}" in judged.words
                assert judged.points == 0.5 * item.points
            right = f"{number:.9g} {unit}".strip()
            assert judge(hands.exercise, item.name, right, case).points == item.points, (item.name, right)
        if item.kind == "force":
            judged = judge(hands.exercise, item.name, f"{answer / 4.4482216:.4f} lbm", case)
            assert "Pound-mass (lbm) measures how much there is, pound-force (lbf) how hard it pulls." in judged.words
            assert not judged.costs_attempt


def test_right_answers_written_sloppily_are_right(hands: Hands) -> None:
    exercise, case = hands.exercise, hands.case(7)
    solved = hands.solved("Student 7")
    for item in exercise.items:
        answer = solved[item.name]
        for form in sloppy(item, answer, exercise, case):
            assert judge(exercise, item.name, form, case).points == item.points, (item.name, form)


def sloppy(item: Any, answer: Any, exercise: Exercise, case: Case) -> list[Any]:
    if isinstance(item, Quantity):
        value = exercise.right(case)[item.name]
        text = f"{value:.6f}".replace(".", ",")
        return [f"  {text}{item.unit} ", f"{value:.6f}   {item.unit}".upper() if item.unit in ("", "mm") else value]
    if isinstance(item, Choice):
        says = next(one.says for one in item.statements if one.word == answer)
        return [f"  {answer.upper()}. ", answer.replace(" ", "_"), says]
    if isinstance(item, Order):
        words = item.right(case)[0]
        numbered = "\n".join(f"{place}. {word.capitalize()}" for place, word in enumerate(words, 1))
        return [tuple(words), ", ".join(words).upper(), " -> ".join(words), numbered]
    if isinstance(item, Diagnosis):
        return [{key: f" {word.upper()} " for key, word in answer.items()}]
    if isinstance(item, Design):
        in_text = {one.name: f" {answer[one.name]} ".replace(".", ",") for one in item.settings}
        backwards = dict(reversed(list(answer.items())))
        return [backwards, in_text]
    if isinstance(item, Formula):
        times = answer.replace("*", "×").replace("-", "−").replace("pi", "π")
        return [f"  {answer.upper()} ", answer.replace(" ", ""), f"{item.name} = {times}", answer.replace("^", "**")]
    return []


def test_without_a_usable_name_it_says_what_to_do(hands: Hands, capsys: pytest.CaptureFixture[str]) -> None:
    for name in (..., "", 5, ["Ana"]):
        mine = hands.exercise(name)
        mine.check(hands.exercise.items[0].name, 1)
        assert "Your name is needed first" in capsys.readouterr().out
        assert mine.score(hands.exercise.items[0].name, 1) == 0.0


def test_what_is_handed_back_names_the_case_for_a_grader(hands: Hands) -> None:
    """A name that is on no list is worked like any other; the record lets a grader see it."""
    record = hands.exercise("  Nobody  Known ").record().data
    assert record["seed"] == "nobody known"
    assert json.loads(json.dumps(record))["case"] == hands.case("Nobody Known").as_data()


def test_what_is_shown_is_plain(hands: Hands) -> None:
    """Derived values are whole numbers or short ones: what is shown is what is judged."""
    for number in range(5):
        for name, value in hands.case(number).as_data().items():
            assert not isinstance(value, float) or value == round(value, 6), name
