"""Where a terminal device is put in space, and how far its finger stands open."""

from __future__ import annotations

from dataclasses import KW_ONLY, dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.scene import Points

if TYPE_CHECKING:
    from controlkit.mechanics.device import Device

__all__ = ["Mount", "finger_angle", "lever_end", "turned"]


@dataclass(frozen=True, eq=False)
class Mount:
    """The end of a forearm on which a device sits.

    Parameters
    ----------
    wrist : numpy.ndarray
        Where the socket ends, shape (3,) [m].
    ahead : numpy.ndarray
        From there along the forearm, shape (3,) [-].
    side : numpy.ndarray
        At a right angle to that, to where the cable comes from and the operating lever stands, shape (3,) [-].
    reach : float
        From `wrist` to the fingertips, shut [m].
    arm : str
        "left" or "right"; of a hand, the thumb is on the side that belongs to it.
    """

    wrist: Points
    ahead: Points
    side: Points
    reach: float
    _: KW_ONLY
    arm: str = "right"

    @property
    def third(self) -> Points:
        """Along the axis of the pivot, of a hand to its thumb's side, shape (3,) [-]."""
        way = np.cross(self.side, self.ahead)
        return way if self.arm == "right" else -way

    def space(self, pivot: float, local: Points) -> Points:
        """Lay points into space.

        Parameters
        ----------
        pivot : float
            How far ahead of the wrist their origin lies [m].
        local : numpy.ndarray
            Points ahead, to the cable's side and along the pivot's axis, shape (M, 3) [m].

        Returns
        -------
        numpy.ndarray
            The points, shape (M, 3) [m].
        """
        return np.asarray(self.wrist + pivot * self.ahead + local @ self._axes)

    @cached_property
    def _axes(self) -> Points:
        return np.array([self.ahead, self.side, self.third])


def finger_angle(device: Device, opening: float) -> float:
    """How far the moving finger stands from shut for a distance of the fingertips.

    Parameters
    ----------
    device : Device
        The device.
    opening : float
        Distance of the fingertips [m].

    Returns
    -------
    float
        The angle [rad].

    Examples
    --------
    >>> from controlkit.mechanics.device import hook_opening
    >>> hook = hook_opening()
    >>> round(finger_angle(hook, hook.full_opening) / hook.widest, 6)
    1.0
    """
    return float(2.0 * np.arcsin(min(max(opening, 0.0) / (2.0 * device.finger), 1.0)))


def turned(local: Points, angle: float) -> Points:
    """Turn points about the pivot, from ahead towards the cable's side.

    Parameters
    ----------
    local : numpy.ndarray
        Points ahead, to the cable's side and along the pivot's axis, shape (M, 3) [m].
    angle : float
        How far [rad].

    Returns
    -------
    numpy.ndarray
        The points, shape (M, 3) [m].

    Examples
    --------
    >>> import numpy as np
    >>> turned(np.array([[1.0, 0.0, 0.5]]), np.pi / 2).round(9).tolist()
    [[0.0, 1.0, 0.5]]
    """
    cos, sin = np.cos(angle), np.sin(angle)
    return np.asarray(local @ np.array([[cos, sin, 0.0], [-sin, cos, 0.0], [0.0, 0.0, 1.0]]))


def lever_end(device: Device, angle: float) -> Points:
    """Where the cable holds the operating lever, seen from the pivot.

    Parameters
    ----------
    device : Device
        The device.
    angle : float
        Of the moving finger from shut [rad].

    Returns
    -------
    numpy.ndarray
        Ahead, to the cable's side and along the pivot's axis, shape (3,) [m].

    Notes
    -----
    The lever stands upright in the middle of its travel; a pull turns it back, whatever that does to the fingers.

    Examples
    --------
    >>> from controlkit.mechanics.device import hook_closing, hook_opening
    >>> opening, closing = hook_opening(), hook_closing()
    >>> [bool(lever_end(one, 0.0)[0] > lever_end(one, one.widest)[0]) for one in (opening, closing)]
    [True, False]
    """
    swung = angle if device.opens else -angle
    middle = 0.5 * device.widest if device.opens else -0.5 * device.widest
    return np.asarray(turned(np.array([[0.0, device.lever, 0.0]]), swung - middle)[0])
