"""The wearers that a lab offers, and remembering what was computed for them."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from typing import Any

from controlkit.labs.controls import Choice
from controlkit.mechanics import Motion, Pose, Pull, SingleControl, Wearer
from controlkit.mechanics.harness.motion import STEP
from controlkit.units import InputError

__all__ = ["PEOPLE", "Remembered", "people", "person_of"]

PEOPLE: dict[str, tuple[str, str, float | None]] = {
    "small-woman": ("a small woman (5th percentile)", "female", 5),
    "average-woman": ("an average woman", "female", None),
    "average-man": ("an average man", "male", None),
    "large-man": ("a very large man (95th percentile)", "male", 95),
}
"""By name in a setting: name on the page, sex, and percentile of stature if it is not the average."""


MOST = 256
"""Poses that a lab remembers of one set-up [-]."""


def people(own: Wearer | None) -> tuple[Choice, Choice]:
    """Offer the wearers, and the side.

    Parameters
    ----------
    own : Wearer or None
        A wearer of the reader's own, put first

    Returns
    -------
    tuple of Choice
        Who, and which side is amputated

    Examples
    --------
    >>> who, side = people(None)
    >>> who.start, side.start
    ('average-woman', 'right')
    """
    listed = [(key, text) for key, (text, _, _) in PEOPLE.items()]
    chosen, side = "average-woman", "right"
    if own is not None:
        listed.insert(0, ("own", own.name or "your wearer"))
        chosen, side = "own", own.amputated
    sides = (("left", "left"), ("right", "right"))
    return Choice("wearer", "Wearer", tuple(listed), chosen), Choice("amputated", "Amputated side", sides, side)


def person_of(own: Wearer | None, who: str, side: str) -> Wearer:
    """Make the wearer that was chosen.

    Parameters
    ----------
    own : Wearer or None
        The wearer of the reader's own
    who : str
        Name in a setting
    side : str
        "left" or "right"

    Returns
    -------
    Wearer
        The wearer

    Examples
    --------
    >>> person_of(None, "large-man", "left").name
    'a very large man'
    """
    if who == "own" and own is not None:
        return replace(own, amputated=side)
    text, sex, percentile = PEOPLE[who]
    name = text.partition(" (")[0]
    if percentile is None:
        return Wearer.average(sex, amputated=side, name=name)
    return Wearer.at_percentile(sex, percentile, amputated=side, name=name)


class Remembered:
    """Poses of one set-up, each followed once.

    Remembering makes a lab faster and never different: every answer starts from donning.

    Parameters
    ----------
    system : SingleControl
        The set-up; strength may differ from question to question
    start : Remembered, optional
        A similar set-up, whose motions are a start for those of this one
    """

    def __init__(self, system: SingleControl, start: Remembered | None = None) -> None:
        self.system = system
        self._start: dict[Pose, Motion] = {} if start is None else {**start._start, **start._last}
        self._found: dict[Pose, tuple[Motion, int]] = {}
        self._last: dict[Pose, Motion] = {}  # the last motion of each posture

    def over(self, poses: Sequence[Pose], system: SingleControl | None = None) -> tuple[Pull, ...]:
        """Answer poses; only those not seen yet are computed.

        Parameters
        ----------
        poses : sequence of Pose
            Poses
        system : SingleControl, optional
            The same set-up with another strength

        Returns
        -------
        tuple of Pull
            One a pose
        """
        if len(self._found) > MOST:
            self._found.clear()
            self._last.clear()
        new = [pose for pose in dict.fromkeys(poses) if pose not in self._found]
        for posture in dict.fromkeys(replace(pose, arm_flexion=0.0) for pose in new):
            self._sweep(posture, [pose for pose in new if replace(pose, arm_flexion=0.0) == posture])
        asked = system or self.system
        return tuple(asked.answer(motion.guess, at) for motion, at in (self._found[pose] for pose in poses))

    def _sweep(self, posture: Pose, poses: Sequence[Pose]) -> None:
        """Follow one posture to each arm flexion asked for, in one run of the solver."""
        flexions = [pose.arm_flexion for pose in poses]
        last = self._last.get(posture)
        # a motion that was followed almost as far is a start; a shorter one would only slow it
        if last is not None and max(map(abs, flexions)) > max(map(abs, last.arm_flexion)) + STEP:
            last = None
        last = last or self._start.get(posture)
        angles = {name: getattr(posture, name) for name in Pose.__dataclass_fields__ if name != "arm_flexion"}
        motion = self._last[posture] = self._swept(flexions, last, angles)
        self._found.update({pose: (motion, at) for at, pose in enumerate(poses)})

    def _swept(self, flexions: Sequence[float], last: Motion | None, angles: dict[str, Any]) -> Motion:
        if last is not None:
            with suppress(InputError):  # a start must never decide whether there is an answer
                return self.system.sweep(flexions, last.guess, **angles)
        return self.system.sweep(flexions, **angles)
