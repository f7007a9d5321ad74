"""What became of every published value: compared with the package, used as a range, or declined.

`evidence.json` is written by the project's tests, never by hand: it holds what they compared and how near it came.
"""

from __future__ import annotations

import functools
import json
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any

from controlkit.units import InputError


@dataclass(frozen=True)
class Evidence:
    """One published fact, and what became of it in this project.

    Parameters
    ----------
    what : str
        What it is, in a few words
    values : tuple of str
        Its sourced values, as `source` takes them
    fate : str
        "tested" (a test compares it), "range" (used as one), "declined" (not used) or "input" (it sets the model)
    why : str
        Why it is declined, or what it is used for; empty for a tested one
    leaves_out : str
        What the test leaves out
    tests : tuple of str
        Tests that compare it
    compared : int
        How many of the package's numbers those tests set beside a printed one; 0 where they ask for a sign, an order
        or a place inside a range
    off : float
        The largest deviation among those, as a share of the printed number [-]
    lessons : tuple of int
        Lessons that show one of its values
    rooms : tuple of str
        Parts of the package that take one of its values
    """

    what: str
    values: tuple[str, ...]
    fate: str
    why: str
    leaves_out: str
    tests: tuple[str, ...]
    compared: int
    off: float
    lessons: tuple[int, ...]
    rooms: tuple[str, ...]


@dataclass(frozen=True)
class EvidenceSection:
    """Facts about one thing.

    Parameters
    ----------
    about : str
        What they are about
    rows : tuple of Evidence
        The facts
    """

    about: str
    rows: tuple[Evidence, ...]


@dataclass(frozen=True)
class PracticeBeside:
    """A statement of practice, and what the package answers on a few average and uncommon wearers.

    Parameters
    ----------
    says : str
        The statement, with its unit
    flag : str
        How it is known
    low, high : float
        Where the package's number must lie if both agree [unit]
    least, most : float
        Smallest and largest answer over the wearers asked [unit]
    outside : str
        Why the package answers otherwise; empty where it agrees
    """

    says: str
    flag: str
    low: float
    high: float
    least: float
    most: float
    outside: str


def evidence(subject: str) -> tuple[EvidenceSection, ...]:
    """Return what became of the published values on one subject.

    Parameters
    ----------
    subject : str
        One of `evidence_subjects`

    Returns
    -------
    tuple of EvidenceSection
        The facts, by what they are about

    Raises
    ------
    InputError
        If there is no such subject

    Examples
    --------
    >>> [section.about for section in evidence("safety")]
    ['Points of safety for the course']
    """
    subjects = _noted()["subjects"]
    if subject not in subjects:
        raise InputError(
            given=f"There is no evidence on “{subject}”.",
            do=f"Ask for one of: {', '.join(subjects)}.",
        )
    return tuple(
        EvidenceSection(section["about"], tuple(_row(row) for row in section["rows"])) for section in subjects[subject]
    )


def evidence_subjects() -> tuple[str, ...]:
    """Return the subjects that `evidence` knows.

    Returns
    -------
    tuple of str
        Their names

    Examples
    --------
    >>> "cable" in evidence_subjects()
    True
    """
    return tuple(_noted()["subjects"])


def practice_beside() -> tuple[PracticeBeside, ...]:
    """Return what practice says, row by row, beside what the package answers.

    Returns
    -------
    tuple of PracticeBeside
        The rows

    Examples
    --------
    >>> all(row.outside or row.low <= row.least <= row.most <= row.high for row in practice_beside())
    True
    """
    return tuple(PracticeBeside(**row) for row in _noted()["practice"])


def _row(row: Mapping[str, Any]) -> Evidence:
    near = [_noted()["tests"].get(test, (0, 0.0)) for test in row["tests"]]
    told: dict[str, Any] = {name: tuple(value) if isinstance(value, list) else value for name, value in row.items()}
    return Evidence(**told, compared=sum(one[0] for one in near), off=max((one[1] for one in near), default=0.0))


@functools.cache
def _noted() -> Mapping[str, Any]:
    noted: Mapping[str, Any] = json.loads(
        (resources.files("controlkit.sources") / "evidence.json").read_text(encoding="utf-8")
    )
    return noted
