"""Where the worn parts lie in a picture, and which of them the body hides.

All points go through the mechanics in one call, because asking whether the
body hides a point is the dearest part of a picture.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.page.curves import through
from controlkit.draw.page.kept import kept
from controlkit.draw.page.scene import Points
from controlkit.draw.wearer.fittings import meeting, pads, reaching
from controlkit.draw.wearer.hanging import hanging
from controlkit.draw.wearer.posed import covered, posed_joints, posed_outlines
from controlkit.draw.wearer.seen import CrossbarArm, SeenHarness, SeenLine, SeenPad
from controlkit.draw.words.pull import View
from controlkit.mechanics.body.outline import directions, project
from controlkit.mechanics.harness.layout import CONTROL_STRAP

if TYPE_CHECKING:
    from controlkit.mechanics import Harness, Pose, Pull, Wearer

__all__ = ["look"]

_CROSSBAR = 0.030  # half the length of the drawn crossbar [m]
_HANGER = 0.050  # from the crossbar back to the hanger [m]
_CLEAR = 0.02  # further behind the forearm's ends than this is behind the forearm [m]


@kept(4)
def look(harness: Harness, pull: Pull, view: View) -> SeenHarness:
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
    SeenHarness
        Straps, ring, pads, crossbar and cable as the viewer sees them.
    """
    wearer, sewn = harness.wearer, harness.layout.sewn
    arm = _arm(wearer, pull)
    bar, pad = _crossbar(arm, pull)
    straps = {name: hanging(run, pull.strap_slack[name]) for name, run in pull.straps.items()}
    if sewn:
        straps = {name: reaching(run, pull.ring) for name, run in straps.items()}
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
    behind = covered(wearer, pull.pose, stacked, view)
    behind = behind | _behind_socket(wearer, pull.pose, view, space=stacked, flat=flat)
    runs: dict[str, SeenLine] = {}
    start = 0
    for name, points in lines.items():
        end = start + len(points)
        runs[name] = SeenLine(points, flat[start:end], behind[start:end])
        start = end
    control = runs[CONTROL_STRAP]
    cut = _hanger(control.space)
    seen = {name: runs[name] for name in pull.straps}
    seen[CONTROL_STRAP] = control.cut(0, cut + 1)
    return SeenHarness(
        straps=seen,
        lead=control.cut(cut, None),
        crossbar=runs["crossbar"],
        cable=runs["cable"],
        ring=runs["ring"],
        edge=runs["edge"],
        pads={name: SeenPad(runs[f"{name} 0"], runs[f"{name} 1"]) for name in edges},
        arm=arm,
        bar_hidden=bool(runs["pad"].covered.all()),
    )


def _behind_socket(wearer: Wearer, pose: Pose, view: View, *, space: Points, flat: Points) -> NDArray[np.bool_]:
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


def _arm(wearer: Wearer, pull: Pull) -> CrossbarArm:
    body = posed_joints(wearer, pull.pose)
    bar = pull.straps[CONTROL_STRAP][-1] - body["shoulder"]
    along = body["elbow"] - body["shoulder"]
    length = _size(along)
    along = along / length
    down = float(bar @ along)
    out = bar - along * down
    size = max(_size(out), 1e-9)
    out = out / size
    return CrossbarArm(along=along, out=out, across=_cross(along, out), size=size, share=down / length, length=length)


def _size(vector: Points) -> float:
    return float(np.sqrt(vector @ vector))


def _cross(a: Points, b: Points) -> Points:
    return np.array([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


def _crossbar(arm: CrossbarArm, pull: Pull) -> tuple[Points, Points]:
    """Place both ends of the crossbar, and a point just off its pad."""
    at = pull.straps[CONTROL_STRAP][-1]
    half = _CROSSBAR * arm.across
    return np.array([at - half, at + half]), (at + 0.006 * arm.out)[None, :]


def _cable(wearer: Wearer, pull: Pull, arm: CrossbarArm) -> Points:
    """Lead the cable from the crossbar past the elbow to the hook."""
    body = posed_joints(wearer, pull.pose)
    outward = arm.size * arm.across
    if outward[2] * body["shoulder"][2] < 0.0:
        outward = -outward
    elbow, wrist = body["elbow"], body["wrist"]
    forearm = wrist - elbow
    stations = np.array(
        [
            pull.straps[CONTROL_STRAP][-1],
            elbow - 0.15 * arm.length * arm.along + 0.45 * arm.size * arm.out + 0.75 * outward,
            elbow + 0.18 * forearm + 0.85 * outward,
            elbow + 0.7 * forearm + 0.65 * outward,
            wrist + 0.5 * outward,
            wrist + 0.16 * (body["device"] - wrist) + 0.3 * outward,
        ]
    )
    return through(stations, steps=3)
