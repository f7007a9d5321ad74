"""What is worth knowing of a settled harness: forces on the ring, tensions, named states."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.remembered import built, stand
from controlkit.mechanics.harness.layout import CONTROL, CONTROL_STRAP, OTHER, OTHER_CONTROL, OVER, UNDER
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.strap_load import StrapLoad
from controlkit.mechanics.states import State

Array = NDArray[np.float64]

SLACK = 1.0
"""A strap that bears less hangs slack [N]."""
OPENS = 0.001
"""Travel at which a device is seen to move [m]."""
SPINE = 0.012
"""Nearer to the midline than this, the ring lies on the spinous processes [m]. Assumption."""
DRAGGED = 0.01
"""A pad that has moved further up the limb than this drags on the skin at every pull [m]. Assumption."""
RIDDEN = 0.02
"""A crossing that has gone further up the back than this has ridden up [m]."""


def ring_forces(found: Followed, at: int) -> dict[str, Array]:
    """Force of each strap and of the skin on the ring.

    Parameters
    ----------
    found : Followed
        The motion
    at : int
        Station

    Returns
    -------
    dict
        Forces by name, inner axes [N], shape (3,)
    """
    layout, forces = found.harness.layout, {}
    for strap in layout.straps:
        runs = [k for k in layout.of(strap) if layout.runs[k].start == layout.junctions[0]]
        if runs:
            forces[strap] = sum((_pull(found, k, at) for k in runs), np.zeros(3))
    forces["skin"] = found.net.forces.skin[at]
    return forces


def strap_runs(found: Followed, at: int) -> dict[str, Array]:
    """Runs of the straps, the loop whole.

    Parameters
    ----------
    found : Followed
        The motion
    at : int
        Station

    Returns
    -------
    dict
        Runs by strap name, inner axes [m], shape (nodes, 3)
    """
    layout, nodes = found.harness.layout, [run[at] for run in found.net.nodes]
    return {strap: layout.joined(strap, nodes) for strap in layout.straps}


def strap_tensions(found: Followed, at: int) -> dict[str, float]:
    """Tensions of the straps at the ring, the loop's larger end.

    Parameters
    ----------
    found : Followed
        The motion
    at : int
        Station

    Returns
    -------
    dict
        Tensions by strap name [N]
    """
    layout, tension = found.harness.layout, found.net.tension[:, at]
    return {strap: float(max(tension[k] for k in layout.of(strap))) for strap in layout.straps}


def strap_slack(found: Followed, at: int) -> dict[str, float]:
    """How much longer than its way each strap is that bears no pull: what hangs loose.

    Parameters
    ----------
    found : Followed
        The motion
    at : int
        Station

    Returns
    -------
    dict
        Lengths by strap name, nought for a strap that pulls; control straps with their cables [m]
    """
    layout, net = found.harness.layout, found.net
    free, length = found.ask.laws.webbing.free[:, at].copy(), net.length[:, at].copy()
    free[CONTROL] = found.law.free[at]
    if found.other is not None:
        free[OTHER_CONTROL] = found.other.free[at]
    length[OVER] -= net.forces.crept[at]
    length[UNDER] += net.forces.crept[at]
    loose = np.where(net.tension[:, at] > 0.0, 0.0, np.maximum(free - length, 0.0))
    return {strap: float(sum(loose[k] for k in layout.of(strap))) for strap in layout.straps}


def states(
    harness: Harness, found: Followed, at: int, *, travel_at_rest: float, loads: Mapping[str, StrapLoad]
) -> tuple[State, ...]:
    """Outcomes worth knowing.

    Parameters
    ----------
    harness : Harness
        The harness
    found : Followed
        The motion
    at : int
        Station
    travel_at_rest : float
        Cable travel at the device with the arm hanging [m]
    loads : mapping
        What each strap presses on the skin

    Returns
    -------
    tuple of State
        Empty where there is nothing to say
    """
    said = []
    net, wearer = found.net, harness.wearer
    shape, body = built(wearer), stand(wearer, found.poses[at])
    if travel_at_rest > OPENS:
        said.append(State.of("open-at-rest", travel=travel_at_rest))
    if harness.control_strap > 0.001:
        said.append(State.of("control-strap-slack", strap=CONTROL_STRAP, slack=harness.control_strap))
    layout = harness.layout
    idle = {
        CONTROL_STRAP,
        OTHER + CONTROL_STRAP,
        *(run.strap for run in layout.runs if run.narrow),
    }  # of an inverted Y one leg may rest
    for name, tension in strap_tensions(found, at).items():
        if tension < SLACK and name not in idle:
            said.append(State.of("strap-slack", strap=name))
    crossing, risen = layout.crossing, float(net.ring[at, 1] - found.donned.ring[1])
    aside = float(abs(net.ring[at, 2]))
    if aside < SPINE:
        said.append(State.of("ring-on-spine", crossing=crossing, aside=aside))
    if net.forces.slipped[at]:
        said.append(State.of("ring-slipped", crossing=crossing))
    if risen > RIDDEN:
        said.append(State.of("ring-ridden-up", crossing=crossing, risen=risen))
    if net.give[at] > DRAGGED:
        said.append(State.of("pad-ridden-up", risen=float(net.give[at])))
    if net.forces.slides[at]:
        around = "shoulder" if layout.loops else "chest"
        said.append(State.of("strap-crept", strap=layout.runs[OVER].strap, round=around))
    laid = dict.fromkeys(run.strap for run in layout.runs if run.laid)
    loose = (name for name in laid if not loads[name].holds(harness.skin.friction))
    said += [State.of("chest-strap-slides-up", strap=name) for name in loose]
    said += [
        State.of("strap-on-neck", strap=name) for name, run in strap_runs(found, at).items() if on_neck(harness, run)
    ]
    joint, run = body.joint[0, 0], net.nodes[CONTROL][at]
    near = np.linalg.norm(run - joint, axis=1) < shape.deltoid[0] + 0.004
    if (near & (run[:, 2] > joint[2])).any():
        said.append(State.of("strap-on-deltoid", strap=CONTROL_STRAP))
    if not net.settled[at]:
        said.append(State.of("not-settled"))
    return tuple(said)


def on_neck(harness: Harness, run: Array) -> bool:
    """Whether an edge of a strap touches the neck, which begins above C7 behind and the notch in front.

    Parameters
    ----------
    harness : Harness
        The harness
    run : ndarray
        Run of the strap, inner axes [m], shape (nodes, 3)

    Returns
    -------
    bool
        Whether it does
    """
    shape = built(harness.wearer)
    radius, c7 = shape.neck_radius[0], shape.height["c7"][0]
    begins = c7 * np.clip((radius - run[:, 0]) / (2.0 * radius), 0.0, 1.0)
    near = np.hypot(run[:, 0], run[:, 2]) < radius + 0.5 * harness.straps.width
    return bool((near & (run[:, 1] > begins)).any())


def _pull(found: Followed, run: int, at: int) -> Array:
    """What one run does to the junction that it starts from."""
    way = found.net.nodes[run][at, 1] - found.net.nodes[run][at, 0]
    return np.asarray(found.net.tension[run, at] * way / np.linalg.norm(way))
