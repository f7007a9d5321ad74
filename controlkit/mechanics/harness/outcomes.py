"""What is worth knowing of a settled harness: forces on the ring, armpit load, named states."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...units import show
from ..outline import built, stand
from .motion import Followed
from .net import CONTROL, FRONT, OVER, STRAPS, UNDER
from .pattern import Harness

Array = NDArray[np.float64]

SLACK = 1.0
"""A strap that bears less hangs slack [N]."""
SPINE = 0.012
"""Nearer to the midline than this, the ring lies on the spinous processes [m]. Assumption."""


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
    run, tension = found.net.nodes[:, at], found.net.tension[:, at]
    each = [tension[k] * _unit(run[k, 1] - run[k, 0]) for k in (OVER, UNDER, FRONT, CONTROL)]
    forces = dict(zip(STRAPS, (each[OVER] + each[UNDER], each[FRONT], each[CONTROL]), strict=True))
    forces["skin"] = found.net.skin_force[at]
    return forces


def axilla_line_load(found: Followed, at: int) -> float:
    r"""Largest load of the loop on the armpit per length of strap.

    .. math:: q = T\,\kappa = T / R

    Parameters
    ----------
    found : Followed
        The motion
    at : int
        Station

    Returns
    -------
    float
        Line load [N/m]

    Notes
    -----
    From the tension and the local radius under the armpit. No value of it is safe: what an armpit
    bears is judged on the person.
    """
    worst = 0.0
    for k in (OVER, UNDER):
        run = found.net.nodes[k, at]
        chord = float(np.linalg.norm(run[1] - run[0]))
        bend = np.linalg.norm(run[2:] - 2.0 * run[1:-1] + run[:-2], axis=1) / chord**2
        low = run[1:-1, 1] < run[-1, 1] + 0.04
        worst = max(worst, float(found.net.tension[k, at] * bend[low].max(initial=0.0)))
    return worst


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
    run = found.net.nodes[:, at]
    loop = np.concatenate([run[OVER], run[UNDER][-2::-1]])
    return dict(zip(STRAPS, (loop, run[FRONT], run[CONTROL]), strict=True))


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
    tension = found.net.tension[:, at]
    ends = (max(tension[OVER], tension[UNDER]), tension[FRONT], tension[CONTROL])
    return {name: float(value) for name, value in zip(STRAPS, ends, strict=True)}


def states(harness: Harness, found: Followed, at: int, travel_at_rest: float) -> tuple[str, ...]:
    """Outcomes worth knowing, in words.

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

    Returns
    -------
    tuple of str
        Sentences; empty where there is nothing to say
    """
    said = []
    net, wearer = found.net, harness.wearer
    shape, body = built(wearer), stand(wearer, found.poses[at])
    if travel_at_rest > 0.001:
        said.append("the device stands open at rest")
    if harness.control_strap > 0.001:
        said.append(f"the control attachment strap hangs slack by {show(harness.control_strap, 'length')} at rest")
    for name, tension in strap_tensions(found, at).items():
        if tension < SLACK and name != STRAPS[2]:
            said.append(f"the {name} is slack")
    if abs(net.ring[at, 2]) < SPINE:
        said.append("the ring lies on the spine")
    if net.slipped[at]:
        said.append("the ring has slipped on the skin")
    if net.slides[at]:
        said.append("the axilla loop has crept round the shoulder")
    neck = shape.height["c7"][0] - 0.02
    for name, run in strap_runs(found, at).items():
        if ((run[:, 1] > neck) & (np.hypot(run[:, 0], run[:, 2]) < 1.25 * shape.neck_radius[0])).any():
            said.append(f"the {name} lies on the neck")
    joint, run = body.joint[0, 0], net.nodes[CONTROL, at]
    near = np.linalg.norm(run - joint, axis=1) < shape.deltoid[0] + 0.004
    if (near & (run[:, 2] > joint[2])).any():
        said.append("the control attachment strap lies on the deltoid")
    if not net.settled[at]:
        said.append("the straps did not settle: this setting is outside what the model can answer")
    return tuple(said)


def _unit(vector: Array) -> Array:
    return np.asarray(vector / np.linalg.norm(vector))
