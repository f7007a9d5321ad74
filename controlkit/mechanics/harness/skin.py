"""Skin holds the ring by shear, up to a friction limit; the hold remembers where it slipped."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.inputs import within
from controlkit.sources import source

Array = NDArray[np.float64]


SLIP = 1e-6
"""A shorter slip of the ring is not told [m]."""

ROUNDING = 1e-12
"""A ring that lies no further beyond the reach of its hold lies on the limit [m]."""

_AXES = np.arange(3)


@dataclass(frozen=True)
class Held:
    """What the skin does to the ring.

    Attributes
    ----------
    force : ndarray
        Force on the ring [N], shape (stations, 3)
    rate : ndarray
        Its stiffness against a shift [N/m], shape (stations, 3, 3)
    anchor : ndarray
        Where the skin would let the ring rest [m], shape (stations, 3)
    dragged : ndarray
        Whether that place follows the ring [-], shape (stations,)
    slips : ndarray
        Whether it does so by more than a trace [-], shape (stations,)
    """

    force: Array
    rate: Array
    anchor: Array
    dragged: NDArray[np.bool_]
    slips: NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True)
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
    flesh : float
        Thickness of the flesh over bone that straps sink into, 0 for none that gives [m]
    flesh_modulus : float
        Its modulus at first, see `flesh.Flesh` [Pa]
    flesh_stiffening : float
        Rise of that modulus with strain [Pa]

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    Friction: skin on nylon, Zhang and Mak 1999. Stiffness: an assumption (about 100 cm2 of skin on soft
    tissue 15 mm thick with a shear modulus near 20 kPa); no measured figure for a back was found. Flesh:
    indentation of eight people's lower limbs gave a modulus of up to 58 kPa at first that rises by 22 to 547 kPa per
    unit of strain (Zheng and Mak 1999); the middles of both ranges stand for shoulder and chest, reasoned. Its
    thickness of 15 mm, and that loads spread by as much across a strap, are assumptions. Set any but a modulus to zero
    to see what it does.

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
    flesh: float = 0.015
    flesh_modulus: float = 0.5 * (source("flesh_modulus").si_low + source("flesh_modulus").si_high)
    flesh_stiffening: float = 0.5 * (source("flesh_stiffening").si_low + source("flesh_stiffening").si_high)

    def __post_init__(self) -> None:
        limits = {
            "stiffness": (0.0, 1e6, "12000"),
            "friction": (0.0, 100.0, "0.37"),
            "loop_friction": (0.0, 10.0, "0.37"),
            "reach": (0.0, 0.5, "mm(100)"),
            "floor": (0.0, 100.0, "newton(5)"),
            "flesh": (0.0, 0.1, "mm(15)"),
            "flesh_modulus": (100.0, 1e7, "30e3"),
            "flesh_stiffening": (0.0, 1e8, "280e3"),
        }
        for name, (low, high, example) in limits.items():
            what, hint = f"The skin's {name.replace('_', ' ')}", "" if low else "zero switches it off"
            within(what, getattr(self, name), low, high, example=example, hint=hint)


class Hold:
    r"""The hold of the skin on the ring at stations along a motion; it remembers where the ring was dragged.

    .. math:: F = -k (q - a), \quad |F| \le \mu N

    Parameters
    ----------
    before : ndarray
        Station before each, -1 after donning; it stands earlier in the row [-], shape (stations,)
    donned : ndarray
        Where the skin would let the ring rest before the first station [m], shape (stations, 3)
    stiffness : float
        Shear stiffness [N/m]
    limit : ndarray
        Friction limit [N], shape (stations,)

    Notes
    -----
    Rate-independent friction with an elastic start, solved backward by return mapping (J. C. Simo and T. J. R. Hughes,
    Computational Inelasticity, 1998; cited from memory). Costs O(stations), one after the other.

    Examples
    --------
    >>> import numpy as np
    >>> hold = Hold(np.array([-1]), donned=np.zeros((1, 3)), stiffness=1000.0, limit=np.array([4.0]))
    >>> held = hold.at(np.array([[0.01, 0.0, 0.0]]))
    >>> float(held.force[0, 0]), float(held.anchor[0, 0].round(4))
    (-4.0, 0.006)
    """

    def __init__(self, before: NDArray[np.intp], *, donned: Array, stiffness: float, limit: Array) -> None:
        self.stiffness, self.limit = max(stiffness, 1e-9), limit  # skin that does not hold is all reach
        reach = (limit / self.stiffness).tolist()
        self.rows = list(zip(before.tolist(), donned.tolist(), reach, strict=True))

    def at(self, ring: Array) -> Held:
        """What the skin does, and where it lets the ring rest, with the ring in some places.

        Parameters
        ----------
        ring : ndarray
            Ring [m], shape (stations, 3)

        Returns
        -------
        Held
            Force, its rate, and where the ring rests; it is dragged along where the ring slips
        """
        rested: list[Sequence[float]] = []
        ways, over = [], []
        for (x, y, z), (last, start, most) in zip(ring.tolist(), self.rows, strict=True):
            a, b, c = start if last < 0 else rested[last]
            away = math.sqrt((x - a) ** 2 + (y - b) ** 2 + (z - c) ** 2)
            ways.append(away)
            over.append(away - most)
            if away > most:
                share = most / away
                rested.append((x - share * (x - a), y - share * (y - b), z - share * (z - c)))
            else:
                rested.append((a, b, c))
        anchor, beyond = np.array(rested), np.array(over)
        away_ = ring - anchor
        rate = np.zeros((len(ring), 3, 3))
        rate[:, _AXES, _AXES] = self.stiffness
        dragged = beyond > ROUNDING
        if dragged.any():
            some = away_[dragged]
            heading = some / np.maximum(np.sqrt((some * some).sum(axis=1)), 1e-12)[:, None]
            pulled = (self.limit[dragged] / np.array(ways)[dragged])[:, None, None]
            rate[dragged] = pulled * (np.eye(3) - heading[:, :, None] * heading[:, None, :])
        force = -self.stiffness * away_
        return Held(force=force, rate=rate, anchor=anchor, dragged=dragged, slips=beyond > SLIP)
