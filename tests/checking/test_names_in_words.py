"""A student reads words: no name of program text stands in a sentence, but where she must type it."""

from __future__ import annotations

import re
from typing import Any

from controlkit.checking import Design, Quantity
from controlkit.checking.judging import judge

from .hands import Hands

_TYPED = re.compile(r"`[^`]*`|\"[^\"]*\"")


def _answers(hands: Hands, item: Any, case: Any) -> list[Any]:
    """Right, wrong, blank, unreadable, and half of a design."""
    given = [
        ...,
        "",
        "3 + 4",
        "nonsense",
        7,
        1e400,
        [..., 3],
        {},
        {"a": 1},
        *hands.exercise.wrong_answers(item.name, case),
    ]
    if isinstance(item, Design):
        settings = [one.name for one in item.settings]
        given += [dict.fromkeys(settings, answer) for answer in (..., "3 + 4", "nonsense", "9000 mm")]
    if isinstance(item, Quantity):
        given.append(hands.exercise.right(case)[item.name])
    return given


def test_no_message_holds_a_name_of_program_text(hands: Hands) -> None:
    case = hands.exercise.own_case("Zoë Marsh")
    assert "_" not in _TYPED.sub("", repr(hands.exercise("Zoë Marsh").show()))
    seen = 0
    for item in hands.exercise.items:
        for answer in _answers(hands, item, case):
            words = judge(hands.exercise, item.name, answer, case, earlier={}).words
            assert "_" not in _TYPED.sub("", words), (item.name, answer, words)
            seen += 1
    assert seen > len(hands.exercise.items)
