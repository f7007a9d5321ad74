"""Sentences about the motion that works an elbow lock: each part's share, what must be held, what must not lock."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from controlkit.draw.words.pull import Units
from controlkit.units import show

if TYPE_CHECKING:
    from controlkit.mechanics.chain.dual import LockMotion
    from controlkit.mechanics.elbow import ElbowLock

__all__ = ["LockShown", "apart_lock_words", "cable_words", "front_words", "idle_words", "lock_motion_words"]

_NEAR = 5e-5  # what is written as nothing [m]


@dataclass(frozen=True, eq=False, kw_only=True)
class LockShown:
    """A motion that shall work an elbow lock, and each of its parts alone.

    Parameters
    ----------
    motion : LockMotion
        All parts together.
    parts : mapping
        Each part alone from hanging, by its name.
    idle : mapping
        How far what must not lock draws the lock's cable, the strap as it is buckled, by name; below nothing the strap
        is slack [m].
    lock : ElbowLock
        The lock.
    pull : float
        At the control strap meanwhile [N].
    """

    motion: LockMotion
    parts: Mapping[str, LockMotion]
    idle: Mapping[str, float]
    lock: ElbowLock
    pull: float

    @property
    def nearest(self) -> str:
        """What must not lock and comes nearest to it."""
        return max(self.idle, key=lambda name: self.idle[name])

    @property
    def locks_idly(self) -> bool:
        """Whether that locks."""
        return self.idle[self.nearest] >= self.lock.travel


def cable_words(lift: float, units: Units) -> str:
    """Say what becomes of the lift cable.

    Parameters
    ----------
    lift : float
        Taken up (+) or paid out (-) [m].
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few words.

    Examples
    --------
    >>> cable_words(-0.0138, "metric"), cable_words(0.0, "metric")
    ('13.8 mm of lift cable are paid out', 'the lift cable stays where it is')
    """
    if abs(lift) < _NEAR:
        return "the lift cable stays where it is"
    does = "taken up" if lift > 0.0 else "paid out"
    return f"{show(abs(lift), 'length', units)} of lift cable are {does}"


def front_words(motion: LockMotion, units: Units) -> str:
    """Say how the front support strap stands.

    Parameters
    ----------
    motion : LockMotion
        The motion.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few words.
    """
    if motion.front_taut:
        return f"taut: its elastic part would have to give {show(-motion.front_room, 'length', units)} more"
    if motion.front_give < 0.0:
        return f"slack by {show(-motion.front_give, 'length', units)}"
    return f"its elastic part would give {show(motion.front_room, 'length', units)} more"


def idle_words(shown: LockShown, units: Units) -> str:
    """Say whether anything locks that must not.

    Parameters
    ----------
    shown : LockShown
        The motion.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A sentence.
    """
    drawn = show(max(shown.idle[shown.nearest], 0.0), "length", units)
    if shown.locks_idly:
        return f"But {shown.nearest}: that locks too, it draws {drawn}."
    return f"Nothing else locks; nearest comes {shown.nearest}: {drawn}."


def lock_motion_words(shown: LockShown, units: Units = "both") -> str:
    """Say what a motion does to lock, lift cable and front support strap.

    Parameters
    ----------
    shown : LockShown
        The motion.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    motion, needs = shown.motion, show(shown.lock.travel, "length", units)
    comes = show(motion.travel, "length", units)
    if not motion.settled:
        return "In this pose the straps do not settle: the model has no answer."
    if not shown.parts:
        text = f"The arm hangs: nothing comes to the lock, which needs {needs}."
    elif motion.triggers:
        text = f"The lock changes over: {comes} come to its cable, and it needs {needs}."
    else:
        text = f"The lock does not change over: {comes} come to its cable, and it needs {needs}."
    if shown.parts:
        text += f" Meanwhile {cable_words(motion.lift, units)}."
    each = [
        f"{name} draws {show(part.lengthening, 'length', units)} of the lock's way, and {cable_words(part.lift, units)}"
        for name, part in shown.parts.items()
    ]
    if len(each) > 1:
        text += f" Alone: {'; '.join(each)}."
    text += (
        f" Of the way, ring and socket take {show(motion.yielded, 'length', units)}, and the strap's stretch "
        f"{show(motion.stretch, 'length', units)}; the control strap is pulled with {show(shown.pull, 'force', units)}."
    )
    return f"{text} The front support strap: {front_words(motion, units)}. {idle_words(shown, units)}"


def apart_lock_words(now: LockShown, then: LockShown, units: Units = "both") -> str:
    """Say what differs from a pinned setting.

    Parameters
    ----------
    now, then : LockShown
        What is shown, and what was pinned.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A sentence.
    """

    def change(before: float, after: float) -> str:
        return f"{show(before, 'length', units)} there, {show(after, 'length', units)} here"

    return (
        f"Against the pinned setting: to the lock {change(then.motion.travel, now.motion.travel)}; "
        f"lift cable {change(then.motion.lift, now.motion.lift)}."
    )
