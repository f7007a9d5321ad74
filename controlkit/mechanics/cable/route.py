"""The way of cable and housing past the elbow, in the plane in which the elbow bends."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.inputs import number, within
from controlkit.sources import source
from controlkit.units import InputError

Array = NDArray[np.float64]

OFFSETS = (0.005, 0.020)
"""How far behind the elbow axis a housing may be led [m]. Reasoned: nearer to the axis it runs beside it, further off
a straight elbow's housing stands far off the arm."""
FULL_FLEXION = source("housing_test_elbow_flexion").si
"""Elbow flexion that a housing must allow [rad]. As public study cards repeat it: 135 degrees."""
_FLEXIONS = np.deg2rad(np.arange(0.0, 150.5, 0.5))


@dataclass(frozen=True)
class ArmLine:
    """Where the cable's line is held above and below the elbow, and on which side it passes the elbow.

    Parameters
    ----------
    upper : float
        Crossbar to elbow axis along the upper arm [m]
    forearm : float
        Elbow axis to the retainer along the forearm [m]
    upper_offset : float
        Cable in front of the upper arm's line at the crossbar; behind it is negative [m]
    forearm_offset : float
        Cable in front of the forearm's line at the retainer; behind it is negative [m]
    device : float
        Elbow axis to the end of the cable at the device, along the forearm [m]
    elbow_offset : float, optional
        How far behind the elbow axis the housing is led past a bent elbow, in effect. None: beside the axis, where
        nothing leads it and it may go straight [m]

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    Planar: elbow axis at the origin, upper arm upwards, the forearm swings forward. The crossbar's swivel and the
    retainer hold the housing along the limb lines. Lengths suit a man of average build; that they and the offsets
    lie where they do is an assumption.

    The side decides. Behind and outside the elbow, as is common practice, each degree of flexion needs its length:
    full flexion needs most, and that is what a short housing stops. Of how far it is behind no text was found; 10 mm
    is reasoned, less than the elbow is thick because the housing runs outside of it too. Truly beside the axis the
    straight line is longest where it crosses the axis, near the straight elbow, and a short housing stops that.

    Examples
    --------
    >>> behind, beside = ArmLine(), ArmLine(elbow_offset=None)
    >>> round(behind.needed(), 4), round(beside.needed(), 4)
    (0.2744, 0.2533)
    """

    upper: float = 0.15
    forearm: float = 0.10
    upper_offset: float = -0.02
    forearm_offset: float = -0.02
    device: float = 0.27
    elbow_offset: float | None = 0.01

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
        if self.elbow_offset is not None:
            led_past(self.elbow_offset)

    def ends(self, elbow_flexion: Array, *, to_device: bool = False) -> tuple[Array, Array]:
        """Both ends of the piece that passes the elbow.

        Parameters
        ----------
        elbow_flexion : ndarray
            Elbow flexion [rad], shape (angles,)
        to_device : bool
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
        along, off = (self.device, 0.0) if to_device else (self.forearm, self.forearm_offset)
        sin, cos = np.sin(elbow_flexion), np.cos(elbow_flexion)
        far = np.stack([along * sin + off * cos, off * sin - along * cos], axis=-1)
        return np.array([self.upper_offset, self.upper]), far

    def chord(self, elbow_flexion: Array, *, to_device: bool = False) -> tuple[Array, Array]:
        r"""Straight line past the elbow: what a cable takes that nothing leads.

        .. math:: r = -\frac{dL}{d\varphi}

        Parameters
        ----------
        elbow_flexion : ndarray
            Elbow flexion [rad], shape (angles,)
        to_device : bool
            From the crossbar to the device, not to the retainer

        Returns
        -------
        tuple of ndarray
            Length L, and moment arm r with which tension flexes the elbow [m]; each of shape (angles,)

        Notes
        -----
        A taut cable does not stay behind a round elbow: it slips off to the side, where nothing is in its way.

        Examples
        --------
        >>> length, arm = ArmLine().chord(np.array([0.0, 1.5]))
        >>> bool(length[1] < length[0]), bool(arm[1] > 0.05)
        (True, True)
        """
        near, far = self.ends(np.asarray(elbow_flexion, dtype=float), to_device=to_device)
        length = np.hypot(*(far - near).T)
        return length, (far[:, 0] * near[1] - far[:, 1] * near[0]) / length  # of the far end's pull about the axis

    def way(self, elbow_flexion: Array) -> Array:
        """Shortest way from crossbar to retainer on the side on which the housing is led: what it needs at least.

        Parameters
        ----------
        elbow_flexion : ndarray
            Elbow flexion [rad], shape (angles,)

        Returns
        -------
        ndarray
            Length [m], shape (angles,)

        Examples
        --------
        >>> straight, bent = ArmLine().way(np.array([0.0, 1.5]))
        >>> round(float(straight), 4), round(float(bent - straight) / 1.5, 4)
        (0.25, 0.0106)
        """
        straight, _ = self.chord(elbow_flexion)
        if self.elbow_offset is None:
            return straight
        offset, flexion = self.elbow_offset, np.asarray(elbow_flexion, dtype=float)
        out, back = float(np.hypot(self.upper, self.upper_offset)), float(np.hypot(self.forearm, self.forearm_offset))
        lean = np.arctan2(self.upper_offset, self.upper) + np.arctan2(self.forearm_offset, self.forearm)
        wound = np.pi + lean + flexion - np.arccos(offset / out) - np.arccos(offset / back)
        tangents = np.sqrt(out**2 - offset**2) + np.sqrt(back**2 - offset**2)
        return np.where(wound > 0.0, tangents + offset * wound, straight)

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
        >>> ArmLine(upper_offset=0.0, forearm_offset=0.0, elbow_offset=None).needed()
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
        """Elbow flexion at which a housing of this length is taut and stops the elbow.

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
        >>> arm = ArmLine()
        >>> round(float(np.rad2deg(arm.limit(arm.needed() - 0.010)))), arm.limit(arm.needed() + 0.010)
        (78, inf)
        """
        return _limit(self, number("The length of the housing", length, "mm(255)"))


def led_past(offset: float) -> None:
    """Refuse an offset that no housing is led at.

    Parameters
    ----------
    offset : float
        How far behind the elbow axis [m]

    Raises
    ------
    InputError
        If it is not a number in `OFFSETS`

    Examples
    --------
    >>> led_past(0.012)
    """
    within("The housing's offset behind the elbow axis", offset, *OFFSETS, example="mm(10)", of="length")


@lru_cache(maxsize=4096)
def _needed(arm: ArmLine, full: float) -> float:
    swing = np.append(_FLEXIONS[full > _FLEXIONS], full)
    return float(arm.way(swing).max())


@lru_cache(maxsize=4096)
def _limit(arm: ArmLine, length: float) -> float:
    long = arm.way(_FLEXIONS) > length + 1e-9
    if not long.any():
        return float("inf")
    first = int(np.argmax(long))
    if first == 0:
        return 0.0
    low, high = float(_FLEXIONS[first - 1]), float(_FLEXIONS[first])
    while high - low > 1e-9:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if arm.way(np.array([middle]))[0] > length else (middle, high)
    return low
