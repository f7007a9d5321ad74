"""Take in what a class handed in: every notebook becomes answers as data, and none stops the others."""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from controlkit.checking import Case, Sheet, normalise
from controlkit.classroom.confined.job import Came, Confinement, Job
from controlkit.classroom.handing_out.cases import need_cases
from controlkit.classroom.handing_out.sealed import is_sealed
from controlkit.classroom.records import ClassFolder, ReadAnswer, Submission
from controlkit.classroom.records.answers import Remark
from controlkit.classroom.records.harmless import line
from controlkit.classroom.records.kept import keep_bytes
from controlkit.classroom.records.roster import Student
from controlkit.classroom.taking_in.arrived import others
from controlkit.classroom.taking_in.pages import ReadPage
from controlkit.classroom.taking_in.sorted_out import ReadFile, lay_out, sorted_out
from controlkit.classroom.taking_in.whose import Claims, Unclaimed
from controlkit.classroom.taking_in.working import NOT_RUN, Worked, read_working
from controlkit.units import InputError

_LATER, _AT_ONCE = "later-unreadable", "two-at-once"

Told = Callable[[int, int], None]
"""Hears how many notebooks are done, and of how many."""


@dataclass(frozen=True)
class TakenIn:
    """What taking in came to.

    Parameters
    ----------
    new : tuple of Submission
        Taken in this time
    as_before : int
        Notebooks that had been taken in before, unchanged [-]
    unclaimed : tuple of Unclaimed
        Notebooks left to a person
    missing : tuple of Student
        Of whom nothing is there, now or before
    set_aside : tuple of Submission
        What goes on counting of the students whose later file could not be read
    unread : tuple of Submission
        What counts of the students of whom nothing could be read, now or before
    protection : str
        How cells were run that compute
    other_date : tuple of Submission
        Taken in before, and late or in time by the time that is given now
    no_notebook : mapping
        Student of whom no notebook is there to the names of what came in its place
    """

    new: tuple[Submission, ...]
    as_before: int
    unclaimed: tuple[Unclaimed, ...]
    missing: tuple[Student, ...]
    set_aside: tuple[Submission, ...] = ()
    unread: tuple[Submission, ...] = ()
    protection: str = ""
    other_date: tuple[Submission, ...] = ()
    no_notebook: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class _Notebook:
    """One notebook, read as far as it can be without running anything."""

    submission: Submission
    job: Job | None = None
    content: bytes = b""


