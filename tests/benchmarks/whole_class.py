"""A class in which everybody hands in, and what a command takes to lead it on."""

from __future__ import annotations

import os
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path

from controlkit.classroom import make_class
from controlkit.classroom.handing_out.cases import draw_cases
from controlkit.classroom.handing_out.openly import hand_out_openly
from controlkit.classroom.records import ClassFolder, Roster, Student
from tests.checking.hands import ROOT, Hands
from tests.checking.school import fill


@dataclass(frozen=True)
class Took:
    """What one program took.

    Attributes
    ----------
    seconds : float
        From its start to its end [s]
    megabytes : float
        Largest of its processes [MB]
    """

    seconds: float
    megabytes: float


def timed(command: list[str], folder: Path, environ: dict[str, str]) -> Took:
    """Run a command to its end."""
    started = time.perf_counter()
    run = subprocess.Popen(command, cwd=folder, env=environ, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, used = os.wait4(run.pid, 0)
    run.returncode = os.waitstatus_to_exitcode(status)
    assert run.returncode == 0, command
    return Took(time.perf_counter() - started, used.ru_maxrss / 1024)


def roster_of(count: int) -> Roster:
    """So many students."""
    return Roster(tuple(Student(f"s{place:03}", f"Student {place}") for place in range(count)))


def hand_in(folder: ClassFolder, hands: Hands) -> None:
    """Everybody hands in the solution of her own case."""
    name = hands.name
    for one in folder.roster:
        fill(folder.path / "release" / name, folder.path / "submitted" / one.id / name, hands.filled(one.name))


def handed_in(place: Path, hands: Hands, count: int) -> ClassFolder:
    """A class of so many students who have all handed in."""
    folder = ClassFolder(make_class(place, ROOT, roster=roster_of(count)))
    draw_cases(folder, hands.name)
    hand_out_openly(folder, hands.name)
    hand_in(folder, hands)
    return folder
