"""Settings of a design refused by the names that stand in the student's cell, not by those of the mechanics."""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.mechanics.inputs import within
from controlkit.units import InputError


def lengths(choice: Mapping[str, float], limits: Mapping[str, tuple[float, float]]) -> None:
    """Refuse lengths that no harness takes; limits by the setting's name [m]."""
    for name, (low, high) in limits.items():
        within(f"`{name}`", choice[name], low, high, example="50 mm", of="length")


def crossbar(choice: Mapping[str, float], limits: tuple[float, float], name: str = "crossbar") -> None:
    """Refuse a place of the crossbar that is not on the upper arm, in per cent, as the cell asks for it [-]."""
    low, high = (100 * end for end in limits)
    how = 'write it in per cent of the upper arm, in quotes, such as "40 %"'
    within(f"`{name}`", 100 * choice[name], low, high, example='"40 %"', unit=" %", hint=how)


def bands(choice: Mapping[str, float], most: int, *names: str) -> None:
    """Refuse bands that are not whole, or more than a hook takes [-]."""
    for name in names:
        if choice[name] not in range(1, most + 1):
            raise InputError(
                given=f"`{name}` was given as {choice[name]:g}.", do=f"Give a whole number from 1 to {most}."
            )
