"""Set-ups that remember what was computed for them: faster, and never different."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics import Motion, Pose, Pull, SingleControl, Strength
from controlkit.mechanics.body.pose import posed
from controlkit.mechanics.cable import ControlCable
from controlkit.mechanics.device import Device
from controlkit.mechanics.harness import Harness
from controlkit.mechanics.harness.itinerary import STEP
from controlkit.mechanics.harness.motion import Followed
from controlkit.units import InputError

__all__ = ["Remembered"]

Array = NDArray[np.float64]

POSES, SWEEPS = 256, 24
"""Poses and motions that a lab remembers of one set-up [-]."""


class Remembered:
    """A set-up whose poses and motions are each followed once.

    Every answer starts from donning; what is remembered makes it faster and never different.

    Parameters
    ----------
    system : SingleControl
        The set-up; strength may differ from question to question.
    like : Remembered, optional
        A similar set-up, whose motions are a start for those of this one.
    """

    def __init__(self, system: SingleControl, like: Remembered | None = None) -> None:
        self.system = system
        self._start: dict[Pose, Followed] = {} if like is None else {**like._start, **like._last}
        self._last: dict[Pose, Followed] = {}  # the last motion that led through each posture
        self._latest: Motion | None = None if like is None else like._latest  # the last of any
        self._found: dict[Pose, tuple[Followed, int]] = {}
        self._swept: dict[tuple[Pose, ...], Motion] = {}

    @property
    def device(self) -> Device:
        """Its terminal device."""
        return self.system.device

    @property
    def cable(self) -> ControlCable:
        """Its cable."""
        return self.system.cable

    @property
    def harness(self) -> Harness:
        """Its harness."""
        return self.system.harness

    @property
    def strength(self) -> Strength:
        """What its wearer can do with all strength."""
        return self.system.strength

    def at(self, **angles: float) -> Pull:
        """Answer a pose given by its angles [rad]."""
        return self.over([posed(angles)])[0]

    def over(self, poses: Sequence[Pose], system: SingleControl | None = None) -> tuple[Pull, ...]:
        """Answer poses; only those not seen yet are computed.

        Parameters
        ----------
        poses : sequence of Pose
            Poses.
        system : SingleControl, optional
            The same set-up with another strength.

        Returns
        -------
        tuple of Pull
            One a pose.
        """
        if len(self._found) > POSES:
            self._found.clear()
            self._last.clear()
        new = [pose for pose in dict.fromkeys(poses) if pose not in self._found]
        if new:  # whatever their postures, in one run of the solver
            found = self._follow(new)
            self._last.update(dict.fromkeys(map(_posture, new), found))
            self._found.update({pose: (found, at) for at, pose in enumerate(new)})
        asked = system or self.system
        return tuple(asked.answer(found, at) for found, at in (self._found[pose] for pose in poses))

    def through(self, poses: Sequence[Pose]) -> Motion:
        """Answer a motion through poses, once.

        Parameters
        ----------
        poses : sequence of Pose
            Its poses, arm flexion rising.

        Returns
        -------
        Motion
            Result at each pose.

        Examples
        --------
        >>> from controlkit.mechanics import Wearer, figure_of_eight
        >>> kept = Remembered(SingleControl(figure_of_eight(Wearer.average("male"))))
        >>> motion = kept.through([Pose(elbow_flexion=1.0), Pose(arm_flexion=0.5, elbow_flexion=0.5)])
        >>> motion is kept.through([Pose(elbow_flexion=1.0), Pose(arm_flexion=0.5, elbow_flexion=0.5)])
        True
        """
        key = tuple(poses)
        if key not in self._swept:
            if len(self._swept) >= SWEEPS:
                self._swept.clear()
            self._swept[key] = self._latest = self._through(key)
        return self._swept[key]

    def sweep(self, arm_flexion: Sequence[float] | Array, /, **angles: float) -> Motion:
        """Answer a sweep of arm flexion, the other angles staying the same, once.

        Parameters
        ----------
        arm_flexion : sequence of float
            Angles [rad], shape (angles,).
        **angles : float
            Other angles of the pose [rad].

        Returns
        -------
        Motion
            Result at each angle.
        """
        posture = posed(angles)
        return self.through([replace(posture, arm_flexion=float(flexion)) for flexion in arm_flexion])

    def _near(self, poses: Sequence[Pose]) -> Followed | None:
        """Choose the motion from which poses start: through most of their postures, if followed almost as far."""
        postures, far = dict.fromkeys(map(_posture, poses)), max(abs(pose.arm_flexion) for pose in poses)
        best, most = None, 0
        for known in (self._last, self._start):
            for motion in (known[posture] for posture in postures if posture in known):
                shared = len(postures.keys() & set(map(_posture, motion.poses)))
                if shared > most and far <= max(abs(pose.arm_flexion) for pose in motion.poses) + STEP:
                    best, most = motion, shared
        return best

    def _follow(self, poses: Sequence[Pose]) -> Followed:
        """Follow poses, from a motion through like ones if there is one."""
        near = self._near(poses)
        if near is not None:
            with suppress(InputError):  # a start must never decide whether there is an answer
                return self.system.follow(poses, near)
        return self.system.follow(poses)

    def _through(self, poses: tuple[Pose, ...]) -> Motion:
        """Follow poses, from the last motion."""
        angles = np.array([pose.arm_flexion for pose in poses])
        if self._latest is not None:
            with suppress(InputError):
                return Motion(angles, self.system, self.system.follow(poses, self._latest.guess))
        return Motion(angles, self.system, self.system.follow(poses))


def _posture(pose: Pose) -> Pose:
    """A pose with the arm not flexed."""
    return replace(pose, arm_flexion=0.0)
