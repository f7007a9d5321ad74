"""Which cell has to run first: where a notebook gives a name its value that a fresh kernel does not know yet."""

from __future__ import annotations

import ast
import builtins
import json
import os
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from pathlib import Path

LONGEST = 60
"""So much of a cell's first line is repeated [characters]."""

RUN = "click into it and press Shift+Enter"


@dataclass(frozen=True)
class ProgramCell:
    """A cell of program text, as a person finds it on the page.

    Parameters
    ----------
    source : str
        Its text
    heading : str
        The heading that it stands under
    folded : bool
        Whether only a grey line and three dots are to be seen of it
    """

    source: str
    heading: str = ""
    folded: bool = False

    @property
    def where(self) -> str:
        """Which cell it is, in words."""
        if self.folded and self.heading:
            return f"the grey line with three dots under the heading “{self.heading}”"
        line = next((line for line in self.source.splitlines() if line.strip() and not line.startswith("#")), "")
        return f"the cell that begins: {line if len(line) <= LONGEST else line[: LONGEST - 1] + '…'}"


def cells_of(path: Path | None = None) -> tuple[ProgramCell, ...]:
    """The program text of the notebook that this kernel works for.

    Parameters
    ----------
    path : Path, optional
        The notebook; else the one that the program around it names

    Returns
    -------
    tuple of ProgramCell
        In order; empty where there is no notebook to read
    """
    found: list[ProgramCell] = []
    heading = ""
    try:
        page = json.loads(Path(path or os.environ["JPY_SESSION_NAME"]).read_text(encoding="utf-8"))
        for cell in page["cells"]:
            text = "".join(cell["source"])
            if cell["cell_type"] == "markdown":
                heads = [line.lstrip("#").strip() for line in text.splitlines() if line.startswith("#")]
                heading = heads[-1] if heads else heading
            elif cell["cell_type"] == "code":
                folded = bool(cell["metadata"].get("jupyter", {}).get("source_hidden"))
                found.append(ProgramCell(text, heading, folded))
    except (AttributeError, KeyError, OSError, TypeError, ValueError):
        return ()
    return tuple(found)


def words_for_missing(name: str, cells: Sequence[ProgramCell], known: Collection[str]) -> str:
    """Which cells to run first.

    Parameters
    ----------
    name : str
        The name that is not known
    cells : sequence of ProgramCell
        Program text of the notebook, cell by cell
    known : collection of str
        Names that have a value already

    Returns
    -------
    str
        Empty where no cell of the notebook gives that name a value

    Examples
    --------
    >>> page = ProgramCell('name = "Ana"'), ProgramCell("mine = exercise(name)")
    >>> print(words_for_missing("mine", page, ["exercise", "name"]))
    This cell needs "mine" from the cell that begins: mine = exercise(name)
    Run that one first (click into it and press Shift+Enter), then this one again.
    """
    wanted = _chain(name, [_names(cell.source) for cell in cells], {*known, *dir(builtins)})
    if not wanted:
        return ""
    first = [cells[place].where for place in wanted]
    if len(first) == 1:
        return f'This cell needs "{name}" from {first[0]}\nRun that one first ({RUN}), then this one again.'
    listed = "\n".join(f"  {line}" for line in first)
    return (
        f'This cell needs "{name}". Run these cells first, in this order ({RUN}):\n{listed}\n'
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
