"""Named, not counted: nobody can swap two of many numbers unseen."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import controlkit

MOST = 4
"""Arguments that a call may leave without a name [-]."""
ROOMS = ("mechanics/cable", "mechanics/device", "mechanics/chain", "mechanics/bench", "mechanics/sequence")


def counted(source: str) -> list[str]:
    """Calls that leave more arguments without a name."""
    calls = (node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Call))
    return [f"line {call.lineno}: {ast.unparse(call.func)}" for call in calls if len(call.args) > MOST]


@pytest.mark.parametrize("room", ROOMS)
def test_calls_name_their_arguments(room: str) -> None:
    files = sorted((Path(controlkit.__path__[0]) / room).rglob("*.py"))
    assert files
    found = {path.name: counted(path.read_text(encoding="utf-8")) for path in files}
    assert {name: calls for name, calls in found.items() if calls} == {}


def test_a_call_that_counts_is_found() -> None:
    assert counted("Budget(1.0, 2.0, 3.0, 4.0, 5.0)") == ["line 1: Budget"]
    assert counted("Budget(1.0, 2.0, 3.0, 4.0, share=5.0)") == []
