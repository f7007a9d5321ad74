"""Working that is read without being run comes to what Python comes to, or is left to be run."""

from __future__ import annotations

import ast
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from controlkit.checking import Case
from controlkit.classroom.taking_in.pages import PageCell
from controlkit.classroom.taking_in.reckoned import Mine, NotReckonedError, reckon
from controlkit.classroom.taking_in.working import read_working
from tests.checking.hands import NAMES, Hands

CASE = Case("ex99", "ana", 0, {"pull": 40, "short": 25.5, "kind": "hook", "row_30": 7})
KNOWN: dict[str, Any] = {
    "mine": Mine(CASE, "Ana"),
    "c": CASE,
    "a": 3,
    "b": 2.5,
    "rows": (1, 2, 3),
    "radians": math.radians,
}

READ = {
    "c.pull * c.short / 1000": 40 * 25.5 / 1000,
    'c["pull"] - mine.case.short': 14.5,
    'c[f"row_{30}"]': 7,
    "radians(c.pull)": math.radians(40),
    "max(a, b) + min(rows) + abs(-2)": 6,
    "(a**2 + b**2) ** 0.5": math.hypot(3, 2.5),
    'f"{b:.2f} mm"': "2.50 mm",
    '"stays" if c.kind == "hook" else "opens"': "stays",
    '{"hook": 1, "hand": 2}[c.kind]': 1,
    'dict(ring="45 mm", bands=a)': {"ring": "45 mm", "bands": 3},
    "[a, -b, None, True]": [3, -2.5, None, True],
    "round(2 / 3, 2)": 0.67,
    "...": ...,
}

LEFT = [
    "open('x')", "__import__('os')", "().__class__", "c.values", "c.__class__", "mine._sheet", "mine.score",
    "unknown + 1", "1 / 0", "10**10**10", "9**9**9", "'a' * 10**9", "[0] * 10**9", "(lambda: 1)()",
    "[x for x in rows]", "c.nothing", "rows[9]", "f'{a!r}'", "f'{a:>1000000}'", "exec('a = 1')", "print(a)",
    "getattr(c, 'pull')", "'9' * 9", "a if unknown else b", "rows[0:2]", "{**{}}", "'%s' % a", "a and b",
    "round(a, *rows)", "str(c)",
]  # fmt: skip


@pytest.mark.parametrize("line", READ)
def test_a_line_of_working_is_read(line: str) -> None:
    assert reckon(ast.parse(line, mode="eval").body, KNOWN) == READ[line]


@pytest.mark.parametrize("line", LEFT)
def test_whatever_is_more_than_working_is_left_to_be_run(line: str) -> None:
    with pytest.raises(NotReckonedError):
        reckon(ast.parse(line, mode="eval").body, KNOWN)


numbers = st.one_of(st.integers(-999, 999), st.floats(-1e6, 1e6)).map(repr)
expressions = st.recursive(
    st.one_of(numbers, st.sampled_from(["a", "b", "c.pull", "c.short"])),
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from(["+", "-", "*", "/", "//", "%", "**", "<", ">="]), inner).map(
            lambda parts: f"({' '.join(parts)})"
        ),
        inner.map(lambda one: f"-{one}"),
        inner.map(lambda one: f"abs({one})"),
        st.tuples(inner, inner).map(lambda parts: f"max({parts[0]}, {parts[1]})"),
        st.tuples(inner, inner, inner).map(lambda parts: f"({parts[0]} if {parts[1]} else {parts[2]})"),
    ),
    max_leaves=12,
)


@settings(max_examples=400, deadline=None)
@given(expressions)
def test_what_is_read_is_what_python_comes_to(line: str) -> None:
    try:
        read = reckon(ast.parse(line, mode="eval").body, KNOWN)
    except NotReckonedError:
        return
    run = eval(line, {"a": 3, "b": 2.5, "c": CASE, "abs": abs, "max": max})
    assert type(read) is type(run)
    assert read == run or (read != read and run != run)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("who", ["Student 1", "Zoë Dvořák"])
