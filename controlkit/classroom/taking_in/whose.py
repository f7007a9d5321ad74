"""Whose notebook it is: told by where it stood, never by what it says; what is not sure is left to a person."""

from __future__ import annotations

import csv
import io
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from controlkit.classroom.records.harmless import for_table
from controlkit.classroom.records.roster import Roster, Student

_WORD = re.compile(r"[^\W_]+")


@dataclass(frozen=True)
class Unclaimed:
    """A notebook of which it is not sure whose it is.

    Parameters
    ----------
    path : str
        Where it stood
    typed : str
        The name typed in it
    why : str
        What is not sure
    perhaps : str
        Id of the student whose name is typed in it; empty for nobody
    """

    path: str
    typed: str
    why: str
    perhaps: str = ""


class Claims:
    """Who is told by the path of a file.

    Parameters
    ----------
    roster : Roster
        Everybody in the class
    by_hand : mapping
        Path to id, as a person wrote it down
    """

    def __init__(self, roster: Roster, by_hand: Mapping[str, str] | None = None) -> None:
        self._by_hand = dict(by_hand or {})
        self._roster = roster
        self._ids = [(one, one.id.casefold()) for one in roster]
        self._names = [(one, _ways(one.name)) for one in roster]

    def of(self, path: str) -> tuple[Student, ...]:
        """Everybody whose file it may be by its path: one where it is sure.

        Parameters
        ----------
        path : str
            Where it stood

        Returns
        -------
        tuple of Student
            By hand first, then by a folder that bears an id, then by id and name. Where these tell of different
            students it is not sure: a file may bear a neighbour's name, or a number that is somebody's id
        """
        told = self._roster.student(self._by_hand.get(for_table(laid_out_as(path)), ""))
        if told is not None:
            return (told,)
        folded = path.casefold()
        by_id = tuple(one for one, known in self._ids if _stands_in(known, folded))
        exact = tuple(one for one, known in self._ids if known in folded.split("/")[:-1])
        if exact:
            return exact
        by_name = {one.id for part in path.split("/") for way in _ways(part) for one in self._named(way)}
        known_by = by_name | {one.id for one in by_id}
        return tuple(one for one, _ in self._ids if one.id in known_by)

    def _named(self, part: Sequence[str]) -> list[Student]:
        """Everybody whose name stands in a part of a path; of Ana Lima and Ana Lima Reis, the longer."""
        found = [(one, way) for one, ways in self._names for way in ways if _named_in(way, part)]
        return [
            one
            for one, way in found
            if not any(len(longer) > len(way) and _named_in(way, longer) for _, longer in found)
        ]


def read_by_hand(path: Path) -> dict[str, str]:
    """What a person wrote of whose a notebook is.

    Parameters
    ----------
    path : Path
        The table that was laid out for it

    Returns
    -------
    dict of str to str
        Path to id; lines without an id left out
    """
    try:
        content = path.read_bytes()
    except OSError:
        return {}
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("cp1252", "replace")  # as a spreadsheet on Windows may have saved it
    lines = text.splitlines()
    separator = max(",;\t", key=lines[0].count) if lines else ","
    try:
        rows = list(csv.reader(lines, delimiter=separator))
    except csv.Error:
        return {}
    return {row[0].strip(): row[1].strip() for row in rows[1:] if len(row) > 1 and row[1].strip()}


def laid_out_as(path: str) -> str:
    """Where a notebook that waits for a person lies, under the folder of such: no path leads out of it.

    Parameters
    ----------
    path : str
        Where it stood

    Returns
    -------
    str
        With slashes

    Examples
    --------
    >>> laid_out_as("../../Ana's/ex03.ipynb")
    'Ana_s/ex03.ipynb'
    """
    parts = [part for part in path.split("/") if part not in ("", ".", "..")]
    kept = ["".join(char if char.isalnum() or char in "._- ,+()" else "_" for char in part)[:100] for part in parts]
    return "/".join(kept)


def for_a_person(found: Iterable[Unclaimed], typed: Mapping[str, str]) -> str:
    """The table in which a person writes whose a notebook is.

    Parameters
    ----------
    found : iterable of Unclaimed
        Each of them
    typed : mapping
        What the person wrote before, by file: it stays where no student has that id

    Returns
    -------
    str
        CSV: file, student (to be filled in), name typed in it, perhaps, why
    """
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(("file", "student", "name typed in it", "perhaps", "why"))
    for one in found:
        file = for_table(laid_out_as(one.path))
        rows.writerow((file, for_table(typed.get(file, "")), for_table(one.typed), one.perhaps, one.why))
    return out.getvalue()


def _stands_in(known: str, path: str) -> bool:
    """Whether an id stands in a path as a word of its own."""
    return re.search(rf"(?<![a-z0-9]){re.escape(known)}(?![a-z0-9])", path) is not None


def _words(text: str) -> list[str]:
    """The words of a text without capitals, accents and marks."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return _WORD.findall("".join(char for char in apart if not unicodedata.combining(char)))


def _ways(name: str) -> list[list[str]]:
    """The words of a name: as it is, and as a platform writes it that leaves apostrophes out."""
    ways = [_words(name), _words(re.sub("['\u2018\u2019\u02bc`\u00b4]", "", name))]
    return ways[:1] if ways[0] == ways[1] else ways


def _named_in(name: Sequence[str], part: Sequence[str]) -> bool:
    """Whether a name stands in a part of a path: word by word or as one word, last name last or first."""
    orders = [list(name), [*name[-1:], *name[:-1]]]
    runs = [list(part[place : place + len(name)]) for place in range(len(part) - len(name) + 1)]
    return any(order in runs or "".join(order) in part for order in orders)
