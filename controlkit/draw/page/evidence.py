"""What became of every published value, as tables: how near the package comes, or why it is not used."""

from __future__ import annotations

from controlkit.draw.page.tables import printed, text_table
from controlkit.sources import FLAGS, Evidence, evidence, practice_beside, source
from controlkit.tables import Handout

__all__ = ["evidence_tables", "practice_tables"]

_TITLES = {
    "body": "Body size, proportions and masses",
    "shoulder": "Shoulder girdle and ranges of motion",
    "motions_and_force": "Body control motions, force and fatigue",
    "harness": "Harness",
    "cable": "Cable and housing",
    "devices_and_elbow": "Terminal devices, and control above the elbow",
    "checkout": "Acceptance tests",
    "fitting": "Whom body power serves: strength, endurance, wearing, rejection",
    "safety": "Safety",
    "model": "What sets the model",
}
"""Headings of the subjects, in the order of the page."""

_SHOWN = 3
"""Values printed in one cell; of longer lists the first and how many more there are."""


def evidence_tables(subject: str) -> Handout:
    """List every published value on a subject, how it is known, and what became of it.

    Parameters
    ----------
    subject : str
        One of `evidence_subjects`

    Returns
    -------
    Handout
        A table for each thing; as the last line of a cell it is shown below it

    Raises
    ------
    InputError
        If there is no such subject

    Examples
    --------
    >>> evidence_tables("safety").parts[0].rows[1][0]
    'problems in the remaining arm'
    """
    heads = ("what", "as printed", "how we know", "what became of it", "used in")
    tables = [
        text_table(
            part.about, heads, [(row.what, _values(row), _flags(row), _fate(row), _used(row)) for row in part.rows]
        )
        for part in evidence(subject)
    ]
    return Handout(_TITLES[subject], tuple(tables))


def practice_tables() -> Handout:
    """List what practice says beside what the package answers, where both agree and where they part.

    Returns
    -------
    Handout
        Two tables; the second says why the package answers otherwise

    Examples
    --------
    >>> [table.caption for table in practice_tables().parts]
    ['Where practice and the package agree', 'Where they part, and why']
    """
    heads = ("practice says", "how it is known", "in practice", "in the package")
    agree: list[tuple[str, ...]] = []
    part: list[tuple[str, ...]] = []
    for row in practice_beside():
        cells = (row.says, row.flag, _ends(row.low, row.high), _ends(row.least, row.most))
        if row.outside:
            part.append((*cells, row.outside))
        else:
            agree.append(cells)
    apart = text_table("Where they part, and why", (*heads, "why"), part)
    return Handout("Practice", (text_table("Where practice and the package agree", heads, agree), apart))


def _values(row: Evidence) -> str:
    shown = [printed(source(name)) for name in row.values[:_SHOWN]]
    more = len(row.values) - len(shown)
    return "; ".join(shown) + (f"; and {more} more" if more else "") if shown else "-"


def _flags(row: Evidence) -> str:
    flags = dict.fromkeys(source(name).flag for name in row.values)
    return "; ".join(FLAGS[flag] for flag in flags) or "-"


def _fate(row: Evidence) -> str:
    return "; ".join(said for said in (_outcome(row), row.leaves_out) if said)


def _outcome(row: Evidence) -> str:
    if row.fate == "declined":
        return f"not used: {row.why}"
    if row.fate == "input":
        return "taken by the model, or a remark beside it; it tests nothing"
    if row.fate == "range":
        return row.why
    holds = f"holds: {' and '.join(_in_words(test) for test in row.tests)}"
    if not row.compared:
        return holds
    if row.compared == 1:
        return f"{holds} (one number compared, within {_percent(row.off)})"
    return f"{holds} ({row.compared} numbers compared, each within {_percent(row.off)})"


def _in_words(test: str) -> str:
    return test.partition("::")[2].removeprefix("test_").replace("_", " ")


def _percent(off: float) -> str:
    return "0.1 %" if off <= 0.001 else f"{100.0 * off:.2g} %"


def _used(row: Evidence) -> str:
    lessons = ", ".join(f"{lesson}" for lesson in row.lessons)
    shown = [f"lesson{'s' if len(row.lessons) > 1 else ''} {lessons}"] if lessons else []
    rooms = [room.replace("exercises/ex0", "exercise ").replace("exercises/ex", "exercise ") for room in row.rooms]
    return "; ".join([*shown, *rooms]) or "-"


def _ends(low: float, high: float) -> str:
    return f"{low:.3g}" if f"{low:.3g}" == f"{high:.3g}" else f"{low:.3g} to {high:.3g}"
