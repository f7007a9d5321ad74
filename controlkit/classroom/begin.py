"""Begin the notebook of a new exercise: one pair of cells for each of its items, ready to be worded and solved."""

from __future__ import annotations

import importlib
import json
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

from controlkit.checking import Exercise, Item
from controlkit.units import InputError

_CARE = (
    "**Care.** This exercise teaches and explores; it fits nobody. On a person, look at the skin of the armpit before "
    "and after every trial, and stop at numbness, tingling or a change of colour. Fitting is the work of a licensed "
    "prosthetist."
)

_HOW = (
    "You work on a case of your own: the numbers below belong to your name. A number needs its unit in quotes, such as "
    '`"12.5 mm"`; a word from a list stands in quotes too. The line below each answer says at once whether it is '
    "right, and asks you something if it is not; try as often as you like: marks do not depend on "
    "attempts, and the last answer counts."
)

_WHO = (
    "To type in the cell below, click into it, or go to it with the arrow keys and press Enter. Write your name, or "
    "the class id you were given, between quotes. Then press Shift+Enter, here and on each cell "
    "that follows: a cell folded to one grey line and three dots brings out the numbers of your question."
)

_WRITE = (
    "Write between the two rows of quotes, in place of the dots, with as many lines as you like; then press "
    "Shift+Enter. The line below it only says that something stands there."
)

_END = (
    "The last cell shows your points, what is still missing, and how to hand in. Run it before you hand in: it adds "
    "your case and the version of the kit, so that your instructor judges the numbers you saw.\n\n"
    "Below an answer that is not full yet, a line offers the steps on a like case: click it, or go to it with Tab and "
    "press Enter."
)

LICENCE = (
    "*© 2026 the controlkit contributors. Prose and pictures: CC BY 4.0. Program text: MIT. Facts are cited, not "
    "licensed here. See the file LICENSE-CONTENT.*"
)
"""What every notebook of the course says of its licence, once."""


_KEPT = '''"""Exercise {number}, kept back by the instructor: nothing yet.

By the name of its item: a function's unseen inputs, or the other bodies of a design as OtherBodies(bodies=...).
"""

from controlkit.checking import KeptBack

kept_back = KeptBack({{}})
'''


