"""What a net of straps is asked: bodies in poses, anchors, laws, the order of the motion, and where to begin."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.balance import Laws
from controlkit.mechanics.harness.layout import Layout
from controlkit.mechanics.surface.shapes import Union

Array = NDArray[np.float64]
Index = NDArray[np.intp]


@dataclass(frozen=True, kw_only=True)
class Stations:
    """What the net is asked: bodies in poses, anchors, laws, and the order of the motion.

    Attributes
    ----------
    layout : Layout
        The pattern
    union : Union
        Surfaces, one a station
    start, end : ndarray
        Ends of the runs that are anchored [m], shape (runs, stations, 3); not used where a junction is
    arms : ndarray
        From the middle of a sewn cross-point to where each run leaves it, as sewn [m], shape (runs, 3)
    up : ndarray
        Up along each limb that bears a prosthesis, which way that gives [-], shape (stations, limbs, 3)
    laws : Laws
        Webbing, device, skin, cuff and the order of the motion
    """

    layout: Layout
    union: Union
    start: Array
    end: Array
    arms: Array
    up: Array
    laws: Laws

    def rows(self, which: Index, rested: Array, crept: Array) -> Stations:
        """Some stations by themselves, each starting from its own past.

        Parameters
        ----------
        which : ndarray
            Stations [-], shape (picked,)
        rested : ndarray
            Where the skin would let each ring rest before [m], shape (picked, 3)
        crept : ndarray
            Webbing that had crept before [m], shape (picked,)

        Returns
        -------
        Stations
            Those stations
        """
        return Stations(
            layout=self.layout,
            union=self.union.rows(which),
            start=self.start[:, which],
            end=self.end[:, which],
            arms=self.arms,
            up=self.up[which],
            laws=self.laws.rows(which, rested, crept),
        )


@dataclass(frozen=True, kw_only=True)
class Start:
    """Where a search begins at every station.

    Attributes
    ----------
    junction : ndarray
        Junctions [m], shape (stations, junctions, 3)
    turn : ndarray
        As in `NetState` [m], shape (stations,)
    gives : ndarray
        As in `NetState` [m], shape (stations, limbs)
    nodes : tuple of ndarray
        Each run; ends that are not where junctions and anchors are follow there [m], shape (stations, nodes, 3)
    """

    junction: Array
    turn: Array
    gives: Array
    nodes: tuple[Array, ...]

    def rows(self, which: Index) -> Start:
        """Some stations by themselves.

        Parameters
        ----------
        which : ndarray
            Stations [-], shape (picked,)

        Returns
        -------
        Start
            Those stations
        """
        runs = tuple(run[which] for run in self.nodes)
        return Start(junction=self.junction[which], turn=self.turn[which], gives=self.gives[which], nodes=runs)
