"""A shelf of prostheses with one fault each: what a bench reads on them, and which reading decides."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from controlkit.checking import Case, Statement
from controlkit.checking.case.cases import Value

SOUND = ""
"""Name of the fault of a prosthesis that has none."""


@cache
def noted(package: str) -> dict[str, Any]:
    """What stands in the shelf of an exercise, by the name of its package."""
    text = resources.files(package).joinpath("shelf.json").read_text(encoding="utf-8")
    kept: dict[str, Any] = json.loads(text)
    return kept


def shelf_name(fault: str, share: float) -> str:
    """Under which name the readings of a prosthesis are noted."""
    return f"{fault}, {share:g}" if fault else "sound"


@dataclass(frozen=True, kw_only=True)
class Shelf:
    """Readings of a sound prosthesis, and of the same with each fault in several sizes, as they are noted.

    Parameters
    ----------
    package : str
        Exercise in which they are noted
    part : str
        Which part of its notes; empty for all of them
    keys : tuple of str
        Readings by the keys under which they are noted
    readings : tuple of Statement
        The same readings as a student names them
    units : tuple of str
        Their units
    errors : tuple of float
        How far each may be off [unit]
    offered : tuple of str
        Faults that may be named
    shares : tuple of float
        Sizes at which each fault is noted, between its smallest and its largest [-]
    before : str
        What stands before the names of the readings in a case
    """

    package: str
    part: str = ""
    keys: tuple[str, ...]
    readings: tuple[Statement, ...]
    units: tuple[str, ...]
    errors: tuple[float, ...]
    offered: tuple[str, ...]
    shares: tuple[float, ...]
    before: str = ""

    def reading(self, key: str, fault: str = SOUND, share: float = 0.0) -> float:
        """What the bench reads, sound or with a fault of some noted size [unit]."""
        kept = noted(self.package)
        return float((kept[self.part] if self.part else kept)[shelf_name(fault, share)][key])

    def found(self, fault: str, share: float) -> dict[str, Value]:
        """The readings of a prosthesis, and of a sound one, as a case shows them."""
        now: dict[str, Value] = {f"{self.before}now_{key}": round(self.reading(key, fault, share)) for key in self.keys}
        return now | {f"{self.before}sound_{key}": round(self.reading(key)) for key in self.keys}

    def rows(self, c: Case) -> tuple[tuple[str, str, str, str], ...]:
        """Rows of a table: reading, how it was taken, when fitted, now."""
        return tuple(
            (
                one.word,
                one.says,
                f"{c[f'{self.before}sound_{key}']} {unit}",
                f"{c[f'{self.before}now_{key}']} {unit}",
            )
            for one, key, unit in zip(self.readings, self.keys, self.units, strict=True)
        )

    def away(self, c: Case | Mapping[str, Value], key: str, fault: str) -> float:
        """How far a reading of a case lies from all that a fault could give, over the reading's error [-]."""
        ends = [self.reading(key, fault, share) for share in (self.shares if fault else (0.0,))]
        now = float(c[f"{self.before}now_{key}"])
        return max(min(ends) - now, now - max(ends), 0.0) / self.errors[self.keys.index(key)]

    def decides(self, c: Case | Mapping[str, Value], fault: str) -> tuple[str, ...]:
        """The readings that no other fault, of any size, and no sound prosthesis could give, by twice their error."""
        others = [SOUND, *(name for name in self.offered if name != fault)]
        return tuple(
            one.word
            for key, one in zip(self.keys, self.readings, strict=True)
            if all(self.away(c, key, other) > 2.0 for other in others)
        )
