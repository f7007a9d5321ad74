"""What is worn as a viewer sees it: straps, ring, and what is fixed to the arm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.gear.arm import Arm
from controlkit.draw.gear.sight import Panel, Sight
from controlkit.draw.gear.webbing import Web
from controlkit.draw.page.scene import Frame, Item, Points
from controlkit.draw.page.spot import spot

__all__ = ["Place", "SeenArm", "SeenHarness", "SeenLine"]

_ALL = Frame(-1.5, -1.5, 1.5, 1.5)  # a window that holds the wearer
Place = tuple[float, float]
"""To the viewer's right and up [m]."""


@dataclass(frozen=True, eq=False)
class SeenLine:
    """One line in space and in the picture.

    Parameters
    ----------
    space : numpy.ndarray
        Shape (M, 3), ISB axes [m].
    flat : numpy.ndarray
        Shape (M, 2), to the viewer's right and up [m].
    covered : numpy.ndarray
        Shape (M,), true where the body hides the point [-].
    """

    space: Points
    flat: Points
    covered: NDArray[np.bool_]

    def cut(self, first: int, last: int | None) -> SeenLine:
        """Take a piece of the line."""
        return SeenLine(self.space[first:last], self.flat[first:last], self.covered[first:last])

    def place(self, index: int) -> Place:
        """Give one point in the picture.

        Parameters
        ----------
        index : int
            Which point [-].

        Returns
        -------
        tuple of float
            To the viewer's right and up [m].
        """
        return float(self.flat[index, 0]), float(self.flat[index, 1])


@dataclass(frozen=True, eq=False, kw_only=True)
class SeenArm:
    """What is fixed to the arm, as the viewer sees it; it stays while straps alone move.

    Parameters
    ----------
    arm : Arm
        The arm.
    sight, bare : Sight
        The view, and the view that the forearm of the prosthesis does not block.
    under : tuple of Item
        What the body may stand before.
    over : tuple of Item
        What stands before the body, in drawing order.
    spots : dict
        By name of a part a place on it that can be seen, none where it is hidden.
    broad : tuple of str
        Parts of which such a place is looked for only once it is asked for.
    """

    arm: Arm
    sight: Sight
    bare: Sight
    under: tuple[Item, ...]
    over: tuple[Item, ...]
    spots: dict[str, Place | None]
    broad: tuple[str, ...] = ()

    def place(self, part: str) -> Place | None:
        """A place on a part that nothing on the arm covers; none where it is hidden, or where there is no such part."""
        if part not in self.broad:
            return self.spots.get(part)
        if part not in self.spots:
            try:
                self.spots[part] = spot(self.over, part, _ALL)
            except LookupError:
                self.spots[part] = None
        return self.spots[part]


@dataclass(frozen=True, eq=False, kw_only=True)
class SeenHarness:
    """What is worn, as the viewer sees it.

    Parameters
    ----------
    sight : Sight
        The view.
    straps : dict
        The straps from the ring outwards, by name; the control attachment
        strap ends at its hanger.
    webs : dict
        The same straps with their width.
    lead : SeenLine
        The cable from the hanger to the crossbar.
    ring : SeenLine
        The middle of the ring or of the sewn patch, one point.
    facing : numpy.ndarray
        The way the skin below it faces, shape (3,) [-].
    edge : SeenLine
        The edge of the sewn patch, no points where there is a ring.
    pads : dict
        Pads that lie on the trunk, by name.
    arm : SeenArm
        What is fixed to the arm.
    device_under, device_over : tuple of Item
        The device: what the body may stand before, and what stands before the body.
    lock_cable : SeenLine, optional
        The cable of the elbow's lock, from its strap down.
    elastic : bool
        Whether a section of the front strap is elastic.
    """

    sight: Sight
    straps: dict[str, SeenLine]
    webs: dict[str, Web]
    lead: SeenLine
    ring: SeenLine
    facing: Points
    edge: SeenLine
    pads: dict[str, Panel]
    arm: SeenArm
    device_under: tuple[Item, ...]
    device_over: tuple[Item, ...]
    lock_cable: SeenLine | None = None
    elastic: bool = False
