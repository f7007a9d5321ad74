"""Where in a window there is room for words: many places asked about at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.draw.page.scene import Frame, Points

__all__ = ["Room", "room_in"]

_CELL = 0.3  # side of a cell, as a share of the height of a line [-]


@dataclass(frozen=True, eq=False)
class Room:
    """What is taken of a window, counted in cells.

    Parameters
    ----------
    frame : Frame
        The window.
    cell : float
        Side of a cell [m].
    before : numpy.ndarray
        How many cells left of and below a corner are taken, shape (M, N) [-].
    """

    frame: Frame
    cell: float
    before: NDArray[np.int64]

    def free(self, boxes: Points) -> NDArray[np.bool_]:
        """Tell which boxes lie in the window and cover nothing.

        Parameters
        ----------
        boxes : numpy.ndarray
            Left, low, right and high end of each, shape (M, 4) [m].

        Returns
        -------
        numpy.ndarray
            True where there is room, shape (M,) [-].

        Examples
        --------
        >>> import numpy as np
        >>> room = room_in(Frame(0.0, 0.0, 1.0, 1.0), np.array([[0.5, 0.5]]))
        >>> room.free(np.array([[0.4, 0.4, 0.6, 0.6], [0.1, 0.1, 0.3, 0.3], [0.9, 0.1, 1.1, 0.2]])).tolist()
        [False, True, False]
        """
        frame, count = self.frame, self.before
        inside = (boxes[:, :2] >= (frame.left, frame.bottom)).all(axis=1)
        inside &= (boxes[:, 2:] <= (frame.right, frame.top)).all(axis=1)
        at = (boxes - np.array([frame.left, frame.bottom] * 2)) / self.cell
        last = np.array(count.shape) - 1
        x0, y0 = np.clip(np.floor(at[:, :2]).astype(int), 0, last).T
        x1, y1 = np.clip(np.ceil(at[:, 2:]).astype(int), 0, last).T
        return np.asarray(inside & (count[x1, y1] - count[x0, y1] - count[x1, y0] + count[x0, y0] == 0))


def room_in(frame: Frame, points: Points) -> Room:
    """Mark what is taken.

    Parameters
    ----------
    frame : Frame
        The window.
    points : numpy.ndarray
        What no words may cover, closer to each other than words are high, shape (N, 2) [m].

    Returns
    -------
    Room
        The window with what is taken.
    """
    cell = _CELL * frame.text
    wide, high = int(np.ceil(frame.width / cell)), int(np.ceil(frame.height / cell))
    column, row = np.floor((points - (frame.left, frame.bottom)) / cell).astype(int).T
    within = (column >= 0) & (column < wide) & (row >= 0) & (row < high)
    taken = np.zeros((wide + 1, high + 1), dtype=np.int64)
    taken[column[within] + 1, row[within] + 1] = 1
    return Room(frame, cell, taken.cumsum(axis=0).cumsum(axis=1))
