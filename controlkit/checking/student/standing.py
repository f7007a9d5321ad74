"""How far exercises are, from the progress files that students keep beside them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

from controlkit.checking.student.progress import FILE, checked

_MOST = 5_000_000
"""A larger file is no progress file [bytes]."""


@dataclass(frozen=True)
class Standing:
    """How far one student is with one exercise.

    Parameters
    ----------
    who : str
        Name or class id, as the case was drawn from it
    points, out_of : float
        Points of the last answers, and most points, of what is judged at once [-]
    answered, items : int
        Answers that were checked, and items of the exercise, written ones included [-]
    """

    who: str
    points: float
    out_of: float
    answered: int
    items: int

    @property
    def full(self) -> bool:
        """Whether nothing is missing.

        Returns
        -------
        bool
            All points, and something written where a person marks
        """
        return self.answered == self.items and self.points >= self.out_of

    @property
    def words(self) -> str:
        """The same in words.

        Returns
        -------
        str
            Points and answers
        """
        answers = f"{self.answered} of {self.items} answers"
        if not self.out_of:
            return answers
        earned = f"{round(self.points, 2):g} of {self.out_of:g} points by the checks"
        return f"{earned}, {answers}"


def standings(folder: Path, exercise: str) -> tuple[Standing, ...]:
    """How far everybody is who worked an exercise in a folder.

    Parameters
    ----------
    folder : Path
        The folder of the exercise
    exercise : str
        Its name, such as "ex03"

    Returns
    -------
    tuple of Standing
        One a name; empty where nothing was checked yet, or the file cannot be read
    """
    try:
        path = folder / FILE
        if path.stat().st_size > _MOST:
            return ()
        held = json.loads(path.read_text(encoding="utf-8"))
        records = checked(held)
        asked = [(str(name), float(points), bool(by_hand)) for name, points, by_hand in held["asked"][exercise]]
    except (KeyError, OSError, TypeError, ValueError, RecursionError):
        return ()
    found = []
    for key, items in records.items():
        if key.startswith(f"{exercise}: "):
            judged = [
                (min(max(items.get(name, {}).get("points", 0.0), 0.0), points), points)
                for name, points, by_hand in asked
                if not by_hand
            ]
            got, most = sum(one for one, _ in judged), sum(points for _, points in judged)
            answered = sum(name in items for name, _, _ in asked)
            who = key.removeprefix(f"{exercise}: ")
            found.append(Standing(who=who, points=float(got), out_of=most, answered=answered, items=len(asked)))
    return tuple(found)
