"""The whole chain below the elbow: from a body motion to the opening of the device."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..sources import source
from ..units import InputError
from ._asked import kind, number
from .body import Pose, to_right
from .cable.line import ControlCable
from .device import VoluntaryOpening
from .harness import outcomes
from .harness.laws import WEBBING
from .harness.motion import Followed, follow
from .harness.net import CONTROL
from .harness.pattern import Harness

Array = NDArray[np.float64]

CABLE_LENGTH = 0.75
"""Length of the cable from hanger to device [m]. Assumption; it only stretches."""


@dataclass(frozen=True)
class Excursion:
    """The three excursions, always apart.

    Attributes
    ----------
    generated : float
        What the motion would give if the ring stayed where it was donned [m]
    captured : float
        What arrives at the device, after the ring has moved, straps have stretched and slack is gone [m]
    required : float
        What the device needs for full opening [m]
    """

    generated: float
    captured: float
    required: float


@dataclass(frozen=True)
class Pull:
    """What one body motion does, from harness to device.

    Attributes
    ----------
    pose : Pose
        The pose
    excursion : Excursion
        Generated, captured, required [m]
    moment_arm : float
        Of the control strap about arm flexion, ring held [m]
    opening : float
        Distance of the device's fingertips [m]
    pinch : float
        Grip on an object that just fills this opening, once the pull is let go [N]
    harness_force : float
        Tension of the control attachment strap [N]
    device_force : float
        Cable force that arrives at the device while pulling [N]
    strap_tension : mapping
        Tension of each strap by name [N]
    straps : mapping
        Run of each strap from the ring outwards, ISB axes [m], shape (nodes, 3)
    ring : ndarray
        Ring, ISB axes [m], shape (3,)
    ring_travel : float
        How far the ring has moved since donning [m]
    ring_forces : mapping
        What each strap and the skin do to the ring, ISB axes [N], shape (3,)
    axilla_line_load : float
        Largest load of the loop on the armpit per length of strap [N/m]
    limited_by : str
        "nothing" if the device opens fully within the wearer's strength, else "excursion", "slack" or "force"
    states : tuple of str
        Outcomes worth knowing; none of them is an error
    """

    pose: Pose
    excursion: Excursion
    moment_arm: float
    opening: float
    pinch: float
    harness_force: float
    device_force: float
    strap_tension: Mapping[str, float]
    straps: Mapping[str, Array]
    ring: Array
    ring_travel: float
    ring_forces: Mapping[str, Array]
    axilla_line_load: float
    limited_by: str
    states: tuple[str, ...]


@dataclass(frozen=True)
class Motion:
    """A sweep of arm flexion.

    Attributes
    ----------
    arm_flexion : ndarray
        Angles [rad], shape (angles,)
    system : SingleControl
        What was moved
    guess : Followed
        A start for a similar question; it makes that faster, never different
    """

    arm_flexion: Array
    system: SingleControl
    guess: Followed = field(repr=False, compare=False)

    @cached_property
    def pulls(self) -> tuple[Pull, ...]:
        """Result at each angle."""
        return tuple(self.pull(k) for k in range(len(self.arm_flexion)))

    def pull(self, which: int) -> Pull:
        """Result at one angle of the sweep.

        Parameters
        ----------
        which : int
            Place in `arm_flexion` [-]

        Returns
        -------
        Pull
            From harness to device

        Examples
        --------
        >>> from controlkit.mechanics import Wearer, figure_of_eight
        >>> motion = SingleControl(figure_of_eight(Wearer.average("male"))).sweep([0.0, 0.5])
        >>> motion.pull(1).pose.arm_flexion
        0.5
        """
        return self.system.answer(self.guess, which)

    @property
    def generated(self) -> Array:
        """Generated excursion [m], shape (angles,)."""
        length = self.guess.held.length
        return np.asarray(length[list(self.guess.asked)] - length[0])

    @property
    def captured(self) -> Array:
        """Captured excursion [m], shape (angles,)."""
        return np.asarray(self._travel - self.guess.travel[0])

    @property
    def required(self) -> Array:
        """Required excursion [m], shape (angles,)."""
        return np.full(len(self.arm_flexion), self.system.device.travel)

    @property
    def opening(self) -> Array:
        """Opening of the device [m], shape (angles,)."""
        return np.array([self.system.device.opening(float(t)) for t in self._travel])

    @property
    def harness_force(self) -> Array:
        """Tension of the control attachment strap [N], shape (angles,)."""
        return np.asarray(self.guess.net.tension[CONTROL, list(self.guess.asked)])

    @property
    def _travel(self) -> Array:
        return np.asarray(self.guess.travel[list(self.guess.asked)])


@dataclass(frozen=True)
class SingleControl:
    """A transradial single-control system: harness, cable, and one device.

    Parameters
    ----------
    harness : Harness
        Harness on its wearer
    cable : ControlCable
        Cable in its housing
    device : VoluntaryOpening
        Terminal device
    strength : float
        Largest cable force of this wearer [N]

    Raises
    ------
    InputError
        If the wearer's level is not transradial or the strength is not credible

    Notes
    -----
    Quasi-static. Straps slide on the body without friction; skin and cloth hold only the ring and
    the first centimetres of its straps. Soft tissue does not give, the trunk does not move, housing and
    elbow do not pull on each other. Default strength: arm flexion of 50 people without amputation, the
    method unclear; people with transradial deficiency reached 87 to 538 N. Valid while straps stay on the
    back and shoulders; otherwise `states` says so.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, figure_of_eight
    >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
    >>> pull = system.at(arm_flexion=np.deg2rad(60))
    >>> pull.excursion.captured < pull.excursion.generated
    True
    """

    harness: Harness
    cable: ControlCable = ControlCable()
    device: VoluntaryOpening = VoluntaryOpening()
    strength: float = source("arm_flexion_force").si

    def __post_init__(self) -> None:
        kind("The harness", self.harness, Harness, "figure_of_eight(wearer)")
        if self.harness.wearer.level != "transradial":
            raise InputError(
                "Single control serves a wearer with a transradial amputation; this wearer's level is "
                f'"{self.harness.wearer.level}". Choose a wearer with level "transradial".'
            )
        if not 20.0 <= number("The largest cable force", self.strength, "newton(280)") <= 1000.0:
            raise InputError(
                f"A largest cable force of {self.strength:g} N was given. Give between 20 N and 1000 N; "
                "87 to 538 N have been measured."
            )

    def at(self, **angles: float) -> Pull:
        """What a pose does, reached from donning.

        Parameters
        ----------
        **angles : float
            Angles of the pose, as in `Pose` [rad]

        Returns
        -------
        Pull
            From harness to device

        Raises
        ------
        InputError
            If an angle is unknown or outside its range

        Examples
        --------
        >>> from controlkit.mechanics import Wearer, figure_of_eight
        >>> system = SingleControl(figure_of_eight(Wearer.average("female")))
        >>> round(system.at().opening, 6)
        0.0
        """
        pose = _pose(angles)
        return self.answer(self._follow([pose], None), 0)

    def sweep(self, arm_flexion: Sequence[float] | Array, near: Followed | None = None, **angles: float) -> Motion:
        """What a sweep of arm flexion does, the other angles staying the same.

        Parameters
        ----------
        arm_flexion : sequence of float
            Angles [rad], shape (angles,)
        near : Followed, optional
            `guess` of a similar motion
        **angles : float
            Other angles of the pose [rad]

        Returns
        -------
        Motion
            Result at each angle

        Raises
        ------
        InputError
            If an angle is unknown or outside its range

        Examples
        --------
        >>> from controlkit.mechanics import Wearer, figure_of_eight
        >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
        >>> motion = system.sweep(np.deg2rad([0, 45, 90]))
        >>> bool((np.diff(motion.captured) > 0).all())
        True
        """
        base = _pose(angles)
        asked = np.atleast_1d(np.asarray(arm_flexion, dtype=object))  # text stays text, for the pose to refuse
        poses = [replace(base, arm_flexion=a) for a in asked]
        sweep = np.array([pose.arm_flexion for pose in poses], dtype=float)
        found = self._follow(poses, near)
        return Motion(sweep, self, found)

    def _follow(self, poses: Sequence[Pose], near: Followed | None) -> Followed:
        return follow(self.harness, poses, self._law, near)

    def _law(self, pose: Pose, strap: float) -> tuple[float, float, float, float]:
        loss = 1.0 / self.cable.efficiency(pose.elbow_flexion)
        give = strap / WEBBING + CABLE_LENGTH / self.cable.stiffness
        start, full = self.device.force(0.0), self.device.force(self.device.travel)
        return 1.0 / give, start * loss, (full - start) / self.device.travel * loss, full * loss

    def answer(self, found: Followed, asked: int) -> Pull:
        """Read one pose of a motion that has been followed.

        Parameters
        ----------
        found : Followed
            The motion
        asked : int
            Which of the poses asked for [-]

        Returns
        -------
        Pull
            From harness to device

        Examples
        --------
        >>> from controlkit.mechanics import Wearer, figure_of_eight
        >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
        >>> system.answer(system.sweep([0.5]).guess, 0).pose.arm_flexion
        0.5
        """
        at, net, side = found.asked[asked], found.net, self.harness.wearer.amputated
        travel, length = found.travel, found.held.length
        tension = net.tension[:, at]
        pose = found.poses[at]
        efficiency = self.cable.efficiency(pose.elbow_flexion)
        excursion = Excursion(
            float(length[at] - length[0]),
            float(travel[at] - travel[0]),
            self.device.travel,
        )
        opening = self.device.opening(float(travel[at]))
        forces = outcomes.ring_forces(found, at)
        straps = {name: to_right(run, side) for name, run in outcomes.strap_runs(found, at).items()}
        return Pull(
            pose,
            excursion,
            found.moment_arm(at),
            opening,
            self.device.pinch(opening),
            float(tension[CONTROL]),
            float(tension[CONTROL]) * efficiency,
            outcomes.strap_tensions(found, at),
            straps,
            to_right(net.ring[at], side),
            float(np.linalg.norm(net.ring[at] - found.donned.ring)),
            {name: to_right(force, side) for name, force in forces.items()},
            outcomes.axilla_line_load(found, at),
            self._limit(float(travel[at]), float(found.law.full[at])),
            outcomes.states(self.harness, found, at, float(travel[0])),
        )

    def _limit(self, travel: float, needed: float) -> str:
        if needed > self.strength:
            return "force"
        if travel >= self.device.travel - 1e-9:
            return "nothing"
        slack = max(self.harness.control_strap, 0.0)
        return "slack" if travel + slack >= self.device.travel else "excursion"


def _pose(angles: Mapping[str, Any]) -> Pose:
    known = tuple(Pose.__dataclass_fields__)
    for name in angles:
        if name not in known:
            raise InputError(f'There is no angle "{name}". A pose has: {", ".join(known)}.')
    return Pose(**angles)
