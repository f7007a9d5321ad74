"""The wrist unit: a short cylinder at the end of the socket into which a device is screwed."""

from __future__ import annotations

import numpy as np

from controlkit.draw.device.mount import Mount
from controlkit.draw.page.scene import Points
from controlkit.draw.page.solids import Drum, Solid

__all__ = ["UNIT", "wrist_unit"]

UNIT = 0.026
"""Length of a wrist unit [m]."""
_RADIUS = 0.0215  # of its face [m]


def wrist_unit(mount: Mount, socket: float = 0.025) -> tuple[Solid, ...]:
    """Build a friction wrist: a collar laminated into the socket, a ring to turn by hand, the face with the thread.

    Parameters
    ----------
    mount : Mount
        Where it sits.
    socket : float
        Radius of the socket's end [m].

    Returns
    -------
    tuple of Solid
        Its parts, in no order.

    Examples
    --------
    >>> import numpy as np
    >>> mount = Mount(np.zeros(3), np.eye(3)[0], np.eye(3)[1], 0.16)
    >>> {part.name for part in wrist_unit(mount)}
    {'wrist unit'}
    """

    def along(*shares: float) -> Points:
        return mount.space(0.0, UNIT * np.array([[share, 0.0, 0.0] for share in shares]))

    face = min(_RADIUS, socket)
    return (
        Drum(along(-0.08, 0.34), np.array([socket, 0.5 * (socket + face)]), "collar", "wrist unit"),
        Drum(along(0.34, 0.84), face, "metal", "wrist unit", flutes=15),
        Drum(along(0.84, 1.0), np.array([0.86 * face, 0.72 * face]), "collar", "wrist unit"),
    )
