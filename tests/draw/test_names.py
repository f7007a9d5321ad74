"""Names of straps stand in one file; drawings and labs name what they hand over."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import controlkit
from controlkit.mechanics.harness import layout

ROOT = Path(controlkit.__path__[0])
LAYOUT = ROOT / "mechanics" / "harness" / "layout.py"
OPTIONS = ROOT / "exercises" / "ex01"
"""Here a loop is an option of an item: what a student has answered keeps its name whatever the mechanics calls it."""
STRAPS = {
    layout.AXILLA_LOOP, layout.CHEST_STRAP, layout.CONTROL_STRAP, layout.FRONT_STRAP,
    layout.FORK_INNER, layout.FORK_OUTER, layout.SADDLE_STRAP, layout.SUSPENSOR,
}  # fmt: skip
MOST = 4
"""Arguments that a call may count instead of naming them [-]."""


def _written(text: str) -> Iterator[int]:
    """Lines on which a string is the name of a strap and nothing else."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Constant) and node.value in STRAPS:
            yield node.lineno


def _counted(text: str) -> Iterator[int]:
    """Lines of calls that hand over more than a reader can count."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Call) and sum(not isinstance(one, ast.Starred) for one in node.args) > MOST:
            yield node.lineno


def _found(files: list[Path], look: object) -> list[str]:
    assert files
    return [
        f"{path.relative_to(ROOT)}:{line}"
        for path in files
        for line in look(path.read_text(encoding="utf-8"))  # type: ignore[operator]
    ]


def test_no_strap_is_named_by_hand() -> None:
    """A key that is mistyped finds nothing; a constant that is mistyped is refused."""
    files = [path for path in ROOT.rglob("*.py") if path != LAYOUT and not path.is_relative_to(OPTIONS)]
    assert not _found(files, _written)
    assert _found([LAYOUT], _written), "the names stand where they should"


@pytest.mark.parametrize("room", ["draw/page", "draw/ink", "draw/charts", "draw/device", "draw/wearer", "labs"])
def test_no_call_counts_its_arguments(room: str) -> None:
    """Two numbers that change places would still fit."""
    assert not _found(list((ROOT / room).rglob("*.py")), _counted)


def test_the_walks_find_what_they_look_for() -> None:
    """A sentence is no name, and a list that is unpacked counts as nothing."""
    lines = (
        f'"""The {layout.AXILLA_LOOP}."""',
        f'straps["{layout.AXILLA_LOOP}"]',
        "f(1, 2, 3, 4, 5)",
        "f(1, 2, 3, 4, *rest)",
    )
    text = "\n".join(lines)
    assert list(_written(text)) == [2]
    assert list(_counted(text)) == [3]
