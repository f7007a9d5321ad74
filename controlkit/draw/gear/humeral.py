"""The prosthesis above the elbow: humeral socket, turntable, elbow unit, forearm shell, and the split housing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from controlkit.draw.gear.arm import Arm
from controlkit.draw.gear.cable import retainer
from controlkit.draw.gear.sight import Sight, unit
from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Points
from controlkit.draw.page.solids import Drum, Lump, Solid

__all__ = [
    "HELD",
    "Gap",
    "Split",
    "elbow_grid",
    "elbow_unit",
    "forearm_grid",
    "forward",
    "humeral_grid",
    "lock_cable",
    "pivots",
    "split_housing",
    "turntable_grid",
]

Lay = Callable[[Points], Points]
"""Moves points straight onto the skin [m]."""
HELD = 0.66
"""Share of the forearm from elbow to wrist at which a retainer holds the second housing; drawn for the eye [-]."""
_WALL = 0.005  # of the socket [m]
_OUTER, _INNER, _FRONT, _BACK = -0.17, 0.30, 0.15, 0.13
"""Where the socket begins on each side, as shares of the upper arm from shoulder to elbow [-]. Drawn for the eye: the
outer side reaches up over the joint, where the lateral suspensor is fixed; the front to where its strap is."""
_ABOVE, _THICK = 0.052, 0.0065  # the turntable's lower edge above the elbow's axis, and its thickness [m]
_BALL = 0.64  # radius of the elbow unit's round end, as a share of the socket's [-]
_STATIONS, _TURNS = 19, 21  # from edge to end of a shell, and from edge to edge as seen [-]
_LOBE, _BEHIND, _BEND = -0.105, 0.06, 0.18
"""Where the forearm shell begins: on either side, round the axis; behind; in the bend; as shares of the forearm [-]."""
_OFF = 0.006  # that a housing lies off what it passes [m]


@dataclass(frozen=True, kw_only=True)
class Gap:
    """Where the housing ends above the elbow, and where the lift loop sits, as the mechanics has it.

    Parameters
    ----------
    end_above, end_ahead : float
        The end of the housing, up the upper arm from the elbow's axis and in front of the arm's line [m].
    loop_along, loop_ahead : float
        The lift loop, along the forearm and in front of its line [m].
    """

    end_above: float
    end_ahead: float
    loop_along: float
    loop_ahead: float


@dataclass(frozen=True, eq=False, kw_only=True)
class Split:
    """The cable's way from the base plate to the retainer.

    Parameters
    ----------
    above, bare, beyond : numpy.ndarray
        Housing on the humeral socket, bare cable across the elbow, housing on the forearm, shape (M, 3) each [m].
    end_way, loop_way : numpy.ndarray
        Which way the end of the housing and the lift loop face, shape (3,) [-].
    """

    above: Points
    bare: Points
    beyond: Points
    end_way: Points
    loop_way: Points


def forward(arm: Arm) -> Points:
    """The side of the upper arm to which the elbow flexes, shape (3,) [-]."""
    sign = np.sign(float(arm.volar @ np.cross(arm.outward, arm.heading)))
    return np.asarray(sign * np.cross(arm.outward, arm.along))


def _facing(axis: Points, otherwise: Points, sight: Sight, taper: float) -> Points:
    """Directions round an axis that face the viewer, from edge to edge, shape (M, 3) [-]."""
    lean = float(sight.towards @ axis)
    facing = sight.towards - lean * axis
    square = float(np.linalg.norm(facing))
    middle = facing / square if square > 1e-3 else otherwise
    most = float(np.arccos(np.clip(-lean * taper / max(square, 1e-3), -1.0, 1.0)))
    turn = np.linspace(-most, most, _TURNS if most < 2.2 else 4 * _TURNS)[:, None]
    return np.asarray(np.cos(turn) * middle + np.sin(turn) * np.cross(axis, middle))


def humeral_grid(arm: Arm, sight: Sight, lay: Lay) -> Points:
    """Shape what of the humeral socket faces the viewer.

    Parameters
    ----------
    arm : Arm
        The arm.
    sight : Sight
        The view.
    lay : callable
        Moves points onto the skin.

    Returns
    -------
    numpy.ndarray
        Columns from the upper edge to the turntable, rows from edge to edge, shape (columns, rows, 3) [m].
    """
    front = forward(arm)
    way = _facing(arm.along, front, sight, 0.10)
    outer, ahead = way @ arm.outward, way @ front
    beside, level = outer * outer, np.where(ahead > 0.0, _FRONT, _BACK)
    begin = np.where(outer > 0.0, _OUTER, _INNER) * beside + level * (1.0 - beside)
    end = 1.0 - (_ABOVE + _THICK) / arm.length
    share = begin + np.linspace(0.0, 1.0, _STATIONS)[:, None] * (end - begin)
    points = arm.shoulder + share[..., None] * arm.length * arm.along + arm.size * way
    on = lay(points.reshape(-1, 3)).reshape(points.shape) + _WALL * way
    round_ = np.clip((share - 0.30) / 0.15, 0.0, 1.0)[..., None]  # lower down it is as round as the turntable
    return np.asarray((1.0 - round_) * on + round_ * points)


def elbow_unit(arm: Arm) -> Solid:
    """Shape the elbow unit: round below, as wide as the turntable above."""
    rim = arm.elbow - _ABOVE * arm.along + _ring(arm, 16, 0.94)
    ends = arm.elbow + np.outer([-0.12, 0.12], arm.size * arm.outward)
    balls = np.concatenate([np.full(2, _BALL * arm.size), np.full(len(rim), 0.002)])
    return Lump(np.vstack([ends, rim]), balls, "cuff", "elbow unit")


def elbow_grid(arm: Arm, sight: Sight) -> Points:
    """Shape what of it faces the viewer as a sheet, for where the body hides a part of it, shape (6, rows, 3) [m]."""
    way = _facing(arm.along, forward(arm), sight, 0.3)
    down = np.array([-_ABOVE, -0.5 * _ABOVE, 0.0, 0.35 * arm.size, 0.55 * arm.size, _BALL * arm.size])
    far = arm.size * np.array([0.94, 0.84, 0.12 + _BALL, 0.62, 0.42, 0.05])
    return np.asarray(arm.elbow + down[:, None, None] * arm.along + far[:, None, None] * way)


def turntable_grid(arm: Arm, sight: Sight) -> Points:
    """Shape what of the turntable faces the viewer, shape (3, rows, 3) [m]."""
    way = _facing(arm.along, forward(arm), sight, 0.0)
    down = -(_ABOVE + _THICK * np.array([1.0, 0.5, 0.0]))
    return np.asarray(arm.elbow + down[:, None, None] * arm.along + 0.97 * arm.size * way)


def _ring(arm: Arm, count: int, share: float) -> Points:
    """Points of a circle round the upper arm's axis, shape (count, 3) [m]."""
    turn = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False)[:, None]
    return np.asarray(share * arm.size * (np.cos(turn) * forward(arm) + np.sin(turn) * arm.outward))


