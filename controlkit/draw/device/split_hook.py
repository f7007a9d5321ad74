"""A split hook, small beside an arm."""

from __future__ import annotations

import numpy as np

from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Line, Points

__all__ = ["split_hook"]

_FINGER = np.array([[0.10, 0.004], [0.35, 0.016], [0.65, 0.024], [0.88, 0.014], [1.0, -0.004]])


def split_hook(wrist: Points, along: Points, across: Points, *, reach: float, angle: float = 0.0) -> list[Line]:
    """Draw the two fingers of a hook.

    Parameters
    ----------
    wrist : numpy.ndarray
        Shape (2,), where it begins [m].
    along, across : numpy.ndarray
        Shape (2,), towards the fingertips as seen, and at a right angle [-].
    reach : float
        From wrist to fingertips [m].
    angle : float
        Of the moving finger from shut [rad].

    Returns
    -------
    list of Line
        The moving finger and the fixed one.

    Examples
    --------
    >>> import numpy as np
    >>> [line.name for line in split_hook(np.zeros(2), np.array([1.0, 0.0]), np.array([0.0, 1.0]), reach=0.15)]
    ['hook', 'hook']
    """
    finger = through(_FINGER, steps=5)
    lines = []
    for side, turn in ((1.0, angle), (-1.0, 0.0)):
        x, y = (finger[:, 0] - 0.1) * reach, side * finger[:, 1]
        cos, sin = np.cos(turn), np.sin(turn)
        x, y = x * cos - y * sin + 0.1 * reach, x * sin + y * cos
        lines.append(Line(wrist + x[:, None] * along + y[:, None] * across, "hook", "hook"))
    return lines
