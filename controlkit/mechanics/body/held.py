"""The device held where it is in space: how the arm makes up for what the shoulder girdle does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.places import device_at
from controlkit.mechanics.body.pose import POSE_RANGES, Pose, posed
from controlkit.mechanics.body.wearer import Wearer
from controlkit.units import InputError

Array = NDArray[np.float64]

COMPENSATING = ("arm_flexion", "arm_abduction", "elbow_flexion")
"""Angles that bring the device back: humerus and elbow."""
ASIDE = float(np.deg2rad(15.0))
"""How far the upper arm is moved out or in to bring the device back [rad]. Assumption: near the mouth the device
stands beside the shoulder, where even a large angle hardly moves it sideways, and nobody would make one."""
_TURN, _DAMPING, _LIMIT = 1e-5, 1e-6, 60  # [rad], [m²/rad²], steps


@dataclass(frozen=True, kw_only=True)
class HeldPose:
    """A motion made with the device held in space.

    Attributes
    ----------
    pose : Pose
        The motion, and what makes up for it
    missed : float
        How far the device is from where it was, because an angle has come to its end [m]
    """

    pose: Pose
    missed: float


def hold_device(
    wearer: Wearer, pose: Pose, by: Sequence[str] = COMPENSATING, *, aside: float = ASIDE, **motion: float
) -> HeldPose:
    r"""Add a motion to a pose while humerus and elbow keep the device where it is.

    .. math:: \min_{\theta} |\mathbf{x}(pose + motion, \theta) - \mathbf{x}(pose)|^2, \quad
              \theta \in [\theta_{low}, \theta_{high}]

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        Where the device is held
    by : sequence of str
        Angles that make up for the motion
    aside : float
        How far arm abduction may change meanwhile [rad]
    **motion : float
        Angles of the pose to change, for instance ``scapular_abduction`` [rad]

    Returns
    -------
    HeldPose
        The pose that comes of it, and by how much the device could not be held

    Raises
    ------
    InputError
        If an angle is unknown, outside its range, or is to move and to make up for it

    Notes
    -----
    Damped Gauss-Newton steps; an angle at its end stays there while it would go further. Turning the upper arm about
    its own axis is not among the angles of a pose: abduction moves the device sideways instead. Near the body that is
    little. At the mouth it is as much as `aside` allows, does not suffice where the scapula is drawn back, and adds
    excursion that a turned arm would not.

    Examples
    --------
    >>> man, table = Wearer.average("male"), Pose(arm_flexion=0.35, elbow_flexion=1.2)
    >>> held = hold_device(man, table, scapular_abduction=0.35)
    >>> held.missed < 1e-5, held.pose.arm_flexion < table.arm_flexion
    (True, True)
    """
    both = [name for name in motion if name in by]
    if both:
        raise InputError(
            given=f'"{both[0]}" was given as a motion.',
            allowed=f"It makes up for the motion, with: {', '.join(by)}.",
            do="Change the pose itself, or leave this angle out of `by`.",
        )
    for name in by:
        if name not in POSE_RANGES:
            raise InputError(given=f'There is no angle "{name}".', allowed=f"A pose has: {', '.join(POSE_RANGES)}.")
    moved = posed({**vars(pose), **motion})
    return _held(wearer, pose, moved=moved, by=tuple(by), aside=float(aside))


@lru_cache(maxsize=512)
def _held(wearer: Wearer, pose: Pose, *, moved: Pose, by: tuple[str, ...], aside: float) -> HeldPose:
    goal = device_at(wearer, [pose])[0]
    now = np.array([getattr(moved, name) for name in by], dtype=float)
    low, high = np.deg2rad([POSE_RANGES[name] for name in by]).T
    if "arm_abduction" in by:
        k = by.index("arm_abduction")
        low[k], high[k] = max(low[k], now[k] - aside), min(high[k], now[k] + aside)

    def at(angles: Array) -> Pose:
        return replace(moved, **{name: float(angle) for name, angle in zip(by, angles, strict=True)})

    for _ in range(_LIMIT):
        signs = np.where(now + _TURN > high, -1.0, 1.0)  # at the end of a range the difference is taken inwards
        tried = [now, *(now + _TURN * sign * turn for sign, turn in zip(signs, np.eye(len(by)), strict=True))]
        off = device_at(wearer, [at(angles) for angles in tried]) - goal
        rates = ((off[1:] - off[0]) / (_TURN * signs)[:, None]).T
        then = np.clip(now + _step(rates, -off[0], up=now < high, down=now > low), low, high)
        if np.abs(then - now).max() < 1e-9:
            break
        now = then
    pose_ = at(now)
    return HeldPose(pose=pose_, missed=float(np.linalg.norm(device_at(wearer, [pose_])[0] - goal)))


def _step(rates: Array, wanted: Array, *, up: NDArray[np.bool_], down: NDArray[np.bool_]) -> Array:
    """Least-squares step of the angles that are not at an end and pressed against it."""
    free = np.ones(len(up), dtype=bool)
    step = np.zeros(len(up))
    while free.any():
        some = rates[:, free]
        step[:] = 0.0
        step[free] = np.linalg.solve(some.T @ some + _DAMPING * np.eye(int(free.sum())), some.T @ wanted)
        stuck = free & ((~up & (step > 0.0)) | (~down & (step < 0.0)))
        if not stuck.any():
            break
        free &= ~stuck
    return np.where(free, step, 0.0)