def test_worked_solutions_are_read_as_they_run(name: str, who: str, every: dict[str, Hands]) -> None:
    hands = every[name]
    ran, cells = hands.solved(who), hands.filled(who)
    kit = {cell.id for cell in hands.notebook().cells} - set(cells)
    page = [
        PageCell(cell.cell_type, cells.get(cell.id, cell.source), cell.id) for cell in hands.notebook("exercises").cells
    ]
    found = read_working(page, hands.exercise, kit, case=hands.case(who), name=who, unseen={})
    read = {item: answer.value for item, answer in found.answers.items() if answer.how == "typed"}
    assert read == {item: ran[item] for item in read}
    assert read
    assert {one.item for one in found.asked} == set(found.answers) - set(read)
    assert found.name == who


def read_cells(*cells: tuple[str, str], hands: Hands) -> dict[str, Any]:
    page = [PageCell("code", source, name) for name, source in cells]
    found = read_working(
        page, hands.exercise, {"t-excursion", "t-moment_arm"}, case=hands.case("Ana"), name="Ana", unseen={}
    )
    return {item: (one.how, one.says) for item, one in found.answers.items()}


def test_an_answer_counts_as_it_stands_at_its_check(every: dict[str, Hands]) -> None:
    hands = every["ex03"]
    found = read_cells(
        ("excursion", 'excursion = "10 mm"'),
        ("t-excursion", "excursion = 99"),  # what stands in a locked cell is never looked at
        ("moment_arm", "moment_arm = excursion"),
        ("", "excursion = 12\nmoment_arm = 3"),
        ("t-moment_arm", ""),
        hands=hands,
    )
    assert found["excursion"] == ("typed", "'10 mm'")
    assert found["moment_arm"] == ("typed", "3")


def test_a_cell_that_sets_its_answer_out_of_sight_is_shown_to_who_marks(every: dict[str, Hands]) -> None:
    hands = every["ex03"]
    page = [PageCell("code", "exec('excursion = 5')", "excursion"), PageCell("code", "", "t-excursion")]
    found = read_working(page, hands.exercise, ["t-excursion"], case=hands.case("Ana"), name="Ana", unseen={})
    assert found.sources["excursion"] == "exec('excursion = 5')"


def test_of_copied_cells_the_last_counts(every: dict[str, Hands]) -> None:
    twice = [("excursion", "excursion = 1"), ("t-excursion", ""), ("excursion", "excursion = 2"), ("t-excursion", "")]
    assert read_cells(*twice, hands=every["ex03"])["excursion"] == ("typed", "2")


@pytest.mark.parametrize(
    ("source", "how"),
    [
        ("excursion = ...", "blank"),
        ("", "blank"),
        ("excursion = 10 mm", "failed"),
        ("excursion = “10 mm”", "failed"),
        ("for k in range(3):\n    excursion = k", "not run"),
        ("print('x')\nexcursion = 5", "not run"),  # Python might not come past the first line
        ("def excursion():\n    return 5", "not run"),
        ("rows = [1, 2]\nrows.append(3)\nexcursion = sum(rows)", "not run"),
        ("one = two = [1]\none.append(2)", "blank"),
        ("import os\nexcursion = 5", "not run"),
        ("from math import *\nexcursion = 5", "not run"),
        ("del excursion", "not run"),
        ("exec('excursion = 5')", "not run"),
        ("globals()['excursion'] = 5", "not run"),
        ("import builtins\nbuiltins.exec('excursion = 5')", "not run"),
        ("def work():\n    global excursion\n    excursion = 5\nwork()", "not run"),
        ("excursion = 4\nexec('excursion = 5')", "not run"),
        ("exec('excursion = 4')\nexcursion = 5", "not run"),  # Python might not come past the first line
        ("%matplotlib inline\nexcursion = 5", "typed"),
        ("# 5 by the tape\nexcursion: float = 5", "typed"),
        ('"""Notes."""\nexcursion = 4\nexcursion += 1', "typed"),
    ],
)
def test_how_an_answer_is_come_by(source: str, how: str, every: dict[str, Hands]) -> None:
    assert read_cells(("excursion", source), ("t-excursion", ""), hands=every["ex03"])["excursion"][0] == how


def test_a_list_changed_under_another_name_is_not_taken_for_the_old_one(every: dict[str, Hands]) -> None:
    cells = [("", "one = [1]\nexcursion = one"), ("", "one.append(2)"), ("t-excursion", "")]
    assert read_cells(*cells, hands=every["ex03"])["excursion"][0] == "not run"
