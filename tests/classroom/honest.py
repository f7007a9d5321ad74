"""Honest notebooks of many sorts: what students type who know it, guess it, leave it, or work it out in the cell."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from typing import Any

from tests.checking.hands import NAMES, Hands
from tests.checking.school import answers_with_ideas

SORTS = ("right", "typed", "ideas", "half", "working", "computing", "mixed", "blank", "slips")
"""How somebody fills a notebook in."""

SLIPS = ('"about ten"', '"10"', '"1,234 mm"', "(12, 5)", "None", '""', "...", "[1, 2]", "-1.0", '"12 bananas"', "True")
"""What somebody types who is half way there."""


def everybody(count: int) -> Iterator[tuple[str, str, str]]:
    """Exercise, name and sort of so many notebooks: each exercise and each sort in its turn."""
    for place in range(count):
        yield NAMES[(5 * place + place // len(NAMES)) % len(NAMES)], f"Student {place}", SORTS[place % len(SORTS)]


def cells(hands: Hands, name: str, sort: str) -> dict[str, str]:
    """What stands in the cells of a notebook that somebody filled in."""
    fill: dict[str, Callable[[Hands, str, random.Random], dict[str, str]]] = {
        "right": lambda hands, name, _: hands.filled(name),
        "typed": _typed,
        "ideas": _with_ideas,
        "half": _half,
        "working": _working,
        "computing": _computing,
        "mixed": _mixed,
        "blank": lambda *_: {},
        "slips": _slips,
    }
    return {**fill[sort](hands, name, random.Random(name)), "who": f"name = {name!r}"}


def _typed(hands: Hands, name: str, _: random.Random) -> dict[str, str]:
    return {item: _assigned(item, value) for item, value in hands.solved(name).items()}


def _with_ideas(hands: Hands, name: str, drawn: random.Random) -> dict[str, str]:
    found = answers_with_ideas(hands, name, drawn.randrange(5))
    return {item: _assigned(item, value) for item, value in found.items() if value is not ...}


def _half(hands: Hands, name: str, drawn: random.Random) -> dict[str, str]:
    """The last cells are not reached, and what was reached is not all right."""
    whole, wrong = hands.filled(name), _with_ideas(hands, name, drawn)
    names = [item.name for item in hands.exercise.items]
    return {
        item: whole[item] if item not in wrong or drawn.random() < 0.6 else wrong[item]
        for item in names[: drawn.randrange(1, len(names))]
    }


def _working(hands: Hands, name: str, _: random.Random) -> dict[str, str]:
    """Straight working: names, numbers and functions of mathematics above the answer."""
    found = {}
    for item, value in hands.solved(name).items():
        plain = type(value) in (int, float)
        found[item] = (
            f"import math\na = {value!r} * 2\nb = a - {value!r} + math.sin(0)\n{item} = b"
            if plain
            else f"worked = {value!r}\n{item} = worked"
        )
    return found


def _computing(hands: Hands, name: str, _: random.Random) -> dict[str, str]:
    """Cells that only running can tell: loops, functions, text that is run, names set from within."""
    ways = (
        "def {item}_of():\n    return {value!r}\n\n{item} = {item}_of()",
        "for _ in range(3):\n    {item} = {value!r}",
        "exec({text!r})",
        "globals()[{item!r}] = {value!r}",
        "{item} = [one for one in [{value!r}] if one is not None][0]\nprint({item})",
    )
    return {
        item: ways[place % len(ways)].format(item=item, value=value, text=f"{item} = {value!r}")
        for place, (item, value) in enumerate(hands.solved(name).items())
    }


def _mixed(hands: Hands, name: str, drawn: random.Random) -> dict[str, str]:
    sorts = [one(hands, name, drawn) for one in (_typed, _with_ideas, _working, _computing, _slips)]
    return {item: text for item in hands.solved(name) if (text := drawn.choice(sorts).get(item)) is not None}


def _slips(hands: Hands, name: str, drawn: random.Random) -> dict[str, str]:
    """Half typed, of another kind, no Python at all; and the day's true answers between them."""
    right = _typed(hands, name, drawn)
    found = {}
    for item, text in right.items():
        slip = drawn.choice((*SLIPS, None))
        found[item] = text if slip is None else f"{item} = {slip}"
    found[drawn.choice(sorted(found))] = "this is = no Python"
    return found


def _assigned(item: str, value: Any) -> str:
    return f"{item} = {value!r}"