def begin(name: str, root: Path | str = ".") -> list[Path]:
    """Write what an exercise needs beside its items: its notebook, and the file that is kept back.

    Parameters
    ----------
    name : str
        Name of the exercise, such as "ex42"; ``exercise`` and ``MINUTES`` are defined by the package
        ``controlkit.exercises.ex42``, or by an instructor's own file ``solutions/ex42/ex42.py``
    root : Path or str
        The folder that holds ``solutions/``

    Returns
    -------
    list of Path
        The files that were written; a file that is there already stays as it is

    Raises
    ------
    InputError
        If the items cannot be read, or the notebook is there already
    """
    folder = Path(root).resolve() / "solutions" / name
    notebook, kept = folder / f"{name}.ipynb", folder.parent / f"{name}_graded.py"
    if notebook.exists():
        raise InputError(
            given=f"{name}.ipynb is there already.",
            do="It is never overwritten; move it away to begin anew.",
        )
    module = module_of(name, root)
    exercise, minutes = _items(module, name)
    cells = _cells(exercise, module.__name__, minutes)
    kernel = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}
    page = {
        "cells": cells,
        "metadata": {"kernelspec": kernel, "language_info": {"name": "python"}},
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    folder.mkdir(parents=True, exist_ok=True)
    notebook.write_text(json.dumps(page, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    written = [notebook]
    if not kept.exists():
        kept.write_text(_KEPT.format(number=_number(name)), encoding="utf-8")
        written.append(kept)
    return written


def _number(name: str) -> str:
    return name.removeprefix("ex").lstrip("0") or name


def module_of(name: str, root: Path | str = ".") -> ModuleType:
    """What defines the items of an exercise: a file beside its notebook, or a package of the course.

    Parameters
    ----------
    name : str
        Name of the exercise, such as "ex42"
    root : Path or str
        The folder that holds ``solutions/``

    Returns
    -------
    module
        ``solutions/ex42/ex42.py``, else ``controlkit.exercises.ex42``

    Raises
    ------
    InputError
        If there is neither
    """
    folder = Path(root).resolve() / "solutions" / name
    if (folder / f"{name}.py").is_file():
        return _beside(folder, name)
    try:
        return importlib.import_module(f"controlkit.exercises.{name}")
    except ModuleNotFoundError as missing:
        if missing.name != f"controlkit.exercises.{name}":
            raise
        raise InputError(
            given=f"There is neither a package controlkit/exercises/{name} nor a file solutions/{name}/{name}.py.",
            do="Write the items first.",
        ) from None


def _beside(folder: Path, name: str) -> ModuleType:
    """A module beside the notebook, read anew, with whatever it imports from there; nothing of it stays loaded."""
    names = {path.stem for path in folder.glob("*.py")}
    put_away = {one: sys.modules.pop(one) for one in names & set(sys.modules)}
    sys.path.insert(0, str(folder))
    importlib.invalidate_caches()
    try:
        return importlib.import_module(name)
    finally:
        sys.path.remove(str(folder))
        for one in names & set(sys.modules):
            del sys.modules[one]
        sys.modules.update(put_away)


def _items(module: ModuleType, name: str) -> tuple[Exercise, int]:
    """The exercise that a module defines, and how long it takes."""
    exercise, minutes = getattr(module, "exercise", None), getattr(module, "MINUTES", None)
    if not isinstance(exercise, Exercise) or type(minutes) is not int or exercise.name != name:
        raise InputError(
            given=f"{module.__name__} does not define the exercise {name} and how long it takes.",
            do=f'It must say exercise = Exercise(name="{name}", ...) and MINUTES = 30, a whole number of minutes.',
        )
    return exercise, minutes


def _cells(exercise: Exercise, module: str, minutes: int) -> list[dict[str, Any]]:
    """Every cell, as a notebook stores it."""
    name = exercise.name
    said = f"{exercise.announced}, about {minutes} minutes once lesson {_number(name)} is worked."
    title = f"# Exercise {_number(name)}: {exercise.title[:1].lower()}{exercise.title[1:]}"
    cells = [
        _text("title", "\n\n".join((title, f"{said} {_HOW}", _CARE, LICENCE))),
        _text("who-asks", f"## Your name\n\n{_WHO}"),
        _code("who", 'name = ...\n### BEGIN SOLUTION\nname = "Solution"\n### END SOLUTION', solution=True),
        _code("case", f"from {module} import exercise\n\nmine = exercise(name)\nmine.show()", fold=True, locked=True),
    ]
    for place, item in enumerate(exercise.items, 1):
        heading = f"## {place}. {item.called.capitalize()}\n\n"
        asks = f"{item.heading()}\n\n{_WRITE}" if item.by_hand else item.heading()
        cells.append(_text(f"{item.name}-asks", heading + asks))
        cells += _by_hand(item) if item.by_hand else _checked(item, name)
    cells.append(_text("hand-in", f"## How far you are, and handing in\n\n{_END}"))
    cells.append(_code("record", "mine.record()", locked=True))
    return cells


def _by_hand(item: Item) -> list[dict[str, Any]]:
    """The cell of an answer that a person marks, and the one that says whether something stands there."""
    solved = item.stub().replace("...", "Write a model answer here.")
    source = f"{item.stub()}\n### BEGIN SOLUTION\n{solved}\n### END SOLUTION"
    return [
        _code(item.name, source, grade=True, solution=True, points=item.points),
        _code(f"check-{item.name}", f'mine.check("{item.name}", {item.name})', locked=True),
    ]


def _checked(item: Item, exercise: str) -> list[dict[str, Any]]:
    """What is given, folded; the cell of an answer, and the one that checks it and gives its points."""
    stub, load, kept = item.stub(), "", ""
    if item.keeps_back:
        load, kept = "from controlkit.classroom import private\n\n", f', private("{exercise}")'
    score = f'mine.score("{item.name}", {item.name}{kept})'
    test = f'mine.check("{item.name}", {item.name})\n### BEGIN HIDDEN TESTS\n{load}{score}\n### END HIDDEN TESTS'
    return [
        _code(f"given-{item.name}", f'mine.given("{item.name}")', fold=True, locked=True),
        _code(item.name, f"{stub}\n### BEGIN SOLUTION\n{stub}\n### END SOLUTION", solution=True),
        _code(f"t-{item.name}", test, grade=True, locked=True, points=item.points),
    ]


def _text(name: str, source: str, **marks: Any) -> dict[str, Any]:
    return _cell("markdown", name, source, {"locked": True, **marks})


def _code(name: str, source: str, *, fold: bool = False, **marks: Any) -> dict[str, Any]:
    """A cell of program text; folded, a student sees what it brings out and not the text."""
    cell = {**_cell("code", name, source, marks), "execution_count": None, "outputs": []}
    if fold:
        cell["metadata"]["jupyter"] = {"source_hidden": True}
    return cell


def _cell(kind: str, name: str, source: str, marks: dict[str, Any]) -> dict[str, Any]:
    """A cell as it is stored, with the marks that nbgrader needs."""
    plain = {"grade": False, "locked": False, "schema_version": 3, "solution": False, "task": False}
    meant = {"nbgrader": {**plain, **marks, "grade_id": name}}
    return {"cell_type": kind, "id": name, "metadata": meant, "source": source.splitlines(keepends=True)}
