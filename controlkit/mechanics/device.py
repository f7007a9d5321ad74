"""Terminal devices: what a cable must do to open them, and how hard they grip."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ..units import InputError, show
from ._asked import number

BAND_PINCH = 4.448
"""Pinch that one rubber band gives at the fingertips, device closed [N]. Common practice, no source: 1 lb."""


@dataclass(frozen=True)
class VoluntaryOpening:
    r"""A hook that bands hold shut and the cable opens.

    .. math:: F(x) = n\,p\,\frac{d}{r}\left(1 + s\,\frac{x}{x_{full}}\right)

    Parameters
    ----------
    bands : int
        Rubber bands n that close the hook [-]
    finger : float
        Pivot to fingertip d [m]
    lever : float
        Pivot to cable r; the cable keeps this arm over the whole travel [m]
    widest : float
        Angle of the moving finger at full opening [rad]
    stretch : float
        Rise s of the bands' moment from shut to full opening [-]

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    Pinch is about 1 lb a band (common practice, no source). Finger, lever, angle and rise are
    assumptions that describe no particular hook; the travel they give, 43 mm, lies in the published
    38 to 51 mm, and three to five bands ask 28 to 70 N at the device, beside a published 44 to 89 N.

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

    def __post_init__(self) -> None:
        bands = number("The number of rubber bands", self.bands, "3")
        if bands != int(bands) or not 1 <= bands <= 12:
            raise InputError(f"{self.bands} bands were given. Give a whole number from 1 to 12.")
        for name, low, high in (("finger", 0.04, 0.2), ("lever", 0.015, 0.1)):
            value = number(f"The hook's {name}", getattr(self, name), "mm(45)")
            if not low <= value <= high:
                raise InputError(
                    f"The hook's {name} was given as {show(value, 'length')}. Give between "
                    f"{show(low, 'length')} and {show(high, 'length')}."
                )

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
        angle = min(max(travel, 0.0) / self.lever, self.widest)
        return float(2.0 * self.finger * np.sin(0.5 * angle))

    def force(self, travel: float) -> float:
        """Cable force at the device that holds it open so far.

        Parameters
        ----------
        travel : float
            Cable travel at the device [m]

        Returns
        -------
        float
            Force [N]

        Examples
        --------
        >>> hook = VoluntaryOpening(bands=3)
        >>> round(hook.force(hook.travel), 1)
        42.3
        """
        share = min(max(travel / self.travel, 0.0), 1.0)
        return self.bands * BAND_PINCH * self.finger / self.lever * (1.0 + self.stretch * share)

    def pinch(self, width: float = 0.0, cable_force: float = 0.0) -> float:
        """Grip at the fingertips on an object.

        Parameters
        ----------
        width : float
            Width of the object between the fingertips [m]
        cable_force : float
            Pull on the device meanwhile; it takes grip away [N]

        Returns
        -------
        float
            Grip, never negative [N]

        Examples
        --------
        >>> round(VoluntaryOpening(bands=3).pinch(), 1)
        13.3
        """
        angle = 2.0 * np.arcsin(min(max(width, 0.0) / (2.0 * self.finger), 1.0))
        closing = self.force(self.lever * float(angle)) - cable_force
        return float(max(closing, 0.0) * self.lever / self.finger)
