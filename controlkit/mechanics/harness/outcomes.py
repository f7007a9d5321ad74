"""What is worth knowing of a settled harness: forces on the ring, armpit load, named states."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...units import show
from ..outline import built, stand
from .motion import Followed
from .net import CONTROL, FRONT, LOOP, STRAPS
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
    forces: dict[str, Array] = {}
    for k, name in enumerate(STRAPS):
        run = found.net.nodes[k, at]
        heading = _unit(run[1] - run[0])
        if k == LOOP:
            heading = heading + _unit(run[-2] - run[-1])
        forces[name] = found.net.tension[k, at] * heading
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
    run = found.net.nodes[LOOP, at]
    chord = float(np.linalg.norm(run[1] - run[0]))
    bend = np.linalg.norm(run[2:] - 2.0 * run[1:-1] + run[:-2], axis=1) / chord**2
    low = run[1:-1, 1] < run[:, 1].min() + 0.04
    return float(found.net.tension[LOOP, at] * bend[low].max())


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
    for k in (LOOP, FRONT):
        if net.tension[k, at] < SLACK:
            said.append(f"the {STRAPS[k]} is slack")
    if abs(net.ring[at, 2]) < SPINE:
        said.append("the ring lies on the spine")
    if net.slipped[at]:
        said.append("the ring has slipped on the skin")
    neck = shape.height["c7"][0] - 0.02
    for k in (LOOP, FRONT):
        run = net.nodes[k, at]
        if ((run[:, 1] > neck) & (np.hypot(run[:, 0], run[:, 2]) < 1.25 * shape.neck_radius[0])).any():
            said.append(f"the {STRAPS[k]} lies on the neck")
    joint, run = body.joint[0, 0], net.nodes[CONTROL, at]
    near = np.linalg.norm(run - joint, axis=1) < shape.deltoid[0] + 0.004
    if (near & (run[:, 2] > joint[2])).any():
        said.append("the control attachment strap lies on the deltoid")
    if not net.settled[at]:
        said.append("the straps did not settle: this setting is outside what the model can answer")
    return tuple(said)


def _unit(vector: Array) -> Array:
    return np.asarray(vector / np.linalg.norm(vector))
