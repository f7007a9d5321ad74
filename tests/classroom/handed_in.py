"""A class that is handed out an exercise, and what it hands in: for the tests of taking in and marking."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from controlkit import __version__
from controlkit.classroom import make_class
from controlkit.classroom.confined.job import Came, Job
from controlkit.classroom.records import ClassFolder, Roster, Student
from tests.checking.hands import ROOT, Hands

PEOPLE = ("Ana Lima", "Bo Ek", "Zoë Marsh", "Ana Lima Reis", "Ines Okoye")

ROSTER = Roster(tuple(Student(f"s{place:02}", name) for place, name in enumerate(PEOPLE, 1)))


class Nowhere:
    """A confinement that runs nothing, as on a machine that has none."""

    words = "Nothing is run here."

    def run(
        self, exercise: str, jobs: Iterable[Job], *, kit: Path | None = None, done: Callable[[str], None] | None = None
    ) -> Iterator[Came]:
        return (Came(one.student) for one in jobs)


def new_class(folder: Path, hands: Hands, roster: Roster = ROSTER) -> ClassFolder:
    """A class whose cases are drawn; nbgrader has not been asked."""
    made = ClassFolder(make_class(folder, ROOT, roster=roster))
    made.keep_cases(hands.name, {one.id: hands.case(one.name) for one in roster}, __version__)
    return made


def typed(hands: Hands, name: str, **instead: str) -> dict[str, str]:
    """Cells of a student who types every answer as it is right for her, or what is said instead."""
    solved = hands.solved(name)
    cells = {item.name: f"{item.name} = {solved[item.name]!r}" for item in hands.exercise.items}
    return {"who": f"name = {name!r}", **cells, **{item: f"{item} = {text}" for item, text in instead.items()}}


def notebook(hands: Hands, cells: Mapping[str, str], receipt: Mapping[str, Any] | None = None) -> bytes:
    """A notebook of the exercise in which cells hold other text; with a receipt if one is given."""
    held = json.loads((ROOT / "exercises" / hands.name / f"{hands.name}.ipynb").read_text(encoding="utf-8"))
    for cell in held["cells"]:
        cell["source"] = cells.get(cell["id"], cell["source"])
        if cell["id"] == "record" and receipt is not None:
            data = {"application/vnd.controlkit.record+json": dict(receipt)}
            cell["outputs"] = [{"output_type": "display_data", "metadata": {}, "data": data}]
    return json.dumps(held).encode()


def put(folder: Path, path: str, content: bytes) -> None:
    """Lay a file down, folders and all."""
    (folder / path).parent.mkdir(parents=True, exist_ok=True)
    (folder / path).write_bytes(content)
