"""The elbow lock: on and off by turns, at discrete positions, and not under load."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from controlkit.mechanics.inputs import number, within
from controlkit.sources import source
from controlkit.units import InputError, deg, show

__all__ = ["ElbowLock", "ElbowState", "Outcome", "Pulled"]

Outcome = Literal["locked", "unlocked", "pulled too little", "pulled too lightly", "held by its load"]
"""What pulling the lock's cable and letting go of it has done."""


@dataclass(frozen=True)
class ElbowState:
    """How an elbow stands.

    Parameters
    ----------
    locked : bool
        Whether the lock holds it
    elbow_flexion : float
        0 is straight [rad]
    """

    locked: bool
    elbow_flexion: float


@dataclass(frozen=True)
class Pulled:
    """What a pull at the lock's cable has done.

    Attributes
    ----------
    after : ElbowState
        How the elbow stands then
    outcome : str
        One of `Outcome`
    dropped : float
        How far the forearm has sunk to the position below, or on to its stop [rad]
    """

    after: ElbowState
    outcome: Outcome
    dropped: float = 0.0


@dataclass(frozen=True, kw_only=True)
class ElbowLock:
    """A lock that one cable locks and unlocks by turns.

    Parameters
    ----------
    positions : tuple of float
        Flexions at which it holds, rising [rad]
    travel : float
        Of its cable, before it changes over on release [m]
    force : float
        Of its cable for that [N]
    free_moment : float
        Moment on the lock up to which it lets go [N m]. Assumption: no figure was found

    Raises
    ------
    InputError
        If there are no positions, if they do not rise or lie outside 0 to 150 degrees, or a number is out of range

    Notes
    -----
    Locked between two positions the forearm sinks to the one below. Below the first there is none: it sinks on to
    its stop, and there the lock holds it as well. Assumption. A lock never lifts.

    Locks with 4 to 11 positions are seen. Travel and force as study cards repeat them: 5/8 to 3/4 in, about 2 lb.

    Examples
    --------
    >>> lock = ElbowLock.evenly(11)
    >>> done = lock.pull(ElbowState(False, deg(90.0)), travel=0.02, force=12.0)
    >>> done.outcome, round(np.rad2deg(done.after.elbow_flexion)), round(np.rad2deg(done.dropped))
    ('locked', 83, 7)
    >>> lock.pull(done.after, travel=0.02, force=12.0, moment=1.2).outcome
    'held by its load'
    """

    positions: tuple[float, ...]
    travel: float = source("elbow_lock_travel").si_high
    force: float = source("elbow_lock_force").si
    free_moment: float = 0.3

    def __post_init__(self) -> None:
        if not isinstance(self.positions, tuple):
            raise InputError(
                given=f"The positions of the elbow lock were given as {self.positions!r}.",
                do="Give them as a tuple, for example (deg(40), deg(80)), or ElbowLock.evenly(11).",
            )
        if not self.positions:
            raise InputError(
                given="The elbow lock has no position.", do="Give at least one, for example ElbowLock.evenly(11)."
            )
        for at in self.positions:
            within("A position of the elbow lock", at, 0.0, deg(150.0), example="deg(90)", of="angle")
        if any(b <= a for a, b in zip(self.positions, self.positions[1:], strict=False)):
            listed = ", ".join(show(at, "angle") for at in self.positions)
            raise InputError(given=f"The positions of the elbow lock are {listed}.", do="Give them rising.")
        within("The lock cable's travel", self.travel, 0.002, 0.06, example="mm(19)", of="length")
        within("The lock cable's force", self.force, 0.0, 60.0, example="newton(9)", of="force")
        within("The moment at which the lock lets go", self.free_moment, 0.0, 5.0, example="0.3", unit=" N m")

    @classmethod
    def evenly(cls, count: int, low: float = deg(5.0), high: float = deg(135.0)) -> ElbowLock:
        """A lock with positions as far from each other all the way.

        Parameters
        ----------
        count : int
            How many positions, 2 to 40 [-]
        low, high : float
            The first and the last [rad]

        Returns
        -------
        ElbowLock
            With the usual cable

        Raises
        ------
        InputError
            If the count is not whole, or a number is out of range

        Examples
        --------
        >>> round(np.rad2deg(ElbowLock.evenly(11).positions[1]))
        18
        """
        within("The count of lock positions", count, 2, 40, example="11")
        if count != int(count):
            raise InputError(
                given=f"The count of lock positions was given as {count:g}.", do="Give a whole number, for example 11."
            )
        within("The first position of the elbow lock", low, 0.0, deg(150.0), example="deg(5)", of="angle")
        within("The last position of the elbow lock", high, 0.0, deg(150.0), example="deg(135)", of="angle")
        return cls(positions=tuple(np.linspace(low, high, int(count)).tolist()))

    @classmethod
    def from_stop(cls, hangs_at: float) -> ElbowLock:
        """The lock of a prosthesis unless another is given: 11 positions, the first where the forearm hangs.

        Parameters
        ----------
        hangs_at : float
            Elbow flexion at which the forearm hangs on its stop [rad]

        Returns
        -------
        ElbowLock
            With the usual cable

        Examples
        --------
        >>> lock = ElbowLock.from_stop(deg(10.0))
        >>> len(lock.positions), [round(float(np.rad2deg(at)), 1) for at in lock.positions[:2]]
        (11, [10.0, 22.5])
        """
        return cls.evenly(11, low=hangs_at)

    def sunk(self, elbow_flexion: float, stop: float = 0.0) -> float:
        """Where the forearm comes to rest when it is locked and nothing else holds it.

        Parameters
        ----------
        elbow_flexion : float
            Where it is locked [rad]
        stop : float
            Where the forearm hangs with nothing that holds it [rad]

        Returns
        -------
        float
            At the next position below, or on the stop if that comes first [rad]

        Examples
        --------
        >>> lock = ElbowLock(positions=(deg(40.0), deg(80.0)))
        >>> [round(np.rad2deg(lock.sunk(deg(at), stop=deg(5.0)))) for at in (10.0, 40.0, 79.0, 90.0)]
        [5, 40, 40, 80]
        """
        below = [at for at in self.positions if at <= elbow_flexion + 1e-9]
        return min(max(below[-1] if below else stop, stop), elbow_flexion)

    def pull(self, held: ElbowState, *, travel: float, force: float, moment: float = 0.0, stop: float = 0.0) -> Pulled:
        """Pull the lock's cable and let it go.

        Parameters
        ----------
        held : ElbowState
            How the elbow stands
        travel : float
            How far the cable is pulled [m]
        force : float
            How hard [N]
        moment : float
            On the lock, of weight, load and lift cable together [N m]
        stop : float
            Where the forearm hangs with nothing that holds it [rad]

        Returns
        -------
        Pulled
            What that has done; locking, the forearm sinks as `sunk` says
        """
        for name, value in (("The pull's travel", travel), ("The pull's force", force), ("The moment", moment)):
            number(name, value, "0.02")
        number("The stop", stop, "deg(5)")
        if travel < self.travel:
            return Pulled(held, "pulled too little")
        if force < self.force:
            return Pulled(held, "pulled too lightly")
        if held.locked:
            if abs(moment) > self.free_moment:
                return Pulled(held, "held by its load")
            return Pulled(ElbowState(False, held.elbow_flexion), "unlocked")
        at = self.sunk(held.elbow_flexion, stop)
        return Pulled(ElbowState(True, at), "locked", held.elbow_flexion - at)
