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
        furthest = _furthest(pose)
        steps = 0
        while (steps + 1) * STEP < furthest - 1e-9:
            steps += 1
        at = 0
        if furthest > 0.0:
            for k in range(steps + 1):
                at = add(_on_way(pose, k * STEP, furthest), at)
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


def _furthest(pose: Pose) -> float:
    """Flexion or extension of the arm, of both the larger [rad]."""
    other = pose.other.arm_flexion if isinstance(pose, PairPose) else 0.0
    return max(abs(pose.arm_flexion), abs(other))


def _on_way(pose: Pose, far: float, furthest: float) -> Pose:
    """The pose with elbows straight and the arm that goes furthest so far; the other one keeps pace."""

    def led(arm: Pose) -> Pose:
        whole = abs(arm.arm_flexion) == furthest
        flexion = math.copysign(far, arm.arm_flexion) if whole else arm.arm_flexion * far / furthest
        # the elbow moves no strap: one way serves every bend of it
        return replace(arm, elbow_flexion=REST.elbow_flexion, arm_flexion=flexion)

    moved = led(pose)
    return replace(moved, other=led(moved.other)) if isinstance(moved, PairPose) else moved


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
