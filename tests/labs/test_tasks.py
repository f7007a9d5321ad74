"""Goals and predictions of the labs; those of the strap lab are in its own file."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from controlkit.labs.controls import Slider
from controlkit.labs.frame import Lab
from controlkit.mechanics import FAULTS

from .asking import ask
from .tasks_tried import ANOTHER, ASKED, LABS, SOLVED, SPOILED


@pytest.fixture(scope="module")
def labs() -> dict[str, Lab]:
    """One lab of each kind for the module."""
    return {name: make() for name, make in LABS.items()}


def _missing(lab: Lab, goal: int, **values: Any) -> list[str]:
    return list(ask(lab, **values)["verdicts"][goal]["missing"])


@pytest.mark.parametrize(("name", "goal"), SOLVED)
def test_a_goal_is_unmet_at_the_start_and_can_be_met(labs: dict[str, Lab], name: str, goal: int) -> None:
    """On either side where there is a wearer."""
    lab = labs[name]
    assert _missing(lab, goal)
    solved = SOLVED[name, goal]
    assert _missing(lab, goal, **solved) == []
    for side in {"amputated", "pulls"} & set(lab.plan["start"]):
        other = {"left": "right", "right": "left"}[lab.plan["start"][side]]
        assert _missing(lab, goal, **solved, **{side: other}) == []


@pytest.mark.parametrize(("name", "goal", "spoiled", "said"), SPOILED)
def test_each_clause_binds_alone(
    labs: dict[str, Lab], name: str, goal: int, spoiled: dict[str, Any], said: str
) -> None:
    """Somewhere it is all that is missing."""
    missing = _missing(labs[name], goal, **{**SOLVED[name, goal], **spoiled})
    assert len(missing) == 1, missing
    assert said in missing[0]


def test_a_fault_that_would_do_no_harm_counts_as_one(labs: dict[str, Lab]) -> None:
    """In the chain lab a goal is met without a fault, or not at all."""
    keys = [key for key, _ in labs["chain"].plan["controls"][-4]["options"]]
    assert len(keys) == len(FAULTS) + 1
    for goal in (0, 1):
        found = [_missing(labs["chain"], goal, **SOLVED["chain", goal], fault=key) for key in keys if key != "none"]
        assert all(found)
        assert ["the set-up has a fault"] in found


@pytest.mark.parametrize(("name", "goal", "solved"), ANOTHER)
def test_another_body_needs_another_setting(labs: dict[str, Lab], name: str, goal: int, solved: dict[str, Any]) -> None:
    """What serves the first does not serve it; something else does."""
    lab = labs[name]
    changed = {lab.plan["another"]: solved[lab.plan["another"]]}
    assert _missing(lab, goal, **{**SOLVED[name, goal], **changed})
    assert _missing(lab, goal, **solved) == []


LONG = (("population", 0), ("population", 1), ("population", 2))
"""Goals that every step of a slider tries on two dozen wearers."""


@pytest.mark.parametrize(
    ("name", "goal"), [pytest.param(*each, marks=pytest.mark.long if each in LONG else ()) for each in SOLVED]
)
def test_no_slider_alone_meets_a_goal(labs: dict[str, Lab], name: str, goal: int) -> None:
    """From the start, over its whole range."""
    for slider in labs[name].controls:
        if isinstance(slider, Slider):
            for at in np.linspace(slider.low, slider.high, 5):
                value = float(round(at)) if slider.kind == "count" else float(at)
                assert _missing(labs[name], goal, **{slider.key: value}), (slider.key, at)


@pytest.mark.parametrize(("name", "line", "key", "option", "said"), ASKED)
def test_predictions_are_answered_where_the_lesson_asks(
    labs: dict[str, Lab], name: str, line: str, key: str, option: str, said: str
) -> None:
    """The model's answer there, and its two numbers say the same."""
    lab = labs[name]
    number = [one.key for one in lab.predictions].index(key)
    answer = lab.page_at(line).answers[number]
    assert answer is not None
    assert (answer.option, answer.words.endswith(f"{said}.")) == (option, True), answer
    then, now = _numbers(answer.words)
    assert option == ("the same" if then == now else "more" if now > then else "less")


