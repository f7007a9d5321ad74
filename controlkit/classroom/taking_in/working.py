"""The answers of a notebook, read cell by cell: what was typed, what was reckoned, what has to be run."""

from __future__ import annotations

import ast
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from controlkit.checking import Case, Function, Sheet
from controlkit.checking.items.laws import Inputs
from controlkit.checking.student.python_slips import set_by, words_for
from controlkit.classroom.confined.job import Variable
from controlkit.classroom.records.answers import ReadAnswer
from controlkit.classroom.records.literal import as_answer
from controlkit.classroom.taking_in.pages import PageCell
from controlkit.classroom.taking_in.reckoned import UNKNOWN, Mine, NotReckonedError, names_of_import, reckon

NOT_RUN = "This cell computes, and was not run where your work was taken in. Your instructor sees to it."


_UNSEEN = frozenset({"exec", "eval", "globals", "locals", "vars", "setattr", "__dict__", "__import__", "get_ipython"})
"""Whoever uses these may set a variable without a line that says so."""


@dataclass(frozen=True)
class Worked:
    """What reading the cells of a notebook came to.

    Parameters
    ----------
    answers : mapping
        Item to answer; "not run" where only running can tell
    asked : tuple of Variable
        What to read while the cells are run; empty where nothing has to be
    cells : tuple of str
        Program text to run, in order
    sources : mapping
        Item to the text of the cell that set it last; of its own cell, where none says that it sets it
    name : str
        The name that was typed
    twice : tuple of str
        Ids that more than one cell has
    """

    answers: Mapping[str, ReadAnswer]
    asked: tuple[Variable, ...]
    cells: tuple[str, ...]
    sources: Mapping[str, str] = field(default_factory=dict)
    name: str = ""
    twice: tuple[str, ...] = ()


def read_working(
    cells: Sequence[PageCell],
    sheet: Sheet,
    kit: Collection[str],
    *,
    case: Case,
    name: str,
    unseen: Mapping[str, Any],
    shown: Case | None = None,
) -> Worked:
    """Read the answers of a notebook.

    Parameters
    ----------
    cells : sequence of PageCell
        All of them
    sheet : Sheet
        The exercise
    kit : collection of str
        Ids of the cells that are the exercise's own and locked: what stands in them is not looked at
    case : Case
        The student's case, as it was handed out
    name : str
        Her name on the roster
    unseen : mapping
        What is kept back, by item: the inputs of functions
    shown : Case, optional
        The case as her cells may ask for it, without values where it was handed out sealed; `case` if left out

    Returns
    -------
    Worked
        An answer for each item, and what has to be run for the others
    """
    reader = _Reader(case if shown is None else shown, name)
    ends = _ends([cell.name for cell in cells], sheet)
    answers: dict[str, ReadAnswer] = {}
    asked: list[Variable] = []
    ran: list[str] = []
    for place, cell in enumerate(cells):
        if cell.kind == "code" and cell.name not in kit and cell.source.strip():
            reader.read(cell.source)
            ran.append(cell.source)
        for item in ends.get(place, ()):
            answers[item] = reader.answer(item)
            if answers[item].awaited:
                asked.append(Variable(item, len(ran), *_calls(sheet, item, case, unseen)))
    names = [cell.name for cell in cells if cell.name]
    own = {cell.name: cell.source for cell in cells if cell.kind == "code"}
    return Worked(
        answers=answers,
        asked=tuple(asked),
        cells=tuple(ran) if asked else (),
        sources={item.name: reader.sources.get(item.name) or own.get(item.name, "") for item in sheet.items},
        name=_text(reader.known.get("name")),
        twice=tuple(sorted({one for one in names if names.count(one) > 1})),
    )


def _ends(names: Sequence[str], sheet: Sheet) -> dict[int, tuple[str, ...]]:
    """After which cell each item's variable counts: at its check, or where nobody checks, at the end."""
    at: dict[int, tuple[str, ...]] = {}
    for item in sheet.items:
        check = f"check-{item.name}" if item.by_hand else f"t-{item.name}"
        places = [place for place, name in enumerate(names) if name == check]
        place = places[-1] if places else len(names) - 1
        at[place] = (*at.get(place, ()), item.name)
    return at


def _calls(sheet: Sheet, name: str, case: Case, unseen: Mapping[str, Any]) -> tuple[tuple[Inputs, ...] | None, float]:
    item = sheet.item(name)
    if isinstance(item, Function):
        return item.calls(case, unseen.get(name)), item.seconds
    return None, 5.0


