"""How body and device stand in a state of an operating sequence."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.chain.positions import BACK
from controlkit.mechanics.device import VoluntaryClosing, VoluntaryOpening
from controlkit.mechanics.sequence.amounts import CLEARANCE, MOUTH, TABLE
from controlkit.mechanics.sequence.records import State

_ARM = {"at rest": Pose(), "at the table": TABLE, "at the mouth": MOUTH}
_BLADE = {"slack": BACK, "pulled": float(np.deg2rad(10.0))}
"""Shoulder blade: drawn back to keep the cable slack, forward to pull it [rad]. Assumption."""


def pose_in(state: State) -> Pose:
    """Where arm and shoulder blade are.

    Parameters
    ----------
    state : State
        How things stand

    Returns
    -------
    Pose
        At rest, at the table or at the mouth, the blade back or forward

    Examples
    --------
    >>> pose_in(State((("arm", "at rest"), ("cable", "slack")))).scapular_abduction
    0.0
    """
    idle = state["arm"] == "at rest" and state["cable"] == "slack"
    return replace(_ARM[state["arm"]], scapular_abduction=0.0 if idle else _BLADE[state["cable"]])


def opening_in(state: State, device: VoluntaryOpening | VoluntaryClosing, width: float) -> float:
    """How far the device is open.

    Parameters
    ----------
    state : State
        How things stand
    device : VoluntaryOpening or VoluntaryClosing
        Terminal device
    width : float
        Width of the object [m]

    Returns
    -------
    float
        Distance of the fingertips [m]

    Examples
    --------
    >>> opening_in(State((("cable", "slack"), ("object", "on the table"))), VoluntaryOpening(), 0.03)
    0.0
    """
    between = state["object"] in ("between the fingers", "held")
    if state["cable"] == "pulled" and isinstance(device, VoluntaryOpening):
        return min(width + CLEARANCE, device.full_opening)
    shut = isinstance(device, VoluntaryOpening) or state["cable"] == "pulled" or dict(state.facts).get("lock") == "on"
    if shut:
        return width if between else 0.0
    return device.opening(0.0)
