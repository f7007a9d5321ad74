"""The angles of one pose, as a fitter sees them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from controlkit.mechanics.inputs import kind, number, within
from controlkit.units import InputError


@dataclass(frozen=True, kw_only=True)
class Pose:
    """Angles of one pose as a fitter sees them, the arm measured against the trunk.

    Parameters
    ----------
    arm_flexion : float
        Upper arm forward of hanging, amputated side; negative is extension [rad]
    arm_abduction : float
        Upper arm away from the trunk, amputated side [rad]
    elbow_flexion : float
        0 is straight [rad]
    scapular_abduction : float
        Protraction of the scapula, amputated side, on top of what raising the arm does [rad]
    shoulder_elevation : float
        Shrug (+) or depression (-) of the amputated side [rad]
    sound_arm_abduction : float
        Sound arm away from the trunk; further where it would shut the armpit on the loop [rad]
    sound_scapular_abduction : float
        Protraction of the sound side [rad]
    socket_slip : float
        How far the socket has been dragged down the residual limb [m]

    Raises
    ------
    InputError
        If an angle is outside its range

    Notes
    -----
    The sound arm of an average woman stands at 41 degrees and an average man's at 52 where 35 are asked for: the
    model's arm is rigid, and nearer the chest it would squeeze the loop as no arm of flesh does.

    Ranges: flexion -50 to 170 degrees, abduction 0 to 130, elbow 0 to 150, protraction -25 to
    30 (kinesiology texts, from memory: 15 to 30 each way), elevation -10 to 35.

    Examples
    --------
    >>> Pose(arm_flexion=1.0).elbow_flexion
    0.0
    """

    arm_flexion: float = 0.0
    arm_abduction: float = float(np.deg2rad(10.0))
    elbow_flexion: float = 0.0
    scapular_abduction: float = 0.0
    shoulder_elevation: float = 0.0
    sound_arm_abduction: float = float(np.deg2rad(35.0))
    sound_scapular_abduction: float = 0.0
    socket_slip: float = 0.0

    def __post_init__(self) -> None:
        for name, (low, high) in POSE_RANGES.items():
            what, how = name.replace("_", " ").capitalize(), "write deg(60) for 60 degrees"
            given = float(np.rad2deg(number(what, getattr(self, name), "deg(60)")))
            within(what, given, low - 1e-6, high + 1e-6, example="deg(60)", unit=" degrees", hint=how)
        off = "beyond that the prosthesis has come off"
        within("The slip of the socket", self.socket_slip, 0.0, MOST_SLIP, example="mm(10)", of="length", hint=off)


def posed(angles: Mapping[str, Any]) -> Pose:
    """Make a pose from angles by name.

    Parameters
    ----------
    angles : mapping
        Angles by name [rad]

    Returns
    -------
    Pose
        The pose

    Raises
    ------
    InputError
        If there is no angle of that name, or it is outside its range

    Examples
    --------
    >>> posed({"arm_flexion": 0.5}).arm_flexion
    0.5
    """
    known = tuple(Pose.__dataclass_fields__)
    for name in angles:
        if name not in known:
            raise InputError(
                given=f'There is no angle "{name}".',
                allowed=f"A pose has: {', '.join(known)}.",
            )
    return Pose(**angles)


POSE_RANGES: dict[str, tuple[float, float]] = {
    "arm_flexion": (-50.0, 170.0),
    "arm_abduction": (0.0, 130.0),
    "elbow_flexion": (0.0, 150.0),
    "scapular_abduction": (-25.0, 30.0),
    "shoulder_elevation": (-10.0, 35.0),
    "sound_arm_abduction": (30.0, 90.0),
    "sound_scapular_abduction": (-25.0, 30.0),
}
"""Range of each angle of a pose, low and high [deg]."""

MOST_SLIP = 0.08
"""A socket dragged down further has come off [m]. Assumption."""


@dataclass(frozen=True, kw_only=True)
class PairPose(Pose):
    """One pose of a wearer with a prosthesis on either arm: that of the side that is looked from, and of the other.

    Parameters
    ----------
    arm_flexion, arm_abduction, elbow_flexion, scapular_abduction, shoulder_elevation : float
        As of a `Pose` [rad]
    sound_arm_abduction, sound_scapular_abduction : float
        As of a `Pose`; they play no part here [rad]
    socket_slip : float
        As of a `Pose` [m]
    other : Pose
        The other arm, as its own amputated side; what either pose says of a sound side plays no part

    Examples
    --------
    >>> PairPose(arm_flexion=1.0).other.arm_flexion
    0.0
    """

    other: Pose = Pose()

    def __post_init__(self) -> None:
        super().__post_init__()
        kind("The other arm's pose", self.other, Pose, "Pose(arm_flexion=deg(60))")
