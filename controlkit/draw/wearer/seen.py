"""What is worn as a viewer sees it: lines, pads, the arm at the crossbar."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.page.scene import Points

__all__ = ["CrossbarArm", "SeenHarness", "SeenLine", "SeenPad"]


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

    def place(self, index: int) -> tuple[float, float]:
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


@dataclass(frozen=True, eq=False)
class SeenPad:
    """A pad as the viewer sees it, between two edges.

    Parameters
    ----------
    one, other : SeenLine
        Its edges, with as many points each.
    """

    one: SeenLine
    other: SeenLine

    def seen(self) -> list[Points]:
        """List the pieces that the viewer sees.

        Returns
        -------
        list of numpy.ndarray
            Closed shapes, shape (K, 2) each [m].
        """
        covered = self.one.covered & self.other.covered
        edge = np.flatnonzero(np.diff(np.concatenate([[True], covered, [True]]).astype(int)))
        pieces = zip(edge[::2], edge[1::2], strict=True)
        return [np.vstack([self.one.flat[a:b], self.other.flat[a:b][::-1]]) for a, b in pieces if b - a > 1]


@dataclass(frozen=True, eq=False, kw_only=True)
class CrossbarArm:
    """The upper arm at the crossbar.

    Parameters
    ----------
    along : numpy.ndarray
        Direction from shoulder to elbow, shape (3,) [-].
    out : numpy.ndarray
        Direction from the arm's axis to the crossbar, shape (3,) [-].
    across : numpy.ndarray
        Direction of the crossbar, shape (3,) [-].
    size : float
        Distance of the crossbar from the arm's axis [m].
    share : float
        Share of the way from shoulder to elbow at which it sits [-].
    length : float
        From shoulder to elbow [m].
    """

    along: Points
    out: Points
    across: Points
    size: float
    share: float
    length: float


@dataclass(frozen=True, eq=False, kw_only=True)
class SeenHarness:
    """What is worn, as the viewer sees it.

    Parameters
    ----------
    straps : dict
        The straps from the ring outwards, by name; the control attachment
        strap ends at its hanger.
    lead : SeenLine
        The cable from the hanger to the crossbar.
    crossbar : SeenLine
        Both ends of the crossbar.
    cable : SeenLine
        The cable from the crossbar to the device.
    ring : SeenLine
        The middle of the ring or of the sewn patch, one point.
    edge : SeenLine
        The edge of the sewn patch, no points where there is a ring.
    pads : dict
        Pads between straps and body, by name.
    arm : CrossbarArm
        The upper arm at the crossbar.
    bar_hidden : bool
        Whether the arm hides the middle of the crossbar.
    """

    straps: dict[str, SeenLine]
    lead: SeenLine
    crossbar: SeenLine
    cable: SeenLine
    ring: SeenLine
    edge: SeenLine
    pads: dict[str, SeenPad]
    arm: CrossbarArm
    bar_hidden: bool
