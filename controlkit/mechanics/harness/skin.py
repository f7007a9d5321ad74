"""Skin holds the ring by shear, up to a friction limit; the hold remembers where it slipped."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...sources import source

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Skin:
    """How skin and cloth hold the ring, the first centimetres of its straps, and the loop.

    Parameters
    ----------
    stiffness : float
        Shear stiffness of the skin under the ring [N/m]
    friction : float
        Friction of ring and straps on the back [-]
    loop_friction : float
        Friction of the axilla loop round the sound shoulder, 0 for one tension all round [-]
    reach : float
        Length of each strap next to the ring whose pressure counts [m]
    floor : float
        Pressing force that is there without any pull [N]

    Notes
    -----
    Friction: skin on nylon, Zhang and Mak 1999. Stiffness: an assumption (about 100 cm2 of skin on soft
    tissue 15 mm thick with a shear modulus near 20 kPa); no measured figure for a back was found. Set any
    of them to zero to see what it does.

    Examples
    --------
    >>> Skin().friction
    0.37
    """

    stiffness: float = 12_000.0
    friction: float = source("skin_friction_nylon").si
    loop_friction: float = source("skin_friction_nylon").si
    reach: float = 0.10
    floor: float = 5.0


def hold(anchor: Array, ring: Array, stiffness: Array, limit: Array) -> tuple[Array, Array, Array]:
    r"""Force of the skin on the ring and where the hold is afterwards.

    .. math:: F = -k (q - a), \quad |F| \le \mu N

    Parameters
    ----------
    anchor : ndarray
        Where the skin would let the ring rest, from the step before [m], shape (stations, 3)
    ring : ndarray
        Ring now [m], shape (stations, 3)
    stiffness : ndarray
        Shear stiffness [N/m], shape (stations,)
    limit : ndarray
        Friction limit [N], shape (stations,)

    Returns
    -------
    force : ndarray
        Force on the ring [N], shape (stations, 3)
    rate : ndarray
        Its stiffness against a shift [N/m], shape (stations, 3, 3)
    moved : ndarray
        The anchor afterwards, dragged along where the ring slipped [m], shape (stations, 3)

    Notes
    -----
    Rate-independent friction with an elastic start, solved backward (return mapping).

    Examples
    --------
    >>> import numpy as np
    >>> zero, ring = np.zeros((1, 3)), np.array([[0.01, 0.0, 0.0]])
    >>> force, _, moved = hold(zero, ring, np.array([1000.0]), np.array([4.0]))
    >>> float(force[0, 0]), float(moved[0, 0].round(4))
    (-4.0, 0.006)
    """
    away = ring - anchor
    distance = np.sqrt((away * away).sum(axis=1))
    trial = stiffness * distance
    slips = trial > limit
    share = np.where(slips, limit / np.maximum(trial, 1e-12), 1.0)
    force = -(stiffness * share)[:, None] * away
    heading = away / np.maximum(distance, 1e-12)[:, None]
    rate = (stiffness * share)[:, None, None] * np.eye(3)
    rate = rate - np.where(slips, stiffness * share, 0.0)[:, None, None] * (heading[:, :, None] * heading[:, None, :])
    return force, rate, ring - share[:, None] * away
