"""Exercise 8: the errand of a case, step by step; what each step does stands on the shelf."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources

from controlkit.checking import Case
from controlkit.mechanics.sequence.turned import AWAY, TO_OBJECT

BEGINS = {
    "at rest": (
        (
            "the arm hangs, the elbow is locked where the forearm hangs, the cable is slack, and the object "
            "stands on a table"
        ),
        "the device holds the object above the table, the elbow locked there, the cable slack",
    ),
    "at the table": (
        (
            "the elbow is locked a little above the table, the cable is slack, wrist and turntable are turned to the "
            "object, and the empty device stands before it"
        ),
        "the device holds the object at the mouth, the elbow locked there, the cable slack",
    ),
    "held at the table": (
        "the device holds the object above the table, the elbow locked there, the cable slack",
        (
            "the object has been at the mouth and stands on the table again, the empty device before it, the "
            "elbow locked there, the cable slack"
        ),
    ),
    "held at the mouth": (
        "the device holds the object at the mouth, the elbow locked there, the cable slack",
        "the object stands on the table, and the forearm hangs with the cable slack",
    ),
}
"""Where the errand begins, and where it ends."""

TURNED = {
    "away": {"wrist": AWAY, "turntable": AWAY},
    "wrist away": {"wrist": AWAY, "turntable": TO_OBJECT},
    "turntable away": {"wrist": TO_OBJECT, "turntable": AWAY},
}
"""How wrist and turntable stand where the arm hangs; everywhere else they are turned to the object."""

_TABLE = {"elbow": "at the table", "lock": "on", "cable": "slack", "device": "shut"}
_MOUTH = {**_TABLE, "elbow": "at the mouth"}
_READY = {"wrist": TO_OBJECT, "turntable": TO_OBJECT}
_STARTS: dict[str, dict[str, str]] = {
    "at rest": {**_TABLE, "elbow": "low", "object": "on the table", "errand": "to do"},
    "at the table": {**_TABLE, **_READY, "object": "on the table", "errand": "to do"},
    "held at the table": {**_TABLE, **_READY, "object": "held", "errand": "to do"},
    "held at the mouth": {**_MOUTH, **_READY, "object": "held", "errand": "done"},
}
_GOALS: dict[str, dict[str, str]] = {
    "at rest": {**_TABLE, "object": "held"},
    "at the table": {**_MOUTH, "object": "held"},
    "held at the table": {**_TABLE, "object": "on the table", "errand": "done"},
    "held at the mouth": {"elbow": "low", "cable": "slack", "object": "on the table"},
}


@dataclass(frozen=True)
class Shelved:
    """An operating sequence as it stands on the shelf: states, and where each step leads from each.

    Parameters
    ----------
    facts : tuple of str
        What a state is made of
    states : tuple of tuple of str
        How things can stand
    steps : tuple of str
        Names of the steps
    leads : tuple of tuple of int
        By state and step, the number of the state that comes of it [-]
    told : tuple of tuple of int
        By state and step, the number of the text that says what went wrong; the first is empty [-]
    texts : tuple of str
        Those texts
    """

    facts: tuple[str, ...]
    states: tuple[tuple[str, ...], ...]
    steps: tuple[str, ...]
    leads: tuple[tuple[int, ...], ...]
    told: tuple[tuple[int, ...], ...]
    texts: tuple[str, ...]

    def find(self, wanted: dict[str, str]) -> int:
        """Number of the state that is just so [-]."""
        return self.states.index(tuple(wanted[fact] for fact in self.facts))

    def fits(self, state: int, wanted: dict[str, str]) -> bool:
        """Whether a state has some facts."""
        return all(self.states[state][self.facts.index(fact)] == value for fact, value in wanted.items())

    def take(self, state: int, step: str) -> tuple[int, str]:
        """Make a step: the state then, and what went wrong."""
        k = self.steps.index(step)
        return self.leads[state][k], self.texts[self.told[state][k]]


@lru_cache(maxsize=4)
def shelved(sex: str) -> Shelved:
    """The errand of a wearer of average build."""
    text = resources.files("controlkit.exercises.ex08").joinpath("shelf.json").read_text(encoding="utf-8")
    kept = json.loads(text)[sex]
    states, leads, told = (tuple(tuple(row) for row in kept[name]) for name in ("states", "leads", "told"))
    facts, steps, texts = (tuple(kept[name]) for name in ("facts", "steps", "texts"))
    return Shelved(facts=facts, states=states, steps=steps, leads=leads, told=told, texts=texts)


def start(c: Case) -> int:
    """The state in which the errand of a case begins [-]."""
    turned = TURNED[c.turned] if c.begins == "at rest" else {}
    return shelved(c.sex).find({**_STARTS[c.begins], **turned})


def right_orders(c: Case) -> tuple[tuple[str, ...], ...]:
    """Every shortest order of right steps: where two may change places, both count."""
    return _orders(c.sex, start(c), c.begins)


@lru_cache(maxsize=64)
def _orders(sex: str, begin: int, begins: str) -> tuple[tuple[str, ...], ...]:
    machine, goal = shelved(sex), _GOALS[begins]
    ways: list[tuple[int, tuple[str, ...], frozenset[int]]] = [(begin, (), frozenset({begin}))]
    while ways:
        found = [order for state, order, _ in ways if machine.fits(state, goal)]
        if found:
            return tuple(sorted(found))
        onward = []
        for state, order, seen in ways:
            for step in machine.steps:
                after, wrong = machine.take(state, step)
                if not wrong and after not in seen:
                    onward.append((after, (*order, step), seen | {after}))
        ways = onward
    return ()


def comes_to(c: Case, order: tuple[str, ...]) -> str:
    """What an order of steps does, in words: the first thing that goes wrong."""
    machine, state = shelved(c.sex), start(c)
    for place, step in enumerate(order, 1):
        state, wrong = machine.take(state, step)
        if wrong:
            return f"step {place}, {step}: {wrong}"
    return ""