def take_in(
    folder: ClassFolder,
    exercise: str,
    source: Path | None = None,
    *,
    confinement: Confinement,
    due: datetime | None = None,
    told: Told | None = None,
) -> TakenIn:
    """Take in one exercise of a class.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise
    source : Path, optional
        A folder or a zip; ``submitted/`` of the class if left out
    confinement : Confinement
        Where cells that compute are run
    due : datetime, optional
        What comes later is marked as late; what was taken in before too, by the time that is given now
    told : callable, optional
        Hears how far it is

    Returns
    -------
    TakenIn
        What came of it. Answers are on disk, one file a student, each as soon as it was read

    Raises
    ------
    InputError
        If the exercise was not handed out, or there is nothing to take in
    """
    sheet, cases = folder.sheet(exercise), need_cases(folder, exercise)
    unseen, sealed_ = folder.kept_back(exercise).items, is_sealed(folder, exercise)
    kit = _locked(folder.path / "solutions" / exercise / f"{exercise}.ipynb")
    whole = sorted_out(folder, exercise, source, kit)
    before = {student.id: folder.submission(exercise, student.id) for student in folder.roster}
    taken: list[Submission] = []
    waiting: dict[str, _Notebook] = {}
    set_aside: dict[str, Submission] = {}
    other_date: list[Submission] = []
    as_before, done = 0, 0
    count = sum(len(files) for files in whole.claimed.values())
    for student in folder.roster:
        for file in whole.claimed.get(student.id, ()):
            done += 1
            last = before[student.id]
            if last is not None and _nothing_new(last, file.digest, has_case=student.id in cases):
                as_before += 1
                if due is not None and file.digest == last.digest and last.late != _late(_when(last), due):
                    before[student.id] = last = replace(last, late=not last.late)
                    folder.keep_submission(last)
                    other_date.append(last)
                continue
            if last is not None and file.digest != last.digest and (_older(file, last) or _unreadable(file, last)):
                told_now = _unreadable(file, last) and not _older(file, last)
                before[student.id] = last = _put_aside(last, file)
                keep_bytes(_earlier(folder, last, len(last.before)), file.content)
                folder.keep_submission(last)
                if student.id in waiting:
                    waiting[student.id] = replace(waiting[student.id], submission=last)
                elif any(one.student == student.id for one in taken):
                    taken = [last if one.student == student.id else one for one in taken]
                elif told_now:
                    set_aside[student.id] = last
                continue
            case = cases.get(student.id)
            read = _read(file, student, sheet=sheet, case=case, kit=kit, unseen=unseen, sealed_=sealed_)
            one = replace(_after(last, read.submission), late=_late(file.when, due))
            if last is not None and (student.id in waiting or any(other.student == student.id for other in taken)):
                one = _at_once(last, one)
            before[student.id] = one
            if student.id in waiting:  # two of one student: the first is kept as it could be read
                left = waiting.pop(student.id)
                _keep(folder, left.submission, left.content)
            if read.job is None:
                _keep(folder, one, file.content)
                taken.append(one)
            else:
                waiting[student.id] = replace(read, submission=one, content=file.content)
            if told is not None:
                told(done - len(waiting), count)
    beside = None if sealed_ else folder.path / "release" / exercise
    for came in confinement.run(exercise, [one.job for one in waiting.values() if one.job], kit=beside):
        one = _joined(waiting[came.student].submission, came)
        _keep(folder, one, waiting.pop(came.student).content)
        taken.append(one)
        if told is not None:
            told(count - len(waiting), count)
    for left in waiting.values():  # a confinement must answer for every job; one that does not loses nothing
        _keep(folder, left.submission, left.content)
        taken.append(left.submission)
    lay_out(folder.path / "unclaimed" / exercise, whole)
    missing = tuple(student for student in folder.roster if before[student.id] is None)
    return TakenIn(
        new=tuple(taken),
        as_before=as_before,
        unclaimed=tuple(one for one, _ in whole.unclaimed),
        missing=missing,
        set_aside=tuple(set_aside.values()),
        unread=tuple(one for one in before.values() if one is not None and one.unread),
        protection=confinement.words,
        other_date=tuple(other_date),
        no_notebook={} if source is None else _no_notebook(folder, source, {one.id for one in missing}),
    )


def _no_notebook(folder: ClassFolder, source: Path, missing: Collection[str]) -> dict[str, tuple[str, ...]]:
    """What came of students of whom no notebook did."""
    claims, found = Claims(folder.roster), dict[str, tuple[str, ...]]()
    for path in others(source) if missing else ():
        whose = claims.of(path)
        if len(whose) == 1 and whose[0].id in missing:
            found[whose[0].id] = (*found.get(whose[0].id, ()), line(path.split("/")[-1], 60))
    return found


def _locked(notebook: Path) -> frozenset[str]:
    """Ids of the cells that are the exercise's own."""
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    marks: list[dict[str, Any]] = [cell["metadata"].get("nbgrader", {}) for cell in cells]
    return frozenset(one["grade_id"] for one in marks if one.get("locked") and not one.get("solution"))


