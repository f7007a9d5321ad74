"""Where the worn parts lie in a picture, and which of them the body hides.

All points go through the mechanics in one call, because asking whether the
body hides a point is the dearest part of a picture.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.curves import through
from controlkit.draw.scene import Points
from controlkit.draw.words import View
from controlkit.mechanics.outline import hidden, joints, project

if TYPE_CHECKING:
    from controlkit.mechanics import Pose, Pull, Wearer

__all__ = ["CONTROL", "Run", "Worn", "look", "posed_joints"]

CONTROL = "control attachment strap"
_CROSSBAR = 0.030  # half the length of the drawn crossbar [m]
_HANGER = 0.050  # from the crossbar back to the hanger [m]


@dataclass(frozen=True, eq=False)
class Run:
    """One line in space and in the picture.

    Parameters
    ----------
    space : numpy.ndarray
        Shape (M, 3), ISB axes [m].
    flat : numpy.ndarray
        Shape (M, 2), to the viewer's right and up [m].
    covered : numpy.ndarray
        Shape (M,), true where the body hides the point.
    """

    space: Points
    flat: Points
    covered: NDArray[np.bool_]

    def cut(self, first: int, last: int | None) -> Run:
        """Take a piece of the line."""
        return Run(self.space[first:last], self.flat[first:last], self.covered[first:last])

    def place(self, index: int) -> tuple[float, float]:
        """Give one point in the picture [m]."""
        return float(self.flat[index, 0]), float(self.flat[index, 1])


@dataclass(frozen=True, eq=False)
class Worn:
    """What is worn, as the viewer sees it.

    Parameters
    ----------
    straps : dict
        The straps from the ring outwards, by name; the control attachment
        strap ends at its hanger.
    lead : Run
        The cable from the hanger to the crossbar.
    crossbar : Run
        Both ends of the crossbar.
    cable : Run
        The cable from the crossbar to the device.
    tails : tuple of Run
        Both legs of the inverted Y, from the anterior support strap to the pad.
    ring : Run
        The middle of the ring, one point.
    bar_hidden : bool
        Whether the arm hides the middle of the crossbar.
    """

    straps: dict[str, Run]
    lead: Run
    crossbar: Run
    cable: Run
    tails: tuple[Run, Run]
    ring: Run
    bar_hidden: bool


@lru_cache(maxsize=256)
def posed_joints(wearer: Wearer, pose: Pose) -> dict[str, Points]:
    """Ask for joints and landmarks once for each pose.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.

    Returns
    -------
    dict
        Places by name, shape (3,) each [m].
    """
    return joints(wearer, pose)


def look(wearer: Wearer, pull: Pull, view: View) -> Worn:
    """See everything that is worn from one side.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pull : Pull
        What the mechanics found.
    view : str
        "back", "side" or "front".

    Returns
    -------
    Worn
        Straps, ring, crossbar and cable as the viewer sees them.
    """
    bar, pad = _crossbar(wearer, pull)
    lines = {
        **pull.straps,
        "crossbar": bar,
        "cable": _cable(wearer, pull),
        "outer tail": _tail(wearer, pull, 1.0),
        "inner tail": _tail(wearer, pull, -1.0),
        "ring": np.atleast_2d(pull.ring),
        "pad": pad,
    }
    stacked = np.vstack(list(lines.values()))
    flat = project(stacked, view, wearer.amputated)
    covered = hidden(wearer, pull.pose, stacked, view)
    runs: dict[str, Run] = {}
    start = 0
    for name, points in lines.items():
        end = start + len(points)
        runs[name] = Run(points, flat[start:end], covered[start:end])
        start = end
    control = runs[CONTROL]
    cut = _hanger(control.space)
    straps = {name: runs[name] for name in pull.straps}
    straps[CONTROL] = control.cut(0, cut + 1)
    bar_hidden = bool(runs["pad"].covered.all())
    tails = runs["outer tail"], runs["inner tail"]
    return Worn(straps, control.cut(cut, None), runs["crossbar"], runs["cable"], tails, runs["ring"], bar_hidden)


def _hanger(points: Points) -> int:
    """Find the node of the control attachment strap where the hanger sits."""
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    left = np.append(steps[::-1].cumsum()[::-1], 0.0)  # from each node to the crossbar
    return int(np.argmin(np.abs(left - _HANGER)))


def arm_frame(wearer: Wearer, pull: Pull) -> tuple[Points, Points, Points, float, float]:
    """Describe the upper arm at the crossbar.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pull : Pull
        What the mechanics found.

    Returns
    -------
    tuple
        Directions along the arm, out to the crossbar and across, shape (3,)
        each [-]; distance of the crossbar from the arm's axis [m]; its share
        of the way from shoulder to elbow [-].
    """
    body = posed_joints(wearer, pull.pose)
    bar = pull.straps[CONTROL][-1] - body["shoulder"]
    along = body["elbow"] - body["shoulder"]
    length = float(np.linalg.norm(along))
    along = along / length
    down = float(bar @ along)
    out = bar - along * down
    size = max(float(np.linalg.norm(out)), 1e-9)
    out = out / size
    return along, out, _cross(along, out), size, down / length


def _cross(a: Points, b: Points) -> Points:
    return np.array([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


def _crossbar(wearer: Wearer, pull: Pull) -> tuple[Points, Points]:
    """Place both ends of the crossbar, and a point just off its pad."""
    _, out, across, _, _ = arm_frame(wearer, pull)
    at = pull.straps[CONTROL][-1]
    return np.stack([at - _CROSSBAR * across, at + _CROSSBAR * across]), (at + 0.006 * out)[None, :]


def _cable(wearer: Wearer, pull: Pull) -> Points:
    """Lead the cable from the crossbar past the elbow to the hook."""
    body = posed_joints(wearer, pull.pose)
    _, out, outward, size, _ = arm_frame(wearer, pull)
    if outward[2] * body["shoulder"][2] < 0.0:
        outward = -outward
    elbow, wrist = body["elbow"], body["wrist"]
    forearm = wrist - elbow
    stations = np.stack(
        [
            pull.straps[CONTROL][-1],
            elbow - 0.15 * (elbow - body["shoulder"]) + size * (0.45 * out + 0.75 * outward),
            elbow + 0.18 * forearm + 0.85 * size * outward,
            elbow + 0.7 * forearm + 0.65 * size * outward,
            wrist + 0.5 * size * outward,
            wrist + 0.16 * (body["device"] - wrist) + 0.3 * size * outward,
        ]
    )
    return through(stations, steps=4)


def _tail(wearer: Wearer, pull: Pull, side: float) -> Points:
    """Lead one leg of the inverted Y round the arm to the pad; drawn, not computed with."""
    body = posed_joints(wearer, pull.pose)
    along, out, across, size, share = arm_frame(wearer, pull)
    length = float(np.linalg.norm(body["elbow"] - body["shoulder"]))
    start = pull.straps["anterior support strap"][-1]
    down = float((start - body["shoulder"]) @ along)
    stations = [start]
    for turn, part in ((2.1, 0.55), (1.3, 0.95)):
        at = body["shoulder"] + along * (down + part * (share * length - down))
        stations.append(at + 0.97 * size * (np.cos(turn) * out + side * np.sin(turn) * across))
    return through(np.stack(stations), steps=4)
