"""What every terminal device answers: one moving finger about one pivot, drawn by a cable."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import Self

from controlkit.mechanics.device.fingers import apart, not_negative, spread
from controlkit.mechanics.inputs import number


class Device(ABC):
    """A terminal device with one moving finger that the cable opens or closes.

    Attributes
    ----------
    finger : float
        Pivot to fingertip [m]
    lever : float
        Pivot to cable, along the operating lever (of a hook, its thumb); the cable keeps this arm over the whole
        travel [m]
    widest : float
        Angle of the moving finger between shut and fully open [rad]

    Notes
    -----
    A device says which way its finger turns, what cable force it asks for, how hard it grips and what is left of
    that. All else follows here. Every answer is one formula: cost does not grow.
    """

    finger: float
    lever: float
    widest: float

    @property
    @abstractmethod
    def opens(self) -> bool:
        """Whether the cable opens it; else the cable closes it."""

    @property
    def kind(self) -> str:
        """Which principle."""
        return "voluntary opening" if self.opens else "voluntary closing"

    @property
    def locks(self) -> bool:
        """Whether it keeps a grip for which the cable has pulled after the cable is let go."""
        return False

    @property
    def travel(self) -> float:
        """Cable travel from rest to the end of its motion [m]."""
        return self.lever * self.widest

    @property
    def full_opening(self) -> float:
        """Largest distance of the fingertips [m]."""
        return self.opening(self.travel if self.opens else 0.0)

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
        >>> from controlkit.mechanics.device import hook_closing, hook_opening
        >>> round(hook_opening().opening(1.0), 4), round(hook_closing().opening(0.02), 3)
        (0.0877, 0.033)
        """
        turned = min(max(number("The cable travel", travel, "mm(20)"), 0.0) / self.lever, self.widest)
        return apart(self.finger, turned if self.opens else self.widest - turned)

    def travel_for(self, width: float) -> float:
        """Cable travel at which an object of this width just fits between the fingertips.

        Parameters
        ----------
        width : float
            Distance of the fingertips [m]

        Returns
        -------
        float
            Travel; that of full opening for all that is too wide [m]

        Examples
        --------
        >>> from controlkit.mechanics.device import hook_closing, hook_opening
        >>> round(hook_opening().travel_for(0.05), 4), round(hook_closing().travel_for(0.03), 4)
        (0.024, 0.0221)
        """
        angle = spread(self.finger, not_negative("The width", width, "mm(50)"), self.widest)
        return self._at(self.widest if angle is None else angle)

    def force(self, travel: float) -> float:
        """Cable force at the device that moves it so far, with nothing between the fingers.

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
        >>> from controlkit.mechanics.device import hook_closing, hook_opening
        >>> hook = hook_opening(3)
        >>> round(hook.force(hook.travel), 1), round(hook_closing().force(0.0), 1)
        (42.3, 6.2)
        """
        return self._asks(self._done(travel), 1.0)

    def force_back(self, travel: float) -> float:
        """Cable force at the device below which it goes back.

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
        >>> from controlkit.mechanics.device import VoluntaryOpening, hook_closing
        >>> hook = VoluntaryOpening(bands=3, friction=0.1)
        >>> round(hook.force(0.02), 1), round(hook.force_back(0.02), 1), round(hook_closing().force_back(0.0), 1)
        (38.2, 31.2, 5.0)
        """
        return self._asks(self._done(travel), -1.0)

    def pinch(self, width: float = 0.0, cable_force: float = 0.0) -> float:
        """Grip at the fingertips on an object.

        Parameters
        ----------
        width : float
            Width of the object between the fingertips; one that is too wide is not held [m]
        cable_force : float
            Pull on the device; it closes a voluntary-closing device, and takes grip from a voluntary-opening one [N]

        Returns
        -------
        float
            Grip, never negative [N]

        Examples
        --------
        >>> from controlkit.mechanics.device import hook_closing, hook_opening
        >>> round(hook_opening(3).pinch(), 1), round(hook_closing().pinch(cable_force=33.0), 1)
        (13.3, 15.0)
        """
        angle = spread(self.finger, not_negative("The width", width, "mm(50)"), self.widest)
        pull = not_negative("The cable force", cable_force, "newton(20)")
        return 0.0 if angle is None else max(self._presses(self._at(angle), pull), 0.0) * self.lever / self.finger

    @abstractmethod
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
            Grip at the fingertips [N]
        """

    @abstractmethod
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
            Force; infinite where no pull makes that grip [N]
        """

    @abstractmethod
    def to_grasp(self, width: float, pinch: float, clearance: float) -> tuple[float, float]:
        """Cable travel and force of the pull with which an object is grasped.

        Parameters
        ----------
        width : float
            Width of the object [m]
        pinch : float
            Grip wanted, where the pull makes it [N]
        clearance : float
            How much wider than the object it is opened, where the pull opens it [m]

        Returns
        -------
        tuple of float
            Travel [m] and force [N] at the device
        """

    @abstractmethod
    def refitted(self, friction: float) -> Self:
        """The same device with a pivot that rubs; `refit` checks the share.

        Parameters
        ----------
        friction : float
            Share of the moment of bands or return spring that the pivot takes in addition, each way [-]

        Returns
        -------
        Device
            Of the same kind
        """

    @abstractmethod
    def _asks(self, done: float, sign: float) -> float:
        """Cable force at a share of the travel: pulling for 1, letting back for -1 [N]."""

    @abstractmethod
    def _presses(self, travel: float, pull: float) -> float:
        """Cable force that presses on what is between the fingers at a travel; below nothing, none [N]."""

    def _at(self, angle: float) -> float:
        """Cable travel at an angle of the finger from shut [m]."""
        return self.lever * angle if self.opens else self.travel - self.lever * angle

    def _done(self, travel: float) -> float:
        """Share of the whole travel [-]."""
        return min(max(number("The cable travel", travel, "mm(20)") / self.travel, 0.0), 1.0)
