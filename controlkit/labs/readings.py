"""Readings that several labs show: what is captured of what is required, and how far the device opens."""

from __future__ import annotations

from controlkit.draw.words.ledger import WRITTEN
from controlkit.labs.page import Reading, Units
from controlkit.mechanics import Excursion, Pull
from controlkit.units import show

__all__ = ["at_rest", "captured", "opens", "reached"]

_LIMITED = {"nothing": "fully"} | {name: f"{name} is the limit" for name in ("excursion", "force", "slack")}


def reached(excursion: Excursion) -> float:
    """How much of what is required there is, at rest and captured, from 0 on; above 1 where there is more [-]."""
    return max(excursion.at_rest + excursion.captured, 0.0) / excursion.required


def captured(excursion: Excursion, units: Units) -> Reading:
    """The captured excursion, beside what the device requires still, in metric or inch-pound units."""
    needs = f"of {show(excursion.still_required, 'length', units)}"
    note = f"{needs} required" if excursion.at_rest <= WRITTEN else f"{needs} still required"
    return Reading("Captured", excursion.captured, "length", note, share=reached(excursion))


def at_rest(pull: Pull, units: Units) -> tuple[Reading, ...]:
    """How far straps that are taken in open the hook before any motion; nothing where none does and none is."""
    taken_in, rest = pull.excursion.taken_in, pull.excursion.at_rest
    if max(taken_in, rest) <= WRITTEN:
        return ()
    note = f"strap taken in: {show(taken_in, 'length', units)}" if taken_in > WRITTEN else "stands open at rest"
    return (Reading("Open at rest", pull.opening_at_rest, "length", note),)


def opens(pull: Pull) -> Reading:
    """How far the hook opens, and what limits it."""
    return Reading("Hook opens", pull.opening, "length", _LIMITED[pull.limited_by])
