"""The forearm of the prosthesis: a tapered, laminated shell, trimmed for the bend of the elbow."""

from __future__ import annotations

import numpy as np

from controlkit.draw.gear.arm import Arm
from controlkit.draw.gear.sight import Panel, Sight, unit
from controlkit.draw.page.scene import Line, Points

__all__ = ["socket_line", "socket_rings", "socket_sheet"]

_STATIONS = 21  # from the trim line to the wrist
_TURNS = 11  # from edge to edge as seen


def _round(arm: Arm, sight: Sight) -> tuple[Points, Points]:
    """Directions round the forearm that face the viewer, from edge to edge, and whether it is seen from its end."""
    lean = float(sight.towards @ arm.heading)
    facing = sight.towards - lean * arm.heading
    square = float(np.linalg.norm(facing))
    first = facing / square if square > 1e-3 else arm.volar
    taper = float(arm.radius(0.35) - arm.radius(1.0)) / (0.65 * arm.forearm)
    most = float(np.arccos(np.clip(-lean * taper / max(square, 1e-3), -1.0, 1.0)))
    turn = np.linspace(-most, most, _TURNS if most < 2.2 else 4 * _TURNS)[:, None]
    return np.cos(turn) * first + np.sin(turn) * np.cross(arm.heading, first), turn[:, 0]


def socket_sheet(arm: Arm, sight: Sight) -> Panel:
    """Shape what of the shell faces the viewer, from the trim line to the wrist.

    Parameters
    ----------
    arm : Arm
        The arm.
    sight : Sight
        The view; the shell does not hide itself.

    Returns
    -------
    Panel
        Columns from elbow to wrist, rows from edge to edge.
    """
    way, _ = _round(arm, sight)
    begin = arm.trim(way)
    share = begin + np.linspace(0.0, 1.0, _STATIONS)[:, None] * (1.0 - begin)
    radius = arm.radius(share)
    points = arm.elbow + share[..., None] * arm.forearm * arm.heading + radius[..., None] * way
    flat = points.reshape(-1, 3)
    return Panel(sight.flat(points), sight.hides(flat).reshape(share.shape))


def socket_rings(arm: Arm) -> Points:
    """Set points all round the shell, at its trim line and three more places, shape (M, 3) [m]."""
    turn = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)[:, None]
    way = np.cos(turn) * arm.volar + np.sin(turn) * arm.outward
    shares = [arm.trim(way), *(np.full(len(way), share) for share in (0.25, 0.6, 1.0))]
    return np.vstack(
        [
            arm.elbow + share[:, None] * arm.forearm * arm.heading + arm.radius(share)[:, None] * unit(way)
            for share in shares
        ]
    )


def socket_line(arm: Arm, sight: Sight, share: float, *, style: str, name: str) -> Line:
    """Draw a line round the shell at a share of the way from elbow to wrist."""
    way, _ = _round(arm, sight)
    points = arm.elbow + share * arm.forearm * arm.heading + float(arm.radius(share)) * unit(way)
    return Line(sight.flat(points), style, name, hidden=sight.hides(points))
