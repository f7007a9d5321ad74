"""Names and calls of the package: one meaning a name, arguments by name, lessons that enter by the doors."""

from __future__ import annotations

import ast
import importlib
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import nbformat

MOST = 4
"""Arguments that a call may tell apart by their place alone [-]."""

TAKE_ANY = ("judged", "pick", "your_wearer")
"""Functions that take as many things of one kind as there are."""


def parsed(root: Path) -> Iterator[tuple[str, ast.Module]]:
    """Every module of the package."""
    for path in sorted((root / "controlkit").rglob("*.py")):
        yield path.relative_to(root).as_posix(), ast.parse(path.read_text(encoding="utf-8"))


def counted(tree: ast.AST) -> Iterator[ast.Call]:
    """Calls that hand over more than a few values by their place."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call) or ast.unparse(node.func) in TAKE_ANY:
            continue
        if sum(not isinstance(one, ast.Starred) for one in node.args) > MOST:
            yield node


def test_values_are_handed_over_by_name(root: Path) -> None:
    """Two numbers that change places still make a call that type-checks; names cannot change places unseen."""
    found = [
        f"{where}:{call.lineno}: {ast.unparse(call.func)}" for where, tree in parsed(root) for call in counted(tree)
    ]
    assert found == []


def test_the_rule_of_names_finds_what_it_is_for() -> None:
    assert len(list(counted(ast.parse("f(1, 2, 3, 4, 5); g(1, 2, 3, 4); h(a=1, b=2, c=3, d=4, e=5)")))) == 1


def test_a_class_name_stands_for_one_thing(root: Path) -> None:
    homes = defaultdict(list)
    for where, tree in parsed(root):
        for node in ast.walk(tree):
            if isinstance(node, ast.ClassDef):
                homes[node.name.lstrip("_")].append(where)
    assert {name: places for name, places in homes.items() if len(places) > 1} == {}


def test_imports_hide_no_circle(root: Path) -> None:
    """Inside a function the package imports itself only where starting must be quick: in the command's rooms."""
    late = [
        f"{where}:{node.lineno}: {node.module}"
        for where, tree in parsed(root)
        for function in ast.walk(tree)
        if isinstance(function, ast.FunctionDef)
        for node in ast.walk(function)
        if isinstance(node, ast.ImportFrom) and str(node.module).startswith("controlkit")
    ]
    allowed = ("controlkit/cli/", "controlkit/__init__.py")
    assert [one for one in late if not one.startswith(allowed)] == []


def test_lessons_enter_by_the_doors(root: Path) -> None:
    """A page imports from folders that say in ``__all__`` what they show; rooms may then be rearranged behind them."""
    used = defaultdict(set)
    for path in (root / "course").glob("*.ipynb"):
        for cell in nbformat.read(path, as_version=4).cells:
            if cell.cell_type == "code":
                for node in ast.walk(ast.parse(cell.source.replace("%", "#"))):
                    if isinstance(node, ast.ImportFrom) and str(node.module).startswith("controlkit"):
                        used[str(node.module)] |= {one.name for one in node.names}
    assert used
    for door, names in used.items():
        room = importlib.import_module(door)
        assert hasattr(room, "__path__"), f"{door} is no folder"
        assert names <= set(room.__all__), (door, names - set(room.__all__))


def test_a_refusal_says_what_was_given_and_what_to_do(root: Path) -> None:
    """Each as a field, so that what answers a person can leave a part out or put it elsewhere."""
    found = [
        f"{where}:{call.lineno}"
        for where, tree in parsed(root)
        for call in ast.walk(tree)
        if isinstance(call, ast.Call) and ast.unparse(call.func) == "InputError"
        if not (told := {one.arg for one in call.keywords}) >= {"given"} or not told & {"allowed", "do"}
    ]
    assert found == []
