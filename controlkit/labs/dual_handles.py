"""What can be dragged where one cable lifts the forearm: lift loop, housing end, forearm, and the arm once locked."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from controlkit.draw import Lifting
from controlkit.draw.wearer.posed import posed_joints
from controlkit.labs.page import Handle, Turn
from controlkit.mechanics import Pose
from controlkit.mechanics.body.outline import project
from controlkit.units import mm

__all__ = ["dual_handles"]

Array = NDArray[np.float64]
_PLACES = ("loop_along", "loop_ahead", "end_above", "end_ahead")
_LITTLE = mm(0.1)  # of each, over which it is asked how much more the lift takes up


def dual_handles(lifting: Lifting, *, locked: bool) -> tuple[Handle, ...]:
    """Make lift loop, housing end and device handles; the elbow locked, the upper arm too.

    Parameters
    ----------
    lifting : Lifting
        What is drawn: the elbow close to in the first picture, the whole arm in the second.
    locked : bool
        Whether the elbow is locked.

    Returns
    -------
    tuple of Handle
        Where each lies, and how it moves.

    Notes
    -----
    While the elbow is unlocked, another place of the loop lets the arm flex further or less, and the whole arm turns
    with it. Of that is counted in what comes of the cable that is taken up; that tension changes too is left out, as is
    all of it where the forearm has stopped on its way.
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
    follows = {} if locked else _arm_follows(lifting)

    def way(key: str, own: Array, at: Array) -> tuple[str, tuple[float, float]]:
        return key, _pair(own + sense * follows.get(key, 0.0) * _turned(at))

    def handle(name: str, at: Array, picture: int = 0, **moved: Array) -> Handle:
        return Handle(name, picture, _pair(axis + at), slides=tuple(way(key, own, at) for key, own in moved.items()))

    held = body["device"] - axis
    handles = (
        handle("lift loop", loop, loop_along=along, loop_ahead=ahead),
        handle("housing end", end, end_above=up, end_ahead=front),
        handle("forearm", held, 1, elbow_flexion=sense * _turned(held)),
    )
    if not locked:
        return handles
    return *handles, Handle("arm", 1, _pair(body["shoulder"]), turn=Turn("arm_flexion", _pair(axis), sense))


def _arm_follows(lifting: Lifting) -> dict[str, float]:
    """How much further the arm flexes for a little more of each slider, its tension the same [rad/rad, rad/m]."""
    lifted, at, line = lifting.lifted, lifting.at, lifting.system.line
    if lifted.limited_by[at] != "nothing":
        return {}
    ends = max(at - 1, 1), min(at + 1, len(lifted.elbow_flexion) - 1)
    raised, elbow, taken = (
        float(np.diff(each[list(ends)])[0]) for each in (lifted.arm_flexion, lifted.elbow_flexion, lifted.required)
    )
    if not (np.isfinite(raised) and elbow > 0.0 and taken > 0.0):
        return {}
    found = {"elbow_flexion": raised / elbow}
    for key in _PLACES:
        more = replace(line, **{key: getattr(line, key) + _LITTLE})
        grown = [float(each.travel(lifting.elbow_flexion, lifting.system.hangs_at)) for each in (line, more)]
        found[key] = (grown[1] - grown[0]) / _LITTLE * raised / taken
    return found


def _unit(way: Array) -> Array:
    return np.asarray(way / np.hypot(*way))


def _turned(way: Array) -> Array:
    """A quarter of a turn anticlockwise."""
    return np.array([-way[1], way[0]])


def _pair(point: Array) -> tuple[float, float]:
    return float(point[0]) + 0.0, float(point[1]) + 0.0
