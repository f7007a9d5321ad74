"""The cable that lifts the forearm: from the housing's end on the upper arm to the lift loop on the forearm."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.inputs import within
from controlkit.units import InputError, deg, show

Array = NDArray[np.float64]

RANGE = (0.0, deg(135.0))
"""Flexion through which a prosthetic elbow goes unless told otherwise [rad]: what a housing must allow, as public study
cards repeat it."""
_LIMITS = {
    "loop_along": (0.005, 0.25, "mm(40)"),
    "loop_ahead": (-0.06, 0.06, "mm(0)"),
    "end_above": (0.005, 0.30, "mm(80)"),
    "end_ahead": (-0.06, 0.06, "mm(0)"),
}

_TOUCHING = 1e-9  # of loop and housing end [m]


@dataclass(frozen=True, kw_only=True)
class LiftLine:
    r"""Where the lift loop sits on the forearm, and where the housing ends on the upper arm.

    .. math:: L = |p - u(\varepsilon)|, \qquad r = -\frac{dL}{d\varepsilon} = \frac{|p \times u|}{L}

    Parameters
    ----------
    loop_along : float
        Lift loop from the elbow axis along the forearm [m]
    loop_ahead : float
        Lift loop in front of the forearm's line, on the side to which the elbow flexes; behind is negative [m]
    end_above : float
        Housing end from the elbow axis up the upper arm [m]
    end_ahead : float
        Housing end in front of the upper arm's line; behind is negative [m]

    Raises
    ------
    InputError
        If a place is outside its range, or loop and end are so near the axis that nothing is lifted

    Notes
    -----
    Planar, the cable straight between both: nothing leads it round the elbow. A loop as far from the axis as the
    housing's end meets it in full flexion: there is no cable left, and no moment arm. The moment arm is negative where
    the cable has passed behind the axis: there it extends the elbow. No source was found for where loop and end sit;
    the defaults are assumed. Valid from -10 to 150 degrees of flexion.

    Examples
    --------
    >>> line = LiftLine(loop_along=0.030, end_above=0.080)
    >>> round(1e3 * float(line.moment_arm(np.pi - 1.2)), 3)
    29.997
    """

    loop_along: float = 0.040
    loop_ahead: float = 0.0
    end_above: float = 0.080
    end_ahead: float = 0.0

    def __post_init__(self) -> None:
        for name, (low, high, example) in _LIMITS.items():
            words = {"loop": "The lift loop", "end": "The housing's end"}[name.split("_")[0]]
            where = {"along": "along the forearm", "above": "above the elbow", "ahead": "ahead of the arm's line"}
            within(f"{words} {where[name.split('_')[1]]}", getattr(self, name), low, high, example=example, of="length")

    @cached_property
    def _end(self) -> Array:
        """The housing's end, forward and up of the axis."""
        return np.array([self.end_ahead, self.end_above])

    def _loop(self, elbow_flexion: Array) -> tuple[Array, Array]:
        """The lift loop, forward and up of the axis, and how it moves with flexion; each of shape (2, ...)."""
        sin, cos = np.sin(elbow_flexion), np.cos(elbow_flexion)
        along, ahead = self.loop_along, self.loop_ahead
        place = np.stack([along * sin + ahead * cos, ahead * sin - along * cos])
        return place, np.stack([-place[1], place[0]])

    def _gap(self, elbow_flexion: Array) -> tuple[Array, Array]:
        """From the lift loop to the housing's end, forward and up."""
        place, _ = self._loop(elbow_flexion)
        return self.end_ahead - place[0], self.end_above - place[1]

    def length(self, elbow_flexion: Array | float) -> Array:
        """Free length of the cable between housing end and lift loop.

        Parameters
        ----------
        elbow_flexion : float or ndarray
            0 is straight [rad], any shape

        Returns
        -------
        ndarray
            Length [m], same shape

        Examples
        --------
        >>> LiftLine().length(0.0).round(3).item()
        0.12
        """
        ahead, above = self._gap(np.asarray(elbow_flexion, dtype=float))
        return np.asarray(np.hypot(ahead, above))

    def moment_arm(self, elbow_flexion: Array | float) -> Array:
        """Moment arm with which tension flexes the elbow.

        Parameters
        ----------
        elbow_flexion : float or ndarray
            0 is straight [rad], any shape

        Returns
        -------
        ndarray
            Positive where the cable passes in front of the axis [m], same shape

        Examples
        --------
        >>> (1e3 * LiftLine().moment_arm(np.array([0.0, np.pi / 2]))).round(1).tolist()
        [0.0, 35.8]
        """
        _, moved = self._loop(np.asarray(elbow_flexion, dtype=float))
        reach = self.length(elbow_flexion)
        across = np.asarray(self.end_ahead * moved[0] + self.end_above * moved[1])
        arm: Array = np.divide(across, reach, out=np.zeros_like(across), where=reach > _TOUCHING)
        return arm

    def tension(self, moment: Array | float, elbow_flexion: Array | float) -> Array:
        r"""Tension with which the cable makes a moment that flexes the elbow.

        .. math:: T = M / r(\varepsilon)

        Parameters
        ----------
        moment : float or ndarray
            About the elbow [N m], any shape
        elbow_flexion : float or ndarray
            0 is straight [rad], any shape that goes with it

        Returns
        -------
        ndarray
            0 where no moment is wanted, infinite where no tension makes it [N], shape of both together

        Examples
        --------
        >>> LiftLine().tension(1.0, np.array([0.0, np.pi / 2])).round(1).tolist()
        [inf, 28.0]
        """
        wanted, arm = np.broadcast_arrays(np.asarray(moment, dtype=float), self.moment_arm(elbow_flexion))
        force = np.where(wanted > 0.0, np.inf, 0.0)
        return np.asarray(np.divide(wanted, arm, out=force, where=(wanted > 0.0) & (arm > 0.0)))

    def turned_at_end(self, elbow_flexion: Array | float) -> Array:
        """How far the cable turns where the housing on the upper arm ends; the rest it turns at the lift loop.

        Parameters
        ----------
        elbow_flexion : float or ndarray
            0 is straight [rad], any shape

        Returns
        -------
        ndarray
            From the upper arm's line forward [rad], same shape

        Examples
        --------
        >>> LiftLine().turned_at_end(np.pi / 2).round(3).item()
        0.464
        """
        ahead, above = self._gap(np.asarray(elbow_flexion, dtype=float))
        return np.asarray(np.arctan2(-ahead, above))

    def travel(self, elbow_flexion: Array | float, start: float = 0.0) -> Array:
        """Cable that flexing from a start takes up.

        Parameters
        ----------
        elbow_flexion : float or ndarray
            Where to [rad], any shape
        start : float
            Where from [rad]

        Returns
        -------
        ndarray
            Travel; what is taken up stays so when the elbow is locked [m], same shape

        Examples
        --------
        >>> round(1e3 * float(LiftLine().travel(RANGE[1])), 1)
        61.1
        """
        return np.asarray(self.length(start) - self.length(elbow_flexion))

    def dead_points(self, low: float = RANGE[0], high: float = RANGE[1]) -> tuple[float, ...]:
        """Flexions at which the cable crosses the axis and lifts nothing.

        Parameters
        ----------
        low, high : float
            The elbow's range [rad]

        Returns
        -------
        tuple of float
            Rising; a range may hold none [rad]

        Raises
        ------
        InputError
            If the range's ends are not in order

        Notes
        -----
        Where housing end, axis and loop lie on one line: p x u = 0. Up to one place lies within each half turn.

        Examples
        --------
        >>> LiftLine().dead_points()
        (0.0,)
        >>> [round(at) for at in np.rad2deg(LiftLine(loop_ahead=0.020, end_ahead=0.030).dead_points())]
        [133]
        """
        if not low < high:
            raise InputError(
                given=f"The elbow's range was given as {show(low, 'angle')} to {show(high, 'angle')}.",
                do="Give the lower end first.",
            )
        # p x u is a sine of the flexion: its zeros are half a turn apart
        first = np.arctan2(self.end_ahead, self.end_above)
        tilt = np.arctan2(self.loop_ahead, self.loop_along)
        zero = -(first + tilt)
        turns = np.pi * np.arange(-3, 4) + zero
        inside = turns[(turns >= low - 1e-12) & (turns <= high + 1e-12)]
        return tuple(float(at) + 0.0 for at in np.clip(inside, low, high))
