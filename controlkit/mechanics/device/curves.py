"""A device over its whole travel, and over the width of what it holds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.device.base import Device
from controlkit.mechanics.device.holding import Holding, hold, lost

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Cycle:
    """Cable force over the whole travel, with nothing between the fingers.

    Attributes
    ----------
    travel : ndarray
        Travel of the cable [m], shape (points,)
    out, back : ndarray
        Cable force while pulling and while letting back [N], shape (points,)
    lost : float
        Energy lost in one cycle [J]
    """

    travel: Array
    out: Array
    back: Array
    lost: float


def cycle(device: Device, points: int = 13) -> Cycle:
    """Pull an empty device through its travel and let it back.

    Parameters
    ----------
    device : Device
        The device
    points : int
        How many points of the travel are asked for [-]

    Returns
    -------
    Cycle
        Cable force both ways

    Examples
    --------
    >>> from controlkit.mechanics.device import hook_opening
    >>> once = cycle(hook_opening())
    >>> bool((once.out >= once.back).all())
    True
    """
    travel = np.linspace(0.0, device.travel, points)
    out, back = (np.array([force(x) for x in travel]) for force in (device.force, device.force_back))
    return Cycle(travel, out, back, lost(device))


def grips(device: Device, pull: float, *, let_go: bool = False, points: int = 25) -> tuple[Array, Array]:
    """Grip on objects of every width that fits.

    Parameters
    ----------
    device : Device
        The device
    pull : float
        Cable force at the device [N]
    let_go : bool
        Whether the cable has been let go again
    points : int
        How many widths are asked for [-]

    Returns
    -------
    widths : ndarray
        Widths from none to full opening [m], shape (points,)
    grip : ndarray
        Grip on each [N], shape (points,)

    Examples
    --------
    >>> from controlkit.mechanics.device import hook_opening
    >>> widths, grip = grips(hook_opening(), 0.0)
    >>> bool((grip > 0.0).all())
    True
    """
    widths = np.linspace(0.0, device.full_opening * (1.0 - 1e-9), points)
    return widths, np.array([hold(device, w, pull, let_go=let_go).grip for w in widths])


def working_force(device: Device, holding: Holding, pull: float) -> float:
    """Cable force that using the device takes: to open it fully, or to close it on the object and as hard as now.

    Parameters
    ----------
    device : Device
        The device
    holding : Holding
        What happens to the object
    pull : float
        Cable force that is there now [N]

    Returns
    -------
    float
        Cable force at the device [N]

    Examples
    --------
    >>> from controlkit.mechanics.device import hook_closing
    >>> hook = hook_closing()
    >>> working_force(hook, hold(hook, 0.03, 60.0), 60.0)
    60.0
    """
    return device.force(device.travel) if device.kind == "voluntary opening" else max(pull, holding.needed)
