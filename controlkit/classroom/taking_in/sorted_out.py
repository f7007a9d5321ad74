"""Notebooks that arrived, each read once, sorted by whose they are; what is not sure waits for a person."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from controlkit.checking.case.names import other_spelling
from controlkit.classroom.records import ClassFolder, Roster
from controlkit.classroom.records.harmless import for_table
from controlkit.classroom.records.kept import keep, keep_bytes, keep_text, kept
from controlkit.classroom.taking_in.arrived import Arrived, arrived, is_notebook
from controlkit.classroom.taking_in.pages import ReadPage, read_page
from controlkit.classroom.taking_in.whose import Claims, Unclaimed, for_a_person, laid_out_as, read_by_hand
from controlkit.units import InputError

WHOSE = "whose.csv"

_NAME = re.compile(r"^name\s*=\s*([\"'])(.*?)\1", re.MULTILINE)


@dataclass(frozen=True)
class ReadFile:
    """One notebook that arrived, read.

    Parameters
    ----------
    path : str
        Where it stood
    content : bytes
        The file
    when : datetime or None
        When it was handed in, as far as is known
    digest : str
        SHA-256 of it
    page : ReadPage or InputError
        Its cells; or why it cannot be read
    """

    path: str
    content: bytes
    when: datetime | None
    digest: str
    page: ReadPage | InputError

    @property
    def typed_name(self) -> str:
        """The name typed in it, to compare: in its first cell, else as its receipt has it."""
        if isinstance(self.page, InputError):
            return ""
        found = (_NAME.search(cell.source) for cell in self.page.cells if cell.kind == "code")
        typed = next((one[2] for one in found if one is not None), "")
        return typed.strip()[:200] or str(self.page.receipt.get("name", ""))

    @property
    def age(self) -> tuple[float, int, str]:
        """When it was handed in [s] and where it stood: by which files of one student are put in order.

        Of two with one time "ex03 (1).ipynb" is later than "ex03.ipynb".
        """
        return self.when.timestamp() if self.when else 0.0, len(self.path), self.path


@dataclass
class SortedOut:
    """What arrived, sorted.

    Parameters
    ----------
    claimed : dict of str to list of ReadFile
        Student to her notebooks, the earliest first
    unclaimed : list of (Unclaimed, ReadFile)
        Notebooks left to a person
    by_hand : mapping
        What a person wrote before of whose they are
    """

    claimed: dict[str, list[ReadFile]] = field(default_factory=dict)
    unclaimed: list[tuple[Unclaimed, ReadFile]] = field(default_factory=list)
    by_hand: Mapping[str, str] = field(default_factory=dict)


def sorted_out(folder: ClassFolder, exercise: str, source: Path | None, kit: frozenset[str]) -> SortedOut:
    """Find out whose is what.

    Parameters
    ----------
    folder : ClassFolder
        The class
    exercise : str
        Name of the exercise
    source : Path or None
        A folder or a zip; ``submitted/`` of the class if None
    kit : frozenset of str
        Ids of the cells that only this exercise has

    Returns
    -------
    SortedOut
        Every notebook once

    Raises
    ------
    InputError
        If there is nothing of the sort
    """
    laid_out = folder.path / "unclaimed" / exercise
    by_hand = read_by_hand(laid_out / WHOSE)
    claims, known = Claims(folder.roster, by_hand), dict(kept(_claims(folder, exercise)) or {})
    whole = SortedOut(by_hand=by_hand)
    for file in _files(folder, exercise, source, laid_out):
        of_it = isinstance(file.page, InputError) or bool(kit & set(file.page.names))
        told = folder.roster.student(known.get(file.digest, ""))
        whose = (told,) if told is not None else claims.of(file.path)
        if len(whose) == 1 and of_it:
            if for_table(laid_out_as(file.path)) in by_hand:  # a person said so, and need not say it again
                known[file.digest] = whose[0].id
            whole.claimed.setdefault(whose[0].id, []).append(file)
            continue
        why = "it may be more than one student's" if len(whose) > 1 else "nobody's id or name stands in its path"
        why = why if of_it else f"it is no notebook of {exercise}"
        left = Unclaimed(file.path, file.typed_name, why, _perhaps(folder.roster, file.typed_name))
        whole.unclaimed.append((left, file))
    if known:
        keep(_claims(folder, exercise), known)
    for student_id, claimed in whole.claimed.items():
        claimed.sort(key=lambda one: one.age)
        if source is None:  # what lies there is one submission: its notebook, or where it was renamed the newest
            named = [one for one in claimed if one.path == f"{student_id}/{exercise}/{exercise}.ipynb"]
            claimed[:] = named or claimed[-1:]
    return whole


def _files(folder: ClassFolder, exercise: str, source: Path | None, laid_out: Path) -> list[ReadFile]:
    """What arrived, and what waited for a person since another time."""
    own = folder.path / "submitted"
    if source is None and not own.is_dir():
        raise InputError(
            given="There is no folder submitted/ in this class.",
            do="Name the folder or the zip that came back: controlkit class take-in EXERCISE FOLDER",
        )
    found = arrived(source or own, exchange=source is None)
    files = [_read(one) for one in found if source is not None or one.path.split("/")[1:2] == [exercise]]
    here = {one.digest for one in files}
    waited = [_read(one) for one in arrived(laid_out)] if laid_out.is_dir() else []
    return files + [one for one in waited if one.digest not in here]


def _read(one: Arrived) -> ReadFile:
    page: ReadPage | InputError
    try:
        page = read_page(one.content)
    except InputError as trouble:
        page = trouble
    digest = hashlib.sha256(one.content).hexdigest()
    return ReadFile(path=one.path, content=one.content, when=one.when, digest=digest, page=page)


def _perhaps(roster: Roster, typed: str) -> str:
    """Id of the student whose name, or nearly that, is typed in a notebook; empty for nobody."""
    meant = roster.named(typed) or roster.named(other_spelling(typed, [one.name for one in roster]) if typed else "")
    return meant.id if meant is not None else ""


def _claims(folder: ClassFolder, exercise: str) -> Path:
    """Where it is kept whose notebooks are, by what they hold, as a person said."""
    return folder.path / "cases" / "claims" / f"{exercise}.json"


def lay_out(folder: Path, whole: SortedOut) -> None:
    """Lay out notebooks without a student, and no others, with the table in which a person writes whose they are.

    Parameters
    ----------
    folder : Path
        Where; files of it that are no longer without a student are removed
    whole : SortedOut
        What arrived
    """
    left = {folder / laid_out_as(one.path): file for one, file in whole.unclaimed}
    for path in folder.rglob("*") if folder.is_dir() else ():
        if is_notebook(path.name) and path not in left:
            path.unlink()
    if not left:
        (folder / WHOSE).unlink(missing_ok=True)
        return
    for path, file in left.items():
        keep_bytes(path, file.content)
        if file.when is not None:  # else it would be late by the time for which it lay here
            os.utime(path, (file.when.timestamp(), file.when.timestamp()))
    keep_text(folder / WHOSE, for_a_person([one for one, _ in whole.unclaimed], whole.by_hand))
