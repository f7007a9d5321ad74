"""Exercise 11: which tests to make again after a repair, and in which order each of them means something."""

from __future__ import annotations

from functools import cache

from controlkit.checking import Case, Statement
from controlkit.exercises.ex11.faults import BELOW
from controlkit.exercises.shared.shelf import noted
from controlkit.mechanics.bench.instruments import GONIOMETER, SCALE, TAPE
from controlkit.mechanics.harness.layout import AXILLA_LOOP, CONTROL_STRAP
from controlkit.units import deg, mm

BANDS, HOUSING, CABLE = "bands", "housing and liner", "cable"

PARTS: dict[str, tuple[str, ...]] = {
    BANDS: ("weak bands",),
    HOUSING: (
        "no liner, or dirt in the housing",
        "tight bends",
        "housing too short",
        "housing too long",
    ),
    CABLE: ("cable too long", "cable too short"),
    CONTROL_STRAP: ("control attachment strap slack", "control attachment strap too tight"),
    AXILLA_LOOP: ("axilla loop too loose",),
}
"""What was renewed, and the faults that may have come with it."""

TESTS = (
    Statement("scale at the device", "pull at the device itself until it begins to move"),
    Statement("scale at the hanger", "pull at the hanger until the device begins to move, elbow bent"),
    Statement("goniometer at the elbow", "where the forearm stops, cable slack"),
    Statement("tape along the cable", "from hanger to device"),
    Statement("draw of the hanger", "how far the hanger is drawn by hand, ring held, until the device moves"),
    Statement("unhooked hanger", "how far the harness lets it come, drawn with 50 N"),
    Statement("fingertips at the fly", "how far they open there on command"),
)
"""Tests to choose from."""

_KEYS = dict(
    zip((one.word for one in TESTS), ("device", "hanger", "elbow", "cable", "draw", "comes", "fly"), strict=True)
)
_ERRORS = {"device": SCALE, "hanger": SCALE, "elbow": GONIOMETER / deg(1)}
_MIDDLE = 0.5

RENEWED = tuple(
    ", ".join(two)
    for two in (
        (BANDS, CABLE),
        (BANDS, AXILLA_LOOP),
        (BANDS, HOUSING),
        (BANDS, CONTROL_STRAP),
        (HOUSING, CABLE),
        (HOUSING, CONTROL_STRAP),
        (HOUSING, AXILLA_LOOP),
        (CABLE, AXILLA_LOOP),
    )
)
"""What may have been renewed: two parts each that leave four tests or five."""


def renewed(c: Case) -> tuple[str, ...]:
    """The parts that were renewed."""
    return tuple(str(c.renewed).split(", "))


@cache
def touched(test: str) -> frozenset[str]:
    """The parts of which a fault of middling size moves a test by more than its error."""
    key, kept = _KEYS[test], noted(BELOW.package)["below"]
    error = _ERRORS.get(key, TAPE / mm(1))

    def moves(fault: str) -> bool:
        return bool(abs(kept[f"{fault}, {_MIDDLE:g}"][key] - kept["sound"][key]) > error)

    return frozenset(part for part, faults in PARTS.items() if any(map(moves, faults)))


@cache
def _wanted(parts: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(test for test in _KEYS if touched(test) & set(parts))


def wanted(c: Case) -> tuple[str, ...]:
    """The tests that know of something that was renewed."""
    return _wanted(renewed(c))


def before(test: str, tests: tuple[str, ...]) -> tuple[str, ...]:
    """Those of some tests that must be right before a test means anything: each knows fewer parts, and only its."""
    return tuple(other for other in tests if touched(other) < touched(test))


@cache
def _orders(tests: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    ways: list[tuple[str, ...]] = [()]
    for _ in tests:
        ways = [
            (*way, test) for way in ways for test in tests if test not in way and set(before(test, tests)) <= set(way)
        ]
    return tuple(ways)


def right_orders(c: Case) -> tuple[tuple[str, ...], ...]:
    """Every order in which each test has one thing to say: what knows fewer parts comes first."""
    return _orders(wanted(c))


def _listed(parts: frozenset[str]) -> str:
    *others, last = (part for part in PARTS if part in parts)
    return f"{', '.join(others)} or {last}"


def comes_to(c: Case, order: tuple[str, ...]) -> str:
    """What an order of tests comes to, in words: the first that says nothing, or too much."""
    tests = wanted(c)
    for place, test in enumerate(order, 1):
        if test in order[: place - 1]:
            return f"step {place}, {test}: it says what it said before."
        if test not in tests:
            return f"step {place}, {test}: it knows of nothing that was renewed."
        missing = set(before(test, tests)) - set(order[: place - 1])
        if missing:
            may = _listed(touched(test))
            return (
                f"step {place}, {test}: were it off, it could be {may}. A test that knows of fewer of them has "
                f"not been made yet."
            )
    unsaid = [test for test in tests if test not in order]
    if unsaid:
        return f"{len(unsaid)} more of the tests know of something that was renewed."
    return ""
