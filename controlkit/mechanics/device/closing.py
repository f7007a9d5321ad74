"""A device that a spring holds open and the cable closes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from controlkit.mechanics.device.fingers import apart, check, not_negative, spread
from controlkit.mechanics.inputs import number, within
from controlkit.units import InputError


@dataclass(frozen=True)
class VoluntaryClosing:
    r"""A hook or hand that a return spring holds open and the cable closes.

    .. math:: F(x) = S\left(1 + s\,\frac{x}{x_{shut}}\right) \pm c, \qquad
              p = \frac{r}{d}\,\left(F - F(x_w)\right)

    Parameters
    ----------
    finger : float
        Pivot to fingertip d [m]
    lever : float
        Pivot to cable r; the cable keeps this arm over the whole travel [m]
    widest : float
        Angle of the moving finger at rest, fully open [rad]
    spring : float
        Pull S of the return spring on the cable, fully open [N]
    stretch : float
        Rise s of that pull from fully open to shut; a glove adds to it [-]
    drag : float
        Cable force c lost each way in pivots and glove [N]
    lock : bool
        Whether a lock keeps the grip when the cable is let go

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    The drag is taken as the same over the whole travel. A spring weaker than the drag would leave the
    device shut and is refused. Fingers are stiff: pinch comes from force, without further travel.
    The numbers by default are those of `hook_closing`, which says where they come from.

    Examples
    --------
    >>> hook = VoluntaryClosing()
    >>> round(hook.opening(0.0), 3), hook.opening(hook.travel)
    (0.058, 0.0)
    """

    finger: float = 0.0628
    lever: float = 0.0463
    widest: float = float(np.deg2rad(55.0))
    spring: float = 5.6
    stretch: float = 1.15
    drag: float = 0.6
    lock: bool = False

    def __post_init__(self) -> None:
        check(self.finger, self.lever, self.widest)
        within("The return spring", self.spring, 1.0, 100.0, example="newton(6)", unit=" N")
        within("The rise of the return spring", self.stretch, -0.9, 10.0, example="0.5")
        within("The drag", self.drag, 0.0, 60.0, example="newton(1)", unit=" N")
        if not isinstance(self.lock, bool):
            raise InputError(f"The lock was given as {self.lock!r}. Give True or False.")
        if self.drag >= min(self._spring(0.0), self._spring(self.travel)):
            raise InputError(
                f"A drag of {self.drag:g} N is more than the return spring pulls: the device would not open "
                f"again. Give less drag or a stronger spring."
            )

    @property
    def kind(self) -> str:
        """Which principle."""
        return "voluntary closing"

    @property
    def travel(self) -> float:
        """Cable travel from fully open to shut [m]."""
        return self.lever * self.widest

    @property
    def full_opening(self) -> float:
        """Distance of the fingertips at rest [m]."""
        return apart(self.finger, self.widest)

    def opening(self, travel: float) -> float:
        """Distance of the fingertips.

        Parameters
        ----------
        travel : float
            Cable travel at the device [m]

        Returns
        -------
        float
            Opening, full at rest and none when shut [m]

        Examples
        --------
        >>> round(VoluntaryClosing().opening(0.02), 3)
        0.033
        """
        travel = number("The cable travel", travel, "mm(20)")
        return apart(self.finger, self.widest - min(max(travel, 0.0) / self.lever, self.widest))

    def travel_for(self, width: float) -> float:
        """Cable travel at which the fingers meet an object of this width.

        Parameters
        ----------
        width : float
            Distance of the fingertips [m]

        Returns
        -------
        float
            Travel, none for all that is too wide [m]

        Examples
        --------
        >>> round(VoluntaryClosing().travel_for(0.03), 4)
        0.0221
        """
        angle = spread(self.finger, not_negative("The width", width, "mm(50)"), self.widest)
        return 0.0 if angle is None else self.travel - self.lever * angle

    def force(self, travel: float) -> float:
        """Cable force at the device that closes it so far, with nothing between the fingers.

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
        >>> round(VoluntaryClosing().force(0.0), 1)
        6.2
        """
        return self._spring(travel) + self.drag

    def force_back(self, travel: float) -> float:
        """Cable force at the device below which it opens again.

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
        >>> round(VoluntaryClosing().force_back(0.0), 1)
        5.0
        """
        return self._spring(travel) - self.drag

    def pinch(self, width: float = 0.0, cable_force: float = 0.0) -> float:
        """Grip at the fingertips on an object.

        Parameters
        ----------
        width : float
            Width of the object between the fingertips; one that is too wide is not held [m]
        cable_force : float
            Pull on the device, after pulling up to it [N]

        Returns
        -------
        float
            Grip, never negative [N]

        Examples
        --------
        >>> round(VoluntaryClosing().pinch(cable_force=33.0), 1)
        15.0
        """
        angle = spread(self.finger, not_negative("The width", width, "mm(50)"), self.widest)
        pull = not_negative("The cable force", cable_force, "newton(40)")
        if angle is None:
            return 0.0
        return max(pull - self.force(self.travel - self.lever * angle), 0.0) * self.lever / self.finger

    def pull_for(self, pinch: float, width: float = 0.0) -> float:
        """Cable force at the device for a grip.

        Parameters
        ----------
        pinch : float
            Grip at the fingertips [N]
        width : float
            Width of the object [m]

        Returns
        -------
        float
            Force while pulling [N]

        Examples
        --------
        >>> round(VoluntaryClosing().pull_for(15.0), 1)
        33.0
        """
        grip = not_negative("The pinch", pinch, "newton(15)")
        return self.force(self.travel_for(width)) + grip * self.finger / self.lever

    def held(self, width: float, peak: float, cable_force: float) -> float:
        """Grip that is left after easing the cable.

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
            All of it with a lock; else drag keeps a little, and the rest goes with the cable [N]

        Examples
        --------
        >>> round(VoluntaryClosing().held(0.0, 33.0, 0.0), 1)
        0.0
        >>> round(VoluntaryClosing(lock=True).held(0.0, 33.0, 0.0), 1)
        15.0
        """
        gripped = self.pinch(width, peak)
        eased = not_negative("The cable force", cable_force, "newton(20)")
        if self.lock:
            return max(gripped, self.pinch(width, eased))
        left = max(eased - self.force_back(self.travel_for(width)), 0.0) * self.lever / self.finger
        return max(min(gripped, left), self.pinch(width, eased))

    def _spring(self, travel: float) -> float:
        done = min(max(number("The cable travel", travel, "mm(20)") / self.travel, 0.0), 1.0)
        return self.spring * (1.0 + self.stretch * done)
