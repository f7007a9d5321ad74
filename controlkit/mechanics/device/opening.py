"""A device that bands or springs hold shut and the cable opens."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from controlkit.mechanics.device.fingers import apart, check, not_negative, spread
from controlkit.mechanics.inputs import number, within
from controlkit.units import InputError

BAND_PINCH = 4.448
"""Pinch that one rubber band gives at the fingertips, device closed [N]. Common practice, no source: 1 lb."""


@dataclass(frozen=True)
class VoluntaryOpening:
    r"""A hook or hand that bands hold shut and the cable opens.

    .. math:: F(x) = n\,p\,\frac{d}{r}\left(1 + s\,\frac{x}{x_{full}}\right)(1 \pm f)

    Parameters
    ----------
    bands : int
        Rubber bands, or springs, n that close the device [-]
    finger : float
        Pivot to fingertip d [m]
    lever : float
        Pivot to cable r; the cable keeps this arm over the whole travel [m]
    widest : float
        Angle of the moving finger at full opening [rad]
    stretch : float
        Rise s of the bands' moment from shut to full opening [-]
    friction : float
        Share f of that moment which the pivot takes, each way [-]
    band_pinch : float
        Pinch p of one band or spring, device closed [N]

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    Pinch is about 1 lb a band (common practice, no source). Finger, lever, angle and rise are
    assumptions that describe no particular hook; the travel they give, 43 mm, lies in the published
    38 to 51 mm, and three to five bands ask 28 to 70 N at the device, beside a published 44 to 89 N.
    Friction is proportional to the load on the pivot; no figure for a hook was found, hence none by
    default. A spring hook: one band with the pinch of the spring.

    Examples
    --------
    >>> hook = VoluntaryOpening(bands=3)
    >>> round(hook.travel, 4), round(hook.force(0.0), 1)
    (0.0432, 28.2)
    """

    bands: int = 3
    finger: float = 0.095
    lever: float = 0.045
    widest: float = float(np.deg2rad(55.0))
    stretch: float = 0.5
    friction: float = 0.0
    band_pinch: float = BAND_PINCH

    def __post_init__(self) -> None:
        bands = number("The number of rubber bands", self.bands, "3")
        if bands != int(bands) or not 1 <= bands <= 12:
            raise InputError(f"{self.bands} bands were given. Give a whole number from 1 to 12.")
        check(self.finger, self.lever, self.widest)
        within("The rise of the bands' moment", self.stretch, 0.0, 5.0, example="0.5")
        within("The friction of the pivot", self.friction, 0.0, 0.8, example="0.1")
        within("The pinch of one band", self.band_pinch, 1.0, 100.0, example="lbf(1)", unit=" N")

    @property
    def kind(self) -> str:
        """Which principle."""
        return "voluntary opening"

    @property
    def travel(self) -> float:
        """Cable travel for full opening [m]."""
        return self.lever * self.widest

    @property
    def full_opening(self) -> float:
        """Distance of the fingertips at full opening [m]."""
        return self.opening(self.travel)

    def opening(self, travel: float) -> float:
        """Distance of the fingertips.

        Parameters
        ----------
        travel : float
            Cable travel at the device [m]

        Returns
        -------
        float
            Opening, between shut and full [m]

        Examples
        --------
        >>> round(VoluntaryOpening().opening(1.0), 4)
        0.0877
        """
        travel = number("The cable travel", travel, "mm(20)")
        return apart(self.finger, min(max(travel, 0.0) / self.lever, self.widest))

    def travel_for(self, width: float) -> float:
        """Cable travel at which an object of this width just fits.

        Parameters
        ----------
        width : float
            Distance of the fingertips [m]

        Returns
        -------
        float
            Travel, full travel for all that is too wide [m]

        Examples
        --------
        >>> round(VoluntaryOpening().travel_for(0.05), 4)
        0.024
        """
        angle = spread(self.finger, not_negative("The width", width, "mm(50)"), self.widest)
        return self.travel if angle is None else self.lever * angle

    def force(self, travel: float) -> float:
        """Cable force at the device that opens it so far.

        Parameters
        ----------
        travel : float
            Cable travel at the device [m]

        Returns
        -------
        float
            Force while pulling [N]

        Examples
        --------
        >>> hook = VoluntaryOpening(bands=3)
        >>> round(hook.force(hook.travel), 1)
        42.3
        """
        return self._closing(travel) * (1.0 + self.friction)

    def force_back(self, travel: float) -> float:
        """Cable force at the device below which it closes again.

        Parameters
        ----------
        travel : float
            Cable travel at the device [m]

        Returns
        -------
        float
            Force while letting back [N]

        Examples
        --------
        >>> hook = VoluntaryOpening(bands=3, friction=0.1)
        >>> round(hook.force(0.02), 1), round(hook.force_back(0.02), 1)
        (38.2, 31.2)
        """
        return self._closing(travel) * (1.0 - self.friction)

    def pinch(self, width: float = 0.0, cable_force: float = 0.0) -> float:
        """Grip at the fingertips on an object.

        Parameters
        ----------
        width : float
            Width of the object between the fingertips; one that is too wide is not held [m]
        cable_force : float
            Pull on the device meanwhile, wanted or not; it takes grip away [N]

        Returns
        -------
        float
            Grip to which the bands close on the object, never negative [N]

        Examples
        --------
        >>> round(VoluntaryOpening(bands=3).pinch(), 1)
        13.3
        """
        angle = spread(self.finger, not_negative("The width", width, "mm(50)"), self.widest)
        pull = not_negative("The cable force", cable_force, "newton(20)")
        if angle is None:
            return 0.0
        return max(self.force_back(self.lever * angle) - pull, 0.0) * self.lever / self.finger

    def _closing(self, travel: float) -> float:
        share = min(max(number("The cable travel", travel, "mm(20)") / self.travel, 0.0), 1.0)
        return self.bands * self.band_pinch * self.finger / self.lever * (1.0 + self.stretch * share)
