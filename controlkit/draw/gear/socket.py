"""The forearm of the prosthesis: a tapered, laminated shell, trimmed for the bend of the elbow."""

from __future__ import annotations

import numpy as np

from controlkit.draw.gear.arm import Arm
from controlkit.draw.gear.sight import Sight, unit
from controlkit.draw.page.scene import Points

__all__ = ["shell_grid", "socket_rings"]

_STATIONS = 21  # from the trim line to the wrist
_TURNS = 11  # from edge to edge as seen
_LAMINATED = (0.955, 0.975)  # where rings of it are seen, as shares of the way from elbow to wrist [-]


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


def shell_grid(arm: Arm, sight: Sight) -> tuple[Points, Points]:
    """Shape what of the shell faces the viewer, from the trim line to the wrist, and the rings where it is laminated.

    Parameters
    ----------
    arm : Arm
        The arm.
    sight : Sight
        The view.

    Returns
    -------
    tuple of numpy.ndarray
        Columns from elbow to wrist, rows from edge to edge, and as many rows of each ring, shape (columns, rows, 3) and
        (rings, rows, 3) [m].
    """
    way, _ = _round(arm, sight)
    begin = arm.trim(way)
    share = begin + np.linspace(0.0, 1.0, _STATIONS)[:, None] * (1.0 - begin)
    share = np.vstack([share, np.repeat(np.array(_LAMINATED)[:, None], len(way), axis=1)])
    points = arm.elbow + share[..., None] * arm.forearm * arm.heading + arm.radius(share)[..., None] * way
    return points[:_STATIONS], points[_STATIONS:]


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
