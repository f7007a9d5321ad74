"""How body and device stand in a state of an operating sequence."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.chain.positions import BACK
from controlkit.mechanics.device import Device
from controlkit.mechanics.sequence.amounts import CLEARANCE, MOUTH, TABLE
from controlkit.mechanics.sequence.records import Situation
from controlkit.mechanics.sequence.turned import AWAY

_ARM = {"at rest": Pose(), "at the table": TABLE, "at the mouth": MOUTH}
_SCAPULA = {"slack": BACK, "pulled": float(np.deg2rad(10.0))}
"""Scapula: drawn back to keep the cable slack, forward to pull it [rad]. Assumption."""


def pose_in(state: Situation) -> Pose:
    """Where arm and scapula are.

    Parameters
    ----------
    state : Situation
        How things stand

    Returns
    -------
    Pose
        At rest, at the table or at the mouth, the scapula back or forward

    Examples
    --------
    >>> pose_in(Situation((("arm", "at rest"), ("cable", "slack")))).scapular_abduction
    0.0
    """
    idle = state["arm"] == "at rest" and state["cable"] == "slack"
    return replace(_ARM[state["arm"]], scapular_abduction=0.0 if idle else _SCAPULA[state["cable"]])


def opening_in(state: Situation, device: Device, width: float) -> float:
    """How far the device is open.

    Parameters
    ----------
    state : Situation
        How things stand
    device : Device
        Terminal device
    width : float
        Width of the object [m]

    Returns
    -------
    float
        Distance of the fingertips [m]

    Examples
    --------
    >>> from controlkit.mechanics.device import VoluntaryOpening
    >>> opening_in(Situation((("cable", "slack"), ("object", "on the table"))), VoluntaryOpening(), 0.03)
    0.0
    """
    between = state["object"] in ("between the fingers", "held")
    if state["cable"] == "pulled" and device.opens:
        return min(width + CLEARANCE, device.full_opening)
    shut = device.opens or state["cable"] == "pulled" or dict(state.facts).get("lock") == "on"
    if shut:
        return width if between else 0.0
    return device.opening(0.0)


def askew_in(state: Situation, turned: float) -> float:
    """How far the fingers are from square to the object.

    Parameters
    ----------
    state : Situation
        How things stand
    turned : float
        How far the device is turned away before it is pre-positioned [rad]

    Returns
    -------
    float
        Angle, nothing once the device is turned to the object [rad]

    Examples
    --------
    >>> askew_in(Situation((("device", AWAY),)), 1.0), askew_in(Situation((("device", "turned to the object"),)), 1.0)
    (1.0, 0.0)
    """
    return turned if state["device"] == AWAY else 0.0
