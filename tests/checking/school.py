"""A class that hands in, marked by stock nbgrader from release to feedback: one process for all exercises."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import nbformat

from controlkit.checking import Item
from controlkit.classroom import make_class
from controlkit.classroom.stock import with_tools
from tests.checking.hands import ROOT, Hands

WHO = "Zoë Dvořák"
"""In whose name the notebooks are handed in, where nothing else is said."""

ONE_PROCESS = """
import json, sys
from nbgrader import apps
from nbgrader.api import Gradebook

def run(kind, name):
    print(f"=== {kind} {name}", file=sys.stderr, flush=True)
    app = getattr(apps, kind)()
    app.initialize([name])
    app.start()

names, marked, feedback = map(json.loads, sys.argv[1:])
for name in names:
    run("GenerateAssignmentApp", name)
for name in marked:
    run("AutogradeApp", name)
for name in feedback:
    run("GenerateFeedbackApp", name)
with Gradebook("sqlite:///gradebook.db") as book:
    rows = [(name, s.student.id, g.name, g.auto_score, bool(g.needs_manual_grade)) for name in marked
            for s in book.assignment_submissions(name) for n in s.notebooks for g in n.grades]
print(json.dumps(rows))
"""
"""What the commands of nbgrader run, and then the marks."""

SHORT = ("ex03", "ex10", "ex11")
"""Exercises that stock nbgrader marks in every run: every kind of item is in them. The long mark has all."""

Sources = Mapping[str, str]
"""Cell to what stands in it; cells that are not named stay as they were handed out."""


@dataclass(frozen=True)
class School:
    """A marked class.

    Attributes
    ----------
    folder : Path
        The class folder
    marks : mapping
        Exercise, student and cell to points
    manual : mapping
        Exercise, student and cell to whether a person must mark it
    log : str
        What nbgrader said
    """

    folder: Path
    marks: Mapping[str, Mapping[str, Mapping[str, float | None]]]
    manual: Mapping[str, Mapping[str, Mapping[str, bool]]]
    log: str

    def tested(self, exercise: str, who: str) -> dict[str, float | None]:
        """Points of the cells that are marked without a person."""
        return {cell: points for cell, points in self.marks[exercise][who].items() if cell.startswith("t-")}

    def said(self, exercise: str, who: str, cell: str) -> str:
        """What a student reads below a graded cell, its lines joined."""
        path = self.folder / "autograded" / who / exercise / f"{exercise}.ipynb"
        notebook = nbformat.read(path, as_version=4)
        outputs = next(c for c in notebook.cells if c.metadata.get("nbgrader", {}).get("grade_id") == cell).outputs
        assert all(output.get("name") != "stderr" and output.output_type != "error" for output in outputs), outputs
        return " ".join("".join(output.get("text", "") for output in outputs).split())

    def feedback(self, exercise: str, who: str) -> str:
        return (self.folder / "feedback" / who / exercise / f"{exercise}.html").read_text(encoding="utf-8")

    def log_of(self, kind: str, exercise: str) -> str:
        """What one command said about one exercise."""
        return self.log.split(f"=== {kind} {exercise}\n")[1].split("\n=== ")[0]


def mark(
    folder: Path, handed_in: Mapping[str, Mapping[str, Sources]], feedback: Sequence[str] = (), root: Path = ROOT
) -> School:
    """Hand in notebooks, by exercise and student, and mark them; an exercise without students is only handed out."""
    make_class(folder, root)
    for name, students in handed_in.items():
        for who, sources in students.items():
            fill(root / "exercises" / name, folder / "submitted" / who / name, sources)
    marked = [name for name, students in handed_in.items() if students]
    ran = subprocess.run(
        [sys.executable, "-c", ONE_PROCESS, *(json.dumps(list(names)) for names in (handed_in, marked, feedback))],
        cwd=folder,
        env=surroundings(folder.parent, root),
        capture_output=True,
        text=True,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
    marks: dict[str, dict[str, dict[str, float | None]]] = {}
    manual: dict[str, dict[str, dict[str, bool]]] = {}
    for name, who, cell, points, by_hand in json.loads(ran.stdout.splitlines()[-1]):
        marks.setdefault(name, {}).setdefault(who, {})[cell] = points
        manual.setdefault(name, {}).setdefault(who, {})[cell] = by_hand
    return School(folder, marks, manual, ran.stderr)


def surroundings(own: Path, root: Path = ROOT) -> dict[str, str]:
    """Where nbgrader runs: settings in a folder of its own, and the package of this checkout."""
    settings = {name: str(own / name.lower()) for name in ("IPYTHONDIR", "JUPYTER_CONFIG_DIR")}
    return {**with_tools(), **settings, "PYTHONPATH": str(root), "PYTHONDONTWRITEBYTECODE": "1"}


def fill(released: Path, handed_in: Path, sources: Sources) -> None:
    """Write answers into a released notebook, as a student does, and hand in the folder."""
    handed_in.mkdir(parents=True)
    for path in released.iterdir():
        if path.is_file():
            (handed_in / path.name).write_bytes(path.read_bytes())
    for name in [name for name in sources if name.endswith(".py")]:
        (handed_in / name).write_text(sources[name], encoding="utf-8")
    notebook = nbformat.read(released / f"{released.name}.ipynb", as_version=4)
    for cell in notebook.cells:
        cell.source = sources.get(cell.id, cell.source)
    nbformat.write(notebook, handed_in / f"{released.name}.ipynb")


def source_of_idea(item: Item, turn: int = 0) -> str:
    """What a student with a wrong idea types for an item, from the case as she sees it; turn by turn another idea."""
    return f"_wrong = mine._sheet.wrong_answers({item.name!r}, mine.case)\n{item.name} = _wrong[{turn} % len(_wrong)]"


def turns(hands: Hands) -> int:
    """How many turns it takes until every wrong idea of every item was handed in."""
    return max(len(hands.exercise.wrong_answers(item.name, hands.case(WHO))) for item in hands.exercise.items)


def with_ideas(hands: Hands, turn: int = 0) -> dict[str, str]:
    """The cells of a student who holds a wrong idea about every item that has one."""
    ideas = {item.name: source_of_idea(item, turn) for item in has_ideas(hands)}
    return {"who": hands.filled(WHO)["who"], **ideas}


def sorts(hands: Hands) -> dict[str, Sources]:
    """An exercise handed in right, with wrong ideas and untouched."""
    return {"right": hands.filled(WHO), "idea": with_ideas(hands), "blank": {}}


def has_ideas(hands: Hands) -> list[Item]:
    """The items about which a wrong idea is known."""
    exercise = hands.exercise
    return [item for item in exercise.items if exercise.wrong_answers(item.name, hands.case(WHO))]


def answers_with_ideas(hands: Hands, who: str, turn: int = 0) -> dict[str, Any]:
    """The same answers, without a notebook."""
    there: dict[str, Any] = {"mine": SimpleNamespace(_sheet=hands.exercise, case=hands.case(who))}
    for item in has_ideas(hands):
        exec(source_of_idea(item, turn), there)
    return {item.name: there.get(item.name, ...) for item in hands.exercise.items}


def third_exercise(hands: Hands) -> dict[str, Sources]:
    """Students of exercise 3 of other sorts: right in other units, a chain of wrong ideas, slips of typing."""
    exercise = hands.exercise
    design = f"design = {hands.solved('Zoë Marsh')['design']}"
    tight = 'design = dict(ring_below_c7="45 mm", ring_to_sound_side="0 mm", crossbar=0.65, control_strap="-15 mm")'
    case, held = hands.case("Ana Dvořák"), hands.case("José Ibarra")
    right, slipped = exercise.right(hands.case("Zoë Marsh")), exercise.right(held)
    ideas = {(idea.item, idea.label): idea.values(case, exercise.right(case))[0] for idea in exercise.ideas}
    return {
        "right": {
            "who": 'name = "Zoë Marsh"',
            "excursion": f'excursion = "{right["excursion"]} mm"',
            "moment_arm": f"moment_arm = {right['moment_arm']:.1f}",
            "shoulder_moment": f'shoulder_moment = "{right["shoulder_moment"]:.2f} N m"'.replace(".", ","),
            "loop_tension": f'loop_tension = "{right["loop_tension"] / 4.4482216:.2f} lbf"',
            "design": design,
            "why": 'why = """\nBecause the moment arm grows as the ring goes down.\n"""',
        },
        "tight": {
            "who": 'name = "Ana Dvořák"',
            "excursion": f"excursion = {ideas['excursion', 'nothing-gives']}",
            "moment_arm": f"moment_arm = {ideas['moment_arm', 'arm-length-as-arm']}",
            "shoulder_moment": f"shoulder_moment = {case.pull} * moment_arm / 1000",
            "loop_tension": f'loop_tension = "{ideas["loop_tension", "loop-equals-cable"]} N"',
            "design": tight,
        },
        "slips": {
            "who": 'name = "José Ibarra"',
            "excursion": f"excursion = {slipped['excursion'] / 1000}",
            "moment_arm": "moment_arm = 12,5",
            "shoulder_moment": f"shoulder_moment = {1000 * slipped['shoulder_moment']}",
            "loop_tension": "import warnings\nwarnings.warn('noise')\nloop_tension = 'about 1,234'",
            "design": tight.replace("0.6", "12"),
            "why": 'why = ""',
            "t-excursion": "4.0",  # a locked cell made to give full marks
            "ex03.py": "raise SystemExit\n",  # and a file that would not even load
        },
    }
