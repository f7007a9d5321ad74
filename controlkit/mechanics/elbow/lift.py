"""What it takes to lift the forearm: force, travel and work over the elbow's range."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.elbow.forearm import ProstheticForearm
from controlkit.mechanics.elbow.loop import LiftLine
from controlkit.mechanics.inputs import kind, within
from controlkit.units import InputError, deg

Array = NDArray[np.float64]

CHECKED = (deg(-10.0), deg(150.0))
"""Flexions for which a lift is computed [rad]."""


@dataclass(frozen=True)
class FlexionSpring:
    r"""A spring that helps to flex the elbow.

    .. math:: M_s(\varepsilon) = \max(M_0 - k\,\varepsilon,\ 0)

    Parameters
    ----------
    moment : float
        With the elbow straight [N m]
    fall : float
        How much less for each radian of flexion [N m/rad]

    Raises
    ------
    InputError
        If one is below zero or the moment above 10 N m

    Examples
    --------
    >>> round(float(FlexionSpring(0.8, 0.3).at(1.0)), 2)
    0.5
    """

    moment: float
    fall: float = 0.0

    def __post_init__(self) -> None:
        within("The moment of the flexion spring", self.moment, 0.0, 10.0, example="0.8", unit=" N m")
        within("The fall of the flexion spring", self.fall, 0.0, 10.0, example="0.2", unit=" N m a radian")

    def at(self, elbow_flexion: Array | float) -> Array:
        """Moment with which it flexes the elbow.

        Parameters
        ----------
        elbow_flexion : float or ndarray
            0 is straight [rad], any shape

        Returns
        -------
        ndarray
            Never below zero [N m], same shape
        """
        return np.asarray(np.maximum(self.moment - self.fall * np.asarray(elbow_flexion), 0.0))


@dataclass(frozen=True, kw_only=True)
class Lift:
    """What lifting a forearm takes, angle by angle.

    Attributes
    ----------
    elbow_flexion : ndarray
        0 is straight [rad], shape (angles,)
    moment : ndarray
        About the elbow that the cable must make, weight less spring; negative where the spring holds the forearm up
        by itself [N m], shape (angles,)
    moment_arm : ndarray
        With which tension flexes the elbow [m], shape (angles,)
    force : ndarray
        Cable tension at the lift loop that holds the forearm there; 0 where the spring does it, infinite where no
        tension can [N], shape (angles,)
    travel : ndarray
        Cable taken up since the first angle [m], shape (angles,)
    """

    elbow_flexion: Array
    moment: Array
    moment_arm: Array
    force: Array
    travel: Array

    @property
    def lifts(self) -> NDArray[np.bool_]:
        """Where some tension, or the spring alone, holds the forearm [-], shape (angles,)."""
        return np.isfinite(self.force)

    @property
    def peak(self) -> float:
        """Largest tension on the way; infinite where the cable gets stuck [N]."""
        return float(self.force.max())

    @property
    def hardest(self) -> float:
        """Flexion at which it takes most [rad]."""
        return float(self.elbow_flexion[int(self.force.argmax())])

    @property
    def work(self) -> float:
        r"""Work of the cable over the way; infinite where it gets stuck [J].

        .. math:: W = \int F\,dl = \int \max(M, 0)\,d\varepsilon
        """
        if not self.lifts.all():
            return float("inf")
        return float(np.trapezoid(np.maximum(self.moment, 0.0), self.elbow_flexion))


def lift(
    line: LiftLine,
    forearm: ProstheticForearm,
    elbow_flexion: Array,
    *,
    arm_inclination: Array | float = 0.0,
    spring: FlexionSpring | None = None,
) -> Lift:
    r"""Tension that holds the forearm at each flexion, and the cable taken up on the way.

    .. math:: F = \frac{g \sin(\varepsilon + \psi) \sum_i m_i l_i - M_s(\varepsilon)}{r(\varepsilon)}

    Parameters
    ----------
    line : LiftLine
        Lift loop and housing end
    forearm : ProstheticForearm
        What is lifted
    elbow_flexion : ndarray
        Rising, 0 is straight [rad], shape (angles,)
    arm_inclination : float or ndarray
        Upper arm forward of the vertical at each of them [rad], shape (angles,) or one for all
    spring : FlexionSpring, optional
        What helps

    Returns
    -------
    Lift
        Held still, without friction

    Raises
    ------
    InputError
        If flexions are not finite and rising, or lie outside -10 to 150 degrees

    Notes
    -----
    The control motion inclines the upper arm, and with it the forearm: an arm already raised asks far more of a
    straight elbow, where the cable passes near the axis. The elbow's own friction is left out.

    Examples
    --------
    >>> from controlkit.mechanics.elbow.forearm import Piece
    >>> light = ProstheticForearm((Piece("all of it", 0.4, 0.25),))
    >>> hanging = lift(LiftLine(), light, np.deg2rad(np.arange(1.0, 136.0)))
    >>> round(hanging.peak, 1), round(np.rad2deg(hanging.hardest))
    (36.8, 1)
    """
    kind("The lift line", line, LiftLine, "LiftLine()")
    kind("The forearm", forearm, ProstheticForearm, 'forearm_of(Wearer.average("male"))')
    flexion = np.atleast_1d(np.asarray(elbow_flexion, dtype=float))
    inclined = np.broadcast_to(np.asarray(arm_inclination, dtype=float), flexion.shape)
    if not (np.isfinite(flexion).all() and np.isfinite(inclined).all() and (np.diff(flexion) > 0.0).all()):
        raise InputError(
            given="The elbow's flexions are not finite numbers in rising order.",
            do="Give them in radians from straight upwards, for example np.deg2rad(np.arange(0.0, 136.0)).",
        )
    for end in (flexion[0], flexion[-1]):
        within("Elbow flexion", float(end), *CHECKED, example="deg(90)", of="angle")
    moment = np.asarray(forearm.moment(flexion, inclined)) - (spring.at(flexion) if spring is not None else 0.0)
    return Lift(
        elbow_flexion=flexion,
        moment=moment,
        moment_arm=line.moment_arm(flexion),
        force=line.tension(moment, flexion),
        travel=line.travel(flexion, float(flexion[0])),
    )
