"""Readings that several labs show: what is captured of what is required, and how far the device opens."""

from __future__ import annotations

from typing import Protocol

from controlkit.labs.page import Reading, Units
from controlkit.mechanics import Pull
from controlkit.units import show

__all__ = ["captured", "opens", "reached"]

_LIMITED = {"nothing": "fully"} | {name: f"{name} is the limit" for name in ("excursion", "force", "slack")}


class _Spent(Protocol):
    """What has been captured of what the device requires."""

    @property
    def captured(self) -> float: ...
    @property
    def required(self) -> float: ...


def reached(spent: _Spent) -> float:
    """How much of what is required has been captured, from 0 on; above 1 where more has [-]."""
    return max(spent.captured, 0.0) / spent.required


def captured(spent: _Spent, units: Units) -> Reading:
    """The captured excursion, beside what the device requires, in metric or inch-pound units."""
    required = show(spent.required, "length", units)
    return Reading("Captured", spent.captured, "length", f"of {required} required", share=reached(spent))


def opens(pull: Pull) -> Reading:
    """How far the hook opens, and what limits it."""
    return Reading("Hook opens", pull.opening, "length", _LIMITED[pull.limited_by])
