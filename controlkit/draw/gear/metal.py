"""Ring, hanger, base plates and crossbar, each as it is made."""

from __future__ import annotations

import numpy as np

from controlkit.draw.gear.sight import Sight, disc, unit
from controlkit.draw.page.scene import Dot, Item, Line, Points, Region

__all__ = ["RING", "base_plate", "hanger", "ring"]

RING = 0.019
"""Radius of the drawn ring, to the middle of its wire [m]."""
_HALF_PLATE = (0.017, 0.011)  # half the length and breadth of a base plate [m]
_RIVET = 0.0021  # radius [m]
_HALF_WEB = 0.0127  # half the webbing that a hanger holds [m]


def ring(centre: Points, normal: Points, sight: Sight) -> list[Item]:
    """Draw the ring where the straps meet: a steel wire, through which the skin is seen."""
    at = centre + 0.002 * normal
    edge = sight.flat(disc(at, normal, RING, 36))
    return [Region(edge, "flesh", "ring"), Line(edge, "wire", "ring", closed=True)]


def base_plate(at: Points, along: Points, normal: Points, sight: Sight) -> list[Item]:
    """Draw an oval plate that holds a housing on leather or laminate, with its rivets.

    Parameters
    ----------
    at : numpy.ndarray
        Its middle, shape (3,) [m].
    along, normal : numpy.ndarray
        The way the housing leaves it, and the way it faces, shape (3,) [-].
    sight : Sight
        The view.

    Returns
    -------
    list
        Plate and rivets; nothing where its back is seen.
    """
    if float(normal @ sight.towards) < 0.03:
        return []
    along = unit(along - (along @ normal) * normal)
    side = np.cross(normal, along)
    turn = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)[:, None]
    edge = at + _HALF_PLATE[1] * np.cos(turn) * along + _HALF_PLATE[0] * np.sin(turn) * side
    items: list[Item] = [Region(sight.flat(edge), "plate", "base plate")]
    for way in (-1.0, 1.0):
        x, y = sight.flat(at + way * 0.72 * _HALF_PLATE[0] * side).tolist()
        items.append(Dot((x, y), _RIVET, "rivet", "rivet"))
    return items


def hanger(end: Points, along: Points, across: Points, sight: Sight) -> list[Item]:
    """Draw the plate that the strap is led through and that the cable's ball hangs in.

    Parameters
    ----------
    end : numpy.ndarray
        Where the strap ends, shape (3,) [m].
    along, across : numpy.ndarray
        The strap's way there, and straight across it, shape (3,) [-].
    sight : Sight
        The view.

    Returns
    -------
    list
        The plate, its slot, and the ball.
    """
    shape = ((-0.013, 1.12), (0.001, 1.12), (0.013, 0.42), (0.013, -0.42), (0.001, -1.12), (-0.013, -1.12))
    corners = np.array([end + x * along + y * _HALF_WEB * across for x, y in shape])
    slot = np.array([end - 0.004 * along + y * _HALF_WEB * across for y in (0.9, -0.9)])
    x, y = sight.flat(end + 0.009 * along).tolist()
    return [
        Region(sight.flat(corners), "hanger", "hanger"),
        Line(sight.flat(slot), "bar", "slot of the hanger"),
        Dot((x, y), 0.0038, "plate", "ball of the cable"),
    ]
