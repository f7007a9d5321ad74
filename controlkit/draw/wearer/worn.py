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

from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Points
from controlkit.draw.wearer.fittings import meeting, pads, reaching
from controlkit.draw.words.pull import View
from controlkit.mechanics.body.outline import Outline, directions, hidden, outlines, project
from controlkit.mechanics.body.places import joints

if TYPE_CHECKING:
    from controlkit.mechanics import Harness, Pose, Pull, Wearer

__all__ = ["CONTROL", "Arm", "Run", "Strip", "Worn", "look", "posed_joints", "posed_outlines"]

CONTROL = "control attachment strap"
_CROSSBAR = 0.030  # half the length of the drawn crossbar [m]
_HANGER = 0.050  # from the crossbar back to the hanger [m]
_CLEAR = 0.02  # further behind the forearm's ends than this is behind the forearm [m]


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
        Shape (M,), true where the body hides the point [-].
    """

    space: Points
    flat: Points
    covered: NDArray[np.bool_]

    def cut(self, first: int, last: int | None) -> Run:
        """Take a piece of the line.

        Parameters
        ----------
        first : int
            Its first point [-].
        last : int, optional
            The point after its last one [-].

        Returns
        -------
        Run
            The piece.
        """
        return Run(self.space[first:last], self.flat[first:last], self.covered[first:last])

    def place(self, index: int) -> tuple[float, float]:
        """Give one point in the picture.

        Parameters
        ----------
        index : int
            Which point [-].

        Returns
        -------
        tuple of float
            To the viewer's right and up [m].
        """
        return float(self.flat[index, 0]), float(self.flat[index, 1])


@dataclass(frozen=True, eq=False)
class Strip:
    """A pad as the viewer sees it, between two edges.

    Parameters
    ----------
    one, other : Run
        Its edges, with as many points each.
    """

    one: Run
    other: Run

    def seen(self) -> list[Points]:
        """List the pieces that the viewer sees.

        Returns
        -------
        list of numpy.ndarray
            Closed shapes, shape (K, 2) each [m].
        """
        covered = self.one.covered & self.other.covered
        edge = np.flatnonzero(np.diff(np.concatenate([[True], covered, [True]]).astype(int)))
        pieces = zip(edge[::2], edge[1::2], strict=True)
        return [np.vstack([self.one.flat[a:b], self.other.flat[a:b][::-1]]) for a, b in pieces if b - a > 1]


@dataclass(frozen=True, eq=False)
class Arm:
    """The upper arm at the crossbar.

    Parameters
    ----------
    along : numpy.ndarray
        Direction from shoulder to elbow, shape (3,) [-].
    out : numpy.ndarray
        Direction from the arm's axis to the crossbar, shape (3,) [-].
    across : numpy.ndarray
        Direction of the crossbar, shape (3,) [-].
    size : float
        Distance of the crossbar from the arm's axis [m].
    share : float
        Share of the way from shoulder to elbow at which it sits [-].
    length : float
        From shoulder to elbow [m].
    """

    along: Points
    out: Points
    across: Points
    size: float
    share: float
    length: float


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
    ring : Run
        The middle of the ring or of the sewn patch, one point.
    edge : Run
        The edge of the sewn patch, no points where there is a ring.
    pads : dict
        Pads between straps and body, by name.
    arm : Arm
        The upper arm at the crossbar.
    bar_hidden : bool
        Whether the arm hides the middle of the crossbar.
    """

    straps: dict[str, Run]
    lead: Run
    crossbar: Run
    cable: Run
    ring: Run
    edge: Run
    pads: dict[str, Strip]
    arm: Arm
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


@lru_cache(maxsize=256)
def posed_outlines(wearer: Wearer, pose: Pose, view: View) -> dict[str, Outline]:
    """Ask for the outlines of the body once for each pose.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pose : Pose
        The pose.
    view : str
        "back", "side" or "front".

    Returns
    -------
    dict
        Outlines by name.
    """
    return {part.name: part for part in outlines(wearer, pose, view)}