def _read(
    file: ReadFile,
    student: Student,
    *,
    sheet: Sheet,
    case: Case | None,
    kit: frozenset[str],
    unseen: Mapping[str, Any],
    sealed_: bool,
) -> _Notebook:
    """Answers that can be read, and the job for the others."""
    blank = {item.name: ReadAnswer("blank") for item in sheet.items}

    def unread(one: Submission, remark: Remark) -> _Notebook:
        answers = {item: ReadAnswer("not read", why=remark.says) for item in blank}
        return _Notebook(replace(one, answers=answers, remarks=(remark,)))

    when = file.when.isoformat(timespec="seconds") if file.when else ""
    one = Submission(
        exercise=sheet.name,
        student=student.id,
        answers=blank,
        handed_in=when,
        file=line(file.path),
        digest=file.digest,
    )
    if case is None:
        told = "This student has no case yet: hand the exercise out again, which draws it, then take in again."
        return unread(one, Remark("no-case", told))
    if isinstance(file.page, InputError):
        return unread(one, Remark("unreadable", file.page.given, file.page.do))
    page = file.page
    shown = replace(case, values={}) if sealed_ else case  # as her page has it: what a case holds may be the answer
    worked = read_working(page.cells, sheet, kit, case=case, shown=shown, name=student.name, unseen=unseen)
    remarks = (*_name_remarks(page, worked, student, case, sealed_=sealed_), *_remarks(page, worked, sheet, case))
    one = replace(
        one,
        name=worked.name,
        kit=str(page.receipt.get("kit_version", "")),
        case=page.receipt.get("case", {}),
        answers={**blank, **worked.answers},
        sources=worked.sources,
        remarks=remarks,
    )
    if not worked.asked:
        return _Notebook(_with_failures(one))
    job = Job(
        student=student.id,
        exercise=sheet.name,
        case=shown,
        name=student.name,
        cells=worked.cells,
        asked=worked.asked,
    )
    return _Notebook(one, job)


def _name_remarks(page: ReadPage, worked: Worked, student: Student, case: Case, *, sealed_: bool) -> Iterator[Remark]:
    """What is not as it should be about the name."""
    typed = worked.name or str(page.receipt.get("name", ""))
    if not typed:
        yield Remark("no-name", "No name is typed in it.", "Write your name in the first cell, between quotes.")
    elif normalise(typed) not in (normalise(student.name), normalise(student.id)):
        yield Remark(
            "another-name",
            f"The name typed in it is “{line(typed)}”, and it was handed in as {line(student.name)}'s.",
            "Type your own name in the first cell, as your instructor has it, and work on the case that it gives.",
        )
    elif not sealed_ and normalise(typed) == normalise(student.id) not in (case.seed, normalise(student.name)):
        yield Remark(
            "id-for-name",
            "The class id is typed in it for the name: it shows another case than the one that counts.",
            "Type your name in the first cell, as your instructor has it, and work on the case that it gives.",
        )


def _remarks(page: ReadPage, worked: Worked, sheet: Sheet, case: Case) -> Iterator[Remark]:
    """What else is not as it should be."""
    seen = page.receipt.get("case", {})
    if seen and {key: str(value) for key, value in seen.items()} != {k: str(v) for k, v in case.as_data().items()}:
        yield Remark(
            "another-case",
            "Its receipt shows other numbers than those that this student was given.",
            "Run the notebook from the top and look whether your answers fit the numbers that it shows.",
        )
    if worked.twice:
        copied = ", ".join(worked.twice[:5])
        yield Remark("copied-cells", f"Cells stand in it twice: {copied}. The last one counts.")
    lost = sorted(item.name for item in sheet.items if item.name not in page.names)
    if lost:
        listed = ", ".join(lost[:5])
        yield Remark(
            "missing-cells",
            f"Cells are missing or were renamed: {listed}.",
            "Start from a fresh copy of the exercise and bring your answers over, cell by cell.",
        )


def _joined(one: Submission, came: Came) -> Submission:
    """A submission with the answers that were run."""
    answers = {
        item: came.answers.get(item, answer) if answer.awaited else answer for item, answer in one.answers.items()
    }
    still = sorted(item for item, answer in answers.items() if answer.awaited)
    remarks = one.remarks
    if came.why:
        remarks = (*remarks, Remark("stopped", came.why, "Look for a cell that does not come to an end."))
    elif still:
        remarks = (*remarks, Remark("not-run", f"Not run here: {', '.join(still)}.", NOT_RUN))
    return _with_failures(replace(one, answers=answers, remarks=remarks))


