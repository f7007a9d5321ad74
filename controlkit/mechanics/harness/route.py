"""Places on a posed body that straps begin and end at, and first guesses of their runs; what patterns share."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import Posed, place
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.body.shape import Build
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.harness.layout import Run
from controlkit.mechanics.surface.field import Field, bound
from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.taut import resample

Array = NDArray[np.float64]
Index = NDArray[np.intp]

PAD = 0.008
"""Thickness of the triceps pad under the crossbar [m]. Assumption."""
CROSSBAR_SIDE = float(np.deg2rad(25.0))
"""Where the cable meets the crossbar, from straight behind the arm towards its outer side [rad]."""
PAD_SHARE = 0.50
"""Where what holds the socket up reaches the triceps pad, down the upper arm [-]. Assumption."""
PAD_OUTER = float(np.deg2rad(40.0))
"""How far round the arm from its front it does so on the outer side [rad]. Assumption."""
FAR = 0.03
"""How far off the body a first guess runs [m]."""
AHEAD, UP, SIDE = np.eye(3)
"""Directions: forward, up, towards the amputated side [-]."""
_OUT = 0.004


@dataclass(frozen=True, eq=False)
class Bodies:
    """Bodies of some wearers in poses, one a row; what is found on them once can be kept with them.

    Attributes
    ----------
    build : Build
        Shapes
    who : ndarray
        Wearer of each body [-], shape (bodies,)
    posed : Posed
        The bodies
    """

    build: Build
    who: Index
    posed: Posed

    @property
    def upper_arm(self) -> Array:
        """Shoulder joint to elbow [m], shape (bodies,)."""
        return self.build.upper_arm[self.who]

    @property
    def back(self) -> Array:
        """Depth of the trunk behind its middle [m], shape (bodies,)."""
        return self.build.trunks.scale[self.who]

    @cached_property
    def mirrored(self) -> Bodies:
        """The same bodies seen in a mirror: what is placed on the own side there lies on the other one here."""
        return Bodies(self.build, self.who, self.posed.mirrored())

    def rows(self, which: Index) -> Bodies:
        """Some of these bodies.

        Parameters
        ----------
        which : ndarray
            Indices [-], shape (picked,)

        Returns
        -------
        Bodies
            Those bodies, in that order
        """
        return Bodies(self.build, self.who[which], self.posed.rows(which))


@dataclass(frozen=True, kw_only=True)
class Fitted:
    """Bodies, and where a fitter puts what every pattern has.

    Attributes
    ----------
    bodies : Bodies
        Bodies
    crossbar : float
        Where the cable meets the crossbar, share of the upper arm from shoulder to elbow [-]
    ring : ndarray
        First junction where it was donned [m], shape (bodies, 3)
    """

    bodies: Bodies
    crossbar: float
    ring: Array


@dataclass(frozen=True, kw_only=True)
class Span:
    """One run, and where it must begin and end on posed bodies.

    Attributes
    ----------
    run : Run
        The run
    bodies : Bodies
        Bodies
    start, end : ndarray
        Its ends [m], shape (bodies, 3)
    """

    run: Run
    bodies: Bodies
    start: Array
    end: Array

    def through(self, *corners: Array) -> Array:
        """A rough run from end to end.

        Parameters
        ----------
        *corners : ndarray
            Points on the way, none for a straight run [m], shape (bodies, 3)

        Returns
        -------
        ndarray
            Nodes [m], shape (bodies, nodes, 3)
        """
        return resample(np.stack([self.start, *corners, self.end], axis=1), self.run.nodes)


def on_back(union: Union, body: Index, height: Array, side: Array) -> Array:
    """The point of the back at a height and a distance from the midline.

    Parameters
    ----------
    union : Union
        Surfaces
    body : ndarray
        Body of each point [-], shape (points,)
    height : ndarray
        Height above the notch [m], shape (points,)
    side : ndarray
        Distance from the midline towards the amputated side [m], shape (points,)

    Returns
    -------
    ndarray
        Points on the skin [m], shape (points, 3)
    """
    field = Field(union, body)
    inside, outside = np.zeros_like(height), np.full_like(height, -0.45)
    for _ in range(8):
        middle = 0.5 * (inside + outside)
        out = field.value(np.stack([middle, height, side])) > 0.0
        inside, outside = np.where(out, inside, middle), np.where(out, middle, outside)
    near = np.stack([0.5 * (inside + outside), height, side])  # within 2 mm by now: Newton's method does the rest
    return np.ascontiguousarray(field.onto(near, 4, along=-AHEAD[:, None]).T)


def crossbar_point(posed: Posed, upper_arm: Array, share: float) -> Array:
    """Where the cable meets the crossbar, behind the upper arm.

    Parameters
    ----------
    posed : Posed
        Bodies
    upper_arm : ndarray
        Shoulder joint to elbow [m], shape (bodies,)
    share : float
        Share of the upper arm from shoulder to elbow [-]

    Returns
    -------
    ndarray
        Points [m], shape (bodies, 3)
    """
    front, along, lateral = (posed.axes[:, 0, :, k] for k in range(3))
    out = -np.cos(CROSSBAR_SIDE) * front + np.sin(CROSSBAR_SIDE) * lateral
    down = share * upper_arm + posed.slip[:, 0]
    return np.asarray(posed.joint[:, 0] - down[:, None] * along + (posed.arm + PAD)[:, None] * out)


def on_arm(posed: Posed, down: Array, side: float, off: float = 0.0) -> Array:
    """A point on the pad round the upper arm, from its front towards its outer side.

    Parameters
    ----------
    posed : Posed
        Bodies
    down : ndarray
        Distance from the shoulder joint, before the socket has slipped [m], shape (bodies,)
    side : float
        Angle from the front of the arm [rad]
    off : float
        Distance off the pad [m]

    Returns
    -------
    ndarray
        Points [m], shape (bodies, 3)
    """
    front, along, lateral = (posed.axes[:, 0, :, k] for k in range(3))
    out = np.cos(side) * front + np.sin(side) * lateral
    down = down + posed.slip[:, 0]
    return np.asarray(posed.joint[:, 0] - down[:, None] * along + (posed.arm + PAD + off)[:, None] * out)


@lru_cache(maxsize=64)
def bodies_of(wearer: Wearer, poses: tuple[Pose, ...]) -> Bodies:
    """One wearer in many poses, kept for the next question: straps move more often than bodies.

    Parameters
    ----------
    wearer : Wearer
        The wearer
    poses : tuple of Pose
        The poses

    Returns
    -------
    Bodies
        One a pose
    """
    who = np.zeros(len(poses), dtype=np.intp)
    return Bodies(built(wearer), who, place(built(wearer), who, poses))


@lru_cache(maxsize=64)
def on_pad(bodies: Bodies, side: float) -> Array:
    """Where a strap reaches the triceps pad at an angle from the arm's front, out of the flesh of arm and trunk."""
    points = on_arm(bodies.posed, PAD_SHARE * bodies.upper_arm, side)
    field = bound(bodies.posed.surface, np.arange(len(points)))
    return np.ascontiguousarray(field.onto(np.ascontiguousarray(points.T), 3, gap=_OUT).T)


