"""What one body motion does, from harness to device: one frozen result for each question."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import KW_ONLY, dataclass, field, replace
from functools import cached_property
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.chain.generated import generated
from controlkit.mechanics.chain.shoulder import ShoulderMoment
from controlkit.mechanics.device import Device
from controlkit.mechanics.harness.layout import CONTROL
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.strap_load import StrapLoad
from controlkit.mechanics.states import State

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Excursion:
    """The three excursions, always apart.

    Attributes
    ----------
    generated : float
        What the motion would give if nothing stretched: to the control strap with the ring held, and through the
        loop round the sound shoulder, which draws the ring (`controlkit.mechanics.chain.generated`) [m]
    captured : float
        What of it arrives at the device, after the ring has moved, straps have stretched and slack is gone, counted
        from the hanging arm [m]
    required : float
        What the device needs for its whole travel [m]
    lost : mapping
        Where the rest went, counted from straps that are just snug, negative where it added [m]: "ring" what the ring
        travels towards the pull by itself, its straps straightening, bedding in and stretching; "tissue" what straps
        sink into flesh, those besides the control strap by the ring travel that this allows; "pad" what pad, socket
        and crossbar give along the limb; "stretch" what webbing of the control strap and cable stretch; "elbow" what
        gives slack there; "slack" what hung loose and is gone, negative where the strap hangs looser than it was set
    taken_in : float
        By how much control strap and cable are shorter than just snug, 0 where they are longer [m]
    at_rest : float
        What of that reaches the device while the arm hangs: before any motion it stands open so far [m]

    Notes
    -----
    What there is and what is made of it: generated and taken in are together as much as captured, at rest and all that
    is lost. What flesh and pad give works on the path through the balance of all
    straps: their parts are its rates at the settled place times what they give, to first order; what is of higher
    order counts as ring.
    """

    generated: float
    captured: float
    required: float
    lost: Mapping[str, float]
    _: KW_ONLY
    taken_in: float = 0.0
    at_rest: float = 0.0

    @property
    def still_required(self) -> float:
        """What the device needs beyond what a strap taken in has drawn already [m]."""
        return max(self.required - self.at_rest, 0.0)


@dataclass(frozen=True, kw_only=True)
class Pull:
    """What one body motion does, from harness to device.

    Attributes
    ----------
    pose : Pose
        The pose
    excursion : Excursion
        Generated, captured, required [m]
    opening : float
        Distance of the device's fingertips [m]
    opening_at_rest : float
        The same with the arm hanging, before any motion [m]
    pinch : float
        Grip on an object that just fills this opening: once the pull is let go with voluntary opening;
        at `HELD` of the wearer's strength with voluntary closing [N]
    harness_force : float
        Tension of the control attachment strap [N]
    device_force : float
        Cable force that arrives at the device while pulling [N]
    strap_tension : mapping
        Tension of each strap by name [N]
    strap_slack : mapping
        How much longer than its way each strap is that bears no pull, by name; the control strap's with its cable [m]
    straps : mapping
        Run of each strap from the ring outwards, ISB axes [m], shape (nodes, 3)
    ring : ndarray
        Ring, ISB axes [m], shape (3,)
    ring_travel : float
        How far the ring has moved since donning [m]
    pad_shift : float
        How far the straps have drawn pad, socket and crossbar up the limb [m]
    ring_forces : mapping
        What each strap and the skin do to the ring, ISB axes [N], shape (3,)
    axilla_line_load : float
        Largest load of any strap in the sound armpit per length of strap [N/m]
    limited_by : str
        "nothing" if the device makes its whole travel within the wearer's strength, else "excursion",
        "slack" or "force"
    settled : bool
        Whether the straps settled; where they did not, the model has no answer
    states : tuple of State
        Outcomes worth knowing; none of them is an error
    travel : float
        How far the cable has drawn the device from its rest [m]
    inadvertent : float
        How far elbow and set-up alone would have moved the fingertips, the arm hanging [m]
    force_back : float
        Tension of the control attachment strap below which the device goes back [N]
    cable_share : float
        `harness_force` over the wearer's cable strength [-]
    fatigue : str
        What the cable share means over a day, in words; the shoulder share has none
    flexion_strength : float
        Moment of arm flexion that the wearer can make at this angle [N m]
    elbow_moment : float
        Moment with which the cable flexes the elbow; the wearer must resist it [N m]
    strap_load : mapping
        What each strap presses on the skin along its way, by name
    about_flexion : callable
        Finds `moment_arm` once it is asked for
    about_shoulder : callable
        Finds `shoulder_moment` once it is asked for

    Notes
    -----
    Two shares of two strengths, never one for the other: the cable share is of what a wearer can pull, once, through a
    harness; the shoulder share is of the moment of the muscles that flex the arm, with its own weight in it. What the
    muscles of the girdle do is in neither: nothing measured was found to hold it against.
    """

    pose: Pose
    excursion: Excursion
    opening: float
    opening_at_rest: float
    pinch: float
    harness_force: float
    device_force: float
    strap_tension: Mapping[str, float]
    strap_slack: Mapping[str, float]
    straps: Mapping[str, Array]
    ring: Array
    ring_travel: float
    pad_shift: float
    ring_forces: Mapping[str, Array]
    axilla_line_load: float
    limited_by: str
    settled: bool
    states: tuple[State, ...]
    travel: float
    inadvertent: float
    force_back: float
    cable_share: float
    fatigue: str
    flexion_strength: float
    elbow_moment: float
    strap_load: Mapping[str, StrapLoad]
    about_flexion: Callable[[], float] = field(repr=False, compare=False)
    about_shoulder: Callable[[], ShoulderMoment] = field(repr=False, compare=False)

    @cached_property
    def moment_arm(self) -> float:
        """Moment arm of the control strap about arm flexion, ring held [m]."""
        return self.about_flexion()

    @cached_property
    def shoulder_moment(self) -> ShoulderMoment:
        """Moment that flexors must make: straps, and the weight of arm and prosthesis [N m]."""
        return self.about_shoulder()

    @property
    def shoulder_share(self) -> float:
        """`shoulder_moment` over `flexion_strength`; none where straps and weight flex the arm by themselves [-]."""
        return max(self.shoulder_moment.total, 0.0) / self.flexion_strength


class Answering(Protocol):
    """What a motion needs of the system that made it: its device, and an answer for each pose."""

    @property
    def device(self) -> Device:
        """Terminal device."""

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
        """


