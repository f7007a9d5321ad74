"""The way of the cable: in its housing from the crossbar past the elbow to the retainer, then bare to the device."""

from __future__ import annotations

import numpy as np

from controlkit.draw.gear.arm import Arm
from controlkit.draw.gear.sight import unit
from controlkit.draw.page.curves import through
from controlkit.draw.page.scene import Points

__all__ = ["cable_way", "retainer"]

_OFF = 0.006  # that a housing lies off what it passes [m]
_ROUND = np.deg2rad([18.0, 52.0])  # how far outward of the crossbar it passes pad and elbow [rad]


def retainer(arm: Arm, share: float) -> tuple[Points, Points]:
    """Place the retainer on the socket's outer side: where it is, and which way it faces."""
    way = unit(arm.outward + 0.25 * -arm.volar)
    return arm.elbow + share * arm.forearm * arm.heading + (float(arm.radius(share)) + 0.002) * way, way


def cable_way(arm: Arm, crossbar: Points, share: float, end: Points) -> tuple[Points, Points]:
    """Lead the cable from the crossbar past the outside of the elbow to the device.

    Parameters
    ----------
    arm : Arm
        The arm.
    crossbar : numpy.ndarray
        Where the housing begins, shape (3,) [m].
    share : float
        Share of the way from elbow to wrist at which the retainer holds the housing [-].
    end : numpy.ndarray
        Where the cable is fixed to the device, shape (3,) [m].

    Returns
    -------
    housing, bare : numpy.ndarray
        Middle lines, shape (M, 3) each [m].
    """
    out = unit(arm.outward - (arm.outward @ arm.along) * arm.along)
    back = unit(arm.out - (arm.out @ out) * out)
    held, way = retainer(arm, share)
    begin = crossbar + _OFF * arm.out

    def beside(down: float, turn: float) -> Points:
        on = np.cos(turn) * back + np.sin(turn) * out
        return np.asarray(arm.shoulder + down * arm.length * arm.along + (1.02 * arm.size + _OFF) * on)

    low = arm.share
    stations = np.array(
        [
            begin,
            beside(low + 0.35 * (1.0 - low), _ROUND[0] + 0.2),
            beside(low + 0.78 * (1.0 - low), _ROUND[1]),
            arm.elbow + 0.04 * arm.forearm * arm.heading + (arm.size + _OFF) * unit(out - 0.35 * arm.volar),
            arm.elbow + 0.55 * share * arm.forearm * arm.heading + (float(arm.radius(0.3)) + _OFF) * way,
            held + _OFF * way,
        ]
    )
    free = np.array([held + _OFF * way, arm.wrist + (float(arm.radius(1.0)) + 0.004) * way, end])
    return through(stations, steps=5), through(free, steps=4)
