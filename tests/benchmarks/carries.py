"""What one machine carries: a class of growing size, led from hand-out to report.

`python -m tests.benchmarks.carries` prints a table for the instructor's guide and draws `solutions/growth.svg`. Every
student hands in the solution of her own case, which is the most that a class asks of a machine: every design serves, so
it is simulated on every body. Each command is a process of its own, as an instructor starts it. Nothing is asserted.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import matplotlib as mpl
from matplotlib.figure import Figure

from controlkit.classroom import make_class, private
from controlkit.classroom.begin import module_of
from controlkit.classroom.records import ClassFolder
from tests.benchmarks.whole_class import Took, hand_in, roster_of, timed
from tests.checking.hands import ROOT, Hands
from tests.checking.school import surroundings

PICTURE = ROOT / "solutions" / "growth.svg"
STEPS = ("hand-out", "take-in", "mark", "hand-back", "report")
EXERCISES = {"ex04": "without a design", "ex03": "with a design"}
STUDENTS = (20, 50, 100, 200, 400)


@dataclass(frozen=True)
class Carried:
    """What a class took, step by step.

    Attributes
    ----------
    exercise : str
        Which one was handed in
    students : int
        By so many [-]
    steps : dict of str to Took
        What each command took
    disk : float
        What the class folder holds at the end [MB]
    """

    exercise: str
    students: int
    steps: dict[str, Took]
    disk: float

    @property
    def minutes(self) -> float:
        """All commands together [min]."""
        return sum(one.seconds for one in self.steps.values()) / 60


def carried(exercise: str, students: int) -> Carried:
    """Lead a class from hand-out to report."""
    hands = Hands(exercise, module_of(exercise, ROOT), private(exercise, ROOT))
    with TemporaryDirectory() as place:
        folder = ClassFolder(make_class(Path(place) / "class", ROOT, roster=roster_of(students)))
        environ = surroundings(Path(place))
        steps = {}
        for step in STEPS:
            if step == "take-in":
                hand_in(folder, hands)
            command = [sys.executable, "-m", "controlkit", "class", step, exercise]
            steps[step] = timed(command, folder.path, environ)
        disk = sum(path.stat().st_size for path in folder.path.rglob("*") if path.is_file()) / 1e6
    return Carried(exercise, students, steps, disk)


def row(one: Carried) -> str:
    """A line of the guide's table."""
    seconds = " | ".join(f"{one.steps[step].seconds:.0f}" for step in STEPS)
    most = max(took.megabytes for took in one.steps.values())
    return f"| {one.exercise} | {one.students} | {seconds} | {one.minutes:.1f} | {most:.0f} | {one.disk:.0f} |"


def draw(found: list[Carried]) -> None:
    """Minutes against students, one line an exercise."""
    mpl.rcParams["svg.hashsalt"] = "growth"
    figure = Figure(figsize=(6.2, 3.4), layout="constrained")
    axes = figure.add_subplot()
    for (exercise, what), mark in zip(EXERCISES.items(), ("o-", "s--"), strict=True):
        line = [one for one in found if one.exercise == exercise]
        axes.plot([one.students for one in line], [one.minutes for one in line], mark, label=f"{exercise}, {what}")
    axes.set_xlabel("students")
    axes.set_ylabel("all five commands [min]")
    axes.set_xlim(left=0)
    axes.set_ylim(bottom=0)
    axes.grid(alpha=0.3)
    axes.legend()
    figure.savefig(PICTURE, metadata={"Date": None, "Creator": None})


def main() -> None:
    """Measure, print, draw."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--students", type=int, nargs="+", default=STUDENTS)
    parser.add_argument("--exercises", nargs="+", default=list(EXERCISES), choices=list(EXERCISES))
    given = parser.parse_args()
    print(f"| exercise | students | {' | '.join(f'{step} [s]' for step in STEPS)} | all [min] | MB | folder [MB] |")
    print("|" + "---|" * (5 + len(STEPS)))
    found = []
    for exercise in given.exercises:
        for students in given.students:
            found.append(carried(exercise, students))
            print(row(found[-1]), flush=True)
    draw(found)


if __name__ == "__main__":
    main()
