"""Inside the confinement: one notebook's cells are run in order, and the variables asked for are handed out."""

from __future__ import annotations

import builtins
import json
import os
import sys
import types
import warnings
from collections.abc import Callable
from typing import Any

import controlkit.checking
from controlkit.checking import Case, Exercise
from controlkit.checking.items.running import Stopped, clock, run
from controlkit.classroom.confined.values import TooLongError, back, out

CELL_SECONDS = 20.0
"""Longest time for one cell; those after it still run [s]."""

_SAID = 200
"""Longest words of an error [characters]."""


class SilentExercise:
    """The student's exercise where its cells run: her case, and checks that say nothing.

    Parameters
    ----------
    case : Case
        As it was handed out
    name : str
        Hers
    """

    def __init__(self, case: Case, name: str) -> None:
        self.case, self.name = case, name

    def score(self, *_: Any, **__: Any) -> float:
        """No points: nothing is judged here [-]."""
        return 0.0

    def check(self, *_: Any, **__: Any) -> None:
        """Nothing."""

    show = given = steps = record = check


def run_notebook(job: dict[str, Any], exercise: Any, say: Callable[[list[Any]], None]) -> None:
    """Run a notebook's cells and hand out what was asked for.

    Parameters
    ----------
    job : dict
        Cells, case, name, and what to read after how many cells
    exercise : Exercise or None
        The exercise, where it can be loaded
    say : callable
        Hands out one record: item, kind, and what it holds
    """
    page = types.ModuleType("__main__")
    sys.modules["__main__"] = page
    mine = SilentExercise(Case(**job["case"]), job["name"])
    _everything_is(mine)
    page.__dict__.update(mine=mine, name=job["name"], exercise=exercise, display=mine.check, __builtins__=builtins)
    trouble: list[Any] = [0, ""]
    for place in range(len(job["cells"]) + 1):
        last = place == len(job["cells"])
        for one in job["asked"]:
            if one["after"] == place or (last and one["after"] > place):
                say([one["item"], *_read(page.__dict__, one, trouble)])
        if not last:
            trouble = _run(job["cells"][place], place, page.__dict__)


def _everything_is(mine: SilentExercise) -> None:
    """Whoever asks an exercise for her own once more gets the same."""

    def own(*_: Any, **__: Any) -> SilentExercise:
        return mine

    Exercise.__call__ = own  # type: ignore[method-assign, assignment]
    controlkit.checking.sealed = own  # type: ignore[assignment]


def _run(source: str, place: int, names: dict[str, Any]) -> list[Any]:
    """Run one cell; the line and the words of the error that stopped it, if one did."""
    file = f"<cell {place + 1}>"
    try:
        code = _compiled(source, file)
        with clock(CELL_SECONDS), warnings.catch_warnings():
            warnings.simplefilter("ignore")
            exec(code, names)
    except Stopped:
        return [0, f"it does not come to an end within {CELL_SECONDS:g} s"]
    except BaseException as wrong:  # noqa: BLE001 - whatever a cell raises, the next one runs
        return _told(wrong, file)
    return [0, ""]


def _compiled(source: str, file: str) -> types.CodeType:
    """A cell as program; where that fails, without the lines that only a notebook understands."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            return compile(source, file, "exec", dont_inherit=True)
        except SyntaxError:
            lines = source.splitlines()
            bare = ["" if line.lstrip().startswith(("%", "!")) else line for line in lines]
            return compile("\n".join(bare), file, "exec", dont_inherit=True)


def _told(wrong: BaseException, file: str) -> list[Any]:
    line, trace = 0, wrong.__traceback__
    while trace is not None:
        if trace.tb_frame.f_code.co_filename == file:
            line = trace.tb_lineno
        trace = trace.tb_next
    kind = type(wrong)
    if issubclass(kind, SyntaxError) and kind.__module__ == "builtins":
        line = wrong.lineno if type(wrong.lineno) is int else 0  # type: ignore[attr-defined]
        return [line, f"{kind.__name__}: {wrong.msg}"[:_SAID]]  # type: ignore[attr-defined]
    said = f"{kind.__name__}: {str(wrong)[:_SAID]}" if kind.__module__ == "builtins" else "an error of its own"
    return [line, said[:_SAID]]


def _read(names: dict[str, Any], one: dict[str, Any], trouble: list[Any]) -> list[Any]:
    """What a variable holds now, or why it holds nothing."""
    value = names.get(one["item"], ...)
    if value is ... and (trouble[1] or one["item"] not in names):
        return ["nothing", *trouble]
    if one["calls"] is not None and type(value) is types.FunctionType:
        outcomes = run(value, back(one["calls"]), seconds=one["seconds"])
        return ["calls", [[outcome.sort, outcome.value, outcome.detail] for outcome in outcomes]]
    try:
        return ["value", out(value)]
    except TooLongError:
        return ["long"]


def hand_out(number: int) -> Callable[[list[Any]], None]:
    """What hands out records as lines of JSON.

    Parameters
    ----------
    number : int
        The open file to write to [-]

    Returns
    -------
    callable
        Takes one record
    """

    def say(record: list[Any]) -> None:
        text = (json.dumps(record, allow_nan=False) + "\n").encode("ascii")
        while text:
            text = text[os.write(number, text) :]

    return say
