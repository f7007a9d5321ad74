"""A settled net with one more strap on it, which pulls at the socket from the ring with a force of its own."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.flesh import Flesh
from controlkit.mechanics.harness.laws import TOE, Webbing
from controlkit.mechanics.harness.layout import Layout, Run
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.net import NetState
from controlkit.mechanics.harness.settle import settle

Array = NDArray[np.float64]

SOFT = 5.0
"""Stiffness of what stands for a constant force [N/m]: over a lock's travel it changes by a tenth of a newton."""


def pulled(found: Followed, ways: Array, place: Array, force: float) -> NetState:
    """The net of a motion where a strap from the ring also pulls at the socket, at every station but donning.

    Parameters
    ----------
    found : Followed
        The motion without that strap
    ways : ndarray
        Taut ways of the strap [m], shape (stations, nodes, 3)
    place : ndarray
        Where it ends on the socket before that has given way along the limb [m], shape (stations, 3)
    force : float
        Its pull [N]

    Returns
    -------
    NetState
        Settled anew; the strap's run is the last

    Examples
    --------
    >>> from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_nine
    >>> from controlkit.mechanics.harness import follow
    >>> from controlkit.mechanics.harness.layout import CONTROL
    >>> harness = figure_of_nine(Wearer.average("male"))
    >>> found = follow(harness, [Pose(arm_flexion=0.5)], SingleControl(harness).law)
    >>> net = pulled(found, found.net.nodes[CONTROL], found.ask.end[CONTROL], 9.0)
    >>> bool(net.settled.all()), round(float(net.tension[-1, -1]))
    (True, 9)
    """
    ask, layout, count = found.ask, found.ask.layout, len(found.poses)
    run = Run("another strap", layout.junctions[0], "pad of another strap", nodes=ways.shape[1])
    long = np.linalg.norm(np.diff(ways, axis=1), axis=2).sum(axis=1)
    free = np.full(count, long[0] - force / SOFT - 0.5 * TOE)
    free[0] = long[0] + 1.0
    webbing = ask.laws.webbing
    new: dict[str, Array | float] = {"free": free, "stiffness": SOFT, "soft": 0.0, "reach": 0.0, "toe": TOE}

    def more(part: Array, value: Array | float) -> Array:
        return np.concatenate([part, np.broadcast_to(value, (1, count))])

    flesh = webbing.flesh
    if flesh.most.ndim:
        flesh = Flesh(more(flesh.most, 0.0), more(flesh.press, 1.0), flesh.modulus, flesh.stiffening)
    parts = {f.name: more(getattr(webbing, f.name), new[f.name]) for f in fields(Webbing) if f.name != "flesh"}
    asked = replace(
        ask,
        layout=Layout((*layout.runs, run), layout.junctions, layout.sewn, layout.crossing),
        start=np.concatenate([ask.start, ways[None, :, 0]]),
        end=np.concatenate([ask.end, place[None]]),
        arms=np.concatenate([ask.arms, np.zeros((1, 3))]),
        laws=replace(ask.laws, webbing=Webbing(**parts, flesh=flesh)),
    )
    begin = replace(found.net.start, nodes=(*found.net.nodes, ways))
    return settle(asked, lambda: begin, begin)
