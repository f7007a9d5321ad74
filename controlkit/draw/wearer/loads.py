"""What straps press on the skin, drawn along their course."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.scene import Item, Line, Region
from controlkit.draw.page.shapes import runs
from controlkit.draw.wearer.seen import SeenHarness
from controlkit.draw.words.pull import LEAST_LOAD

if TYPE_CHECKING:
    from controlkit.mechanics import Pull

__all__ = ["load_bands"]

_WIDEST = 0.016  # half the width of the band where a strap presses most [m]


def load_bands(pull: Pull, worn: SeenHarness) -> list[Item]:
    """Draw a band along each strap, as wide as the strap presses there.

    Parameters
    ----------
    pull : Pull
        What the mechanics found.
    worn : SeenHarness
        The straps as the viewer sees them.

    Returns
    -------
    list
        Full bands where the viewer sees the strap, dashed ones behind the body.
    """
    most = max(load.worst for load in pull.strap_load.values())
    items: list[Item] = []
    if most < LEAST_LOAD:
        return items
    for name, load in pull.strap_load.items():
        run = worn.straps[name]
        start = int(np.argmin(np.linalg.norm(run.space - pull.straps[name][1], axis=1)))
        run = run.cut(start, start + len(load.line_load))
        half = load.line_load[: len(run.flat), None] * (_WIDEST / most)
        along = np.gradient(run.flat, axis=0)
        across = np.stack([-along[:, 1], along[:, 0]], axis=1) / np.maximum(np.hypot(*along.T), 1e-6)[:, None]
        one, other = run.flat + half * across, run.flat - half * across
        for first, last, covered in runs(run.covered):
            piece = np.vstack([one[first : last + 1], other[first : last + 1][::-1]])
            if half[first : last + 1].max() < 0.03 * _WIDEST:
                continue
            said = f"load of the {name}"
            if covered:
                items.append(Line(piece, "load", said, closed=True, hidden=np.ones(len(piece), dtype=bool)))
            else:
                items.append(Region(piece, "load", said))
    return items
