"""What no words in a picture of a wearer may cover."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from controlkit.draw.page.labels import dense
from controlkit.draw.page.scene import Arrow, Frame, Item, Line, Points, Region, Ribbon
from controlkit.draw.page.style import STYLES

__all__ = ["keep_clear"]

_CLEAR = (
    "socket", "wrist unit", "fixed finger", "moving finger", "operating lever", "triceps pad", "band of the pad",
    "crossbar", "cable", "housing", "saddle", "humeral socket", "elbow unit", "turntable", "forearm shell",
    "second housing", "bare cable across the elbow",
)  # fmt: skip


def keep_clear(items: Sequence[Item], frame: Frame) -> Points:
    """Collect what no words may cover: straps, arm and device, forces.

    Parameters
    ----------
    items : sequence of Item
        What is drawn.
    frame : Frame
        The window.

    Returns
    -------
    numpy.ndarray
        Points close to each other along all of it, shape (N, 2) [m].
    """
    lines = []
    for item in items:
        if isinstance(item, Ribbon):
            lines += [item.points + share * item.across for share in (-1.0, 0.0, 1.0)]
        elif isinstance(item, Arrow):
            lines.append(np.array([item.start, item.end]))
        elif isinstance(item, Line | Region) and (item.name in _CLEAR or STYLES[item.style].webbing):
            lines.append(item.points)
    return dense(lines, 0.4 * frame.text)