class _Reader:
    """The names of a notebook and their values, as cell after cell is read."""

    def __init__(self, case: Case, name: str) -> None:
        self.known: dict[str, Any] = {"mine": Mine(case, name), "exercise": UNKNOWN}
        self.failed: dict[str, str] = {}
        self.unseen = False
        self.sources: dict[str, str] = {}

    def read(self, source: str) -> None:
        """Take a cell in."""
        text = "\n".join(line for line in source.split("\n") if not line.lstrip().startswith(("%", "!")))
        try:
            statements = ast.parse(text).body
        except (SyntaxError, ValueError, RecursionError, MemoryError) as slip:
            for name in set_by(text):  # a notebook forgets them too
                self.known.pop(name, None)
                self.failed[name] = _slip(slip)
                self.sources[name] = source
            return
        sure = True
        for statement in statements:
            for name in _set(statement):
                self.sources[name] = source
                self.failed.pop(name, None)
            sure = self._take(statement, sure)
            if _sets_unseen(statement):
                self.unseen = True
                self.known |= dict.fromkeys(set(self.known) - {"mine", "exercise", "name"}, UNKNOWN)

    def _take(self, statement: ast.stmt, sure: bool) -> bool:
        """Carry out one statement; returns whether it is sure that Python comes past it."""
        brought = names_of_import(statement)
        if sure and brought is not None:
            self.known |= brought
            return True
        if isinstance(statement, ast.Expr) and isinstance(statement.value, ast.Constant):
            return sure
        if isinstance(statement, ast.Pass):
            return sure
        simple = _assigns(statement)
        if sure and simple is not None:
            try:
                value = reckon(simple[1], self.known)
            except NotReckonedError:
                value = UNKNOWN
            if value is not UNKNOWN and not (isinstance(statement, ast.AugAssign) and type(value) is list):
                self.known |= dict.fromkeys(simple[0], value)
                return True
        for name in _set(statement):
            self.known[name] = UNKNOWN
        for name, value in self.known.items():
            if type(value) in (list, dict):  # it may be changed in place, under whatever name
                self.known[name] = UNKNOWN
        return False

    def answer(self, item: str) -> ReadAnswer:
        """What stands in the variable of an item now; only running can tell it where names may be set unseen."""
        if item in self.failed:
            return ReadAnswer("failed", why=self.failed[item])
        value = self.known.get(item, UNKNOWN if self.unseen else ...)
        if value is UNKNOWN:
            return ReadAnswer("not run", why=NOT_RUN)
        if value is ... or isinstance(value, Mine | Case):
            return ReadAnswer("blank")
        return as_answer(value, "typed")


def _assigns(statement: ast.stmt) -> tuple[tuple[str, ...], ast.expr] | None:
    """Names and expression of a plain assignment."""
    if isinstance(statement, ast.Assign) and all(isinstance(one, ast.Name) for one in statement.targets):
        return tuple(one.id for one in statement.targets if isinstance(one, ast.Name)), statement.value
    if isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name) and statement.value is not None:
        return (statement.target.id,), statement.value
    if isinstance(statement, ast.AugAssign) and isinstance(statement.target, ast.Name):
        before = ast.Name(id=statement.target.id, ctx=ast.Load())
        return (statement.target.id,), ast.BinOp(left=before, op=statement.op, right=statement.value)
    return None


def _set(statement: ast.stmt) -> set[str]:
    """Names that a statement may set or change."""
    found = {
        node.id for node in ast.walk(statement) if isinstance(node, ast.Name) and not isinstance(node.ctx, ast.Load)
    }
    if isinstance(statement, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        return {statement.name}
    if isinstance(statement, ast.Import | ast.ImportFrom):
        return {(one.asname or one.name).split(".")[0] for one in statement.names}
    return found


def _sets_unseen(statement: ast.stmt) -> bool:
    """Whether a statement may set names that do not stand in it as set: by text that it runs, or from within."""
    return any(
        (isinstance(node, ast.Name) and node.id in _UNSEEN)
        or (isinstance(node, ast.Attribute) and node.attr in _UNSEEN)
        or (isinstance(node, ast.Global))
        or (isinstance(node, ast.ImportFrom) and any(one.name == "*" for one in node.names))
        for node in ast.walk(statement)
    )


def _slip(slip: BaseException) -> str:
    return words_for(slip, ()) or "Python cannot read this cell."


def _text(value: Any) -> str:
    return value.strip()[:200] if type(value) is str else ""
