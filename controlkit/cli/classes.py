"""`controlkit class`: a class from roster to feedback, one step after the other, each safe to run again."""

from __future__ import annotations

import argparse
import importlib.util
import os
import re
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from controlkit.cli.trouble import Trouble

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from controlkit.classroom.confined.job import Confinement
    from controlkit.classroom.records import ClassFolder
    from controlkit.classroom.records.answers import Remark

__all__ = ["add_commands", "run"]

Told = Callable[[int, int], None]

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")

_STEPS = """\
A class, step by step. Run everything but `new` inside the class folder; each step can be run again at any time,
and goes on where it was stopped:

  controlkit class new ../my-class --roster names.csv   make the folder of a class
  controlkit class hand-out ex03                        draw everybody's case, make what students get
  controlkit class take-in ex03 back.zip                read answers from what came back (folder or zip)
  controlkit class mark ex03                            judge the answers, fill the gradebook
  controlkit class hand-back ex03                       write a page of feedback for each student
  controlkit class report ex03                          marks, hard items, wrong ideas, who needs a word
  controlkit class export                               the marks, a table an exercise
"""


def add_commands(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """
    Add `class` and its steps to the commands.

    Parameters
    ----------
    commands : argparse sub-parsers
        Of the `controlkit` command.
    """
    shape = argparse.RawDescriptionHelpFormatter
    parser = commands.add_parser("class", help="hand out, take in, mark and hand back", description=_STEPS)
    parser.formatter_class = shape
    steps = parser.add_subparsers(dest="step", metavar="STEP")

    new = steps.add_parser("new", help="make the folder of a class")
    new.add_argument("folder", metavar="FOLDER", help="a new folder, outside the folder of the course")
    new.add_argument("--roster", metavar="FILE", help="the list of the class: a table with id and name, or names")
    new.add_argument("--without-worked-steps", action="store_true", help="keep worked steps from students")

    out = steps.add_parser("hand-out", help="draw everybody's case, make what students get")
    _exercise(out)
    out.add_argument("--sealed", action="store_true", help="checks say only what was read; one folder a student")

    taken = steps.add_parser("take-in", help="read answers from what came back")
    _exercise(taken)
    taken.add_argument("source", nargs="?", metavar="FROM", help="a folder or zip (submitted/ of the class)")
    taken.add_argument(
        "--due",
        metavar="TIME",
        help='what came later is marked late: "2026-12-01 18:00"; a day without a time counts to its end',
    )
    taken.add_argument(
        "--unconfined",
        action="store_true",
        help="run cells that compute without any protection: only notebooks that you would open yourself",
    )
    _elsewhere(taken)

    marked = steps.add_parser("mark", help="judge the answers, fill the gradebook")
    _exercise(marked)
    _elsewhere(marked)

    for name, says in (
        ("hand-back", "write a page of feedback for each student"),
        ("report", "marks, hard items, wrong ideas, who needs a word"),
    ):
        _exercise(steps.add_parser(name, help=says))
    steps.add_parser("export", help="the marks of every exercise that was taken in")


def _exercise(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("exercise", metavar="EXERCISE", help="such as ex03")


def _elsewhere(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--on", metavar="ADDRESS", help="share the work with the workers of a Dask scheduler, such as tcp://HOST:8786"
    )


def run(given: argparse.Namespace) -> int:
    """
    Carry out one step.

    Parameters
    ----------
    given : argparse.Namespace
        What stands behind the command.

    Returns
    -------
    int
        0 if it worked.

    Raises
    ------
    Trouble
        If something is in the way; it says what, and the next step.
    """
    if given.step is None:
        print(_STEPS, end="")
        return 0
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # a process a core; each with one thread
    if importlib.util.find_spec("nbgrader") is None:
        raise Trouble(
            "The instructor's part of controlkit is not installed here.",
            "Install it with the instructor's line of README.md.",
        )
    from controlkit.units import InputError

    try:
        _STEP[given.step](given)
    except InputError as trouble:
        raise Trouble(trouble.given, " ".join(part for part in (trouble.allowed, trouble.do) if part)) from None
    except KeyboardInterrupt:
        raise Trouble("Stopped. Nothing is lost.", "Run the same command again to go on.") from None
    except OSError as trouble:
        raise Trouble(
            f"The disk says: {trouble.strerror or trouble}.",
            "See to it and run the same command again; what was kept before is whole.",
        ) from None
    return 0


def _here() -> ClassFolder:
    from controlkit.classroom.records import ClassFolder

    return ClassFolder(Path.cwd())


@contextmanager
def _bar(what: str) -> Iterator[Told]:
    """A bar of how far it is, where somebody looks; it says nothing in a file."""
    from tqdm import tqdm

    with tqdm(desc=what, unit="", disable=not sys.stderr.isatty(), leave=False) as bar:
        bar.total = 0

        def told(done: int, count: int) -> None:
            bar.total = count
            bar.update(done - bar.n)

        yield told


def _new(given: argparse.Namespace) -> None:
    from controlkit.classroom import make_class
    from controlkit.classroom.records.roster import read_roster

    roster = read_roster(given.roster) if given.roster else None
    made = make_class(given.folder, worked_steps=not given.without_worked_steps, roster=roster)
    students = f" for {len(roster)} students" if roster is not None else "; write its list of students, roster.csv"
    print(f"Made the class folder {made.name}{students}. Go there, and hand out an exercise.")


def _hand_out(given: argparse.Namespace) -> None:
    from controlkit.classroom.handing_out.cases import draw_cases
    from controlkit.classroom.handing_out.openly import hand_out_openly

    folder = _here()
    with _bar("cases") as told:
        drawn = draw_cases(folder, given.exercise, told=told)
    print(f"{len(drawn.cases)} students have a case, {drawn.new} of them new.")
    for student in drawn.renamed:
        print(f"  {student.id}: the case was drawn from another name, and stays.")
    place = hand_out_openly(folder, given.exercise)
    if not given.sealed:
        print(f"Hand out the folder {place.relative_to(folder.path)} as it is: the same for everybody.")
        return
    from controlkit.classroom.handing_out.sealed import hand_out_sealed

    made = hand_out_sealed(folder, given.exercise)
    print(f"{len(made)} folders are sealed: give each student her own, handed-out/ID/{given.exercise}.")
    print(f"Keep {place.relative_to(folder.path)} here: it is the open hand-out.")


def _take_in(given: argparse.Namespace) -> None:
    from controlkit.classroom.taking_in.take_in import take_in

    folder = _here()
    source = Path(given.source) if given.source else None
    with _confinement(given) as here, _bar("notebooks") as told:
        found = take_in(folder, given.exercise, source, confinement=here, due=_time(given.due), told=told)
    new = sum(not one.unread for one in found.new)
    unread = f", {len(found.unread)} could not be read" if found.unread else ""
    print(f"{new} notebook{'s' * (new != 1)} taken in, {found.as_before} as before{unread}. {found.protection}")
    late = [one.student for one in found.new if one.late]
    again = [one.student for one in found.new if one.attempt > 1]
    now_late = [one.student for one in found.other_date if one.late]
    in_time = [one.student for one in found.other_date if not one.late]
    for who, what in (
        (late, "Late"),
        (now_late, "Late by the time given now"),
        (in_time, "In time by the time given now"),
        (again, "Handed in again, the last counts"),
    ):
        if who:
            print(f"{what}: {', '.join(who)}.")
    for one in (*found.new, *found.set_aside):
        for remark in () if one.unread else one.remarks:
            print(f"  {one.student}: {remark.says}")
    for one in found.unread:
        for remark in one.remarks:
            print(f"  {one.student}: not read. {remark.says} {_to_tell(remark)}".rstrip())
    if found.unclaimed:
        place = f"unclaimed/{given.exercise}/whose.csv"
        count = len(found.unclaimed)
        are = "notebooks are" if count > 1 else "notebook is"
        print(f"{count} {are} nobody's yet. Write the student's id in {place}, save it and take in again.")
    if found.missing:
        print(f"Nothing from {', '.join(one.id for one in found.missing)}.")
    for student, names in found.no_notebook.items():
        print(
            f"  {student}: {', '.join(names[:5])}, and no notebook. Ask for the file that ends in .ipynb, not packed."
        )


def _to_tell(remark: Remark) -> str:
    return f"Tell her or him: {remark.do}" if remark.do else ""


@contextmanager
def _confinement(given: argparse.Namespace) -> Iterator[Confinement]:
    """Where cells run: here, or on the machines that were named."""
    from controlkit.classroom.confined.run import confinement

    if given.on is None:
        yield confinement(unconfined=given.unconfined)
        return
    if given.unconfined:
        raise Trouble("--unconfined and --on were both given.", "Give one of them: other machines run cells confined.")
    from controlkit.classroom.confined.elsewhere import OtherMachines, protected
    from controlkit.executors import cluster

    with cluster(given.on, fit=protected) as workers:
        yield OtherMachines(workers)


@contextmanager
def _workers(address: str | None) -> Iterator[Executor | None]:
    """The workers of a cluster, and a line that says who they are; None if none were named."""
    if address is None:
        yield None
        return
    from controlkit.executors import cluster

    with cluster(address) as workers:
        print(f"Designs are simulated by {workers.words}")
        yield workers


def _time(text: str | None) -> datetime | None:
    if text is None:
        return None
    try:
        if _DAY.fullmatch(text.strip()):
            return datetime.fromisoformat(f"{text.strip()} 23:59:59").astimezone()
        return datetime.fromisoformat(text).astimezone()
    except ValueError:
        raise Trouble(f"“{text}” is no time.", 'Write it as in "2026-12-01 18:00".') from None


def _mark(given: argparse.Namespace) -> None:
    from controlkit.classroom.handing_back import enter_marks
    from controlkit.classroom.marking.mark import mark

    folder = _here()
    own = given.on is not None and folder.own(given.exercise)
    if own:
        print(f"{given.exercise} is the class's own: its designs are simulated here.")
    with _workers(None if own else given.on) as workers, _bar("designs") as designs, _bar("marks") as told:
        found = mark(folder, given.exercise, executor=workers, told=told, told_designs=designs)
    with _bar("gradebook") as told:
        enter_marks(folder, given.exercise, done=_counted(told, len(found.marked)))
    read = [one for one in found.marked if not one.unread]
    print(f"{len(read)} marked, {found.judged} of them now. The gradebook holds all of it.")
    for one in found.marked:
        if one.unread:
            print(f"  {one.student}: not read, so no marks. {' '.join(remark.says for remark in one.remarks)}")
    awaited = {one.student: [item.item for item in one.awaited] for one in found.marked if one.awaited}
    for student, items in awaited.items():
        print(f"  {student}: {', '.join(items)} could not be judged here; look yourself.")
    by_hand = sorted({item.item for one in read for item in one.items if item.by_hand})
    if by_hand:
        print(f"Written answers ({', '.join(by_hand)}) wait to be read: start jupyter lab here, then Formgrader.")


def _counted(told: Told, count: int) -> Callable[[str], None]:
    """What is told of each student, as a count."""
    done = iter(range(1, count + 1))
    return lambda _: told(next(done, count), count)


def _hand_back(given: argparse.Namespace) -> None:
    from controlkit.classroom.handing_back import enter_marks, hand_back

    folder = _here()
    enter_marks(folder, given.exercise)  # what was marked by hand since stays; the pages tell it
    with _bar("feedback") as told:
        found = hand_back(folder, given.exercise, done=_counted(told, len(folder.roster)))
    print(f"{len(found.pages)} pages of feedback lie in feedback/ID/{given.exercise}, one for each student.")
    reasons: dict[str, list[str]] = {}
    for student, why in found.without:
        reasons.setdefault(why, []).append(student)
    for why, students in reasons.items():
        print(f"  No page, {why}: {', '.join(students)}.")


def _report(given: argparse.Namespace) -> None:
    from controlkit.classroom.handing_back import write_report

    made = write_report(_here(), given.exercise)
    print(
        f"The report is reports/{made.page.name}. To share without names: {made.without_names.name}, {made.table.name}."
    )


def _export(given: argparse.Namespace) -> None:  # noqa: ARG001 - a step takes what was typed
    from controlkit.classroom.handing_back import export_marks

    folder = _here()
    given_out = [exercise for exercise in folder.exercises if folder.cases(exercise)]
    if not given_out:
        raise Trouble("No exercise was handed out yet.", "Hand one out first: controlkit class hand-out ex03")
    there = [exercise for exercise in given_out if any(folder.submissions(exercise))]
    if not there:
        raise Trouble(
            f"Nothing was taken in yet of {', '.join(given_out)}.",
            f"Take in first: controlkit class take-in {given_out[0]} FOLDER",
        )
    made = [export_marks(folder, exercise) for exercise in there]
    print(f"Marks: {', '.join(f'reports/{path.name}' for path in made)}.")
    if nothing := [exercise for exercise in given_out if exercise not in there]:
        print(f"No table where nothing was taken in yet: {', '.join(nothing)}.")


_STEP: dict[str, Callable[[argparse.Namespace], None]] = {
    "new": _new,
    "hand-out": _hand_out,
    "take-in": _take_in,
    "mark": _mark,
    "hand-back": _hand_back,
    "report": _report,
    "export": _export,
}