@dataclass(frozen=True)
class Motion:
    """A sweep of arm flexion.

    Attributes
    ----------
    arm_flexion : ndarray
        Angles [rad], shape (angles,)
    system : Answering
        What was moved
    guess : Followed
        A start for a similar question; it makes that faster, never different
    """

    arm_flexion: Array
    system: Answering
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
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> motion = SingleControl(figure_of_eight(Wearer.average("male"))).sweep([0.0, 0.5])
        >>> motion.pull(1).pose.arm_flexion
        0.5
        """
        return self.system.answer(self.guess, which)

    def at(self, which: Sequence[int]) -> Motion:
        """The same motion, at some of its angles.

        Parameters
        ----------
        which : sequence of int
            Places in `arm_flexion` [-]

        Returns
        -------
        Motion
            The same results, fewer of them

        Examples
        --------
        >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
        >>> motion = SingleControl(figure_of_eight(Wearer.average("male"))).sweep([0.0, 0.3, 0.5])
        >>> motion.at([0, 2]).captured.tolist() == motion.captured[[0, 2]].tolist()
        True
        """
        asked = tuple(self.guess.asked[k] for k in which)
        return Motion(self.arm_flexion[list(which)], self.system, replace(self.guess, asked=asked))

    @property
    def generated(self) -> Array:
        """Generated excursion [m], shape (angles,)."""
        return np.asarray(generated(self.guess)[list(self.guess.asked)])

    @property
    def captured(self) -> Array:
        """Captured excursion [m], shape (angles,)."""
        return np.asarray(self._travel - self.at_rest)

    @property
    def at_rest(self) -> float:
        """What straps draw the device before any motion [m]."""
        return float(self.guess.travel[0])

    @property
    def required(self) -> Array:
        """Required excursion [m], shape (angles,)."""
        return np.full(len(self.arm_flexion), self.system.device.travel)

    @property
    def still_required(self) -> Array:
        """What is required beyond what straps have drawn at rest [m], shape (angles,)."""
        return np.maximum(self.required - self.at_rest, 0.0)

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
