"""The way of cable and housing past the elbow, in the plane in which the elbow bends."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.inputs import number, within
from controlkit.sources import source
from controlkit.units import InputError, show

Array = NDArray[np.float64]

FULL_FLEXION = source("housing_test_elbow_flexion").si
"""Elbow flexion that a housing must allow [rad]. As public study cards repeat it: 135 degrees."""
_FLEXIONS = np.deg2rad(np.arange(0.0, 150.5, 0.5))


@dataclass(frozen=True)
class ArmLine:
    """Where the cable's line is held above and below the elbow.

    Parameters
    ----------
    upper : float
        Crossbar to elbow axis along the upper arm [m]
    forearm : float
        Elbow axis to the housing's retainer along the forearm [m]
    upper_offset : float
        Cable in front of the upper arm's line at the crossbar; behind it is negative [m]
    forearm_offset : float
        Cable in front of the forearm's line at the retainer; behind it is negative [m]
    device : float
        Elbow axis to the end of the cable at the device, along the forearm [m]
    elbow_radius : float, optional
        Radius of the elbow that the cable is held against. None: it passes on the outer side, where nothing is in
        its way [m]

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    Planar: elbow axis at the origin, upper arm upwards, the forearm swings forward. The crossbar's swivel and the
    retainer hold the housing along the limb lines. Lengths suit a man of average build; that they and the offsets
    lie where they do is an assumption. On the outer side the way is longest where the line crosses the axis: a few
    millimetres decide whether a housing is too short. Held behind an elbow, length is needed up to full flexion.

    Examples
    --------
    >>> round(ArmLine().needed(), 4)
    0.2533
    """

    upper: float = 0.15
    forearm: float = 0.10
    upper_offset: float = -0.02
    forearm_offset: float = -0.02
    device: float = 0.27
    elbow_radius: float | None = None

    def __post_init__(self) -> None:
        limits = {
            "upper": (0.03, 0.4),
            "forearm": (0.03, 0.3),
            "upper_offset": (-0.08, 0.08),
            "forearm_offset": (-0.08, 0.08),
            "device": (0.05, 0.5),
        }
        for name, (low, high) in limits.items():
            within(
                f"The cable line's {name.replace('_', ' ')}",
                getattr(self, name),
                low,
                high,
                example="mm(100)",
                of="length",
            )
        if self.elbow_radius is not None:
            within("The elbow's radius", self.elbow_radius, 0.0, 0.08, example="mm(30)", of="length")
            ends = ((self.upper, self.upper_offset), (self.forearm, self.forearm_offset), (self.device, 0.0))
            near = min(float(np.hypot(*end)) for end in ends)
            if self.elbow_radius >= near:
                raise InputError(
                    given=(
                        f"An elbow radius of {show(self.elbow_radius, 'length')} reaches past an end of the cable's "
                        "line."
                    ),
                    do=f"Give less than {show(near, 'length')}, or None for a cable on the outer side.",
                )

    def ends(self, elbow_flexion: Array, *, free: bool = False) -> tuple[Array, Array]:
        """Both ends of housing or free cable.

        Parameters
        ----------
        elbow_flexion : ndarray
            Elbow flexion [rad], shape (angles,)
        free : bool
            From the crossbar to the device, not to the retainer

        Returns
        -------
        tuple of ndarray
            Crossbar, shape (2,), and far end, forward and upward of the elbow axis [m], shape (angles, 2)

        Examples
        --------
        >>> ArmLine().ends(np.zeros(1))[0].tolist()
        [-0.02, 0.15]
        """
        along, off = (self.device, 0.0) if free else (self.forearm, self.forearm_offset)
        sin, cos = np.sin(elbow_flexion), np.cos(elbow_flexion)
        far = np.stack([along * sin + off * cos, off * sin - along * cos], axis=-1)
        return np.array([self.upper_offset, self.upper]), far

    def way(self, elbow_flexion: Array, *, free: bool = False) -> tuple[Array, Array, Array]:
        r"""Shortest way from end to end: what a free cable takes, and what a housing needs at least.

        .. math:: r = -\frac{dL}{d\varphi}

        Parameters
        ----------
        elbow_flexion : ndarray
            Elbow flexion [rad], shape (angles,)
        free : bool
            From the crossbar to the device, not to the retainer

        Returns
        -------
        tuple of ndarray
            Length L [m]; moment arm r with which tension flexes the elbow [m]; angle over which the cable
            lies against the elbow, in front positive [rad]; each of shape (angles,)

        Notes
        -----
        On the outer side (`elbow_radius` None) the way is straight. Held against the elbow it goes round it on the
        side on which it passes the straight elbow: behind the axis it winds on as the elbow bends.

        Examples
        --------
        >>> length, arm, _ = ArmLine().way(np.array([0.0, 1.5]), free=True)
        >>> bool(length[1] < length[0]), bool(arm[1] > 0.1)
        (True, True)
        """
        near, far = self.ends(np.asarray(elbow_flexion, dtype=float), free=free)
        length = np.hypot(*(far - near).T)
        arm = (far[:, 0] * near[1] - far[:, 1] * near[0]) / length  # of the far end's pull about the axis
        against = np.zeros_like(length)
        if self.elbow_radius is None:
            return length, arm, against
        side = 1.0 if self.in_front(free=free) else -1.0
        out, back = np.hypot(*near), np.hypot(*far.T)
        lean = np.arctan2(near[0], near[1]) + (0.0 if free else np.arctan2(self.forearm_offset, self.forearm))
        between = np.pi - side * (lean + np.asarray(elbow_flexion, dtype=float))
        wound = between - np.arccos(self.elbow_radius / out) - np.arccos(self.elbow_radius / back)
        on = wound > 0.0
        tangents = np.sqrt(out**2 - self.elbow_radius**2) + np.sqrt(back**2 - self.elbow_radius**2)
        length = np.where(on, tangents + self.elbow_radius * wound, length)
        return length, np.where(on, side * self.elbow_radius, arm), np.where(on, side * wound, against)

    def in_front(self, *, free: bool = False) -> bool:
        """Whether the line passes in front of the axis of the straight elbow.

        Parameters
        ----------
        free : bool
            From the crossbar to the device, not to the retainer

        Returns
        -------
        bool
            True in front, False behind or just across the axis

        Examples
        --------
        >>> ArmLine().in_front()
        False
        """
        near, far = self.ends(np.zeros(1), free=free)
        return bool(far[0, 0] * near[1] - far[0, 1] * near[0] > 0.0)

    def needed(self, full: float = FULL_FLEXION) -> float:
        """Shortest housing that lets the elbow bend so far.

        Parameters
        ----------
        full : float
            Largest elbow flexion [rad]

        Returns
        -------
        float
            Length of housing from crossbar to retainer [m]

        Raises
        ------
        InputError
            If the angle is not a number between 0 and 150 degrees

        Examples
        --------
        >>> ArmLine(upper_offset=0.0, forearm_offset=0.0).needed()
        0.25
        """
        full = number("Full elbow flexion", full, "deg(135)")
        if not 0.0 <= full <= np.deg2rad(150.0) + 1e-9:
            raise InputError(
                given=f"Full elbow flexion was given as {np.rad2deg(full):.4g} degrees.",
                do="Give 0 to 150 degrees.",
            )
        return _needed(self, full)

    def limit(self, length: float) -> float:
        """Elbow flexion at which a housing of this length is pulled straight and stops the elbow.

        Parameters
        ----------
        length : float
            Housing from crossbar to retainer [m]

        Returns
        -------
        float
            Elbow flexion, 0 if it is too short even for the straight elbow, infinite if it never stops it [rad]

        Raises
        ------
        InputError
            If the length is not one number

        Examples
        --------
        >>> bool(ArmLine().limit(0.252) < np.deg2rad(15)), ArmLine().limit(0.26)
        (True, inf)
        """
        return _limit(self, number("The length of the housing", length, "mm(255)"))


@lru_cache(maxsize=4096)
def _needed(arm: ArmLine, full: float) -> float:
    swing = np.append(_FLEXIONS[full > _FLEXIONS], full)
    return float(arm.way(swing)[0].max())


@lru_cache(maxsize=4096)
def _limit(arm: ArmLine, length: float) -> float:
    long = arm.way(_FLEXIONS)[0] > length + 1e-9
    if not long.any():
        return float("inf")
    first = int(np.argmax(long))
    if first == 0:
        return 0.0
    low, high = float(_FLEXIONS[first - 1]), float(_FLEXIONS[first])
    while high - low > 1e-9:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if arm.way(np.array([middle]))[0][0] > length else (middle, high)
    return low
