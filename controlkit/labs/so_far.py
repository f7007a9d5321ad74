"""How far a learner is with the course: what she kept of labs and exercises, read for the start page."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from controlkit.checking.student.standing import Standing, standings
from controlkit.labs.noted import read_notes
from controlkit.tables import Bars, Handout, Table

__all__ = ["so_far"]

LESSONS = (
    ("From shoulder to grasp", "Sequence lab"),
    ("Body control motions", "Motion lab"),
    ("The figure-of-eight harness", "Strap lab"),
    ("Cable and housing", "Housing lab"),
    ("Terminal devices", "Device lab"),
    ("The whole chain", "Chain lab"),
    ("Dual control", "Dual-control lab"),
    ("The above-elbow harness", "Lock lab"),
    ("Other harness patterns", "Pattern lab"),
    ("Bilateral wearers and the very short residual limb", "Pair lab"),
    ("Checkout and fault-finding", "Bench lab"),
    ("Fitting a wearer", "Population lab"),
)
"""Each lesson, and how the title of its lab begins."""


def so_far(folder: Path | None = None) -> Handout:
    """How far a learner is, lesson by lesson.

    Parameters
    ----------
    folder : Path, optional
        Where the lessons lie; the current folder if left out

    Returns
    -------
    Handout
        A tick where nothing is missing, words for the rest, a bar for each exercise that was begun
    """
    course = folder or Path.cwd()
    notes = _notes(course)
    rows, bars = [], []
    for number, (title, lab) in enumerate(LESSONS, 1):
        name = f"ex{number:02}"
        found = standings(course.parent / "exercises" / name, name)
        rows.append((f"{number}. {title}", _played(notes, lab), _worked(found)))
        bars += [
            (f"exercise {number}" + (f", {one.who}" if len(found) > 1 else ""), one.points / one.out_of, one.words)
            for one in found
            if one.out_of
        ]
    table = Table("Your course so far", ("lesson", "in its lab", "its exercise"), tuple(rows))
    said = "Everything here is read from files in your work folder, and stays there."
    return Handout("How far you are", (table, *((Bars("Points", tuple(bars)),) if bars else ()), said))


def _worked(found: tuple[Standing, ...]) -> str:
    """One exercise in words, by name where several worked here."""
    if not found:
        return "not begun"
    return "; ".join(
        f"{'✓ ' if one.full else ''}{f'{one.who}: ' if len(found) > 1 else ''}{one.words}" for one in found
    )


def _played(notes: dict[str, Any], lab: str) -> str:
    """One lab in words: what was kept of it."""
    kept = next((one for title, one in notes.items() if title.startswith(lab) and isinstance(one, dict)), {})
    counted = [
        f"{len(kept[key])} {word if len(kept[key]) == 1 else words}"
        for key, word, words in (
            ("predicted", "prediction", "predictions"),
            ("met", "challenge met", "challenges met"),
            ("rows", "reading noted", "readings noted"),
        )
        if isinstance(kept.get(key), dict | list) and kept[key]
    ]
    return f"✓ {', '.join(counted)}" if counted else "nothing kept yet"


def _notes(folder: Path) -> dict[str, Any]:
    """What all labs of a folder keep; nothing where it cannot be read."""
    try:
        return read_notes(folder)
    except (OSError, ValueError):
        return {}
