"""Names of straps stand where the straps do, once."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import controlkit
from controlkit.mechanics.harness import layout
from controlkit.mechanics.harness.patterns import chest, eight

ROOT = Path(controlkit.__path__[0])
HARNESS = ROOT / "mechanics" / "harness"
HOMES = [HARNESS / "layout.py", HARNESS / "patterns" / "eight.py", HARNESS / "patterns" / "chest.py"]
OPTIONS = [ROOT / "exercises" / name for name in ("ex01", "ex08")]
OPTIONS += [ROOT / "exercises" / "ex09" / "words.py"]
"""Here a strap is an option of an item: what a student has answered keeps its name whatever the mechanics calls it."""
STRAPS = {
    layout.AXILLA_LOOP, layout.CONTROL_STRAP, eight.FRONT_STRAP, eight.FORK_INNER, eight.FORK_OUTER,
    chest.CHEST_STRAP, chest.SADDLE_STRAP, chest.SUSPENSOR,
}  # fmt: skip


def _written(text: str) -> Iterator[int]:
    """Lines on which a string is the name of a strap and nothing else."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Constant) and node.value in STRAPS:
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
    files = [path for path in ROOT.rglob("*.py") if path not in HOMES and not set(OPTIONS) & {path, *path.parents}]
    assert not _found(files, _written)
    assert len(_found(HOMES, _written)) == len(STRAPS), "each name stands where it should, once"


def test_the_walk_finds_what_it_looks_for() -> None:
    """A sentence is no name."""
    lines = (
        f'"""The {layout.AXILLA_LOOP}."""',
        f'straps["{layout.AXILLA_LOOP}"]',
    )
    text = "\n".join(lines)
    assert list(_written(text)) == [2]
