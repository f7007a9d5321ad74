"""Dual control: one cable in a split housing lifts the forearm, and opens the device once the elbow is locked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import Pose, posed
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.cable import ControlCable
from controlkit.mechanics.chain.dual.amplifier import AMPLIFIED_PULLS, ExcursionAmplifier
from controlkit.mechanics.chain.dual.capture import PULLS, Capture, capture
from controlkit.mechanics.chain.dual.results import Lifted, Limit, LiveLift, Opened
from controlkit.mechanics.chain.strength import Strength
from controlkit.mechanics.device import Device, VoluntaryOpening
from controlkit.mechanics.elbow import GRAVITY, FlexionSpring, LiftLine, ProstheticForearm, forearm_of
from controlkit.mechanics.elbow.lift import CHECKED
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.inputs import kind, number, within
from controlkit.mechanics.roots import first_above, halved
from controlkit.units import InputError, deg

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

ELBOWS = deg(1) * np.linspace(15.0, 135.0, 13)
"""Elbow angles asked for unless told otherwise [rad]."""
BANDS = 5
"""Bands of a hook above the elbow unless told otherwise [-]. Assumption: what lifts must not open it."""
_FINE = deg(1.0)  # step of elbow and arm in which a lift is looked for
_MOST_LOAD = 10.0  # [kg]
_ENDLESS = 1e6  # [N] beyond any pull
_PULLS = 2001  # among which the pull of a cable that stands still is looked for [-]
_KEPT = 128  # captures remembered [-]
_RUNS_UP = deg(0.5)  # of arm flexion


@dataclass(frozen=True, kw_only=True)
class DualControl:
    r"""A transhumeral dual-control system: one cable that flexes the elbow, or opens the device once it is locked.

    .. math:: T = M(\varepsilon, \psi) / r(\varepsilon), \quad T_h = T e^{\mu\beta_1}, \quad T_d = T e^{-\mu\beta_2}

    Parameters
    ----------
    harness : Harness
        Harness on its wearer
    forearm : ProstheticForearm, optional
        What is lifted; shell, wrist unit and a hook on this wearer unless given
    line : LiftLine
        Lift loop and housing end
    device : Device
        Terminal device that the cable opens
    cable : ControlCable
        Its friction, stiffness, length and slack; its housing plays no part
    spring : FlexionSpring, optional
        That helps to flex the elbow
    bend_above : float
        Bends of the housing on the upper arm, elbow straight, added without sign [rad]
    bend_beyond : float
        The same on the forearm [rad]
    hangs_at : float
        Pre-flexion: elbow angle at which the forearm hangs on its stop [rad]
    furthest : float
        Arm flexion at which the control motion ends [rad]
    strength : Strength
        What this wearer can do once
    amplifier : ExcursionAmplifier, optional
        Between control strap and cable

    Raises
    ------
    InputError
        If the wearer's level is not transhumeral, the device closes on the pull, or a number is out of range

    Notes
    -----
    Quasi-static. The upper arm's inclination is the arm flexion that the control motion has reached: lift and motion
    are solved together. Where housings end, the cable turns by the angle between itself and each segment, and rubs
    there too; a straight cable at a straight elbow turns nowhere. Once the device has begun to open, lifting is over:
    what happens with it open is left out. The harness's part comes from `capture`, which says what that leaves out.
    Housing bends, where the forearm hangs, and where loop and housing end sit are assumptions: no source was found.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> from controlkit.mechanics.harness import above_elbow_eight
    >>> system = DualControl(harness=above_elbow_eight(Wearer.average("female", level="transhumeral")))
    >>> lifted = system.lift([deg(90)])
    >>> lifted.limited_by, round(float(np.rad2deg(lifted.arm_flexion[0])))
    (('nothing',), 54)
    """

    harness: Harness
    forearm: ProstheticForearm | None = None
    line: LiftLine = LiftLine(end_ahead=0.025)
    device: Device = VoluntaryOpening(bands=BANDS)
    cable: ControlCable = ControlCable()
    spring: FlexionSpring | None = None
    bend_above: float = deg(30.0)
    bend_beyond: float = deg(15.0)
    hangs_at: float = deg(10.0)
    furthest: float = deg(90.0)
    strength: Strength = Strength()
    amplifier: ExcursionAmplifier | None = None

    def __post_init__(self) -> None:
        kind("The harness", self.harness, Harness, "above_elbow_eight(wearer)")
        if self.harness.wearer.level != "transhumeral":
            raise InputError(
                given=(
                    "Dual control serves a wearer with a transhumeral amputation; this wearer's level is "
                    f'"{self.harness.wearer.level}".'
                ),
                do='Choose a wearer with level "transhumeral".',
            )
        kind("The forearm", self.lifted_forearm, ProstheticForearm, "forearm_of(wearer)")
        kind("The lift line", self.line, LiftLine, "LiftLine(end_ahead=mm(25))")
        kind("The device", self.device, Device, "hook_opening(5)")
        kind("The cable", self.cable, ControlCable, "ControlCable()")
        kind("The strength", self.strength, Strength, "Strength(cable=newton(200))")
        if self.spring is not None:
            kind("The spring", self.spring, FlexionSpring, "FlexionSpring(0.8)")
        if self.amplifier is not None:
            kind("The amplifier", self.amplifier, ExcursionAmplifier, "ExcursionAmplifier()")
        if not self.device.opens:
            raise InputError(
                given="The device closes on the pull.",
                allowed="Here the cable lifts the forearm first, with the device shut by bands or springs.",
                do="Give a voluntary-opening device, for example hook_opening(5).",
            )
        within("A housing's bend above the elbow", self.bend_above, 0.0, 2 * np.pi, example="deg(30)", of="angle")
        within("A housing's bend on the forearm", self.bend_beyond, 0.0, 2 * np.pi, example="deg(15)", of="angle")
        within("Where the forearm hangs", self.hangs_at, 0.0, deg(90.0), example="deg(5)", of="angle")
        within("The end of the control motion", self.furthest, deg(15.0), deg(120.0), example="deg(90)", of="angle")

    @cached_property
    def lifted_forearm(self) -> ProstheticForearm:
        """The forearm that is lifted."""
        return forearm_of(self.harness.wearer) if self.forearm is None else self.forearm

    def on(self, wearer: Wearer) -> DualControl:
        """The same set-up on another wearer.

        Parameters
        ----------
        wearer : Wearer
            Who wears it

        Returns
        -------
        DualControl
            The same settings, fitted anew
        """
        return replace(self, harness=replace(self.harness, wearer=wearer))

    def with_(self, **settings: Any) -> DualControl:
        """The same on the same wearer, some of it set up otherwise.

        Parameters
        ----------
        **settings : Any
            Fields of this class [SI]

        Returns
        -------
        DualControl
            With these settings, checked again

        Raises
        ------
        InputError
            If there is no such setting, or one is out of range

        Examples
        --------
        >>> from controlkit.mechanics import Wearer
        >>> from controlkit.mechanics.harness import above_elbow_eight
        >>> system = DualControl(harness=above_elbow_eight(Wearer.average("female", level="transhumeral")))
        >>> system.with_(hangs_at=deg(20)).hangs_at == deg(20)
        True
        """
        unknown = sorted(set(settings) - {field.name for field in fields(self)})
        if unknown:
            raise InputError(
                given=f"There is no setting “{unknown[0]}”.",
                allowed=", ".join(field.name for field in fields(self)),
                do="Give one of these by its name.",
            )
        return replace(self, **settings)

    def capture(self, **angles: float) -> Capture:
        """What the harness captures of arm flexion, by the pull of the cable; found once for all questions.

        Parameters
        ----------
        **angles : float
            Other angles of the pose, as in `Pose` [rad]

        Returns
        -------
        Capture
            Travel by arm flexion and pull; beyond the amplifier where there is one

        Raises
        ------
        InputError
            If an angle is outside its range, or is one that the question is about
        """
        solved = [name for name in ("arm_flexion", "elbow_flexion") if name in angles]
        if solved:
            raise InputError(
                given=f"{solved[0].replace('_', ' ').capitalize()} was given as an angle of the pose.",
                allowed="It is what the question is about: the control motion goes through it.",
                do="Leave it out; other angles, of the scapulae for example, stay as they are given.",
            )
        base = replace(posed(angles), arm_flexion=0.0, elbow_flexion=0.0)
        give = self.cable.length / self.cable.stiffness
        if self.amplifier is None:
            return _captured(self.harness, base, self.furthest, give, pulls=PULLS)
        felt = self.amplifier.felt_give(give)
        return self.amplifier.beyond(_captured(self.harness, base, self.furthest, felt, pulls=AMPLIFIED_PULLS))

    @property
    def _strap(self) -> float:
        """Tension of the control strap over that of the cable [-]."""
        return 1.0 if self.amplifier is None else self.amplifier.force(1.0)

    def required(self, elbow_flexion: Array | float) -> Array:
        """Cable that flexing takes up from where the forearm hangs, with what of it hung slack.

        Parameters
        ----------
        elbow_flexion : float or ndarray
            0 is straight [rad], any shape

        Returns
        -------
        ndarray
            Cable [m], same shape
        """
        return np.asarray(self.line.travel(elbow_flexion, self.hangs_at) + self.cable.slack)

    def bends(self, elbow_flexion: Array | float) -> tuple[Array, Array]:
        """Bends of the cable on the way to the gap, and beyond it.

        Parameters
        ----------
        elbow_flexion : float or ndarray
            0 is straight [rad], any shape

        Returns
        -------
        above, beyond : ndarray
            Each without sign [rad], same shape

        Examples
        --------
        >>> from controlkit.mechanics import Wearer
        >>> from controlkit.mechanics.harness import above_elbow_eight
        >>> system = DualControl(
        ...     harness=above_elbow_eight(Wearer.average("male", level="transhumeral")), line=LiftLine()
        ... )
        >>> [round(float(np.rad2deg(bend))) for bend in system.bends(0.0)]
        [30, 15]
        """
        flexion = np.asarray(elbow_flexion, dtype=float)
        at_end = self.line.turned_at_end(flexion)
        return self.bend_above + np.abs(at_end), self.bend_beyond + np.abs(flexion - at_end)

    def lift(self, elbow_flexion: Sequence[float] | Array = ELBOWS, load: float = 0.0, **angles: float) -> Lifted:
        """Lift the forearm from hanging by flexing the arm, the elbow unlocked.

        Parameters
        ----------
        elbow_flexion : sequence of float
            Elbow angles asked for [rad], shape (angles,)
        load : float
            Mass in the device [kg]
        **angles : float
            Other angles of the pose, as in `Pose`, both scapulae for example [rad]

        Returns
        -------
        Lifted
            What it takes, how far the arm has to go, what stops it

        Raises
        ------
        InputError
            If an angle or the load is outside its range

        Notes
        -----
        The forearm goes up while the harness, against the tension that holds it, gives more cable than it has taken up.
        An angle is reached once that has been so at every angle below.
        """
        asked = self._elbows(elbow_flexion)
        largest = self._largest(within("The load", load, 0.0, _MOST_LOAD, example="0.5", unit=" kg"))
        table = self.capture(**angles)
        low = min(self.hangs_at + 1e-3 * _FINE, asked.max())
        way = np.unique(np.concatenate([asked[asked > low], np.arange(low, asked.max() + 1e-9, _FINE)]))
        raised = np.linspace(0.0, self.furthest, int(np.ceil(self.furthest / _FINE)) + 1)
        above, beyond = (np.exp(self.cable.friction * bend) for bend in self.bends(way))
        needs = above[:, None] * self._tension(way[:, None], raised[None], largest)
        alone = first_above(raised, table.at(raised[None], needs) - self.required(way)[:, None])
        reached = np.maximum.accumulate(alone)
        held = np.minimum(reached, self.furthest)
        tension = self._tension(way, held, largest)
        most = min(self.strength.cable / self._strap, float(table.pull[-1]))
        stuck = ~np.isfinite(reached)
        bears = above * tension
        bears[stuck] = self._still(table, self.furthest, self.required(way[stuck]))
        stops = _stops(
            [
                ("dead point", ~np.isfinite(self._tension(way, held, largest))),
                ("device opens first", bears / (above * beyond) >= self.device.force(0.0)),
                ("force", bears >= most),
                ("excursion", stuck),
            ]
        )
        which = np.searchsorted(way, np.maximum(asked, way[0]))
        rests = asked <= self.hangs_at
        arm = np.where(rests, 0.0, reached[which])
        lift_force = np.where(rests, 0.0, tension[which])
        return Lifted(
            elbow_flexion=asked,
            load=float(load),
            arm_flexion=arm,
            generated=table.gives(np.minimum(arm, self.furthest)),
            captured=table.at(np.minimum(arm, self.furthest), lift_force * above[which]),
            required=self.required(asked),
            lift_force=lift_force,
            harness_force=self._strap * lift_force * above[which],
            device_force=lift_force / beyond[which],
            opening_force=self.device.force(0.0),
            cable_share=self._strap * lift_force * above[which] / self.strength.cable,
            limited_by=tuple("rest" if still else stops[k] for still, k in zip(rests, which, strict=True)),
            jumps=~rests & (arm > alone[which] + _RUNS_UP) & np.isfinite(arm),
            settled=table.settled,
        )

    def open_locked(
        self, elbow_flexion: Sequence[float] | Array = ELBOWS, arm_flexion: float | None = None, **angles: float
    ) -> Opened:
        """Open the device with the elbow locked.

        Parameters
        ----------
        elbow_flexion : sequence of float
            Elbow angles at which it is locked [rad], shape (angles,)
        arm_flexion : float, optional
            Arm flexion of the control motion; to the motion's end unless given [rad]
        **angles : float
            Other angles of the pose, as in `Pose`, both scapulae for example [rad]

        Returns
        -------
        Opened
            What is left for opening, and what that does

        Raises
        ------
        InputError
            If an angle is outside its range

        Notes
        -----
        Locking gives nothing back: what flexing has taken up stays taken up. The motion is made whatever it asks for:
        where that is more than the wearer's strength, `limited_by` says "force", and this wearer opens less far.
        """
        asked = self._elbows(elbow_flexion)
        arm = self.furthest if arm_flexion is None else number("Arm flexion", arm_flexion, "deg(60)")
        within("Arm flexion", arm, 0.0, self.furthest, example="deg(60)", of="angle")
        table = self.capture(**angles)
        above, beyond = self.bends(asked)
        gain = np.exp(self.cable.friction * (above + beyond))
        taken = self.required(asked)

        def left(done: Array) -> Array:
            return table.at(arm, gain * self._asks(done)) - taken - done

        shut, wide = np.zeros_like(asked), np.full_like(asked, self.device.travel)
        full, none = left(wide) >= 0.0, left(shut) < 0.0
        so_far, _ = halved(lambda done: left(done) > 0.0, low=shut, high=wide)
        done = np.where(full, self.device.travel, np.where(none, 0.0, so_far))
        force = gain * self._asks(done)
        force[none] = self._still(table, arm, taken[none])
        captured = table.at(arm, force)
        opening = np.array([self.device.opening(float(x)) for x in done])
        return Opened(
            elbow_flexion=asked,
            arm_flexion=arm,
            generated=float(table.gives(arm)),
            captured=captured,
            taken_by_lift=taken,
            left_for_opening=np.where(none, 0.0, np.maximum(captured - taken, 0.0)),
            required=self.device.travel,
            opening=opening,
            pinch=np.array([self.device.pinch(float(width)) for width in opening]),
            harness_force=self._strap * force,
            device_force=force / gain,
            cable_share=self._strap * force / self.strength.cable,
            limited_by=tuple(
                "force"
                if f > min(self.strength.cable / self._strap, table.pull[-1])
                else "nothing"
                if whole
                else "excursion"
                for f, whole in zip(np.where(none, gain * self.device.force(0.0), force), full, strict=True)
            ),
            settled=table.settled,
        )

    def live_lift(
        self,
        elbow_flexion: Sequence[float] | Array = ELBOWS,
        *,
        arm_flexion: float = 0.0,
        width: float = 0.03,
        rubbing: float = 0.4,
    ) -> LiveLift:
        r"""Hold an object up with the elbow unlocked: what slips, and what would open the device.

        .. math:: 2 \mu_o\,G(T_d) = m g, \qquad T_d = \frac{M_0 + m g\,c \sin(\varepsilon + \psi)}{r} e^{-\mu\beta_2}

        Parameters
        ----------
        elbow_flexion : sequence of float
            Elbow angles asked for [rad], shape (angles,)
        arm_flexion : float
            Inclination of the upper arm [rad]
        width : float
            Width of the object between the fingertips [m]
        rubbing : float
            Friction of the object between the fingers. Assumption: no figure for lined hooks was found [-]

        Returns
        -------
        LiveLift
            Masses and grip

        Raises
        ------
        InputError
            If an angle, width or friction is outside its range
        """
        asked = self._elbows(elbow_flexion)
        tilt = within("Arm flexion", arm_flexion, 0.0, self.furthest, example="deg(0)", of="angle")
        within("The width of the object", width, 0.0, self.device.full_opening, example="mm(30)", of="length")
        within("The friction of the object", rubbing, 0.0, 2.0, example="0.4")
        above, beyond = self.bends(asked)

        def at_device(mass: Array) -> Array:
            return self._tension(asked, tilt, self._largest(mass)) * np.exp(-self.cable.friction * beyond)

        def grips(mass: Array) -> Array:
            return np.array([self.device.pinch(width, min(float(pull), _ENDLESS)) for pull in at_device(mass)])

        opens_force = self.device.force(self.device.travel_for(width))
        slips = _largest_mass(lambda mass: 2.0 * rubbing * grips(mass) - mass * GRAVITY, asked)
        opens = _largest_mass(lambda mass: opens_force - at_device(mass), asked)
        return LiveLift(
            elbow_flexion=asked,
            slips_at=slips,
            opens_at=opens,
            grip=grips(slips),
            grip_unpulled=self.device.pinch(width),
            harness_force=self._strap * at_device(slips) * np.exp(self.cable.friction * (above + beyond)),
        )

    def _elbows(self, elbow_flexion: Sequence[float] | Array) -> Array:
        """Elbow angles that can be answered."""
        asked = [within("Elbow flexion", each, *CHECKED, example="deg(90)", of="angle") for each in elbow_flexion]
        if not asked:
            raise InputError(given="No elbow angle was given.", do="Give at least one, for example [deg(90)].")
        return np.array(asked)

    def _largest(self, load: Array | float) -> Array:
        """Moment of the level forearm with a load in the device [N m]."""
        forearm = self.lifted_forearm
        reach = forearm.pieces[-1].centre
        return np.asarray(forearm.largest_moment + GRAVITY * reach * np.asarray(load))

    def _tension(self, elbow_flexion: Array, inclination: Array | float, largest: Array) -> Array:
        """Tension in the gap that holds the forearm; infinite where none does [N]."""
        moment = largest * np.sin(elbow_flexion + inclination)
        if self.spring is not None:
            moment = moment - self.spring.at(elbow_flexion)
        return self.line.tension(moment, elbow_flexion)

    def _asks(self, done: Array) -> Array:
        """Cable force at the device after some travel [N]."""
        return np.array([self.device.force(float(x)) for x in done])

    def _still(self, table: Capture, arm: float, taken: Array) -> Array:
        """Tension of the control strap while neither elbow nor device moves; 0 where the cable hangs slack [N]."""
        pulls = np.geomspace(table.pull[0], table.pull[-1], _PULLS)
        gives = table.at(arm, pulls)  # the less the harder the pull
        return np.where(gives[0] < taken, 0.0, np.interp(-taken, -gives, pulls))


@lru_cache(maxsize=_KEPT)
def _captured(harness: Harness, base: Pose, furthest: float, give: float, *, pulls: tuple[float, ...]) -> Capture:
    """A capture, remembered by all that it depends on: what else is set up does not follow the harness anew."""
    return capture(harness, base, furthest, give, pulls=pulls)


def _stops(reasons: Sequence[tuple[Limit, Mask]]) -> list[Limit]:
    """What first stops the forearm at each angle or on the way there; earlier reasons count before later ones."""
    first: Limit = "nothing"
    said: list[Limit] = []
    for k in range(len(reasons[0][1])):
        if first == "nothing":
            first = next((name for name, holds in reasons if holds[k]), "nothing")
        said.append(first)
    return said


def _largest_mass(spare: Callable[[Array], Array], like: Array) -> Array:
    """Largest mass at each angle that leaves something to spare [kg]."""
    most, _ = halved(lambda mass: spare(mass) > 0.0, low=np.zeros_like(like), high=np.full_like(like, _MOST_LOAD))
    return most
