"""The wearers that a lab offers, and remembering what was computed for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import astuple, replace

import numpy as np

from controlkit.labs.controls import Choice
from controlkit.mechanics import Pose, Pull, SingleControl, Wearer
from controlkit.mechanics.harness.motion import Followed

__all__ = ["PEOPLE", "Remembered", "people", "person_of"]

PEOPLE: dict[str, tuple[str, str, float | None]] = {
    "small-woman": ("a small woman (5th percentile)", "female", 5),
    "average-woman": ("an average woman", "female", None),
    "average-man": ("an average man", "male", None),
    "large-man": ("a very large man (95th percentile)", "male", 95),
}
"""By name in a setting: name on the page, sex, and percentile of stature if it is not the average."""


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
    """Pulls of one system, each pose asked for once.

    Remembering makes a lab faster and never different: every answer starts from donning.

    Parameters
    ----------
    system : SingleControl
        The system
    """

    def __init__(self, system: SingleControl) -> None:
        self.system = system
        self._pulls: dict[Pose, Pull] = {}
        self._near: dict[Pose, Followed] = {}

    def over(self, poses: Sequence[Pose]) -> tuple[Pull, ...]:
        """Answer poses; those not seen yet in one run of the solver.

        Parameters
        ----------
        poses : sequence of Pose
            Poses

        Returns
        -------
        tuple of Pull
            One a pose
        """
        new = [pose for pose in dict.fromkeys(poses) if pose not in self._pulls]
        if len(new) == 1:  # a posture in which the arm flexes a little further starts from where it was
            self._pulls[new[0]] = self._onward(new[0])
        elif new:
            self._pulls.update(zip(new, self.system.over(new), strict=True))
        return tuple(self._pulls[pose] for pose in poses)

    def _onward(self, pose: Pose) -> Pull:
        posture = replace(pose, arm_flexion=0.0)
        angles = dict(zip(Pose.__dataclass_fields__, astuple(posture), strict=True))
        angles.pop("arm_flexion")
        motion = self.system.sweep(np.array([pose.arm_flexion]), self._near.get(posture), **angles)
        self._near[posture] = motion.guess
        return motion.pull(0)