def forearm_grid(arm: Arm, sight: Sight) -> Points:
    """Shape what of the forearm shell faces the viewer: two lobes hold the axis, the bend is cut out between them.

    Parameters
    ----------
    arm : Arm
        The arm.
    sight : Sight
        The view.

    Returns
    -------
    numpy.ndarray
        Columns from the upper edge to the wrist, rows from edge to edge, shape (columns, rows, 3) [m].
    """
    taper = float(arm.radius(0.35) - arm.radius(1.0)) / (0.65 * arm.forearm)
    way = _facing(arm.heading, arm.volar, sight, taper)
    beside = (way @ arm.outward) ** 2
    beside = beside * beside * (3.0 - 2.0 * beside)  # lobes with round ends
    open_ = 0.5 * (_BEHIND + _BEND) + 0.5 * (_BEND - _BEHIND) * (way @ arm.volar)
    begin = beside * _LOBE + (1.0 - beside) * open_
    share = begin + np.linspace(0.0, 1.0, _STATIONS)[:, None] * (1.0 - begin)
    out = arm.radius(np.maximum(share, 0.0))[..., None] * way
    return np.asarray(arm.elbow + share[..., None] * arm.forearm * arm.heading + out)


def pivots(arm: Arm) -> tuple[Solid, ...]:
    """Shape the bolts on the elbow's axis, one on either side of the forearm shell."""
    reach = float(arm.radius(0.0))
    ways = (arm.outward, -arm.outward)
    return tuple(
        Drum(arm.elbow + np.outer([reach - 0.002, reach + 0.003], way), 0.0085, "metal", "elbow axis") for way in ways
    )


