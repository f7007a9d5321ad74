"""Settings of a design refused by the names that stand in the student's cell, not by those of the mechanics."""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.mechanics.inputs import within
from controlkit.units import InputError

STRAP = "a control strap taken in further is too short to don, and one let out further never comes taut"
SUPPORT_STRAP = "a strap taken in further is too short to don, and one let out further carries nothing"
"""Why no more may be asked of a strap."""


def length(choice: Mapping[str, float], name: str, limits: tuple[float, float], why: str) -> None:
    """Refuse a length that no harness takes [m]."""
    within(f"`{name}`", choice[name], *limits, example="50 mm", of="length", why=why)


def crossbar(choice: Mapping[str, float], limits: tuple[float, float], name: str = "crossbar") -> None:
    """Refuse a place of the crossbar that is not on the upper arm, in per cent, as the cell asks for it [-]."""
    low, high = limits
    if not low <= choice[name] <= high:
        raise InputError(
            given=f"`{name}` was given as {choice[name]:g}, which is {100 * choice[name]:g} %.",
            do=f'Give between {100 * low:g} % and {100 * high:g} % of the upper arm, in quotes, such as "40 %".',
        )


def bands(choice: Mapping[str, float], most: int, *names: str) -> None:
    """Refuse bands that are not whole, or more than a hook takes [-]."""
    for name in names:
        if choice[name] not in range(1, most + 1):
            raise InputError(
                given=f"`{name}` was given as {choice[name]:g}.", do=f"Give a whole number from 1 to {most}."
            )