def onto(posed: Posed, points: Array) -> Array:
    """Points, one near each body, moved straight onto its skin."""
    field = bound(posed.surface, np.arange(len(points)))
    return np.ascontiguousarray(field.onto(np.ascontiguousarray(points.T), 4).T)


def control_strap(span: Span) -> Array:
    """A rough run of the control strap: off the back, under the shoulder, on the way to the crossbar.

    Parameters
    ----------
    span : Span
        The strap

    Returns
    -------
    ndarray
        Nodes [m], shape (bodies, nodes, 3)
    """
    bodies = span.bodies
    point = bodies.posed.joint[:, 0].copy()
    point[:, 0] = -bodies.back - FAR
    point[:, 1] = bodies.build.height["axilla"][bodies.who]
    point[:, 2] = 0.85 * bodies.build.joint[bodies.who, 2]
    return span.through(point)


def axilla_loop(span: Span) -> Array:
    """A rough run of both legs of an axilla loop in one.

    Parameters
    ----------
    span : Span
        One leg; it begins where the first leg begins, and ends where the second does

    Returns
    -------
    ndarray
        Nodes [m], shape (bodies, nodes, 3)
    """
    bodies = span.bodies
    pit = armpit(bodies.posed)
    depth = bodies.back + FAR
    ahead, behind = pit.copy(), pit.copy()
    ahead[:, 0], behind[:, 0] = depth, -depth
    ahead[:, 2] = behind[:, 2] = 0.9 * pit[:, 2]
    return span.through(*over_shoulder(bodies, 1), ahead, pit, behind)


def over_shoulder(bodies: Bodies, side: int) -> tuple[Array, Array]:
    """Two corners of a strap that goes over a shoulder and down in front of it.

    Parameters
    ----------
    bodies : Bodies
        Bodies
    side : int
        0 for the amputated side, 1 for the sound side [-]

    Returns
    -------
    tuple of ndarray
        Above the shoulder, and before the groove between shoulder and chest [m], shape (bodies, 3)
    """
    caps = bodies.posed.surface.capsules
    above = 0.5 * (caps.start[:, side] + caps.end[:, side])
    above[:, 1] += caps.radius[:, side] + FAR
    groove = bodies.posed.joint[:, side].copy()
    groove[:, 0] += bodies.build.deltoid[bodies.who] + 1.5 * FAR
    groove[:, 2] *= 0.72
    groove[:, 1] -= 0.02
    return np.asarray(above), groove


def armpit(posed: Posed) -> Array:
    """The sound armpit: the first free spot between arm and chest, searched downwards along the arm.

    Parameters
    ----------
    posed : Posed
        Bodies

    Returns
    -------
    ndarray
        Points [m], shape (bodies, 3)
    """
    count = len(posed.arm)
    along, lateral = posed.axes[:, 1, :, 1], posed.axes[:, 1, :, 2]
    field = bound(posed.surface, np.arange(count))
    best, found = posed.joint[:, 1].copy(), np.zeros(count, dtype=bool)
    for down in np.linspace(0.05, 0.30, 51):
        spot = posed.joint[:, 1] - down * along - (posed.arm + 0.012)[:, None] * lateral
        free = (field.value(np.ascontiguousarray(spot.T)) > 0.002) & ~found
        best[free], found = spot[free], found | free
        if found.all():
            break
    return np.asarray(np.where(found[:, None], best, spot))
