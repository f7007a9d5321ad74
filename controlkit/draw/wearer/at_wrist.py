"""The terminal device at the end of the socket, open as far as the mechanics says, and the cable that leads to it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.device.mount import Mount
from controlkit.draw.device.terminal import cable_end, terminal_device
from controlkit.draw.gear.arm import Arm
from controlkit.draw.gear.cable import cable_way
from controlkit.draw.gear.sight import Sight, unit
from controlkit.draw.page.scene import Item, Line, Points
from controlkit.draw.page.solids import Solid, Viewpoint, far_to_near

if TYPE_CHECKING:
    from controlkit.mechanics.device import Device

__all__ = ["at_wrist", "mount_of"]

_TURNED = 0.95  # towards the bend of the elbow that the operating lever is turned from the outer side [rad]


def mount_of(arm: Arm, amputated: str) -> Mount:
    """Say where the device sits: at the end of the socket, its operating lever on the outer side."""
    side = np.cos(_TURNED) * arm.outward + np.sin(_TURNED) * arm.volar
    side = unit(side - (side @ arm.heading) * arm.heading)
    return Mount(arm.wrist, arm.heading, side, reach=float(np.linalg.norm(arm.tip - arm.wrist)), arm=amputated)


@lru_cache(maxsize=64)
def at_wrist(
    arm: Arm, sight: Sight, device: Device, *, amputated: str, opening: float, held: float
) -> tuple[tuple[Item, ...], tuple[Item, ...]]:
    """Draw the device, and the cable between it and the retainer.

    Parameters
    ----------
    arm : Arm
        The arm.
    sight : Sight
        The view.
    device : Device
        The device, whose measures are drawn.
    amputated : str
        "left" or "right".
    opening : float
        Opening of the fingertips [m].
    held : float
        Share of the way from elbow to wrist at which the retainer holds the housing [-].

    Returns
    -------
    under, over : tuple of Item
        What the body may stand before, and what stands before the body.
    """
    mount = mount_of(arm, amputated)
    end = cable_end(device, mount, opening)
    _, bare = cable_way(arm, arm.shoulder, held, end)
    solids = terminal_device(device, mount, opening, socket=float(arm.radius(1.0)))
    spread = _spread(solids, sight)
    hidden = sight.hides(np.vstack([spread, bare]))
    gone = np.asarray(hidden[: len(spread)].reshape(-1, 3).any(axis=1))
    covered = hidden[len(spread) :]
    eye = Viewpoint(sight.right, np.array([0.0, 1.0, 0.0]), sight.towards)
    near = [solid for solid, out_of_sight in zip(solids, gone.tolist(), strict=True) if not out_of_sight]
    cable = Line(sight.flat(bare), "cable", "cable", hidden=covered)
    under = far_to_near(solids, eye) if gone.any() else ()
    return under, (*far_to_near(near, eye), cable)


def _spread(solids: Sequence[Solid], sight: Sight) -> Points:
    """The middle of each thing, and how far it reaches to either side as seen, shape (3 things, 3) [m]."""
    counts = np.array([len(solid.points) for solid in solids])
    starts = np.cumsum(counts) - counts
    every = np.vstack([solid.points for solid in solids])
    middle = np.add.reduceat(every, starts) / counts[:, None]
    aside = np.abs((every - np.repeat(middle, counts, axis=0)) @ sight.right)
    thick = [np.max(getattr(solid, "radius", 0.0)) for solid in solids]
    reach = np.maximum.reduceat(aside, starts) + thick
    ways = np.outer([-1.0, 0.0, 1.0], sight.right)
    return np.asarray(middle[:, None] + reach[:, None, None] * ways).reshape(-1, 3)
