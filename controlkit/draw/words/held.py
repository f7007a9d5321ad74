"""Sentences about a device that is held where it is while the shoulder girdle moves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from controlkit.draw.words.pull import Units, joined
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics import Pose

__all__ = ["held_words"]

_BOTH_WAYS = {
    "arm_flexion": ("arm flexion", "arm extension"),
    "arm_abduction": ("arm abduction", "arm adduction"),
    "elbow_flexion": ("elbow flexion", "elbow extension"),
}
_LEAST, _MISSED = 0.0087, 0.0005  # half a degree [rad]; half a millimetre [m]


def held_words(start: Pose, now: Pose, missed: float, units: Units = "both") -> str:
    """Say what makes up for a motion while the device is held, and how well it could be held.

    Parameters
    ----------
    start : Pose
        Where the device was.
    now : Pose
        The motion made, the device held.
    missed : float
        How far it could not be held [m].
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        One or two sentences; none where nothing had to be made up for.
    """
    turned = [(name, getattr(now, name) - getattr(start, name)) for name in _BOTH_WAYS]
    made = [
        f"{_BOTH_WAYS[name][by < 0.0]} by {show(abs(by), 'angle', units, 0)}" for name, by in turned if abs(by) > _LEAST
    ]
    if not made:
        return ""
    said = f"The device is held where it was: {joined(made)} {'makes' if len(made) == 1 else 'make'} up for it."
    if missed > _MISSED:
        said += f" It could not be held all the way: it is {show(missed, 'length', units)} off."
    return said
