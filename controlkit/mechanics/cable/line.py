"""The control cable in its housing, from the crossbar to the device."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.cable.elastica import clamped
from controlkit.mechanics.cable.friction import tension_ratio
from controlkit.mechanics.cable.housing import Housing
from controlkit.mechanics.cable.linings import lining
from controlkit.mechanics.cable.route import ArmLine
from controlkit.mechanics.inputs import kind, number, within
from controlkit.mechanics.states import State
from controlkit.units import InputError

Array = NDArray[np.float64]

CATCHES = 0.07
"""Distance from the limb's line at which a housing catches on clothes and furniture [m]. Assumption."""
LEEWAY = 0.010
"""Length beyond what full flexion needs that a fitter leaves [m]. Assumption. A housing no longer than that stands off
a straight elbow in any case, and is not too long."""
KINKS = 0.02
"""Radius below which a housing's coil opens and kinks [m]. Assumption."""


@dataclass(frozen=True, kw_only=True)
class CableLine:
    """What cable and housing do at one elbow angle.

    Attributes
    ----------
    bend : float
        All bends, added without sign [rad]
    efficiency : float
        Force at the device over force at the harness, while pulling [-]
    efficiency_back : float
        Force at the harness over force at the device, while letting back [-]
    efficiency_start : float
        Force at the device over force at the harness when the cable is about to slide, from rest [-]
    take_up : float
        How much longer the cable's path is than at the straight elbow, less the slack of a cable cut too long;
        negative is slack [m]
    elbow_arm : float
        Moment arm with which tension flexes the elbow; negative extends it [m]
    give : float
        Stretch of the cable and compression of the housing for each unit of tension [m/N]
    elbow_limit : float
        Elbow flexion at which a housing that is too short stops the elbow; infinite if none does [rad]
    points : ndarray
        Run of housing or free cable from the crossbar, forward and upward of the elbow axis, forearm flexed
        [m], shape (nodes, 2)
    states : tuple of State
        Outcomes worth knowing; none of them is an error
    """

    bend: float
    efficiency: float
    efficiency_back: float
    efficiency_start: float
    take_up: float
    elbow_arm: float
    give: float
    elbow_limit: float
    points: Array = field(repr=False, compare=False)
    states: tuple[State, ...]

    @property
    def hysteresis(self) -> float:
        """Harness force letting back over harness force pulling, for one force at the device [-]."""
        return self.efficiency * self.efficiency_back


