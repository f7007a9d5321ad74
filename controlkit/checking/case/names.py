"""Under which name a student works: her class id, the list of her class, and another spelling of the same name."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Iterable
from pathlib import Path

from controlkit.checking.case.cases import normalise

CLASS_ID_FILE = "class-id.txt"
"""One line beside the notebook, if the kit was handed out with a student's class id."""

CLASS_LIST_FILE = "class-list.txt"
"""One name a line beside the notebook, if the kit was handed out with the names, or ids, of a class."""

ALIKE = 0.8
"""From which likeness on two spellings may be one person's [-]."""


def class_id(folder: Path) -> str:
    """The class id beside the notebook, normalised; empty if there is none."""
    return normalise(_text(folder / CLASS_ID_FILE))


def not_listed(name: str, folder: Path) -> str:
    """What to say of a name that is not on the list of the class.

    Parameters
    ----------
    name : str
        As the student typed it
    folder : Path
        Where the notebook stands

    Returns
    -------
    str
        Empty if the name is on the list, or there is no list
    """
    listed = [line.strip() for line in _text(folder / CLASS_LIST_FILE).splitlines() if line.strip()]
    if not listed or normalise(name) in {normalise(one) for one in listed}:
        return ""
    meant = other_spelling(name, listed)
    then = f"If you are “{meant}”, write just that" if meant else "Write your name as your instructor has it"
    shown = name.strip() if len(name.strip()) <= 40 else f"{name.strip()[:40]}…"
    return (
        f"“{shown}” is not on the list of your class. {then}, accents and all, in the cell of the name; "
        "run that cell and this again."
    )


def other_spelling(name: str, known: Iterable[str]) -> str:
    """The nearest of some known names that is spelled otherwise and may be the same person's; empty if none is near."""
    plain = {_plain(one): one for one in known if normalise(one) != normalise(name)}
    near = difflib.get_close_matches(_plain(name), plain, n=1, cutoff=ALIKE)
    return plain[near[0]] if near else ""


def _plain(name: str) -> str:
    """A name without accents, capitals and marks."""
    apart = unicodedata.normalize("NFKD", normalise(name))
    return "".join(char for char in apart if char.isalnum() or char == " ")


def _text(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, ValueError):
        return ""
