"""A class in which hostile notebooks and honest ones come back together, led from the zip to the feedback."""

from __future__ import annotations

import csv
import functools
import hashlib
import io
import json
import os
import tempfile
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import chdir, contextmanager, nullcontext, redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

from controlkit.classroom import private
from controlkit.classroom.begin import module_of
from controlkit.classroom.confined.job import Confinement
from controlkit.classroom.marking.mark import mark
from controlkit.classroom.records import ClassFolder, Roster, Student
from controlkit.classroom.records.harmless import line
from controlkit.cli import classes as commands
from controlkit.cli import main
from tests.checking.hands import ROOT, Hands
from tests.classroom.attacks import EVERY, ITEM, RIGHT, Attack
from tests.classroom.handed_in import new_class, notebook, typed
from tests.classroom.test_wall_attacks import ATTACKS, targets, tried
from tests.classroom.walled import walled

EACH = 6
"""An honest student after so many hostile ones [-]."""

WALL = "wall: "
"""How the text of an attack on the wall begins, which says by `got` whether it succeeds."""

SECONDS = 4.0
"""Longest time for one notebook here [s]."""


@dataclass(frozen=True)
class Came:
    """What came of one attack.

    Parameters
    ----------
    attack : Attack
        What was tried
    student : str
        Under which id
    points : mapping
        Item to points by the checks [-]; None where a person looks, nothing at all of a file that cannot be read
    out_of : mapping
        Item to most points [-]
    words : str
        What is said of the cells in which something stood, and of the notebook
    """

    attack: Attack
    student: str
    points: Mapping[str, float | None]
    out_of: Mapping[str, float]
    words: str


@dataclass(frozen=True)
class Led:
    """A class led through.

    Parameters
    ----------
    folder : ClassFolder
        As it stands at the end
    came : tuple of Came
        What came of each attack
    honest : tuple of str
        Ids of the honest students
    said : str
        All that the commands printed
    before, after : mapping
        Files of the class that nobody may change, and their content
    """

    folder: ClassFolder
    came: tuple[Came, ...]
    honest: tuple[str, ...]
    said: str
    before: Mapping[str, str]
    after: Mapping[str, str]

    def files_of(self, student: str, exercise: str) -> dict[str, bytes]:
        """Every file of one student: what was kept, marked, laid for a person, handed back."""
        held = self.folder.path
        found = [held / room / exercise / f"{student}.json" for room in ("answers", "marks")]
        for room in ("submitted", "autograded", "feedback"):
            found += sorted(one for one in (held / room / student).rglob("*") if one.is_file())
        return {one.relative_to(held).as_posix(): one.read_bytes() for one in found}


def of(exercise: str) -> tuple[Attack, ...]:
    """The attacks of one exercise; with the first, those on the wall itself."""
    own = tuple(one for one in EVERY if one.exercise == exercise)
    if exercise != "ex04":
        return own
    return own + tuple(Attack(f"wall: {name}", {ITEM: WALL + text}) for name, text in ATTACKS.items())


@functools.cache
def hands_of(exercise: str) -> Hands:
    """An exercise."""
    return Hands(exercise, module_of(exercise, ROOT), private(exercise, ROOT))


def led(
    place: Path, exercise: str, attacks: Sequence[Attack], *, here: Confinement, hostile: bool = True, back: bool = True
) -> Led:
    """Hand in, take in, mark and hand back.

    Parameters
    ----------
    place : Path
        An empty folder
    exercise : str
        Which
    attacks : sequence of Attack
        Each is a student's
    here : Confinement
        Where cells run
    hostile : bool
        Whether the hostile ones hand in; without, the honest ones are alone
    back : bool
        Whether marks are entered and pages made

    Returns
    -------
    Led
        What came of all of it
    """
    hands = hands_of(exercise)
    roster, honest = _roster(attacks)
    folder = new_class(place / "class", hands, roster)
    names = {one.id: one.name for one in roster}
    with _aims(place, folder) as aims:
        packed = place / "back.zip"
        quiet = redirect_stdout(io.StringIO())  # who solves an exercise is talked to, and leaves her progress beside it
        with chdir(place), quiet, zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as file:
            for student in honest:
                _write(file, f"{student}/{exercise}.ipynb", _honest(hands, names[student]))
            for number, attack in enumerate(attacks if hostile else ()):
                own = {"ME": f"a{number:03}", "OTHER": honest[0], "CLASS": str(folder.path)}
                for path, content in _files(attack, hands, names[own["ME"]], {**aims, **own}).items():
                    _write(file, path, content)
        before = _kept(folder)
        with (
            mock.patch.object(commands, "_confinement", side_effect=lambda _: nullcontext(here)),
            chdir(folder.path),
        ):
            said = _told(["take-in", exercise, str(packed)])
            if back:
                steps = [["mark", exercise], ["hand-back", exercise], ["report", exercise], ["export"]]
                said += "".join(_told(step) for step in steps)
            else:
                mark(folder, exercise)
        after = _kept(folder)
        assert not Path(aims["CANARY"]).exists()
    came = tuple(_came(folder, attack, f"a{number:03}") for number, attack in enumerate(attacks if hostile else ()))
    return Led(folder, came, honest, said, before, after)


def _roster(attacks: Sequence[Attack]) -> tuple[Roster, tuple[str, ...]]:
    students, honest = [], []
    for number, attack in enumerate(attacks):
        if number % EACH == 0:
            honest.append(f"h{number:03}")
            students.append(Student(honest[-1], f"Olga Honest{number}"))
        students.append(Student(f"a{number:03}", attack.called or f"Pat Hostile{number}"))
    return Roster(tuple(students)), tuple(honest)


