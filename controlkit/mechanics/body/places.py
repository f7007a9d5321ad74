"""Places of a posed body by name, and points moved onto its skin."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import Posed, place, to_right
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.remembered import built, stand
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.surface.field import Field, bound

Array = NDArray[np.float64]


def joints(wearer: Wearer, pose: Pose) -> dict[str, Array]:
    """Joints and landmarks of a posed body, by name.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        The pose

    Returns
    -------
    dict
        "c7", "shoulder", "elbow", "wrist" and "device" of the amputated side, "sound shoulder",
        "sound elbow", "sound wrist", in ISB axes [m], shape (3,) each

    Examples
    --------
    >>> float(joints(Wearer.average("male"), Pose())["c7"][1].round(3))
    0.079
    """
    shape, body = built(wearer), stand(wearer, pose)
    found = {"c7": np.array([-shape.neck_radius[0], shape.height["c7"][0], 0.0])}
    for side, before in ((0, ""), (1, "sound ")):
        wrist = body.elbow[0, side] + shape.forearm[0] * forearm_heading(body, pose, side)
        found[before + "shoulder"], found[before + "elbow"] = body.joint[0, side], body.elbow[0, side]
        found[before + "wrist"] = wrist
    found["device"] = _device(wearer, body, pose)
    return {name: to_right(point, wearer.amputated) for name, point in found.items()}


def device_at(wearer: Wearer, poses: Sequence[Pose]) -> Array:
    """Where the device is in some poses, all at once.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    poses : sequence of Pose
        Poses

    Returns
    -------
    ndarray
        The point that `joints` calls "device", ISB axes [m], shape (poses, 3)

    Examples
    --------
    >>> man, poses = Wearer.average("male"), [Pose(), Pose(elbow_flexion=1.0)]
    >>> bool(np.allclose(device_at(man, poses)[1], joints(man, poses[1])["device"]))
    True
    """
    body = place(built(wearer), np.zeros(len(poses), dtype=np.intp), poses)
    return to_right(np.stack([_device(wearer, body, pose, row) for row, pose in enumerate(poses)]), wearer.amputated)


def _device(wearer: Wearer, body: Posed, pose: Pose, row: int = 0) -> Array:
    length = float(built(wearer).forearm[0]) + 0.9 * wearer.hand_length
    return np.asarray(body.elbow[row, 0] + length * forearm_heading(body, pose, 0, row))


def forearm_heading(body: Posed, pose: Pose, side: int, row: int = 0) -> Array:
    """Direction from elbow to wrist, inner axes [-]; the elbow of the sound side (1) hangs a little bent."""
    front, along = body.axes[row, side, :, 0], body.axes[row, side, :, 1]
    bend = pose.elbow_flexion if side == 0 else np.deg2rad(10.0)
    return np.asarray(-np.cos(bend) * along + np.sin(bend) * front)


def on_skin(wearer: Wearer, pose: Pose, points: Array) -> Array:
    """Points near a posed body moved straight onto its skin.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        The pose
    points : ndarray
        Points near the skin, ISB axes [m], shape (points, 3)

    Returns
    -------
    ndarray
        Points on trunk, shoulders or upper arms, ISB axes [m], shape (points, 3)

    Examples
    --------
    >>> import numpy as np
    >>> at = on_skin(Wearer.average("male"), Pose(), np.array([[-0.15, -0.1, 0.0]]))
    >>> bool(-0.20 < at[0, 0] < -0.10)
    True
    """
    at = _skin(wearer, pose).onto(np.ascontiguousarray(to_right(points, wearer.amputated).T), 5)
    return to_right(np.ascontiguousarray(at.T), wearer.amputated)


def _skin(wearer: Wearer, pose: Pose) -> Field:
    """The skin of a posed body, kept from question to question."""
    return bound(stand(wearer, pose).surface, np.zeros(1, dtype=np.intp))


def facing(wearer: Wearer, pose: Pose, points: Array) -> Array:
    """Which way the skin of a posed body faces nearest to some points.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    pose : Pose
        The pose
    points : ndarray
        Points near the skin, ISB axes [m], shape (points, 3)

    Returns
    -------
    ndarray
        Directions outward, ISB axes [-], shape (points, 3)

    Examples
    --------
    >>> import numpy as np
    >>> way = facing(Wearer.average("male"), Pose(), np.array([[-0.15, -0.1, 0.0]]))[0]
    >>> bool(way[0] < -0.9), round(float(np.linalg.norm(way)), 6)
    (True, 1.0)
    """
    _, slope = _skin(wearer, pose).slope(np.ascontiguousarray(to_right(points, wearer.amputated).T))
    slope = slope / np.maximum(np.linalg.norm(slope, axis=0), 1e-9)
    return to_right(np.ascontiguousarray(slope.T), wearer.amputated)
