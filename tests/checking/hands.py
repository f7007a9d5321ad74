"""Every exercise there is, found by its folder, as tests handle it."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from types import ModuleType
from typing import Any

import nbformat

from controlkit.checking import Case, Exercise, KeptBack

ROOT = Path(__file__).resolve().parents[2]

NAMES = tuple(sorted(path.parent.name for path in ROOT.glob("solutions/*/*.ipynb")))
"""Every exercise there is."""

MARKS = re.compile(r"^### (?:BEGIN|END) SOLUTION\n?", re.MULTILINE)


@dataclass
class Hands:
    """One exercise as tests handle it.

    Attributes
    ----------
    name : str
        Its name
    module : ModuleType
        What students see of it
    kept_back : KeptBack
        What they do not
    """

    name: str
    module: ModuleType
    kept_back: KeptBack
    _cases: dict[str, Case] = field(default_factory=dict)

    @property
    def exercise(self) -> Exercise:
        return self.module.exercise  # type: ignore[no-any-return]

    def notebook(self, folder: str = "solutions") -> nbformat.NotebookNode:
        return nbformat.read(ROOT / folder / self.name / f"{self.name}.ipynb", as_version=4)

    def case(self, who: int | str) -> Case:
        """The case of a student, by number or name; drawn once."""
        name = f"Student {who}" if isinstance(who, int) else who
        if name not in self._cases:
            self._cases[name] = self.exercise.own_case(name)
        return self._cases[name]

    def solved(self, who: str) -> dict[str, Any]:
        """What the solution notebook answers for that name: each item's variable."""
        there: dict[str, Any] = {}
        with self._importable():
            for cell in self.notebook().cells:
                tested = cell.metadata.nbgrader.grade and not cell.metadata.nbgrader.solution
                if cell.cell_type == "code" and not tested:
                    exec(f"name = {who!r}" if cell.id == "who" else cell.source, there)
        return {item.name: there[item.name] for item in self.exercise.items}

    @contextmanager
    def _importable(self) -> Iterator[None]:
        """Let a cell import an exercise that stands beside its notebook, as there."""
        name = self.module.__name__
        known = name in sys.modules
        sys.modules.setdefault(name, self.module)
        try:
            yield
        finally:
            if not known:
                del sys.modules[name]

    def filled(self, who: str) -> dict[str, str]:
        """Sources of the cells that a student fills in, as she would if she knew the solution."""
        cells = [cell for cell in self.notebook().cells if cell.metadata.nbgrader.solution]
        sources = {cell.id: MARKS.sub("", cell.source) for cell in cells}
        return {**sources, "who": f"name = {who!r}"}
