"""A device that was not turned to its object: how wide it must open, and what the arm must do instead."""

from __future__ import annotations

from dataclasses import astuple, dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.places import forearm_heading, joints
from controlkit.mechanics.body.pose import POSE_RANGES, Pose
from controlkit.mechanics.body.remembered import stand
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.inputs import within
from controlkit.mechanics.roots import illinois

Array = NDArray[np.float64]

TURNED = float(np.deg2rad(60.0))
"""How far a device is turned away from its object by the task before, lacking pronation [rad]. Assumption."""
SQUARE = float(np.deg2rad(10.0))
"""Turned away by less, fingers settle square on an object by themselves [rad]. Assumption."""
ACROSS = float(np.deg2rad(85.0))
"""Turned away by more, the fingers stand one above the other [rad]."""
AWAY, TO_OBJECT = "turned away", "turned to the object"
"""How the device can stand in a state of a sequence."""
_UP = np.array([0.0, 1.0, 0.0])


def opening_askew(width: float, turned: float) -> float:
    r"""How far apart fingertips must stand to pass an upright object that they meet askew.

    .. math:: w / \cos\psi

    Parameters
    ----------
    width : float
        Width w of the object [m]
    turned : float
        Angle psi from fingers square to the object [rad]

    Returns
    -------
    float
        Distance of the fingertips, infinite where they stand one above the other [m]

    Notes
    -----
    The object is taller than the device opens, and the fingers are thin.

    Examples
    --------
    >>> import math
    >>> round(opening_askew(0.03, math.radians(60.0)), 4)
    0.06
    """
    within("The angle", float(np.rad2deg(turned)), 0.0, 90.0 + 1e-6, example="deg(60)", unit=" degrees")
    return float("inf") if turned > ACROSS else float(width / np.cos(turned))


@dataclass(frozen=True, kw_only=True)
class Instead:
    """What the arm must do in place of the wrist unit.

    Attributes
    ----------
    pose : Pose
        The pose with the elbow lifted to the side until the fingers are square
    lift : float
        Arm abduction beyond that of the position [rad]
    moved : float
        How far that takes the device away, which the trunk must make up for [m]
    """

    pose: Pose
    lift: float
    moved: float


@lru_cache(maxsize=128)
def arm_instead(wearer: Wearer, pose: Pose, turned: float) -> Instead | None:
    """What abduction of the arm squares a device that lacks pronation.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        The position in which a device that was pre-positioned is square to an upright object
    turned : float
        How far the device is turned away, lacking pronation [rad]

    Returns
    -------
    Instead or None
        Nothing if the range of the arm does not reach

    Notes
    -----
    Fingers are square where their line is level. Abduction alone is tried: the model's arm does not turn about its
    own axis, and a wearer may bend the trunk as well.

    Examples
    --------
    >>> import math
    >>> from controlkit.mechanics.chain.positions import POSITIONS
    >>> instead = arm_instead(Wearer.average("male"), POSITIONS["table"], math.radians(60.0))
    >>> 55.0 < math.degrees(instead.lift) < 75.0
    True
    """
    heading, across, over = _device(wearer, pose)
    level = np.cross(_UP, heading)
    level = level / np.linalg.norm(level)
    start = np.arctan2(level @ over, level @ across) + turned
    line = float(np.cos(start)), float(np.sin(start))

    def drop(lifts: Array) -> Array:
        raised = (replace(pose, arm_abduction=pose.arm_abduction + float(lift)) for lift in lifts)
        found = (_device(wearer, one) for one in raised)
        return np.array([-(line[0] * side + line[1] * over) @ _UP for _, side, over in found])

    most = np.array([float(np.deg2rad(POSE_RANGES["arm_abduction"][1])) - pose.arm_abduction])
    least, ends = np.zeros(1), drop(most)
    if ends[0] < 0.0:
        return None
    (lift,) = illinois(drop, low=least, high=most, above=ends, close=1e-6).tolist()
    lifted = replace(pose, arm_abduction=pose.arm_abduction + lift)
    place, there = (joints(wearer, one)["device"] for one in (pose, lifted))
    return Instead(pose=lifted, lift=lift, moved=float(np.linalg.norm(there - place)))


def _device(wearer: Wearer, pose: Pose) -> tuple[Array, Array, Array]:
    """Forearm, elbow axis, and what is square to both, inner axes [-]."""
    body = stand(wearer, pose)
    heading, across = forearm_heading(body, pose, 0), body.axes[0, 0, :, 2]
    return heading, across, np.cross(heading, across)


def by_name(pose: Pose) -> dict[str, float]:
    """Its angles by name."""
    return dict(zip(Pose.__dataclass_fields__, astuple(pose), strict=True))