def _with_failures(one: Submission) -> Submission:
    """A submission that tells which of its cells came to nothing."""
    lost = sorted(item for item, answer in one.answers.items() if answer.how == "failed")
    if not lost:
        return one
    why = one.answers[lost[0]].why.splitlines()[0]
    more = f" The same or like it: {', '.join(lost[1:])}." if lost[1:] else ""
    told = f"No value came of {lost[0]}. {why}{more}"
    do = f"Run your cells from the top and see what they say: {', '.join(lost)}."
    return replace(one, remarks=(*one.remarks, Remark("failed-cells", line(told), line(do))))


def _nothing_new(last: Submission, digest: str, *, has_case: bool) -> bool:
    """Whether a file was taken in before, and nothing of it is still awaited."""
    if digest == last.digest:
        late_case = has_case and any(remark.label == "no-case" for remark in last.remarks)
        return not late_case and not any(one.awaited for one in last.answers.values())
    return digest in last.before


def _older(file: ReadFile, last: Submission) -> bool:
    """Whether a file was handed in before the one that counts, which could be read, or neither can."""
    if last.unread and not isinstance(file.page, InputError):
        return False
    when = _when(last)
    return when is not None and file.when is not None and file.when < when


def _unreadable(file: ReadFile, last: Submission) -> bool:
    """Whether a file cannot be read, and what came before it could: then that goes on counting."""
    return isinstance(file.page, InputError) and not last.unread


def _put_aside(last: Submission, file: ReadFile) -> Submission:
    """What counts, when another file of the same student does not."""
    remarks = last.remarks
    if isinstance(file.page, InputError) and not _older(file, last):
        told = f"A later file could not be read, and what was handed in before it counts. {file.page.given}"
        remarks = (*remarks, Remark(_LATER, told, f"Your last file could not be read. {file.page.do}"))
    return replace(last, before=(*last.before, file.digest), remarks=remarks)


def _after(last: Submission | None, one: Submission) -> Submission:
    """A submission with its number, and what came before it."""
    if last is None:
        return one
    if last.digest == one.digest:
        later = tuple(remark for remark in last.remarks if remark.label in (_LATER, _AT_ONCE))
        return replace(one, attempt=last.attempt, before=last.before, remarks=(*one.remarks, *later))
    return replace(one, attempt=last.attempt + 1, before=(*last.before, last.digest))


def _at_once(last: Submission, one: Submission) -> Submission:
    """A submission that tells if another came with it, and no time says which is the later."""
    if last.unread or last.handed_in != one.handed_in or last.digest == one.digest:
        return one
    told = f"Two files came at one time: “{one.file}” counts, and “{last.file}” does not. Look whether that is right."
    return replace(one, remarks=(*one.remarks, Remark(_AT_ONCE, told)))


def _earlier(folder: ClassFolder, one: Submission, number: int) -> Path:
    return folder.path / "earlier" / one.exercise / f"{one.student}-{number}.ipynb"


def _keep(folder: ClassFolder, one: Submission, content: bytes) -> None:
    """The notebook as it came, for a person, and then its answers: what is marked."""
    place = folder.path / "submitted" / one.student / one.exercise / f"{one.exercise}.ipynb"
    there = place.read_bytes() if place.is_file() else content
    if there != content:
        keep_bytes(_earlier(folder, one, len(one.before)), there)
    if there != content or not place.is_file():
        keep_bytes(place, content)
    folder.keep_submission(one)


def _when(one: Submission) -> datetime | None:
    return datetime.fromisoformat(one.handed_in) if one.handed_in else None


def _late(when: datetime | None, due: datetime | None) -> bool:
    return when is not None and due is not None and when > due
