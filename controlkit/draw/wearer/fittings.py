"""Where straps meet and what they end on: sewn patch, front strap of the pad, shoulder saddle.

The mechanics knows the places where straps begin and end. The shapes round
them are drawn for the eye, and nothing is computed with them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.figure.body import bust_rise
from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Points
from controlkit.draw.wearer.posed import posed_joints
from controlkit.mechanics.body.places import on_skin
from controlkit.mechanics.harness.layout import CONTROL_STRAP
from controlkit.mechanics.harness.patterns.chest import CHEST_STRAP, SADDLE_STRAP, SUSPENSOR
from controlkit.mechanics.harness.patterns.eight import FORK_INNER, FORK_OUTER, FRONT_STRAP

if TYPE_CHECKING:
    from controlkit.draw.wearer.lying import Lying
    from controlkit.mechanics import DualPull, Pull, Wearer
    from controlkit.mechanics.chain.dual import LockMotion

__all__ = ["has_ring", "lock_strap", "meeting", "pads", "reaching", "strap_level"]

_PATCH = 0.022  # half a side of a drawn sewn patch [m]
_TIP = 0.040  # straps that begin within this of a sewn patch are sewn into it [m]
_ABOVE = 0.25  # of the upper arm: what ends higher is a fork, not on the arm [-]
_SADDLE = 0.045  # how far the saddle reaches from the side over the shoulder, as a share of stature [-]
_HALF_STRAP = 0.0127  # half the width of the front strap of a saddle [m]
_SEWN = 0.015  # from the end of a strap to the middle of the seam that holds another below it [m]
_ROUNDED = (0.62, 0.90, 1.0, 0.90, 0.62)  # breadth of a saddle from its front to its back, as a share of its own [-]
_ON_ARM = (FRONT_STRAP, FORK_INNER, FORK_OUTER, SUSPENSOR)


def has_ring(pull: Pull | DualPull | Lying, sewn: bool) -> bool:
    """Tell whether straps meet at a ring."""
    return not sewn and CHEST_STRAP not in pull.straps


def meeting(pull: Pull | DualPull | Lying, sewn: bool) -> Points:
    """Shape the sewn patch where the straps meet.

    Parameters
    ----------
    pull : Pull, DualPull or Lying
        What the mechanics found.
    sewn : bool
        Whether the straps are sewn to each other where they cross.

    Returns
    -------
    numpy.ndarray
        Closed edge, shape (4, 3), flat on the back; empty where there is a ring instead [m].

    Notes
    -----
    The patch is turned with the strap that is sewn into it: the control attachment strap at a
    cross-point, the chest strap where the control strap branches off.
    """
    if has_ring(pull, sewn):
        return np.empty((0, 3))
    leaving = np.array([end for run in pull.straps.values() for end in _ends(run, pull.ring, 4)])
    normal = np.linalg.svd(leaving)[2][-1]
    along = _ends(pull.straps[CONTROL_STRAP if sewn else CHEST_STRAP], pull.ring, 1)[-1]
    first = along - (along @ normal) * normal
    first = first / np.linalg.norm(first)
    second = np.cross(normal, first)
    return np.asarray(pull.ring + _PATCH * np.array([first + second, first - second, -first - second, second - first]))


def _ends(run: Points, ring: Points, count: int) -> list[Points]:
    """List the ways from the ring along those ends of a run that begin at it."""
    return [end[1 if count == 1 else count] - ring for end in (run, run[::-1]) if np.linalg.norm(end[0] - ring) < _TIP]


def reaching(run: Points, ring: Points) -> Points:
    """Lead a strap on into the patch that it is sewn to.

    Parameters
    ----------
    run : numpy.ndarray
        The strap, shape (M, 3) [m].
    ring : numpy.ndarray
        Middle of the patch, shape (3,) [m].

    Returns
    -------
    numpy.ndarray
        The strap with the middle of the patch at each end that is sewn to it, shape (M to M + 2, 3) [m].

    Examples
    --------
    >>> import numpy as np
    >>> len(reaching(np.array([[0.03, 0.0, 0.0], [0.5, 0.0, 0.0]]), np.zeros(3)))
    3
    """
    near = [int(np.linalg.norm(run[end] - ring) < _TIP) for end in (0, -1)]
    return np.vstack([ring[None][: near[0]], run, ring[None][: near[1]]])


def lock_strap(lock: LockMotion) -> Points:
    """Cut out of the way of the elbow lock's strap what is no anterior support strap.

    Parameters
    ----------
    lock : LockMotion
        What the mechanics found.

    Returns
    -------
    numpy.ndarray
        From where it leaves that strap, at the deltopectoral interval, to its end on the socket, shape (M, 3) [m].
    """
    before = int(np.argmin(np.linalg.norm(lock.way - lock.anchor, axis=1)))
    return np.vstack([lock.anchor, lock.way[min(before + 1, len(lock.way) - 1) :]])


def strap_level(wearer: Wearer, pull: Pull | DualPull | Lying) -> float:
    """How far down the upper arm straps reach the pad in front, on average; negative where none does [m]."""
    body = posed_joints(wearer, pull.pose)
    along = body["elbow"] - body["shoulder"]
    length = float(np.linalg.norm(along))
    down = [
        float((pull.straps[name][-1] - body["shoulder"]) @ along) / length for name in _ON_ARM if name in pull.straps
    ]
    down = [at for at in down if at > _ABOVE * length]
    return sum(down) / len(down) if down else -1.0


def pads(wearer: Wearer, pull: Pull | DualPull | Lying) -> dict[str, Points]:
    """Shape what lies between straps and trunk: the saddle on the shoulder, and its front strap.

    Parameters
    ----------
    wearer : Wearer
        The wearer.
    pull : Pull, DualPull or Lying
        What the mechanics found; straps end where its pads must be.

    Returns
    -------
    dict
        By name a sheet, shape (columns, rows, 3) [m]; none for a pattern without a saddle.
    """
    if SADDLE_STRAP not in pull.straps:
        return {}
    side, back, chest = pull.straps[SUSPENSOR][0], pull.straps[SADDLE_STRAP][-1], pull.straps[CHEST_STRAP]
    along = chest[min(4, len(chest) - 1)] - chest[0]
    low = chest[0] + _SEWN / max(float(np.linalg.norm(along)), 1e-9) * along
    inward = np.array([0.0, 0.0, -1.0 if wearer.amputated == "right" else 1.0])
    wide = _SADDLE * wearer.stature
    front = back + 2.0 * (side - back) * [1.0, 0.0, 0.0]
    summit = side + wide * (1.4 * inward + [0.0, 1.0, 0.0])

    def over(middle: Points, aside: float) -> Points:
        one, other = front + aside * inward, back + aside * inward
        return through(np.array([one, 0.5 * (one + middle), middle, 0.5 * (other + middle), other]), steps=4)

    outer, inner = over(side, -_HALF_STRAP), over(summit, _HALF_STRAP)
    places = np.linspace(0.0, 1.0, len(outer))
    broad = np.interp(places, np.linspace(0.0, 1.0, len(_ROUNDED)), _ROUNDED)[:, None, None]
    broad[[0, -1]] = 1.0  # as wide as the straps that it ends on
    share = np.linspace(0.0, 1.0, 5)[None, :, None]
    saddle = outer[:, None] + share * broad * (inner - outer)[:, None]
    down = np.linspace(front, low, 25)
    strap = down[:, None] + np.linspace(-_HALF_STRAP, _HALF_STRAP, 3)[None, :, None] * inward
    pieces = {"front strap of the saddle": strap, "saddle": saddle}
    lie = on_skin(wearer, pull.pose, np.vstack([piece.reshape(-1, 3) for piece in pieces.values()]))
    lie[:, 0] += bust_rise(wearer, lie)  # what is drawn over a woman's chest lies on it as it is drawn
    cuts = np.cumsum([piece.shape[0] * piece.shape[1] for piece in pieces.values()])[:-1]
    return {
        name: on.reshape(piece.shape) for (name, piece), on in zip(pieces.items(), np.split(lie, cuts), strict=True)
    }
