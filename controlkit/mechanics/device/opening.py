"""A device that bands or springs hold shut and the cable opens."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Self

import numpy as np

from controlkit.mechanics.device.base import Device
from controlkit.mechanics.device.fingers import check
from controlkit.mechanics.inputs import number, within
from controlkit.units import InputError

BAND_PINCH = 4.448
"""Pinch that one rubber band gives at the fingertips, device closed [N]. As public study cards repeat it: 1 lb."""
MOST_BANDS = 12
"""Most bands that are taken [-]. Reasoned: thumb and stud have no room for more."""


@dataclass(frozen=True)
class VoluntaryOpening(Device):
    r"""A hook or hand that bands hold shut and the cable opens.

    .. math:: F(x) = n\,p\,\frac{d}{r}\left(1 + s\,\frac{x}{x_{full}}\right)(1 \pm f)

    Parameters
    ----------
    bands : int
        Rubber bands, or springs, n that close the device [-]
    finger : float
        Pivot to fingertip d [m]
    lever : float
        Pivot to cable r, along the thumb (operating lever) of a hook; the cable keeps this arm over the whole
        travel [m]
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
    Pinch is about 1 lb a band (as public study cards repeat it). Finger, thumb, angle and rise are
    assumptions that describe no particular hook. The 88 mm to which it opens over 43 mm of travel (published: 38 to
    51 mm) fix the ratio of finger to thumb near 2, so that each band asks for 9.4 N at the cable to begin and 14.1 N
    to open fully. Three bands begin at 28 N and end at 42 N; five begin at 47 N. Beside them stand 28.1 N, measured
    on one common split hook, and 44 to 89 N, printed for hooks of this kind; how many bands was seen for neither.
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
        if bands != int(bands) or not 1 <= bands <= MOST_BANDS:
            raise InputError(
                given=f"{self.bands} bands were given.",
                do=f"Give a whole number from 1 to {MOST_BANDS}.",
            )
        check(self.finger, self.lever, self.widest)
        within("The rise of the bands' moment", self.stretch, 0.0, 5.0, example="0.5")
        within("The friction of the pivot", self.friction, 0.0, 0.8, example="0.1")
        within("The pinch of one band", self.band_pinch, 1.0, 100.0, example="lbf(1)", unit=" N")

    @property
    def opens(self) -> bool:
        """The cable opens it."""
        return True

    def held(self, width: float, peak: float, cable_force: float) -> float:  # noqa: ARG002
        """Grip that is left after easing the cable: that of the bands, whatever was pulled before.

        Parameters
        ----------
        width : float
            Width of the object [m]
        peak : float
            Cable force up to which it was pulled [N]
        cable_force : float
            Cable force that is left [N]

        Returns
        -------
        float
            Grip at the fingertips [N]

        Examples
        --------
        >>> hook = VoluntaryOpening()
        >>> hook.held(0.03, 20.0, 0.0) == hook.pinch(0.03)
        True
        """
        return self.pinch(width, cable_force)

    def pull_to_hold(self, pinch: float, width: float = 0.0) -> float:
        """Cable force that it takes to go on holding an object: none, since bands hold it.

        Parameters
        ----------
        pinch : float
            Grip wanted [N]
        width : float
            Width of the object [m]

        Returns
        -------
        float
            Force; infinite where the bands do not grip that hard [N]

        Examples
        --------
        >>> VoluntaryOpening(bands=3).pull_to_hold(10.0), VoluntaryOpening(bands=3).pull_to_hold(50.0)
        (0.0, inf)
        """
        return 0.0 if self.pinch(width) >= pinch else math.inf

    def to_grasp(self, width: float, pinch: float, clearance: float) -> tuple[float, float]:  # noqa: ARG002
        """Cable travel and force that open it around an object; the bands then grip as they do.

        Parameters
        ----------
        width : float
            Width of the object [m]
        pinch : float
            Grip wanted; no pull makes it here [N]
        clearance : float
            How much wider than the object it is opened [m]

        Returns
        -------
        tuple of float
            Travel [m] and force [N] at the device

        Examples
        --------
        >>> [round(value, 3) for value in VoluntaryOpening().to_grasp(0.03, 10.0, 0.01)]
        [0.019, 34.395]
        """
        travel = self.travel_for(min(width + clearance, self.full_opening))
        return travel, self.force(travel)

    def refitted(self, friction: float) -> Self:
        """The same device with a pivot that rubs; `refit` checks the share.

        Parameters
        ----------
        friction : float
            Share of the bands' moment that the pivot takes in addition, each way [-]

        Returns
        -------
        VoluntaryOpening
            The device
        """
        return replace(self, friction=self.friction + friction)

    def _asks(self, done: float, sign: float) -> float:
        shut = self.bands * self.band_pinch * self.finger / self.lever
        return shut * (1.0 + self.stretch * done) * (1.0 + sign * self.friction)

    def _presses(self, travel: float, pull: float) -> float:
        return self.force_back(travel) - pull
