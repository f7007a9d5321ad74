"""Stations of a motion: which poses lie on the way to those asked for, and which of them an earlier motion knows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import PairPose, Pose

Array = NDArray[np.float64]
Index = NDArray[np.intp]

REST = Pose()
"""The pose in which a harness is put on."""
STEP = float(np.deg2rad(15.0))
"""Step in which arm flexion is followed [rad]."""
_STEPS = {"arm_flexion": STEP, "arm_abduction": STEP, "scapular_abduction": STEP / 3, "shoulder_elevation": STEP / 3}
"""The same of all angles where both arms move at once: a girdle moves straps furthest [rad]."""
ALIKE = 0.3
"""How much two poses may differ in all for straps to find their way from one to the other [rad, and m]."""


@dataclass(frozen=True)
class Itinerary:
    """The stations of a motion.

    Attributes
    ----------
    poses : tuple of Pose
        Every pose on the way, the first is donning
    before : ndarray
        Station before each, -1 for the first [-], shape (stations,)
    asked : tuple of int
        Station of each pose asked for
    """

    poses: tuple[Pose, ...]
    before: Index
    asked: tuple[int, ...]


@lru_cache(maxsize=64)
def itinerary(poses: tuple[Pose, ...]) -> Itinerary:
    """Stations of the fixed rule for the poses asked for.

    Parameters
    ----------
    poses : tuple of Pose
        Poses asked for

    Returns
    -------
    Itinerary
        Their stations, kept for the next question

    Examples
    --------
    >>> way = itinerary((Pose(arm_flexion=0.3), Pose(arm_flexion=0.1)))
    >>> len(way.poses), way.before.tolist(), way.asked
    (4, [-1, 0, 1, 0], (2, 3))
    """
    rest = rest_of(poses)
    stations: list[Pose] = [rest]
    before: list[int] = [-1]
    index: dict[Pose, int] = {rest: 0}

    def add(pose: Pose, after: int) -> int:
        if pose not in index:
            index[pose] = len(stations)
            stations.append(pose)
            before.append(after)
        return index[pose]

    asked = []
    for pose in poses:
        at = 0
        for station in _both_arms(pose) if isinstance(pose, PairPose) else _one_arm(pose):
            at = add(station, at)
        asked.append(add(_on_grid(pose), at))
    return Itinerary(tuple(stations), np.array(before, dtype=np.intp), tuple(asked))


def rest_of(poses: Sequence[Pose]) -> Pose:
    """The pose in which a harness is put on before some poses: both arms hanging where both are told of.

    Parameters
    ----------
    poses : sequence of Pose
        Poses

    Returns
    -------
    Pose
        One of their kind

    Examples
    --------
    >>> rest_of([Pose(arm_flexion=1.0)]) == REST
    True
    """
    return PairPose() if any(isinstance(pose, PairPose) for pose in poses) else REST


def _one_arm(pose: Pose) -> list[Pose]:
    """Stations on the way to a pose: its posture in one step, then arm flexion in steps."""
    led = replace(pose, elbow_flexion=REST.elbow_flexion)  # the elbow moves no strap: one way serves every bend of it
    steps = 0
    while (steps + 1) * STEP < abs(pose.arm_flexion) - 1e-9:
        steps += 1
    if not abs(pose.arm_flexion) > 0.0:
        return []
    return [replace(led, arm_flexion=math.copysign(k * STEP, pose.arm_flexion)) for k in range(steps + 1)]


def _both_arms(pose: PairPose) -> list[PairPose]:
    """Stations on the way to a pose of both arms: all angles in even steps, so that neither arm goes first."""
    arms, rest = (pose, pose.other), Pose()
    apart = [abs(getattr(arm, name) - getattr(rest, name)) / most for arm in arms for name, most in _STEPS.items()]
    count = math.ceil(max(apart) - 1e-6)  # an angle that was rounded as it was written asks for no step more

    def led(arm: Pose, share: float) -> dict[str, float]:
        begin = ((name, getattr(rest, name)) for name in (*_STEPS, "socket_slip"))
        return {name: start + share * (getattr(arm, name) - start) for name, start in begin}

    shares = (k / count for k in range(1, count))
    return [PairPose(**led(pose, share), other=Pose(**led(pose.other, share))) for share in shares]


def _on_grid(pose: Pose) -> Pose:
    """The pose itself, its arm flexion that of the station where it is one but for rounding."""
    whole = round(pose.arm_flexion / STEP) * STEP
    return replace(pose, arm_flexion=whole) if abs(whole - pose.arm_flexion) < 1e-9 else pose


def alike(poses: tuple[Pose, ...], others: tuple[Pose, ...]) -> tuple[Index, Index]:
    """Which stations of an earlier motion are those of this one, or near enough to start from.

    Parameters
    ----------
    poses : tuple of Pose
        Stations of this motion
    others : tuple of Pose
        Those of the earlier one

    Returns
    -------
    same : ndarray
        The station of the same pose, -1 where there is none [-], shape (stations,)
    near : ndarray
        The station of the pose most like it, -1 where none is like it [-], shape (stations,)

    Examples
    --------
    >>> same, near = alike((REST, Pose(arm_flexion=0.5)), (REST, Pose(arm_flexion=0.4), Pose(arm_flexion=1.4)))
    >>> same.tolist(), near.tolist()
    ([0, -1], [0, 1])
    """
    if poses == others:
        every = np.arange(len(poses))
        return every, every
    index = {pose: k for k, pose in enumerate(others)}
    same = np.array([index.get(pose, -1) for pose in poses], dtype=np.intp)
    apart = np.abs(_values(poses)[:, None] - _values(others)[None])
    flexed = apart[:, :, _FLEXION :: len(_NAMES)].max(axis=2)
    total = np.where(flexed > STEP + 1e-9, np.inf, apart.sum(axis=2))
    near = total.argmin(axis=1)
    return same, np.where(total.min(axis=1) <= ALIKE, near, -1)


_NAMES = tuple(f.name for f in fields(Pose))
_FLEXION = _NAMES.index("arm_flexion")


def _values(poses: tuple[Pose, ...]) -> Array:
    """Poses as rows of numbers, those of another arm behind those of the first."""
    arms = ((pose, pose.other) if isinstance(pose, PairPose) else (pose,) for pose in poses)
    return np.array([[getattr(arm, name) for arm in each for name in _NAMES] for each in arms])
