"""Which cell has to run first: where a notebook gives a name its value that a fresh kernel does not know yet."""

from __future__ import annotations

import ast
import builtins
import json
import os
from collections.abc import Collection, Sequence
from pathlib import Path

LONGEST = 60
"""So much of a cell's first line is repeated [characters]."""

RUN = "click into it and press Shift+Enter"


def cells_of(path: Path | None = None) -> tuple[str, ...]:
    """The program text of the notebook that this kernel works for.

    Parameters
    ----------
    path : Path, optional
        The notebook; else the one that the program around it names

    Returns
    -------
    tuple of str
        One entry a cell, in order; empty where there is none to read
    """
    try:
        page = json.loads(Path(path or os.environ["JPY_SESSION_NAME"]).read_text(encoding="utf-8"))
        return tuple("".join(cell["source"]) for cell in page["cells"] if cell["cell_type"] == "code")
    except (KeyError, OSError, TypeError, ValueError):
        return ()


def words_for_missing(name: str, cells: Sequence[str], known: Collection[str]) -> str:
    """Which cells to run first.

    Parameters
    ----------
    name : str
        The name that is not known
    cells : sequence of str
        Program text of the notebook, cell by cell
    known : collection of str
        Names that have a value already

    Returns
    -------
    str
        Empty where no cell of the notebook gives that name a value

    Examples
    --------
    >>> print(words_for_missing("mine", ['name = "Ana"', "mine = exercise(name)"], ["exercise", "name"]))
    This cell needs "mine" from the cell that begins: mine = exercise(name)
    Run that one first (click into it and press Shift+Enter), then this one again.
    """
    wanted = _chain(name, [_names(cell) for cell in cells], {*known, *dir(builtins)})
    if not wanted:
        return ""
    first = [_begins(cells[place]) for place in wanted]
    if len(first) == 1:
        return (
            f'This cell needs "{name}" from the cell that begins: {first[0]}\n'
            f"Run that one first ({RUN}), then this one again."
        )
    listed = "\n".join(f"  {line}" for line in first)
    return (
        f'This cell needs "{name}". Run the cells first that begin so, in this order ({RUN}):\n{listed}\n'
        "Then run this one again. All at once: choose Run All Above Selected Cell in the Run menu."
    )


def _chain(name: str, cells: Sequence[tuple[set[str], set[str]]], known: set[str]) -> list[int]:
    """Places of the cells that lead to a name, in their order in the notebook."""
    found: set[int] = set()
    open_names = [name]
    while open_names:
        asked = open_names.pop()
        place = next((n for n, (gives, _) in enumerate(cells) if asked in gives), None)
        if place is None or place in found:
            continue
        found.add(place)
        open_names += sorted(cells[place][1] - known - cells[place][0])
    return sorted(found)


def _names(cell: str) -> tuple[set[str], set[str]]:
    """What a cell gives a value, and what it uses; nothing where it is no Python."""
    try:
        tree = ast.parse("\n".join(line for line in cell.splitlines() if not line.startswith(("%", "!"))))
    except (SyntaxError, ValueError):
        return set(), set()
    gives: set[str] = set()
    uses: set[str] = set()
    for statement in tree.body:
        stored, loaded = _bound(statement), _loaded(statement)
        if isinstance(statement, ast.FunctionDef | ast.ClassDef):
            gives.add(statement.name)
            loaded -= stored
        else:
            gives |= stored
        uses |= loaded
    return gives, uses


def _bound(tree: ast.AST) -> set[str]:
    """Names that are given a value anywhere in it."""
    stored = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name) and not isinstance(node.ctx, ast.Load)}
    stored |= {node.arg for node in ast.walk(tree) if isinstance(node, ast.arg)}
    imports = [node for node in ast.walk(tree) if isinstance(node, ast.Import | ast.ImportFrom)]
    return stored | {(one.asname or one.name).split(".")[0] for node in imports for one in node.names}


def _loaded(tree: ast.AST) -> set[str]:
    """Names that are used anywhere in it."""
    return {node.id for node in ast.walk(tree) if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load)}


def _begins(cell: str) -> str:
    line = next((line for line in cell.splitlines() if line.strip() and not line.startswith("#")), "")
    return line if len(line) <= LONGEST else line[: LONGEST - 1] + "…"