def look(harness: Harness, pull: Pull, view: View) -> Worn:
    """See everything that is worn from one side.

    Parameters
    ----------
    harness : Harness
        The harness; it knows the wearer and how its straps meet.
    pull : Pull
        What the mechanics found.
    view : str
        "back", "side" or "front".

    Returns
    -------
    Worn
        Straps, ring, pads, crossbar and cable as the viewer sees them.
    """
    wearer, sewn = harness.wearer, harness.layout.sewn
    arm = _arm(wearer, pull)
    bar, pad = _crossbar(arm, pull)
    straps = {name: reaching(run, pull.ring) for name, run in pull.straps.items()} if sewn else pull.straps
    edges = pads(wearer, pull, arm, posed_joints(wearer, pull.pose)["shoulder"])
    lines = {
        **straps,
        "crossbar": bar,
        "cable": _cable(wearer, pull, arm),
        "ring": np.atleast_2d(pull.ring),
        "edge": meeting(pull, sewn),
        "pad": pad,
        **{f"{name} {side}": edge for name, both in edges.items() for side, edge in enumerate(both)},
    }
    stacked = np.vstack(list(lines.values()))
    flat = project(stacked, view, wearer.amputated)
    covered = hidden(wearer, pull.pose, stacked, view) | _behind_socket(wearer, pull.pose, stacked, flat, view)
    runs: dict[str, Run] = {}
    start = 0
    for name, points in lines.items():
        end = start + len(points)
        runs[name] = Run(points, flat[start:end], covered[start:end])
        start = end
    control = runs[CONTROL]
    cut = _hanger(control.space)
    seen = {name: runs[name] for name in pull.straps}
    seen[CONTROL] = control.cut(0, cut + 1)
    return Worn(
        seen,
        control.cut(cut, None),
        runs["crossbar"],
        runs["cable"],
        runs["ring"],
        runs["edge"],
        {name: Strip(runs[f"{name} 0"], runs[f"{name} 1"]) for name in edges},
        arm,
        bool(runs["pad"].covered.all()),
    )


def _behind_socket(wearer: Wearer, pose: Pose, space: Points, flat: Points, view: View) -> NDArray[np.bool_]:
    """Find the points that the forearm of the prosthesis covers: within its edge, and behind both its ends."""
    _, towards = directions(view, wearer.amputated)
    body, edge = posed_joints(wearer, pose), posed_outlines(wearer, pose, view)["socket"].points
    behind: NDArray[np.bool_] = space @ towards < min(float(body[end] @ towards) for end in ("elbow", "wrist")) - _CLEAR
    if not behind.any():
        return behind
    first, last = edge[:, None, :], np.roll(edge, -1, axis=0)[:, None, :]
    level = flat[None, :, 1]
    crossed = (first[..., 1] > level) != (last[..., 1] > level)
    rise = np.where(crossed, last[..., 1] - first[..., 1], 1.0)
    at = first[..., 0] + (level - first[..., 1]) * (last[..., 0] - first[..., 0]) / rise
    within: NDArray[np.bool_] = (crossed & (at > flat[None, :, 0])).sum(axis=0) % 2 == 1
    return behind & within


def _hanger(points: Points) -> int:
    """Find the node of the control attachment strap where the hanger sits."""
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    left = np.append(steps[::-1].cumsum()[::-1], 0.0)  # from each node to the crossbar
    return int(np.argmin(np.abs(left - _HANGER)))


def _arm(wearer: Wearer, pull: Pull) -> Arm:
    body = posed_joints(wearer, pull.pose)
    bar = pull.straps[CONTROL][-1] - body["shoulder"]
    along = body["elbow"] - body["shoulder"]
    length = _size(along)
    along = along / length
    down = float(bar @ along)
    out = bar - along * down
    size = max(_size(out), 1e-9)
    out = out / size
    return Arm(along, out, _cross(along, out), size, down / length, length)


def _size(vector: Points) -> float:
    return float(np.sqrt(vector @ vector))


def _cross(a: Points, b: Points) -> Points:
    return np.array([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


def _crossbar(arm: Arm, pull: Pull) -> tuple[Points, Points]:
    """Place both ends of the crossbar, and a point just off its pad."""
    at = pull.straps[CONTROL][-1]
    half = _CROSSBAR * arm.across
    return np.array([at - half, at + half]), (at + 0.006 * arm.out)[None, :]


def _cable(wearer: Wearer, pull: Pull, arm: Arm) -> Points:
    """Lead the cable from the crossbar past the elbow to the hook."""
    body = posed_joints(wearer, pull.pose)
    outward = arm.size * arm.across
    if outward[2] * body["shoulder"][2] < 0.0:
        outward = -outward
    elbow, wrist = body["elbow"], body["wrist"]
    forearm = wrist - elbow
    stations = np.array(
        [
            pull.straps[CONTROL][-1],
            elbow - 0.15 * arm.length * arm.along + 0.45 * arm.size * arm.out + 0.75 * outward,
            elbow + 0.18 * forearm + 0.85 * outward,
            elbow + 0.7 * forearm + 0.65 * outward,
            wrist + 0.5 * outward,
            wrist + 0.16 * (body["device"] - wrist) + 0.3 * outward,
        ]
    )
    return through(stations, steps=3)
