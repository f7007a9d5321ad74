"""A wrist unit with its terminal device, at the end of any forearm."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.device.hand import BENT, KNUCKLE
from controlkit.draw.device.hand import hand as gloved_hand
from controlkit.draw.device.hook import split_hook
from controlkit.draw.device.mount import Mount, finger_angle, lever_end, turned
from controlkit.draw.device.wrist import wrist_unit
from controlkit.draw.page.scene import Points
from controlkit.draw.page.solids import Solid

if TYPE_CHECKING:
    from controlkit.mechanics.device import Device

__all__ = ["cable_end", "fingertips", "pivot_ahead", "terminal_device"]


def terminal_device(
    device: Device, mount: Mount, opening: float, *, hand: bool = False, socket: float = 0.025
) -> tuple[Solid, ...]:
    """Build wrist unit and device, opened as far as the mechanics says.

    Parameters
    ----------
    device : Device
        The device, whose measures are drawn.
    mount : Mount
        Where it sits.
    opening : float
        Distance of the fingertips [m].
    hand : bool
        Whether it is a gloved hand.
    socket : float
        Radius of the socket's end [m].

    Returns
    -------
    tuple of Solid
        Their parts, in no order; `controlkit.draw.page.solids.far_to_near` draws them.

    Examples
    --------
    >>> import numpy as np
    >>> from controlkit.mechanics.device import hook_opening
    >>> mount = Mount(np.zeros(3), np.eye(3)[0], np.eye(3)[1], 0.165)
    >>> names = {part.name for part in terminal_device(hook_opening(), mount, 0.03)}
    >>> {"wrist unit", "stud", "body", "fixed finger", "moving finger", "operating lever", "cable end"} <= names
    True
    """
    build = gloved_hand if hand else split_hook
    return (*wrist_unit(mount, socket), *build(device, mount, finger_angle(device, opening)))


def pivot_ahead(device: Device, mount: Mount, hand: bool = False) -> float:
    """How far ahead of the wrist the pivot lies.

    Parameters
    ----------
    device : Device
        The device.
    mount : Mount
        Where it sits.
    hand : bool
        Whether it is a gloved hand.

    Returns
    -------
    float
        The distance [m].

    Examples
    --------
    >>> import numpy as np
    >>> from controlkit.mechanics.device import hook_opening
    >>> round(pivot_ahead(hook_opening(), Mount(np.zeros(3), np.eye(3)[0], np.eye(3)[1], 0.165)), 3)
    0.07
    """
    return KNUCKLE if hand else mount.reach - device.finger


def cable_end(device: Device, mount: Mount, opening: float, *, hand: bool = False) -> Points:
    """Where the cable is fastened to the operating lever.

    Parameters
    ----------
    device : Device
        The device.
    mount : Mount
        Where it sits.
    opening : float
        Distance of the fingertips [m].
    hand : bool
        Whether it is a gloved hand.

    Returns
    -------
    numpy.ndarray
        The place, shape (3,) [m].

    Examples
    --------
    >>> import numpy as np
    >>> from controlkit.mechanics.device import hook_opening
    >>> hook, mount = hook_opening(), Mount(np.zeros(3), np.eye(3)[0], np.eye(3)[1], 0.165)
    >>> shut, pulled = (cable_end(hook, mount, opening)[0] for opening in (0.0, 0.08))
    >>> bool(pulled < shut)
    True
    """
    end = lever_end(device, finger_angle(device, opening))
    return np.asarray(mount.space(pivot_ahead(device, mount, hand), end[None])[0])


def fingertips(device: Device, angle: float, hand: bool = False) -> tuple[Points, Points]:
    """Where the inner faces of the fingertips are, seen from the pivot.

    Parameters
    ----------
    device : Device
        The device.
    angle : float
        Of the moving finger from shut [rad].
    hand : bool
        Whether it is a gloved hand.

    Returns
    -------
    tuple of numpy.ndarray
        Of the part that stands still and of the part that turns: ahead, to the cable's side and along the pivot's axis,
        shape (3,) each [m].

    Examples
    --------
    >>> from controlkit.mechanics.device import hook_closing, hook_opening
    >>> [bool(fingertips(one, 0.5)[1][1] > 0.0) for one in (hook_opening(), hook_closing())]
    [True, False]
    """
    shut = np.array([[device.finger, 0.0, 0.0]])
    lean = -BENT if hand else 0.0
    still, moved = turned(shut, lean)[0], turned(shut, lean + (angle if device.opens else -angle))[0]
    return np.asarray(still), np.asarray(moved)