@dataclass(frozen=True)
class ControlCable:
    r"""A control cable that runs through a housing past the elbow.

    .. math:: \eta = e^{-\mu(\theta_{fixed} + \int|\kappa|ds)}

    Parameters
    ----------
    friction : float
        Sliding friction coefficient of cable in housing [-]
    housing : Housing or None
        Housing between crossbar and retainer; None is a bare cable, which still runs through the retainer
    fixed_bend : float
        Bends outside the housing's own route, added without sign [rad]
    stiffness : float
        Force per unit of strain of the cable [N]
    length : float
        Length of the cable from hanger to device; it only stretches [m]
    slack : float
        How much too long the cable is cut; negative is too short [m]
    static_friction : float, optional
        Friction coefficient at rest, not below `friction`; None is the same [-]

    Raises
    ------
    InputError
        If a value is outside its range

    Notes
    -----
    A housing held at both ends keeps the cable's path as long as it is itself, whatever the elbow does, and takes
    the cable's reaction: no moment at the elbow. What the elbow changes is the bend. A bare cable goes straight from
    crossbar to retainer. A housing that has come off its retainer leads nothing along the forearm: its cable goes
    straight from crossbar to device, which gives still more slack. Friction is that of a steady slide. The elbow
    does not press on the housing's side. Published coefficients scatter from 0.03 to above 0.3; the default, the
    fixed bends (30 degrees at the crossbar, 15 at the device), stiffness and length are assumptions.

    Examples
    --------
    >>> cable = ControlCable()
    >>> round(cable.efficiency(elbow_flexion=1.5707963), 3)
    0.788
    >>> free = ControlCable(housing=None).line(ArmLine(), elbow_flexion=1.5707963)
    >>> round(free.take_up, 3), round(free.elbow_arm, 3)
    (-0.042, 0.07)
    """

    friction: float = 0.08
    housing: Housing | None = Housing()
    fixed_bend: float = float(np.deg2rad(45.0))
    stiffness: float = 80_000.0
    length: float = 0.75
    slack: float = 0.0
    static_friction: float | None = None

    def __post_init__(self) -> None:
        within("The cable's friction", self.friction, 0.0, 1.0, example="0.08")
        within("The cable's fixed bend", self.fixed_bend, 0.0, 4.0 * np.pi, example="deg(45)", of="angle")
        within("The cable's stiffness", self.stiffness, 1_000.0, 1e7, example="80000")
        within("The cable's length", self.length, 0.1, 2.0, example="mm(750)", of="length")
        within("The cable's slack", self.slack, -0.1, 0.1, example="mm(10)", of="length")
        if self.static_friction is not None:
            within("The cable's friction at rest", self.static_friction, self.friction, 1.0, example="0.1")
        if self.housing is not None:
            kind("The housing", self.housing, Housing, "Housing(), or None for a cable without one")

    @classmethod
    def lined(cls, name: str, share: float = 0.5, **others: Any) -> ControlCable:
        """A cable whose friction lies somewhere in the published range of its lining.

        Parameters
        ----------
        name : str
            One of `LININGS`
        share : float
            Where in the range: 0 its lowest, 1 its highest value [-]
        **others : object
            Other parameters of the cable

        Returns
        -------
        ControlCable
            The cable

        Raises
        ------
        InputError
            If there is no such lining, or the share is not between 0 and 1

        Examples
        --------
        >>> round(ControlCable.lined("steel in PTFE").friction, 2)
        0.1
        """
        pair = lining(name)
        within("The share of the range", share, 0.0, 1.0, example="0.5")
        sliding, resting = (low + share * (high - low) for low, high in (pair.kinetic, pair.static))
        return cls(friction=sliding, static_friction=max(sliding, resting), **others)

    def line(self, arm: ArmLine, elbow_flexion: float) -> CableLine:
        """What cable and housing do at one elbow angle.

        Parameters
        ----------
        arm : ArmLine
            Where the cable's line is held
        elbow_flexion : float
            Elbow flexion, 0 is straight [rad]

        Returns
        -------
        CableLine
            Bends, friction, path, moment

        Raises
        ------
        InputError
            If the angle is not a number from 0 to 150 degrees

        Examples
        --------
        >>> ControlCable().line(ArmLine(), 1.0).take_up
        0.0
        """
        return self.lines(arm, (elbow_flexion,))[0]

    def lines(self, arm: ArmLine, elbow_flexion: Sequence[float] | Array) -> tuple[CableLine, ...]:
        """What cable and housing do at several elbow angles, found together.

        Parameters
        ----------
        arm : ArmLine
            Where the cable's line is held
        elbow_flexion : sequence of float
            Elbow flexion, 0 is straight [rad], shape (angles,)

        Returns
        -------
        tuple of CableLine
            One for each angle

        Raises
        ------
        InputError
            If the angles are no list, or one is not a number from 0 to 150 degrees

        Examples
        --------
        >>> [round(one.bend, 2) for one in ControlCable().lines(ArmLine(), [0.0, 1.0, 2.0])]
        [3.33, 2.51, 3.48]
        """
        kind("The arm", arm, ArmLine, "ArmLine()")
        if np.ndim(elbow_flexion) != 1:
            raise InputError(
                given=f"Elbow angles were given as {elbow_flexion!r}.",
                do="Give a list, or ask `line` for one angle.",
            )
        flexion = tuple(_flexion(one) for one in elbow_flexion)
        return _lines(self, arm, flexion)

    def bend(self, elbow_flexion: float) -> float:
        """Total wrap, on an average arm.

        Parameters
        ----------
        elbow_flexion : float
            Elbow flexion, 0 is straight [rad]

        Returns
        -------
        float
            All bends, added without sign [rad]

        Examples
        --------
        >>> round(ControlCable().bend(1.5707963), 2)
        2.98
        """
        return self.line(ArmLine(), elbow_flexion).bend

    def efficiency(self, elbow_flexion: float) -> float:
        r"""Force at the device over force at the harness while pulling, on an average arm.

        .. math:: \eta = e^{-\mu\,\theta}

        Parameters
        ----------
        elbow_flexion : float
            Elbow flexion, 0 is straight [rad]

        Returns
        -------
        float
            Efficiency, never above 1 [-]

        Examples
        --------
        >>> round(ControlCable(friction=0.0).efficiency(1.0), 3)
        1.0
        """
        return self.line(ArmLine(), elbow_flexion).efficiency


def _flexion(value: float) -> float:
    flexion = number("Elbow flexion", value, "deg(90)")
    if not -1e-6 <= flexion <= np.deg2rad(150.0) + 1e-6:
        raise InputError(
            given=f"Elbow flexion of {np.rad2deg(flexion):.4g} degrees was given.",
            do="Give 0 to 150 degrees.",
        )
    return max(flexion, 0.0)