def lock_cable(arm: Arm, strap: Points) -> Points:
    """Lead the cable of the lock from its strap straight down the socket into the elbow unit.

    Parameters
    ----------
    arm : Arm
        The arm.
    strap : numpy.ndarray
        Where its strap ends, shape (3,) [m].

    Returns
    -------
    numpy.ndarray
        Its middle line, shape (M, 3) [m].
    """
    off = strap - arm.shoulder
    first = float(off @ arm.along)
    way = unit(off - first * arm.along)
    down = np.linspace(first, arm.length - _ABOVE, 8)[1:, None]
    return np.vstack([strap, arm.shoulder + down * arm.along + (arm.size + 0.003) * way])


def split_housing(arm: Arm, crossbar: Points, gap: Gap) -> Split:
    """Lead the cable in two housings: down the humeral socket, bare across the elbow, on to the wrist.

    Parameters
    ----------
    arm : Arm
        The arm.
    crossbar : numpy.ndarray
        Where the housing begins on the base plate, shape (3,) [m].
    gap : Gap
        Where it ends above the elbow, and where the lift loop sits.

    Returns
    -------
    Split
        Housing, bare cable, housing.

    Notes
    -----
    Up, down, forward and backward housing end and loop are where the mechanics has them; how far outward it leaves
    open: on the outer side of socket and shell.
    """
    front = forward(arm)
    wide = arm.size + _OFF
    bar = crossbar - arm.shoulder
    first, last = float(bar @ arm.along), arm.length - gap.end_above
    begin = float(np.arctan2(bar @ arm.outward, bar @ front))
    end = float(np.arccos(np.clip(gap.end_ahead / wide, -0.95, 0.95)))
    share = np.linspace(0.0, 1.0, 6)
    eased = share * share * (3.0 - 2.0 * share)
    turn = (begin + eased * (end - begin))[:, None]
    down = (first + share * (last - first))[:, None]
    on = np.cos(turn) * front + np.sin(turn) * arm.outward
    above = through(arm.shoulder + down * arm.along + wide * on, steps=4)
    ahead = float(np.clip(gap.loop_ahead / float(arm.radius(0.2)), -0.95, 0.95))
    loop_way = ahead * arm.volar + np.sqrt(1.0 - ahead * ahead) * arm.outward
    out = float(arm.radius(gap.loop_along / arm.forearm)) + _OFF
    aside = np.sqrt(max(out * out - gap.loop_ahead**2, 0.25 * out * out))
    loop = arm.elbow + gap.loop_along * arm.heading + gap.loop_ahead * arm.volar + aside * arm.outward
    held, way = retainer(arm, HELD)
    middle = 0.5 * (gap.loop_along / arm.forearm + HELD)
    half = arm.elbow + middle * arm.forearm * arm.heading + (float(arm.radius(middle)) + _OFF) * unit(loop_way + way)
    return Split(
        above=above,
        bare=np.linspace(above[-1], loop, 7),
        beyond=through(np.array([loop, half, held + _OFF * way]), steps=6),
        end_way=np.asarray(on[-1]),
        loop_way=np.asarray(loop_way),
    )
