"""The report of a class on one exercise: one page with names, one without, and the tally as a table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from controlkit.checking import Sheet
from controlkit.classroom.handing_back.page import heading, histogram, links, page, paragraph, table
from controlkit.classroom.handing_back.standing import StudentStanding, standings
from controlkit.classroom.handing_back.tally import Tally, tally
from controlkit.classroom.handing_back.told import moment_called
from controlkit.classroom.records.class_folder import ClassFolder
from controlkit.classroom.records.kept import keep_text

LOW = 0.5
"""Below this share of the points marked so far a student is listed among those who need a word [-]."""


@dataclass(frozen=True)
class Reports:
    """Where the report lies.

    Parameters
    ----------
    page, without_names, table : Path
        The page for the instructor, the one that may be shared, and the tally as CSV
    """

    page: Path
    without_names: Path
    table: Path


def write_report(folder: ClassFolder, exercise: str) -> Reports:
    """Write the report of a class on one exercise.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise

    Returns
    -------
    Reports
        In ``reports/`` of the class folder

    Raises
    ------
    InputError
        If there is no such exercise, or no roster
    """
    sheet, class_ = folder.sheet(exercise), standings(folder, exercise)
    counted = tally(sheet, class_)
    into = folder.path / "reports"
    made = Reports(into / f"{exercise}.html", into / f"{exercise}-without-names.html", into / f"{exercise}-tally.csv")
    keep_text(made.page, report(sheet, class_, counted))
    keep_text(made.without_names, report(sheet, (), counted))
    keep_text(made.table, counted.as_text())
    return made


def report(sheet: Sheet, class_: Sequence[StudentStanding], counted: Tally) -> str:
    """The page of a report.

    Parameters
    ----------
    sheet : Sheet
        The exercise
    class_ : sequence of StudentStanding
        One a student; empty for a page without names
    counted : Tally
        The same class, counted

    Returns
    -------
    str
        HTML
    """
    number = sheet.name.removeprefix("ex").lstrip("0") or sheet.name
    parts = [("Marks", "marks", _marks(sheet, class_, counted))]
    if class_:
        parts.append(("Who needs a word", "word", _needs_a_word(class_)))
        parts.append(("What waits for you", "waits", _waits(sheet, class_)))
    parts.append(("Items, the hardest first", "items", _items(counted)))
    parts.append(("Wrong ideas, and how many hold them", "ideas", _ideas(counted)))
    whose = (
        "This page holds names and marks: keep it as your rules ask. A page without names lies beside it."
        if class_
        else "No names: this page may be shared. In a small class a count of one may still tell who it is."
    )
    of = f"{counted.handed_in} of {counted.students} students handed in"
    late = f", {counted.late} of them late" if counted.late else ""
    files = "1 file" if counted.unread == 1 else f"{counted.unread} files"
    unread = f" {files} could not be read: no marks yet, and no nought." if counted.unread else ""
    body = [
        paragraph(f"{of}{late}.{unread}", sheet.announced + ".", whose),
        links([(words, at) for words, at, _ in parts]),
    ]
    for words, at, inner in parts:
        body += [heading(words, at), *inner]
    return page(f"Exercise {number}, {sheet.title}: report of the class", body)


def _marks(sheet: Sheet, class_: Sequence[StudentStanding], counted: Tally) -> list[str]:
    if not counted.shares:
        said = [paragraph("Nothing is marked yet.")]
    else:
        ordered = sorted(counted.shares)
        middle = (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2
        most = "all" if middle >= 1.0 else f"at least {middle:.0%}"
        said = [
            histogram("Students by share of the points marked so far", counted.shares),
            paragraph(
                f"Half of the class or more earned {most} of the points marked so far. What you have not read yet, and "
                "what was not run or not read, is left out."
            ),
        ]
    if not class_:
        return said
    header = ["student", "id", "total"]
    header += [f"{place}\n{item.called}, of {item.points:g}" for place, item in enumerate(sheet.items, 1)]
    rows = []
    for one in class_:
        points = {item.mark.item: item for item in one.items}
        cells = [_short(points.get(item.name)) for item in sheet.items]
        total = f"{one.total:g}" if one.total is not None else one.says
        rows.append([one.student.name, one.student.id, total, *cells])
    whole = sum(item.points for item in sheet.items)
    said.append(table(f"Points of each student, of {whole:g}", header, rows, numbers=range(3, len(header))))
    named = "; ".join(f"{place} {item.called} ({item.points:g})" for place, item in enumerate(sheet.items, 1))
    return [
        *said,
        paragraph(f"Items, and the points of each: {named}. A question mark: it waits for you. A dash: not read."),
    ]


def _short(item: object) -> str:
    points = getattr(item, "points", None)
    if getattr(item, "state", "") == "not read":
        return "–"
    return "" if item is None else "?" if points is None else f"{round(points, 2):g}"


def _items(counted: Tally) -> list[str]:
    rows = [
        (
            f"{one.place}. {one.called}",
            "none settled" if one.share is None else f"{one.share:.0%}",
            *(str(count) for count in (one.full, one.nothing, one.blank, one.settled, one.waits)),
        )
        for one in counted.items
    ]
    header = ("item", "share earned", "all points", "no points", "left blank", "students marked", "still wait for you")
    return [table("Share of the points of each item that the class earned", header, rows, numbers=range(1, 7))]


def _ideas(counted: Tally) -> list[str]:
    if not counted.ideas:
        return [paragraph("No answer matches a wrong idea that is known here.")]
    rows = [
        (f"{one.place}. {one.called}", one.name, str(one.students), one.because, one.asks or "depends on the answer")
        for one in counted.ideas
    ]
    header = ("item", "wrong idea", "students", "why it is held, or what was answered", "what the check asks")
    return [
        paragraph("Each was told by the answer that such an idea leads to in the student's own case."),
        table("Wrong ideas, the most common first", header, rows, numbers=(2,)),
    ]


def _needs_a_word(class_: Sequence[StudentStanding]) -> list[str]:
    rows = [
        (one.student.name, one.student.id, "; ".join(one_why.rstrip(".") for one_why in why))
        for one in class_
        if (why := _reasons(one))
    ]
    if not rows:
        return [paragraph("Nobody: all handed in, in time, with nothing to remark.")]
    said = (
        "A reason to speak with somebody, and no verdict: that answers are alike, or a name is another's, has innocent "
        "causes too."
    )
    return [paragraph(said), table("Who needs a word, and why", ("student", "id", "why"), rows)]


def _reasons(one: StudentStanding) -> list[str]:
    if one.submission is None and one.marked is None:
        return ["nothing handed in"]
    why = []
    if one.blank:
        why.append("every answer is blank")
    elif one.share is not None and one.share < LOW:
        why.append(f"{one.share:.0%} of the points marked so far")
    if one.submission is not None and one.submission.late:
        when = moment_called(one.submission.handed_in)
        why.append(f"late: handed in {when}" if when else "late")
    not_read = "not read: " if one.unread else ""
    return [*why, *(f"{not_read}{_begun_small(remark.says)}" for remark in one.remarks)]


def _begun_small(says: str) -> str:
    """A sentence as it goes on behind others: only what is a plain word loses its capital."""
    first = says.split(" ", 1)[0]
    return says[:1].lower() + says[1:] if first.isalpha() and first.istitle() else says


def _waits(sheet: Sheet, class_: Sequence[StudentStanding]) -> list[str]:
    called = {item.name: item.called for item in sheet.items}
    rows = [
        (one.student.name, one.student.id, "; ".join(f"{called[w.mark.item]}: {w.state}" for w in one.awaited))
        for one in class_
        if one.awaited and not one.unread
    ]
    rows += [(one.student.name, one.student.id, f"not read. {one.unread}") for one in class_ if one.unread]
    unmarked = [one.student.name for one in class_ if one.submission is not None and one.marked is None]
    said = [paragraph(f"Taken in, and not marked yet: {', '.join(unmarked)}.")] if unmarked else []
    if not rows:
        return [*said, paragraph("Nothing: every written answer is read, and every cell was run.")]
    how = (
        "What was not read has no marks until its student hands in a file that can be read. Written answers are marked "
        "in nbgrader's form. A cell that was not run here computes its answer: mark it where"
        " cells can be confined, or give its points in the form."
    )
    return [*said, paragraph(how), table("What waits, and why", ("student", "id", "what"), rows)]
