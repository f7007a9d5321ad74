"""What straps press on the skin, drawn beside their course, so that no strap is hidden by its load."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from controlkit.draw.page.scene import Item, Line, Region
from controlkit.draw.page.shapes import runs
from controlkit.draw.wearer.seen import SeenHarness
from controlkit.draw.words.pull import LEAST_LOAD

if TYPE_CHECKING:
    from controlkit.draw.wearer.lying import Lying
    from controlkit.mechanics import DualPull, Pull

__all__ = ["load_bands"]

_WIDEST = 0.016  # of each of the two bands beside a strap where it presses most [m]


def load_bands(pull: Pull | DualPull | Lying, worn: SeenHarness, widest: float = 0.0) -> list[Item]:
    """Draw a band along either edge of each strap, as wide as the strap presses there.

    Parameters
    ----------
    pull : Pull, DualPull or Lying
        What the mechanics found.
    worn : SeenHarness
        The straps as the viewer sees them.
    widest : float
        What the widest band stands for, where another picture has more than this one [N/m].

    Returns
    -------
    list
        Full bands where the viewer sees the strap, their outer edges dashed behind the body.
    """
    most = max(widest, *(load.worst for load in pull.strap_load.values()))
    items: list[Item] = []
    if most < LEAST_LOAD:
        return items
    for name, load in pull.strap_load.items():
        run, laid = worn.straps[name], worn.webs[name]
        start = int(np.argmin(np.linalg.norm(run.space - pull.straps[name][1], axis=1)))
        run = run.cut(start, start + len(load.line_load))
        edge = worn.sight.flat(laid.across[start : start + len(run.flat)])
        wide = load.line_load[: len(run.flat), None] * (_WIDEST / most)
        along = np.gradient(run.flat, axis=0)
        across = np.stack([-along[:, 1], along[:, 0]], axis=1) / np.maximum(np.hypot(*along.T), 1e-6)[:, None]
        edge = np.abs((edge * across).sum(axis=1))[:, None] * across
        for first, last, covered in runs(run.covered):
            part = slice(first, last + 1)
            if wide[part].max() < 0.03 * _WIDEST:
                continue
            for side in (1.0, -1.0):
                inner = run.flat[part] + side * edge[part]
                outer = inner + side * wide[part] * across[part]
                band = np.vstack([inner, outer[::-1]])
                said = f"load of the {name}"
                if covered:
                    items.append(Line(outer, "load", said, hidden=np.ones(len(outer), dtype=bool)))
                else:
                    items.append(Region(band, "load", said))
    return items
