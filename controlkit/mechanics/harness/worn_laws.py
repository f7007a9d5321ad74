"""The laws of a harness as worn: its webbing as let out, the flesh under it, and how far friction holds."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.donning import Donned
from controlkit.mechanics.harness.flesh import NONE, Flesh
from controlkit.mechanics.harness.laws import TOE, ControlLaw, Webbing
from controlkit.mechanics.harness.layout import CONTROL, CONTROL_STRAP, OVER, UNDER
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.turning import sinking, turning
from controlkit.mechanics.harness.worn import Runs, Worn
from controlkit.mechanics.surface.field import bound
from controlkit.mechanics.surface.taut import Paths

Array = NDArray[np.float64]

REST_TOE = 0.1 * TOE
"""Stretch over which the rest of a strap that a junction divides takes up its load: the strap takes it up once [m]."""


def webbing_of(harness: Harness, donned: Donned, count: int) -> Webbing:
    """Every run as webbing, let out or taken in at its buckle.

    Parameters
    ----------
    harness : Harness
        The harness
    donned : Donned
        The same as put on
    count : int
        Stations [-]

    Returns
    -------
    Webbing
        Alike at all of them
    """
    layout, straps = harness.layout, harness.straps
    length = donned.length
    free = length.copy()
    pair = [OVER, UNDER]
    free[pair] += harness.axilla_loop * length[pair] / length[pair].sum()
    for k, run in enumerate(layout.runs):
        if run.buckle:
            free[k] += harness.choice(run.buckle)
    narrow = np.array([straps.narrow / straps.width if run.narrow else 1.0 for run in layout.runs])
    elastic = np.array([run.elastic and straps.elastic_reach > 0.0 for run in layout.runs])
    whole = (layout.runs[OVER].strap, CONTROL_STRAP)
    rest = np.array([k not in (OVER, UNDER, CONTROL) and run.strap in whole for k, run in enumerate(layout.runs)])
    stiffness = straps.webbing * narrow / length

    def everywhere(part: Array) -> Array:
        return np.repeat(part[:, None], count, axis=1)

    return Webbing(
        free=everywhere(free),
        stiffness=everywhere(stiffness),
        soft=everywhere(elastic * straps.elastic),
        reach=everywhere(elastic * straps.elastic_reach),
        toe=everywhere(np.where(rest, REST_TOE, TOE)),
        flesh=_flesh(harness, donned, everywhere),
    )


def _flesh(harness: Harness, donned: Donned, everywhere: Callable[[Array], Array]) -> Flesh:
    """What each run sinks into: an even arc that turns as far, and presses as hard, stands for it."""
    skin, straps = harness.skin, harness.straps
    if not skin.flesh:
        return NONE
    wide = np.array([straps.narrow if run.narrow else straps.width for run in harness.layout.runs]) + skin.flesh
    turn = np.array([float(turning(run)[0]) for run in donned.nodes])
    pressing = np.array([float(sinking(run)[0]) for run in donned.nodes])
    return Flesh(
        most=everywhere(turn * skin.flesh),
        press=everywhere(pressing / (np.maximum(turn, 1e-9) * wide)),
        modulus=skin.flesh_modulus,
        stiffening=skin.flesh_stiffening,
    )


def hung_places(worn: Worn) -> Array:
    """Where a fork hangs while its straps are slack; what divides one strap lies on that and hangs nowhere.

    Parameters
    ----------
    worn : Worn
        The harness in its poses

    Returns
    -------
    ndarray
        Places of all junctions but the first, nan where they hang nowhere [m], shape (stations, junctions - 1, 3)
    """
    layout = worn.harness.layout
    hung = np.stack([worn.places[name] for name in layout.junctions], axis=1)[:, 1:]
    for k, name in enumerate(layout.junctions[1:]):
        if layout.divided(name):
            hung[:, k] = np.nan
    return hung


def ring_friction(worn: Worn, held: Sequence[Paths], laws: Sequence[ControlLaw]) -> Array:
    """Friction limit of the ring: what control straps would press on the back, were the ring held.

    Parameters
    ----------
    worn : Worn
        The harness in its poses
    held : sequence of Paths
        Its control straps, the ring held
    laws : sequence of ControlLaw
        What each of them pulls

    Returns
    -------
    ndarray
        Limits [N], shape (stations,)
    """
    harness, donned = worn.harness, worn.donned
    skin, pressing = harness.skin, np.asarray(harness.skin.floor)
    for control, (strap, law) in enumerate(zip(held, laws, strict=True)):
        divided = sum(donned.length[k] for k, _ in harness.layout.chain(CONTROL_STRAP) if k != CONTROL)
        tension = law.pull(strap.length - (0.0 if control else divided))[0]
        first = strap.nodes[:, 1] - strap.nodes[:, 0]
        heading = first / np.linalg.norm(first, axis=1, keepdims=True)
        skin_there = bound(worn.bodies.posed.surface, np.arange(len(first)))
        _, gradient = skin_there.slope(np.ascontiguousarray(strap.nodes[:, 0].T))
        inward = np.maximum(-(heading.T * gradient).sum(axis=0), 0.0)
        pressing = pressing + tension * (inward + turning(strap.nodes, skin.reach))
    return np.asarray(skin.friction * pressing)


def loop_ratio(harness: Harness, runs: Runs) -> Array:
    """Largest ratio of the tensions of the legs on the sound side, from how far they turn round the body.

    Parameters
    ----------
    harness : Harness
        The harness
    runs : mapping
        Its runs with the junctions held

    Returns
    -------
    ndarray
        Ratios [-], shape (stations,); without limit where the first two runs are straps of their own
    """
    if not harness.layout.meets:
        return np.full(len(runs[OVER].nodes), np.inf)
    over, under = runs[OVER].nodes, runs[UNDER].nodes
    loop = harness.layout.of(harness.layout.runs[OVER].strap)
    rest = sum(turning(runs[k].nodes) for k in loop if k not in (OVER, UNDER))
    last, first = over[:, -1] - over[:, -2], under[:, -2] - under[:, -1]
    joint = np.stack([np.zeros_like(last), last, last + first], axis=1)
    return np.asarray(np.exp(harness.skin.loop_friction * (turning(over) + turning(under) + turning(joint) + rest)))
