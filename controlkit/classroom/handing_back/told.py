"""What a report calls a wrong idea, and when something was handed in: words that a teacher uses, not labels."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import datetime
from functools import cache
from pathlib import Path

from controlkit.checking import Item

NOT_MET = ":not-met"
"""With this the label of a law or a criterion ends that an answer does not meet."""

_EVERY = "every"
_QUOTED = {"fault: ": "the fault named", "too-early: ": "too early", "not-needed: ": "not needed"}
_LEFT_OVER = {
    "not-met": "design: nothing of what is asked",
    "other-bodies": "design: does not serve the other bodies",
    "stops-early": "the last steps missing",
}


@cache
def names() -> Mapping[str, Mapping[str, str]]:
    """What known wrong ideas are called.

    Returns
    -------
    mapping of str to mapping
        Exercise to label to name; under "every" what means the same in all of them
    """
    path = Path(__file__).with_name("ideas.toml")
    found: dict[str, dict[str, str]] = tomllib.loads(path.read_text(encoding="utf-8"))
    return found


def idea_called(exercise: str, item: Item, label: str) -> str:
    """What a wrong idea is called.

    Parameters
    ----------
    exercise : str
        Name of the exercise
    item : Item
        Whose answer showed it
    label : str
        Fixed name of the outcome

    Returns
    -------
    str
        A few words. Of an exercise of the class's own that has no names for its ideas, the label as words
    """
    for start, says in _QUOTED.items():
        if label.startswith(start):
            return f"“{label.removeprefix(start)}”: {says}"
    if any(label == getattr(one, "word", None) for one in getattr(item, "statements", ())):
        return f"“{label}” chosen"
    plain = label.removesuffix(NOT_MET)
    for held in (names().get(exercise, {}), names()[_EVERY], _LEFT_OVER):
        if plain in held:
            return held[plain]
    return plain.replace("-", " ").replace("_", " ")


def moment_called(iso: str) -> str:
    """When something was handed in, as one says it where the class is.

    Parameters
    ----------
    iso : str
        ISO 8601; empty if it is not known

    Returns
    -------
    str
        In local time; what cannot be read stays as it is

    Examples
    --------
    >>> moment_called("2026-12-01T18:05:40"), moment_called("")
    ('1 December 2026, 18:05', '')
    """
    try:
        moment = datetime.fromisoformat(iso)
    except ValueError:
        return iso
    local = moment.astimezone() if moment.tzinfo else moment
    months = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ]
    return f"{local.day} {months[local.month - 1]} {local.year}, {local:%H:%M}"