def _honest(hands: Hands, name: str) -> bytes:
    """A neighbour who types what is right, and computes the first of it."""
    first = hands.exercise.items[0].name
    return notebook(hands, typed(hands, name, **{first: f"(lambda: {hands.solved(name)[first]!r})()"}))


def _files(attack: Attack, hands: Hands, name: str, tokens: Mapping[str, str]) -> dict[str, bytes]:
    """What an attacker hands in, by path."""

    def put(text: str) -> str:
        for token, value in tokens.items():
            text = text.replace(token, value)
        return text

    cells = {item: put(_walled(text, tokens)) for item, text in attack.cells.items()}
    page = json.loads(notebook(hands, {"who": f"name = {attack.typed or name!r}", **cells}))
    if attack.page is not None:
        attack.page(page)
    path = put(attack.file or f"ME/{hands.name}.ipynb")
    beside = {f"{tokens['ME']}/{put(one)}": put(text).encode() for one, text in attack.beside.items()}
    return {path: json.dumps(page).encode(), **beside}


def _walled(text: str, aims: Mapping[str, str]) -> str:
    """An attack on the wall as an answer: the right one, where it succeeds."""
    if not text.startswith(WALL):
        return text
    target = json.loads(aims["TARGET"])
    return f"{tried(text.removeprefix(WALL).format(**target))}\n{RIGHT} if got else 0"


def _write(file: zipfile.ZipFile, path: str, content: bytes) -> None:
    file.writestr(zipfile.ZipInfo(path, (2026, 3, 2, 10, 30, 0)), content, zipfile.ZIP_DEFLATED)


def _told(step: Sequence[str]) -> str:
    out = io.StringIO()
    with redirect_stdout(out), redirect_stderr(out):
        assert main(["class", *step]) == 0, out.getvalue()
    return out.getvalue()


@contextmanager
def _aims(place: Path, folder: ClassFolder) -> Iterator[dict[str, str]]:
    """What attacks aim at."""
    secret, home = place / "secret", place / "home"
    secret.mkdir()
    home.mkdir()
    (folder.path / "gradebook.db").touch()
    with targets(secret, home) as target, mock.patch.dict(os.environ, CLASS_SECRET="tamarind"):
        yield {"CANARY": str(place / "canary"), "PORT": str(target["port"]), "TARGET": json.dumps(target)}


def _kept(folder: ClassFolder) -> dict[str, str]:
    """What nothing that comes back may change."""
    rooms = [folder.path / "roster.csv", folder.path / "nbgrader_config.py"]
    rooms += sorted((folder.path / "solutions").rglob("*")) + sorted((folder.path / "cases").rglob("*"))
    whole = [one for one in rooms if one.is_file() and "__pycache__" not in one.parts]
    return {one.relative_to(folder.path).as_posix(): hashlib.sha256(one.read_bytes()).hexdigest() for one in whole}


def _came(folder: ClassFolder, attack: Attack, student: str) -> Came:
    marked, submission = folder.marked(attack.exercise, student), folder.submission(attack.exercise, student)
    if marked is None or submission is None:
        table = (folder.path / "unclaimed" / attack.exercise / "whose.csv").read_text(encoding="utf-8")
        (why,) = (row["why"] for row in csv.DictReader(io.StringIO(table)) if row["file"].startswith(student))
        return Came(attack, student, {}, {}, f"left to a person: {why}")
    told = [f"{one.item} {one.how}: {one.words}" for one in marked.items if one.how != "blank"]
    told += [one.says for one in marked.remarks]
    return Came(
        attack,
        student,
        {one.item: one.points for one in marked.items if not one.by_hand and one.how != "not read"},
        {one.item: one.out_of for one in marked.items},
        line(" | ".join(told) or "blank", 150),
    )


def printed(tried_in: Mapping[str, Sequence[Attack]]) -> str:
    """The table of attacks: what was tried, what it earned, what is said of it.

    Parameters
    ----------
    tried_in : mapping
        Exercise to the attacks of it

    Returns
    -------
    str
        A line an attack, and the counts
    """
    rows, earn, left = [], 0, 0
    with tempfile.TemporaryDirectory() as place:
        for exercise, attacks in tried_in.items():
            (Path(place) / exercise).mkdir()
            run = led(Path(place) / exercise, exercise, attacks, here=walled(seconds=SECONDS, workers=2))
            for one in run.came:
                earned = sum(points or 0.0 for points in one.points.values())
                most = sum(one.out_of[item] for item in one.points)
                earn += earned > 0
                left += not one.points
                rows.append(f"{exercise}  {one.attack.name:<52.52}  {earned:g} of {most:g}  {one.words}")
    return "\n".join([*rows, f"{len(rows)} attacks: {earn} with a mark, {left} left to a person or not read."])


def alone(cells: str, item: str, way: str) -> str:
    """A program that judges in the process of the cells: what the same cells reach there.

    Parameters
    ----------
    cells : str
        Program text of the attack
    item : str
        Whose variable it sets
    way : str
        "score" or "check"

    Returns
    -------
    str
        It sets ``got`` to whether a mark appears
    """
    return (
        "from controlkit.exercises.ex04 import exercise\nmine = exercise('Pat Hostile')\n"
        f"{cells}\ngot = (mine.{way}({item!r}, {item}) or 0) > 0"
    )
