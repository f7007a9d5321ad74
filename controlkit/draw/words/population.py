"""Sentences about one set-up on many wearers: whom it serves, whom it fails, and by which budget."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from controlkit.draw.words.effort import percent
from controlkit.draw.words.pull import Units, joined
from controlkit.mechanics.study.fitting import by_lot, interval
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.study.fitting import Served, TrialWearer

__all__ = ["ACROSS", "FAILS", "SEVERAL", "Census", "Entry", "across", "census_words", "one_words", "outcome"]

ACROSS = {
    "girth": ("chest girth", "chest_circumference"),
    "arm": ("arm girth", "biceps_circumference_flexed"),
    "stature": ("stature", "stature"),
    "breadth": ("shoulder breadth", "biacromial_breadth"),
    "strength": ("strongest pull", ""),
}
"""What a chart lays wearers out by: its name, and the measurement; none for strength."""
FAILS = {
    "excursion": "too little excursion",
    "force": "too much force",
    "drops": "drops it unasked",
    "no hold": "no hold",
}
"""Why a set-up fails a wearer, by the name of the reason."""
SEVERAL = "more than one"


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One wearer of a census.

    Parameters
    ----------
    who : TrialWearer
        Measurements and luck.
    strength : float
        Strongest pull [N].
    found : Served
        What the trial came to.
    """

    who: TrialWearer
    strength: float
    found: Served

    def across(self, key: str) -> float:
        """Where the wearer stands in a chart [m, N]."""
        return across(self.who, self.strength, key)


@dataclass(frozen=True, kw_only=True)
class Census:
    """A set-up tried on many wearers, as far as it has come.

    Parameters
    ----------
    entries : tuple of Entry
        Those on whom it has been tried.
    people : tuple of TrialWearer
        Those on whom it shall be tried.
    age : float
        Of all of them [years].
    own : Entry
        The one for whom it is fitted; not counted among the others.
    """

    entries: tuple[Entry, ...]
    people: tuple[TrialWearer, ...]
    age: float
    own: Entry

    @property
    def asked(self) -> int:
        """How many it shall be tried on [-]."""
        return len(self.people)

    @property
    def done(self) -> bool:
        """Whether it has been tried on all."""
        return len(self.entries) == self.asked

    @property
    def served(self) -> int:
        """How many are served [-]."""
        return sum(not one.found.fails for one in self.entries)

    @property
    def share(self) -> float:
        """The same as a share of those tried [-]."""
        return self.served / len(self.entries) if self.entries else 0.0

    @property
    def between(self) -> tuple[float, float]:
        """Between which shares that of the whole population lies, in 95 of 100 such trials [-]."""
        return interval(self.served, len(self.entries)) if self.entries else (0.0, 1.0)

    def failed(self, reason: str) -> int:
        """How many a reason speaks against, alone or with others [-]."""
        return sum(reason in one.found.fails for one in self.entries)

    @property
    def left(self) -> float:
        """Median of the excursion that is left; below zero it is missing [m]."""
        return median([one.found.excursion_left for one in self._known] or [0.0])

    @property
    def _known(self) -> list[Entry]:
        return [one for one in self.entries if "no hold" not in one.found.fails]

    def halves(self, key: str) -> tuple[float, float]:
        """The same of the half with less of a measurement, and of the half with more [m]."""
        low, high = self._halved(key)
        return (median(low), median(high)) if low else (0.0, 0.0)

    def by_lot(self, key: str) -> float:
        """How often halves made by lot differ in it as much as those by a measurement, or more [-]."""
        return by_lot(*self._halved(key))

    def _halved(self, key: str) -> tuple[list[float], list[float]]:
        """What is left for each of either half, whoever stands in the middle left out [m]."""
        ordered = [one.found.excursion_left for one in sorted(self._known, key=lambda one: one.across(key))]
        half = len(ordered) // 2
        return ordered[:half], ordered[len(ordered) - half :]

    def ends(self, key: str) -> tuple[float, float]:
        """Between which sizes a measurement of all lies, tried already or not [m, N]."""
        sizes = [self.own.across(key), *(across(who, who.strength(self.age), key) for who in self.people)]
        return min(sizes), max(sizes)


def across(who: TrialWearer, strength: float, key: str) -> float:
    """Find where somebody stands in a chart.

    Parameters
    ----------
    who : TrialWearer
        The wearer.
    strength : float
        Strongest pull [N].
    key : str
        What the chart lays out by, a key of `ACROSS`.

    Returns
    -------
    float
        The measurement [m], or the strength [N].
    """
    name = ACROSS[key][1]
    return float(getattr(who.wearer, name)) if name else strength


def outcome(found: Served) -> str:
    """Name what became of a wearer, as a chart's key does.

    Parameters
    ----------
    found : Served
        What the trial came to.

    Returns
    -------
    str
        "served", one reason, or "more than one".
    """
    if not found.fails:
        return "served"
    return FAILS[found.fails[0]] if len(found.fails) == 1 else SEVERAL


def census_words(census: Census, key: str, units: Units) -> str:
    """Say whom a set-up serves, and how sure that is.

    Parameters
    ----------
    census : Census
        The wearers.
    key : str
        What they are laid out by, a key of `ACROSS`.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    tried = len(census.entries)
    if not tried:
        return "Nobody has been tried yet."
    low, high = census.between
    said = f"{census.served} of {tried} wearers tried are served: {percent(census.share)}"
    said += f"; of such people at large between {percent(low)} and {percent(high)}."
    if not census.done:
        said += f" {census.asked - tried} are still to be tried."
    counted = Counter(outcome(one.found) for one in census.entries)
    parts = [f"{words} in {counted[words]}" for words in (*FAILS.values(), SEVERAL) if counted[words]]
    if parts:
        said += f" It fails the others: {joined(parts)}."
    less, more = (_left(half, units) for half in census.halves(key))
    name = ACROSS[key][0]
    return f"{said} In the middle, the half with less {name} has {less}, the half with more has {more}."


def one_words(one: Entry, units: Units) -> str:
    """Say what a set-up does for one wearer.

    Parameters
    ----------
    one : Entry
        The wearer.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        Two or three sentences.
    """
    found, wearer = one.found, one.who.wearer
    who = f"{wearer.name[:1].upper()}{wearer.name[1:]}, {show(wearer.stature, 'length', units, 0)} tall"
    if "no hold" in found.fails:
        return f"{who}: the harness has no hold."
    verdict = "served" if not found.fails else joined([FAILS[reason] for reason in found.fails])
    keeps = "keeps" if found.keeps >= 0.0 else "drops"
    return (
        f"{who}: {verdict}. On command there is {_left(found.excursion_left, units)}; opening so far takes "
        f"{show(found.force, 'force', units)}, {percent(found.share)} of a strongest pull of "
        f"{show(one.strength, 'force', units, 0)}. Brought there, the device {keeps} the object: "
        f"{show(abs(found.keeps), 'length', units)} of cable {'to spare' if found.keeps >= 0.0 else 'too much'}."
    )


def _left(left: float, units: Units) -> str:
    """Say what excursion is left or missing."""
    written = show(abs(left), "length", units)
    return f"{written} of excursion left" if left >= 0.0 else f"{written} of excursion missing"
