"""What the forearm of a prosthesis weighs, piece by piece, and the moment of that about the elbow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.inputs import kind, within
from controlkit.sources import source
from controlkit.units import InputError, kgf

Array = NDArray[np.float64]

GRAVITY = kgf(1.0)
"""Weight of a kilogram [N/kg]."""
SHELL, WRIST, HOOK = (
    (value.si_low + value.si_high) / 2.0
    for value in map(source, ("prosthesis_shell_mass", "prosthesis_wrist_mass", "prosthesis_hook_mass"))
)
"""Masses of socket with forearm shell, wrist unit and hook, the middle of ranges from memory [kg]. Assumption."""
SHELL_CENTRE = 0.5
"""Centre of socket and forearm shell, share of the forearm from the elbow [-]. Assumption."""
HOOK_CENTRE = 0.4
"""Centre of the hook beyond the wrist, share of the hand's length [-]. Assumption."""
HAND_CENTRE = source("hand_centre_plagenhoef").si
"""Centre of a hand beyond the wrist, share of its length [-]."""
DEVICES: Mapping[str, float] = MappingProxyType(
    {
        "light hook": source("prosthesis_hook_mass").si_low,
        "hook": HOOK,
        "steel hook": source("prosthesis_hook_mass").si_high,
        "hand": source("prosthesis_hand_mass").si_low,
        "hand with glove": source("prosthesis_hand_mass").si_high,
    }
)
"""Masses of terminal devices [kg], from memory: no published mass was found. Assumption."""


@dataclass(frozen=True)
class Piece:
    """A piece of the forearm, by what it weighs and where.

    Parameters
    ----------
    name : str
        What it is
    mass : float
        Its mass [kg]
    centre : float
        From the elbow axis along the forearm [m]

    Raises
    ------
    InputError
        If the mass is below zero or above 5 kg, or the centre more than 0.8 m from the elbow

    Examples
    --------
    >>> Piece("cup", 0.3, 0.32).mass
    0.3
    """

    name: str
    mass: float
    centre: float

    def __post_init__(self) -> None:
        within(f"The mass of the {self.name}", self.mass, 0.0, 5.0, example="0.25", unit=" kg")
        within(f"The centre of the {self.name}", self.centre, 0.0, 0.8, example="mm(120)", of="length")


@dataclass(frozen=True)
class ProstheticForearm:
    r"""The forearm of a prosthesis from its pieces.

    .. math:: M(\varepsilon, \psi) = g \sin(\varepsilon + \psi) \sum_i m_i\,l_i

    Parameters
    ----------
    pieces : tuple of Piece
        Shell, wrist unit, device, what it carries

    Notes
    -----
    All centres lie on the forearm's line. What counts is the forearm's angle to the vertical: the elbow's flexion *and*
    the upper arm's inclination, which the control motion itself makes.

    Examples
    --------
    >>> pieces = Piece("shell", 0.25, 0.12), Piece("wrist unit", 0.09, 0.24), Piece("hook", 0.12, 0.31)
    >>> light = ProstheticForearm(pieces)
    >>> round(light.moment(np.pi / 2), 2), round(light.mass, 2), round(light.centre, 3)
    (0.87, 0.46, 0.193)
    """

    pieces: tuple[Piece, ...]

    def __post_init__(self) -> None:
        for piece in self.pieces:
            kind("A piece of the forearm", piece, Piece, 'Piece("hook", 0.12, mm(310))')

    @property
    def mass(self) -> float:
        """Of all pieces [kg]."""
        return sum(piece.mass for piece in self.pieces)

    @property
    def weight(self) -> float:
        """Of all pieces [N]."""
        return GRAVITY * self.mass

    @property
    def centre(self) -> float:
        """Where that acts, from the elbow axis along the forearm; on the axis where nothing weighs [m]."""
        return self.largest_moment / self.weight if self.weight > 0.0 else 0.0

    @property
    def largest_moment(self) -> float:
        """About the elbow with the forearm level [N m]."""
        return GRAVITY * sum(piece.mass * piece.centre for piece in self.pieces)

    def moment(self, elbow_flexion: Array | float, arm_inclination: Array | float = 0.0) -> Array | float:
        """Moment about the elbow with which the weight extends it.

        Parameters
        ----------
        elbow_flexion : float or ndarray
            0 is straight [rad], any shape
        arm_inclination : float or ndarray
            Upper arm forward of the vertical, in the plane of the elbow [rad], any shape

        Returns
        -------
        float or ndarray
            Positive where the weight extends the elbow [N m], shape of both together
        """
        moment = self.largest_moment * np.sin(np.asarray(elbow_flexion) + arm_inclination)
        return float(moment) if moment.ndim == 0 else moment

    def carrying(self, load: float, centre: float) -> ProstheticForearm:
        """The same forearm with a load in the device.

        Parameters
        ----------
        load : float
            Its mass [kg]
        centre : float
            From the elbow axis along the forearm [m]

        Returns
        -------
        ProstheticForearm
            With the load as its last piece

        Examples
        --------
        >>> bare = ProstheticForearm((Piece("shell", 0.25, 0.12),))
        >>> round(bare.carrying(0.5, 0.3).largest_moment - bare.largest_moment, 2)
        1.47
        """
        return replace(self, pieces=(*self.pieces, Piece("load", load, centre)))


def forearm_of(wearer: Wearer, device: str = "hook") -> ProstheticForearm:
    """Build the forearm of a wearer's prosthesis, as long as the sound one.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    device : str
        One of `DEVICES`

    Returns
    -------
    ProstheticForearm
        Shell, wrist unit and device

    Raises
    ------
    InputError
        If there is no such device

    Examples
    --------
    >>> round(forearm_of(Wearer.average("male", level="transhumeral"), "light hook").largest_moment, 2)
    0.91
    """
    kind("The wearer", wearer, Wearer, 'Wearer.average("male", level="transhumeral")')
    if device not in DEVICES:
        raise InputError(
            given=f"There is no device “{device}”.",
            allowed=", ".join(DEVICES),
            do=f"Choose one of: {', '.join(DEVICES)}.",
        )
    wrist, palm = float(built(wearer).forearm[0]), wearer.hand_length
    beyond = HAND_CENTRE if "hand" in device else HOOK_CENTRE
    return ProstheticForearm(
        (
            Piece("forearm shell", SHELL, SHELL_CENTRE * wrist),
            Piece("wrist unit", WRIST, wrist),
            Piece(device, DEVICES[device], wrist + beyond * palm),
        )
    )
