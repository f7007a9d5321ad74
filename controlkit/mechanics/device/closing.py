"""A device that a spring holds open and the cable closes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Self

import numpy as np

from controlkit.mechanics.device.base import Device
from controlkit.mechanics.device.fingers import check, not_negative
from controlkit.mechanics.inputs import within
from controlkit.units import InputError


@dataclass(frozen=True)
class VoluntaryClosing(Device):
    r"""A hook or hand that a return spring holds open and the cable closes.

    .. math:: F(x) = S\left(1 + s\,\frac{x}{x_{shut}}\right) \pm c, \qquad
              p = \frac{r}{d}\,\left(F - F(x_w)\right)

    Parameters
    ----------
    finger : float
        Pivot to fingertip d [m]
    lever : float
        Pivot to cable r, along the operating lever; the cable keeps this arm over the whole travel [m]
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
            raise InputError(
                given=f"The lock was given as {self.lock!r}.",
                do="Give True or False.",
            )
        if self.drag >= self.spring * min(1.0, 1.0 + self.stretch):
            raise InputError(
                given=f"A drag of {self.drag:g} N is more than the return spring pulls.",
                allowed="With it the device would not open again.",
                do="Give less drag or a stronger spring.",
            )

    @property
    def opens(self) -> bool:
        """The cable closes it."""
        return False

    @property
    def locks(self) -> bool:
        """Whether a lock keeps the grip when the cable is let go."""
        return self.lock

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

    def pull_to_hold(self, pinch: float, width: float = 0.0) -> float:
        """Cable force at the device that it takes to go on holding an object.

        Parameters
        ----------
        pinch : float
            Grip wanted [N]
        width : float
            Width of the object [m]

        Returns
        -------
        float
            Force; none with a lock [N]

        Examples
        --------
        >>> round(VoluntaryClosing().pull_to_hold(15.0), 1), VoluntaryClosing(lock=True).pull_to_hold(15.0)
        (33.0, 0.0)
        """
        return 0.0 if self.lock else self.pull_for(pinch, width)

    def to_grasp(self, width: float, pinch: float, clearance: float) -> tuple[float, float]:  # noqa: ARG002
        """Cable travel and force that close it on an object with a grip.

        Parameters
        ----------
        width : float
            Width of the object [m]
        pinch : float
            Grip wanted [N]
        clearance : float
            It rests fully open, so none is needed here [m]

        Returns
        -------
        tuple of float
            Travel [m] and force [N] at the device

        Examples
        --------
        >>> [round(value, 3) for value in VoluntaryClosing().to_grasp(0.0, 15.0, 0.01)]
        [0.044, 32.986]
        """
        return self.travel_for(width), self.pull_for(pinch, width)

    def refitted(self, friction: float) -> Self:
        """The same device with a pivot that rubs; `refit` checks the share.

        Parameters
        ----------
        friction : float
            Share of the return spring's moment that the pivot takes in addition, each way [-]

        Returns
        -------
        VoluntaryClosing
            The device
        """
        return replace(self, drag=self.drag + friction * (self.spring - self.drag))

    def _asks(self, done: float, sign: float) -> float:
        return self.spring * (1.0 + self.stretch * done) + sign * self.drag

    def _presses(self, travel: float, pull: float) -> float:
        return pull - self.force(travel)
