"""What one side of a pair does to the other: one frozen result."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import PairPose
from controlkit.mechanics.harness.strap_load import StrapLoad
from controlkit.mechanics.states import State

Array = NDArray[np.float64]

MOVES = 0.001
"""Travel at which a device, or a forearm, is seen to move [m]. Assumption: a strip of paper."""


@dataclass(frozen=True, kw_only=True)
class PairSide:
    """One side of a pair.

    Attributes
    ----------
    side : str
        "left" or "right"
    harness_force : float
        Tension of its control attachment strap [N]
    device_force : float
        What of it comes to the device, as the cable moves [N]
    travel : float
        How far the cable has drawn the device, or lifted a free forearm [m]
    opening : float
        Distance of the fingertips [m]
    elbow_flexion : float
        Elbow, as far as a free forearm is lifted [rad]
    front_force : float
        Tension of its anterior support strap [N]
    slack : float
        How much of its control strap and cable hangs loose [m]
    pad_shift : float
        How far the straps have drawn its prosthesis up the limb [m]
    carried : float
        How hard they draw it up: what they would carry of a load on it, or press it on the limb [N]
    """

    side: str
    harness_force: float
    device_force: float
    travel: float
    opening: float
    elbow_flexion: float
    front_force: float
    slack: float
    pad_shift: float
    carried: float


@dataclass(frozen=True, kw_only=True)
class PairPull:
    """One side of a pair pulls: what arrives on either side.

    Attributes
    ----------
    side : str
        The side that pulls, "left" or "right"
    pose : PairPose
        Both arms, that of the side that pulls first
    own : PairSide
        The side that pulls
    other : PairSide
        The other side
    alone : PairSide
        The other side, its arm as it is, while the arm that pulls hangs at rest
    junction : ndarray
        Where all straps meet, ISB axes [m], shape (3,)
    junction_shift : ndarray
        How far that has gone since donning, ISB axes [m], shape (3,)
    junction_forces : mapping
        What each strap and the skin do to it, ISB axes [N], shape (3,)
    strap_tension : mapping
        Tension of each strap by side and name [N]
    strap_slack : mapping
        How much of each hangs loose [m]
    strap_load : mapping
        What each presses on the skin
    straps : mapping
        Run of each strap from the junction outwards, ISB axes [m], shape (nodes, 3)
    settled : bool
        Whether the straps settled; where they did not, the model has no answer
    states : tuple of State
        Outcomes worth knowing; none of them is an error
    about_opening : callable
        Finds `opens_at` once it is asked for
    """

    side: str
    pose: PairPose
    own: PairSide
    other: PairSide
    alone: PairSide
    junction: Array
    junction_shift: Array
    junction_forces: Mapping[str, Array]
    strap_tension: Mapping[str, float]
    strap_slack: Mapping[str, float]
    strap_load: Mapping[str, StrapLoad]
    straps: Mapping[str, Array]
    settled: bool
    states: tuple[State, ...]
    about_opening: Callable[[], float] = field(repr=False, compare=False)

    @property
    def crossed_force(self) -> float:
        """What the pull adds to the tension of the other side's control strap [N]."""
        return self.other.harness_force - self.alone.harness_force

    @property
    def crossed_travel(self) -> float:
        """What the pull adds to the travel of the other side's cable [m]."""
        return self.other.travel - self.alone.travel

    @property
    def other_opens(self) -> bool:
        """Whether the pull moves the other side's device (or its free forearm): cross-operation."""
        return self.crossed_travel > MOVES

    @cached_property
    def opens_at(self) -> float:
        """Least tension of the own control strap at which it does, or would; infinite if it never does [N].

        The arms stay in their poses. The own cable gives way at one tension after the other, as it does where its
        device asks for more, or has come to its end: so more can be borne than the own device asks for, but no more
        than the motion brings. It is nought where the motion works the other side through the front strap alone.
        """
        return self.about_opening()
