"""Exercise 10: a meal with two hooks, as a small machine of states and steps.

Three things decide it. A wrist unit is turned by the other hook, which must be empty (common practice, no source:
others turn it against a table's edge or a knee). What lies near the body is taken and laid down by both shoulders, and
that opens both hooks; what lies further off by one arm, and that leaves the other hook shut. The last two are the
mechanics' own (`bench.motions`); the tests ask them of every wearer.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from controlkit.checking import Case, own_wearer
from controlkit.exercises.ex10.bench import SIDES, motions
from controlkit.exercises.ex10.words import STEPS
from controlkit.units import mm

THINGS = ("fork", "knife")
JUNCTION = mm(80)
"""Junction below C7 in the errand [m]. Assumption of this exercise."""
HANDLE = mm(5)
"""How thick either handle is [m]. Assumption of this exercise."""
BEGINS = ("both hooks empty", "near thing held", "far thing held")
"""How the errand can begin."""


@dataclass(frozen=True)
class Meal:
    """How things stand at the table.

    Parameters
    ----------
    ready : frozenset of str
        Sides whose device is turned to its object
    held : frozenset of str
        What is held
    done : bool
        Whether the food is cut
    """

    ready: frozenset[str]
    held: frozenset[str] = frozenset()
    done: bool = False


@dataclass(frozen=True)
class Laid:
    """How the table is laid.

    Parameters
    ----------
    fork_on : str
        The side that holds the fork
    near : str
        What lies near the body
    """

    fork_on: str
    near: str

    def side(self, thing: str) -> str:
        """The side that holds a thing."""
        return self.fork_on if thing == "fork" else _across(self.fork_on)

    def step(self, at: Meal, step: str) -> tuple[Meal, str]:
        """Make a step: how things stand then, and what went wrong."""
        if step == "cut":
            return (replace(at, done=True), "") if len(at.held) == len(THINGS) else (at, "both are not held yet")
        if step.startswith("pre-position"):
            return self._turned(at, step.removeprefix("pre-position "))
        thing = step.split()[-1]
        return self._taken(at, thing) if step.startswith("take") else self._laid_down(at, thing)

    def _turned(self, at: Meal, side: str) -> tuple[Meal, str]:
        helps = _across(side)
        busy = [thing for thing in at.held if self.side(thing) == helps]
        if side in at.ready:
            return at, f"the {side} device stands as it should already"
        if busy:
            return at, f"the {helps} hook holds the {busy[0]}, and cannot turn the {side} wrist unit"
        return replace(at, ready=at.ready | {side}), ""

    def _taken(self, at: Meal, thing: str) -> tuple[Meal, str]:
        side = self.side(thing)
        if thing in at.held:
            return at, f"the {thing} is held already"
        if side not in at.ready:
            return at, f"the {side} hook meets the {thing} askew, and slides off its handle"
        after = replace(at, held=at.held | {thing})
        return self._opened(after, thing)

    def _laid_down(self, at: Meal, thing: str) -> tuple[Meal, str]:
        if thing not in at.held:
            return at, f"the {thing} is not held"
        return self._opened(replace(at, held=at.held - {thing}), thing)

    def _opened(self, after: Meal, thing: str) -> tuple[Meal, str]:
        """What the motion does to the other hook, and to what that holds."""
        other = [one for one in after.held if one != thing]
        if thing != self.near or not other:
            return after, ""
        (falls,) = other
        return replace(after, held=after.held - {falls}), f"falls:{falls}"


def _across(side: str) -> str:
    return next(each for each in SIDES if each != side)


def laid(c: Case) -> Laid:
    """The table of a case."""
    return Laid(c.fork_on, c.near)


def start(c: Case) -> Meal:
    """How the errand of a case begins."""
    table, far = laid(c), next(thing for thing in THINGS if thing != c.near)
    if c.meal_begins == "both hooks empty":
        return Meal(frozenset(SIDES) - frozenset(SIDES if c.away == "both" else {c.away}))
    thing = c.near if c.meal_begins == "near thing held" else far
    return Meal(ready=frozenset({table.side(thing)}), held=frozenset({thing}))


def right_orders(c: Case) -> tuple[tuple[str, ...], ...]:
    """Every shortest order of steps in which nothing goes wrong."""
    return _orders(laid(c), start(c))


@lru_cache(maxsize=64)
def _orders(table: Laid, begin: Meal) -> tuple[tuple[str, ...], ...]:
    ways: list[tuple[Meal, tuple[str, ...]]] = [(begin, ())]
    seen = {begin}
    while ways:
        found = [order for at, order in ways if at.done and not at.held]
        if found:
            return tuple(sorted(found))
        onward = []
        for at, order in ways:
            for step in (statement.word for statement in STEPS):
                after, wrong = table.step(at, step)
                if not wrong and after not in seen:
                    onward.append((after, (*order, step)))
        seen |= {at for at, _ in onward}
        ways = onward
    return ()


def comes_to(c: Case, order: tuple[str, ...]) -> str:
    """What an order of steps does, in words: the first thing that goes wrong."""
    table, at = laid(c), start(c)
    for place, step in enumerate(order, 1):
        at, wrong = table.step(at, step)
        if wrong.startswith("falls:"):
            thing = wrong.removeprefix("falls:")
            opened = motions(own_wearer(c.values), JUNCTION).near.other.opening / mm(1)
            wrong = (
                f"both shoulders come forward, and both hooks open: on the {table.side(thing)} by {opened:.0f} "
                f"mm, and the {thing} falls"
            )
        if wrong:
            return f"step {place}, {step}: {wrong}"
    return ""