@lru_cache(maxsize=2048)
def _lines(cable: ControlCable, arm: ArmLine, flexion: tuple[float, ...]) -> tuple[CableLine, ...]:
    housing, angles = cable.housing, np.array(flexion)
    if housing is not None and housing.fixed:
        return _housed(cable, arm, housing, angles)
    loose = housing is not None
    length, turning = arm.chord(np.append(angles, 0.0), to_device=loose)
    runs = _free(arm, angles, loose=loose)
    lines = []
    for k, run in enumerate(runs):
        take_up = float(length[k] - length[-1]) - cable.slack
        states = [State.of("housing-loose" if loose else "no-housing")]
        if take_up < -0.001:
            states.append(State.of("elbow-gives-slack", slack=-take_up))
        if take_up > 0.001:
            states.append(State.of("elbow-takes-up", taken_up=take_up))
        lines.append(
            _line(
                cable,
                bend=cable.fixed_bend + _turns(run),
                take_up=take_up,
                elbow_arm=float(turning[k]),
                give=cable.length / cable.stiffness,
                limit=np.inf,
                points=run,
                states=tuple(states),
            )
        )
    return tuple(lines)


def _line(
    cable: ControlCable,
    *,
    bend: float,
    take_up: float,
    elbow_arm: float,
    give: float,
    limit: float,
    points: Array,
    states: tuple[State, ...],
) -> CableLine:
    left = tension_ratio(cable.friction, bend)
    points.flags.writeable = False
    resting = cable.friction if cable.static_friction is None else cable.static_friction
    start = tension_ratio(resting, bend)
    return CableLine(
        bend=bend,
        efficiency=left,
        efficiency_back=left,
        efficiency_start=start,
        take_up=take_up,
        elbow_arm=elbow_arm,
        give=give,
        elbow_limit=limit,
        points=points,
        states=states,
    )


def _housed(cable: ControlCable, arm: ArmLine, housing: Housing, angles: Array) -> tuple[CableLine, ...]:
    long = housing.long(arm)
    limit = arm.limit(long)
    reached = np.minimum(angles, limit)
    near, far = arm.ends(reached)
    across, along = (far - near)[:, 0] / long, (near - far)[:, 1] / long
    rods = clamped(reached, along, across)
    runs = near + long * np.stack([rods.points[..., 1], -rods.points[..., 0]], axis=-1)
    give = cable.length / cable.stiffness + long / housing.stiffness
    lines = []
    for k, angle in enumerate(angles):
        states = []
        if limit == 0.0:
            states.append(State.of("elbow-held-straight"))
        elif angle > limit:
            states.append(State.of("elbow-stopped", elbow_flexion=limit))
        out = float(_from_limb(runs[k], float(reached[k])).max())
        if out > CATCHES and long > arm.needed() + LEEWAY:
            states.append(State.of("housing-catches", off=out))
        radius = float(rods.tightest[k]) * long
        if radius < KINKS:
            states.append(State.of("housing-kinks", radius=radius))
        lines.append(
            _line(
                cable,
                bend=cable.fixed_bend + float(rods.bend[k]),
                take_up=0.0 - cable.slack,
                elbow_arm=0.0,
                give=give,
                limit=limit,
                points=runs[k],
                states=tuple(states),
            )
        )
    return tuple(lines)


def _from_limb(run: Array, flexion: float) -> Array:
    """Distance of each point from the lines of upper arm and forearm."""
    fore = np.array([np.sin(flexion), -np.cos(flexion)])
    away = []
    for along in (np.array([0.0, 1.0]), fore):
        far = np.maximum(run @ along, 0.0)
        away.append(np.linalg.norm(run - far[:, None] * along, axis=1))
    return np.asarray(np.minimum(*away))


def _free(arm: ArmLine, angles: Array, *, loose: bool) -> Array:
    """Runs of a free cable: through the retainer, or past a retainer that the housing has come off."""
    near, ends = arm.ends(angles, to_device=True)
    start = np.broadcast_to(near, ends.shape)
    return np.stack([start, ends] if loose else [start, arm.ends(angles)[1], ends], axis=1)


def _turns(run: Array) -> float:
    """How far a free cable turns, from the upper arm's line on, at crossbar and retainer."""
    way = np.vstack([[0.0, -1.0], np.diff(run, axis=0)])
    heading = np.arctan2(way[:, 0], -way[:, 1])
    return float(np.abs(np.diff(np.unwrap(heading))).sum())
