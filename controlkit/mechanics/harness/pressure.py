"""What straps press on the skin: line load from tension and local radius, mean pressure over the strap's width."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .layout import AXILLA_LOOP, OVER, UNDER
from .motion import Followed

Array = NDArray[np.float64]

PIT = 0.04
"""How near to the place where its legs meet the loop counts as lying in the armpit [m]. Assumption."""


@dataclass(frozen=True)
class StrapLoad:
    r"""What one strap presses on the skin along its way.

    .. math:: q = T / R, \quad p = q / w

    Attributes
    ----------
    strap : str
        Name of the strap
    places : ndarray
        Places along it, inner axes [m], shape (places, 3)
    line_load : ndarray
        Load per length of strap [N/m], shape (places,)
    width : float
        Width of the strap [m]
    in_armpit : ndarray
        Which places lie in the sound armpit [-], shape (places,)

    Notes
    -----
    From the tension and the local radius of the path; where the strap is straight, over a hollow, it
    presses nothing. Skin and flesh do not give, edges do not dig in, so a real strap presses unevenly
    across its width: the mean is a lower bound of the worst. No value of it is safe: what an armpit bears is
    judged on the person, and numbness or tingling in the sound hand means stop.
    """

    strap: str
    places: Array
    line_load: Array
    width: float
    in_armpit: NDArray[np.bool_]

    @property
    def pressure(self) -> Array:
        """Mean pressure over the width [Pa], shape (places,)."""
        return self.line_load / self.width

    @property
    def worst(self) -> float:
        """Largest line load anywhere [N/m]."""
        return float(self.line_load.max(initial=0.0))

    @property
    def armpit(self) -> float:
        """Largest line load of an axilla loop in the sound armpit; 0 for any other strap, wherever it runs [N/m]."""
        return float(self.line_load[self.in_armpit].max(initial=0.0))


def strap_loads(found: Followed, at: int) -> dict[str, StrapLoad]:
    """What every strap presses on the skin.

    Parameters
    ----------
    found : Followed
        The motion
    at : int
        Station

    Returns
    -------
    dict
        Loads by strap name
    """
    layout, straps = found.harness.layout, found.harness.straps
    tension, nodes = found.net.tension[:, at], [run[at] for run in found.net.nodes]
    loads = {}
    for strap in layout.straps:
        runs = layout.of(strap)
        if runs == (OVER, UNDER):  # two legs of one strap: it turns where they meet as well
            path = np.concatenate([nodes[OVER], nodes[UNDER][-2::-1]])
            last = len(nodes[OVER]) - 1
            pull = np.where(np.arange(1, len(path) - 1) < last, tension[OVER], tension[UNDER])
            pull[last - 1] = max(tension[OVER], tension[UNDER])
        else:
            path, pull = nodes[runs[0]], np.full(len(nodes[runs[0]]) - 2, tension[runs[0]])
        load = pull * _curvature(path)
        places = path[1:-1]
        in_pit = (np.linalg.norm(places - nodes[OVER][-1], axis=1) < PIT) & (strap == AXILLA_LOOP)
        width = straps.narrow if layout.runs[runs[0]].narrow else straps.width
        loads[strap] = StrapLoad(strap, places, load, width, in_pit)
    return loads


def _curvature(path: Array) -> Array:
    """Curvature at the inner nodes of a path [1/m], from the circle through three of them."""
    before, after = path[1:-1] - path[:-2], path[2:] - path[1:-1]
    chord = path[2:] - path[:-2]
    area = np.linalg.norm(np.cross(before, after), axis=1)
    sides = np.linalg.norm(before, axis=1) * np.linalg.norm(after, axis=1) * np.linalg.norm(chord, axis=1)
    return np.asarray(2.0 * area / np.maximum(sides, 1e-15))
