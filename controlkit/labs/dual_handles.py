"""What can be dragged where one cable lifts the forearm: lift loop, housing end, forearm, and the arm once locked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from controlkit.draw import Lifting
from controlkit.draw.wearer.posed import posed_joints
from controlkit.labs.page import Handle, Turn
from controlkit.mechanics import Pose
from controlkit.mechanics.body.outline import project
from controlkit.units import deg, mm

__all__ = ["dual_handles"]

Array = NDArray[np.float64]
_LITTLE = {"elbow_flexion": deg(1.0), **dict.fromkeys(("loop_along", "loop_ahead", "end_above", "end_ahead"), mm(1.0))}
"""Over which it is asked how much further the arm must flex [rad, m]."""


def dual_handles(lifting: Lifting, *, locked: bool, motion: Mapping[str, float]) -> tuple[Handle, ...]:
    """Make lift loop, housing end and device handles; the elbow locked, the upper arm too.

    Parameters
    ----------
    lifting : Lifting
        What is drawn, in the first picture.
    locked : bool
        Whether the elbow is locked.
    motion : mapping of str to float
        Other angles of the pose, as in `Pose` [rad].

    Returns
    -------
    tuple of Handle
        Where each lies, and how it moves.

    Notes
    -----
    While the elbow is unlocked, another place of the loop lets the arm flex further or less, and the whole arm turns
    with it: that is counted in. Where the forearm has stopped on its way, it is not.
    """
    wearer = lifting.system.harness.wearer
    pose = Pose(arm_abduction=0.0, arm_flexion=lifting.inclination, elbow_flexion=lifting.elbow_flexion)
    body = {
        name: np.array(project(point, "side", wearer.amputated)) for name, point in posed_joints(wearer, pose).items()
    }
    sense = 1 if wearer.amputated == "right" else -1
    axis = body["elbow"]
    up, along = (_unit(body[name] - axis) for name in ("shoulder", "wrist"))
    front, ahead = -sense * _turned(up), sense * _turned(along)
    line = lifting.system.line
    loop = line.loop_along * along + line.loop_ahead * ahead
    end = line.end_above * up + line.end_ahead * front
    follows = {} if locked else _arm_follows(lifting, motion)

    def way(key: str, own: Array, at: Array) -> tuple[str, tuple[float, float]]:
        return key, _pair(own + sense * follows.get(key, 0.0) * _turned(at))

    def handle(name: str, at: Array, **moved: Array) -> Handle:
        return Handle(name, 0, _pair(axis + at), slides=tuple(way(key, own, at) for key, own in moved.items()))

    held = body["device"] - axis
    handles = (
        handle("lift loop", loop, loop_along=along, loop_ahead=ahead),
        handle("housing end", end, end_above=up, end_ahead=front),
        handle("forearm", held, elbow_flexion=sense * _turned(held)),
    )
    if not locked:
        return handles
    return *handles, Handle("arm", 0, _pair(body["shoulder"]), turn=Turn("arm_flexion", _pair(axis), sense))


def _arm_follows(lifting: Lifting, motion: Mapping[str, float]) -> dict[str, float]:
    """How much further the arm flexes for a little more of each slider [rad/rad, rad/m]."""
    system, here, load = lifting.system, lifting.elbow_flexion, lifting.lifted.load
    if lifting.lifted.limited_by[lifting.at] != "nothing":
        return {}
    found: dict[str, float] = {}
    for key, little in _LITTLE.items():
        ends = []
        for step in (-0.5 * little, 0.5 * little):
            other, angle = system, here
            if key == "elbow_flexion":
                angle = here + step
            else:
                line = system.line
                other = system.fitted(line=replace(line, **{key: getattr(line, key) + step}))
            ends.append(float(other.lift([angle], load=load, **motion).arm_flexion[0]))
        found[key] = (ends[1] - ends[0]) / little if np.isfinite(ends).all() else 0.0
    return found


def _unit(way: Array) -> Array:
    return np.asarray(way / np.hypot(*way))


def _turned(way: Array) -> Array:
    """A quarter of a turn anticlockwise."""
    return np.array([-way[1], way[0]])


def _pair(point: Array) -> tuple[float, float]:
    return float(point[0]) + 0.0, float(point[1]) + 0.0