@pytest.mark.parametrize(("name", "line", "key", "option", "said"), ASKED)
def test_a_wrong_prediction_is_told_why(
    labs: dict[str, Lab], name: str, line: str, key: str, option: str, said: str
) -> None:
    """One sentence more than a right one, and no number in it contradicts the answer."""
    lab = labs[name]
    answer = lab.page_at(line).answers[[one.key for one in lab.predictions].index(key)]
    assert answer is not None
    assert answer.to(option) == answer.words
    wrong = next(other for other in ("more", "less") if other != option)
    why = answer.to(wrong).removeprefix(answer.words).strip()
    assert 30 < len(why) < 140, why
    assert why.endswith(".")


@pytest.mark.parametrize(("name", "line", "key", "option", "said"), ASKED)
def test_a_reason_is_of_what_the_mechanics_computes(
    labs: dict[str, Lab], name: str, line: str, key: str, option: str, said: str
) -> None:
    """Two numbers in a reason lie the way that the reason says."""
    lab = labs[name]
    answer = lab.page_at(line).answers[[one.key for one in lab.predictions].index(key)]
    assert answer is not None
    numbers = [float(one) for one in re.findall(r"\d+(?:\.\d+)?(?= mm|°)", answer.why)]
    rising = {"scapula": True, "abduction": False, "shrug": True, "arrives": True, "bare": False, "ease": False}
    assert len(numbers) == (2 if key in rising else 0), answer.why
    if numbers:
        assert (numbers[1] > numbers[0]) == rising[key], answer.why


@pytest.mark.parametrize("name", LABS)
def test_no_lab_is_predicted_by_always_saying_the_same(name: str) -> None:
    """Whoever presses one button throughout is wrong somewhere."""
    assert len({option for lab, _, _, option, _ in ASKED if lab == name}) > 1


def _numbers(words: str) -> list[float]:
    """The two sizes that an answer lays side by side, in its last sentence."""
    said = words.rpartition(": ")[2]
    return [float(part.split()[0]) for part in said.replace(" is half the loss", "").split(", ")]


@pytest.mark.parametrize("name", LABS)
def test_no_prediction_is_answered_at_the_start(labs: dict[str, Lab], name: str) -> None:
    """As many answers as questions, none of them yet."""
    answers = ask(labs[name])["answers"]
    assert answers == [None] * len(labs[name].predictions)


@pytest.mark.parametrize("name", LABS)
def test_goals_and_questions_are_told_in_the_readers_units(labs: dict[str, Lab], name: str) -> None:
    """A goal names no millimetre to whoever reads inches; what is missing neither."""
    for goal in labs[name].plan["challenges"]:
        assert not re.search(r"\d (mm|N)\b", goal["text"]["inch-pound"])
    for verdict in ask(labs[name], "inch-pound")["verdicts"]:
        assert not re.search(r"\d (mm|N)\b", " ".join(verdict["missing"]))


@pytest.mark.parametrize(
    ("name", "goal", "typed"),
    [
        ("device", 0, {"width": "2.36 in", "pull": "2.2 lbf", "strength": "31.5 lbf"}),
        ("device", 1, {"width": "1.57 in", "strength": "31.5 lbf"}),
        ("sequence", 1, {"width": "1.77 in"}),
        ("housing", 1, {"spare": "0.20 in"}),
    ],
)
def test_a_limit_typed_as_it_is_written_meets_the_goal(
    labs: dict[str, Lab], name: str, goal: int, typed: dict[str, str]
) -> None:
    """Rounding in inches and pounds keeps nobody from it."""
    lab = labs[name]
    text = lab.plan["challenges"][goal]["text"]["inch-pound"]
    assert all(limit in text for limit in typed.values())
    sliders = {one.key: one for one in lab.controls if isinstance(one, Slider)}
    values = {key: sliders[key].typed(limit, "inch-pound") for key, limit in typed.items()}
    assert _missing(lab, goal, **{**SOLVED[name, goal], **values}) == []
