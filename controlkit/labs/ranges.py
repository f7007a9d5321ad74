"""Where sliders of the labs begin and end: the limits of the mechanics, or the part of them that a lab shows.

Straps at their buckles (`buckles`), the side of the view (`turned`) and the numbers of a shelf have ends of their own.
"""

from __future__ import annotations

from controlkit.mechanics.body.pose import POSE_RANGES
from controlkit.mechanics.cable.route import OFFSETS
from controlkit.mechanics.chain.positions import BACK
from controlkit.mechanics.harness import LIMITS
from controlkit.mechanics.study.fitting import AGES
from controlkit.sources import source
from controlkit.units import deg, mm

__all__ = [
    "AGE",
    "ALLOWED",
    "ARRIVES",
    "BANDS",
    "BANDS_IN_CHAIN",
    "BENDS",
    "CARRIER",
    "COEFFICIENTS",
    "CROSSBAR",
    "DEPRESSION",
    "DEVICE_FORCE",
    "DRAG",
    "ELBOW_OFFSET",
    "END_ABOVE",
    "EXTENSION",
    "FLEXION_SPRING",
    "HANGS_AT",
    "HARNESS_FORCE",
    "HUNG",
    "JUNCTION",
    "LIFT_AHEAD",
    "LIMB_FLEXION",
    "LIMB_MOMENT",
    "LOAD",
    "LOCK_PULL",
    "LOCK_STRAP",
    "LOCK_TRAVEL",
    "LOOP_ALONG",
    "LOWERED",
    "OBJECT",
    "OBJECT_HELD",
    "OBJECT_OF_MANY",
    "ON_SHOW",
    "RING_BELOW_C7",
    "RING_TO_SOUND_SIDE",
    "SHOULDER_BLADE",
    "SPARE",
    "SPARE_IN_CHAIN",
    "STEP_UP",
    "STRENGTH",
    "STRENGTH_OF_MANY",
    "TRIED",
    "TURNED_AWAY",
    "USUAL_COEFFICIENTS",
    "angles",
]

Range = tuple[float, float]

RING_BELOW_C7, RING_TO_SOUND_SIDE = LIMITS["ring_below_c7"], LIMITS["ring_to_sound_side"]
CROSSBAR = LIMITS["crossbar"]
"""Where a fitter may put things [m, and - for the crossbar]."""

SHOULDER_BLADE: Range = BACK, deg(25.0)
"""From drawn back as far as a position asks, to forward [rad]."""

STRENGTH: Range = source("user_maximum_force").si_low, source("user_maximum_force").si_high
"""From the weakest to the strongest wearer measured [N]."""
STRENGTH_OF_MANY: Range = 40.0, 540.0
"""The same, with everybody who is drawn to have a set-up tried on, at any age [N]."""

BANDS: Range = 1.0, 10.0
BANDS_IN_CHAIN: Range = 1.0, 8.0
"""Rubber bands: of a device alone, and of one at the end of the chain [-]."""

COEFFICIENTS: Range = 0.0, 0.6
USUAL_COEFFICIENTS: Range = 0.03, 0.30
"""Friction of a cable in its housing: all that is shown, and the usual part of it [-]."""
SPARE: Range = mm(-30.0), mm(60.0)
SPARE_IN_CHAIN: Range = mm(-10.0), mm(90.0)
"""Length of a housing beyond the shortest that serves [m]."""
ELBOW_OFFSET: Range = OFFSETS
"""How far behind the elbow axis a housing is led [m]."""
BENDS: Range = 0.0, deg(270.0)
"""Bends of a cable outside its way past the elbow [rad]."""

HARNESS_FORCE: Range = 0.0, 120.0
DEVICE_FORCE: Range = 0.0, 150.0
"""Pull at the harness, and cable force at the device [N]."""
ARRIVES: Range = 0.3, 1.0
"""Force at a device over force at the harness [-]."""
DRAG: Range = 0.0, 0.4
"""Friction in the pivot, share of what bands or spring make [-]."""
OBJECT: Range = 0.0, mm(110.0)
OBJECT_HELD: Range = mm(10.0), mm(50.0)
"""Width of an object: from none to too wide, and of one that is carried to the mouth [m]."""
LOOP_ALONG: Range = mm(20.0), mm(100.0)
END_ABOVE: Range = mm(40.0), mm(160.0)
LIFT_AHEAD: Range = mm(-30.0), mm(55.0)
"""Where lift loop and housing end may sit: from the elbow axis, and in front of the line of their segment [m]."""
HANGS_AT: Range = 0.0, deg(30.0)
"""Pre-flexion of a forearm [rad]."""
LOAD: Range = 0.0, 1.0
"""Mass in a device that is lifted with the forearm [kg]."""
FLEXION_SPRING: Range = 0.0, 1.5
"""Moment with which a spring flexes a straight elbow [N m]."""
EXTENSION: Range = 0.0, deg(30.0)
DEPRESSION: Range = 0.0, deg(10.0)
"""Parts of a lock motion that a pose counts the other way [rad]."""
LOCK_PULL: Range = 1.0, 60.0
"""Pull at the control strap while the lock is worked [N]."""
LOCK_STRAP: Range = mm(-15.0), mm(15.0)
"""How far the lock's strap is let out [m]."""
LOCK_TRAVEL: Range = mm(14.0), mm(22.0)
"""Travel that a lock needs: what is printed lies within [m]."""
JUNCTION: Range = mm(20.0), mm(160.0)
"""How far below C7 the junction of a pair may lie [m]."""
STEP_UP: Range = 1.0, 3.0
LIMB_FLEXION: Range = deg(20.0), deg(140.0)
LIMB_MOMENT: Range = 0.5, 10.0
"""Step-up of a hinge [-], and what a very short limb does: how far it flexes [rad], how hard [N m]."""
TURNED_AWAY: Range = 0.0, deg(90.0)
"""How far a device is turned away from its object before it is pre-positioned [rad]."""
HUNG: Range = 0.0, 225.0
"""Load that hangs at the device, up to the published test load [N]."""
LOWERED: Range = mm(-15.0), mm(130.0)
"""How far ring or branch lies below its usual place; a pattern may allow less [m]."""
CARRIER: Range = mm(-20.0), mm(40.0)
"""How far the strap that carries the socket is let out [m]."""
AGE: Range = AGES
"""Ages for which strength is reckoned [years]."""
ALLOWED: Range = 0.05, 0.40
"""Share of strength that a pull may take [-]."""
OBJECT_OF_MANY: Range = mm(5.0), mm(70.0)
"""Width of an object that everybody shall grasp [m]."""
TRIED: Range = 4.0, 100.0
ON_SHOW: Range = 0.0, 100.0
"""Wearers on whom a set-up is tried, and which of them is on show [-]."""


def angles(name: str, low: float, high: float) -> Range:
    """The part of an angle's range that a lab shows; nothing that a pose refuses.

    Parameters
    ----------
    name : str
        An angle of `Pose`.
    low, high : float
        What the lab would show [deg].

    Returns
    -------
    tuple of float
        Its ends [rad].

    Examples
    --------
    >>> [round(end, 3) for end in angles("shoulder_elevation", -90.0, 30.0)]
    [-0.175, 0.524]
    """
    least, most = POSE_RANGES[name]
    return deg(max(low, least)), deg(min(high, most))
