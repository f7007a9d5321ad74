"""The whole chain below the elbow: from a body motion to the opening of the device."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import to_right
from controlkit.mechanics.body.pose import Pose, posed
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.cable import ArmLine, CableLine, ControlCable
from controlkit.mechanics.cable.route import led_past
from controlkit.mechanics.chain.effort import HELD, fatigue
from controlkit.mechanics.chain.generated import generated as excursion_generated
from controlkit.mechanics.chain.results import Excursion, Motion, Pull
from controlkit.mechanics.chain.shoulder import shoulder_moment
from controlkit.mechanics.chain.strength import Strength
from controlkit.mechanics.device import Device, VoluntaryOpening
from controlkit.mechanics.harness import outcomes
from controlkit.mechanics.harness.laws import CableLaw
from controlkit.mechanics.harness.layout import CONTROL, CONTROL_STRAP
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.pressure import strap_loads
from controlkit.mechanics.inputs import kind, number
from controlkit.mechanics.states import State
from controlkit.units import InputError, show

Array = NDArray[np.float64]

RETAINER = 0.37
"""Where the housing is retained on the forearm, share of the way from elbow to wrist [-]. Assumption."""
NEAREST = 0.03
"""A crossbar nearer to the elbow is taken to be so near, where the cable's line is concerned [m]."""
HIGH = float(np.deg2rad(120.0))
"""Above this arm flexion neither girdle nor straps were checked against anything [rad]."""
MOVED = 0.001
"""Fingertips that move less are taken to stay still [m]. Assumption: a strip of paper."""


@dataclass(frozen=True)
class SingleControl:
    """A transradial single-control system: harness, cable, and one device.

    Parameters
    ----------
    harness : Harness
        Harness on its wearer
    cable : ControlCable
        Cable in its housing
    device : Device
        Terminal device
    strength : Strength
        What this wearer can do once: cable force, and moment of arm flexion
    retainer : float
        Retainer of the housing in front of the forearm's line; behind it is negative [m]
    elbow_offset : float, optional
        How far behind the elbow axis the housing is led, in effect; None: beside the axis [m]

    Raises
    ------
    InputError
        If the wearer's level is not transradial, or retainer or elbow offset is not credible

    Notes
    -----
    Quasi-static. Straps slide on the body without friction; skin and cloth hold only the ring and
    the first centimetres of its straps, and the loop round the sound shoulder. Flesh gives alike everywhere, pad and
    socket along the limb alone; the trunk does not move, and turning the upper arm about its own axis is left out.
    Strength goes with the wearer and stands here, so that another one needs no strap settled anew. Valid while
    straps stay on the back and shoulders; otherwise `states` says so.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer, figure_of_eight
    >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
    >>> pull = system.at(arm_flexion=np.deg2rad(60))
    >>> pull.excursion.captured < pull.excursion.generated
    True
    """

    harness: Harness
    cable: ControlCable = ControlCable()
    device: Device = VoluntaryOpening()
    strength: Strength = Strength()
    retainer: float = ArmLine.forearm_offset
    elbow_offset: float | None = ArmLine.elbow_offset

    def __post_init__(self) -> None:
        kind("The harness", self.harness, Harness, "figure_of_eight(wearer)")
        if self.harness.wearer.level != "transradial":
            raise InputError(
                given=(
                    "Single control serves a wearer with a transradial amputation; this wearer's level is "
                    f'"{self.harness.wearer.level}".'
                ),
                do='Choose a wearer with level "transradial".',
            )
        kind("The strength", self.strength, Strength, "Strength(cable=newton(280))")
        if not -0.08 <= number("The retainer", self.retainer, "mm(-20)") <= 0.08:
            raise InputError(
                given=f"A retainer {show(self.retainer, 'length')} in front of the forearm's line was given.",
                do=f"Give between {show(-0.08, 'length')} and {show(0.08, 'length')}.",
            )
        if self.elbow_offset is not None:
            led_past(self.elbow_offset)

    def at(self, **angles: float) -> Pull:
        """What a pose does, reached from donning.

        Parameters
        ----------
        **angles : float
            Angles of the pose, as in `Pose` [rad]

        Returns
        -------
        Pull
            From harness to device

        Raises
        ------
        InputError
            If an angle is unknown or outside its range

        Examples
        --------
        >>> from controlkit.mechanics import Wearer, figure_of_eight
        >>> system = SingleControl(figure_of_eight(Wearer.average("female")))
        >>> round(system.at().opening, 6)
        0.0
        """
        return self.over([posed(angles)])[0]

    def over(self, poses: Sequence[Pose]) -> tuple[Pull, ...]:
        """What each of some poses does, each reached from donning; one run of the solver for all.

        Parameters
        ----------
        poses : sequence of Pose
            Poses, in any order

        Returns
        -------
        tuple of Pull
            From harness to device, one a pose

        Raises
        ------
        InputError
            If one of them is not a pose

        Examples
        --------
        >>> from controlkit.mechanics import Wearer, figure_of_eight
        >>> system = SingleControl(figure_of_eight(Wearer.average("female")))
        >>> rest, reached = system.over([Pose(), Pose(arm_flexion=0.5)])
        >>> reached.opening > rest.opening
        True
        """
        for pose in poses:
            kind("Each pose", pose, Pose, "Pose(arm_flexion=deg(60))")
        found = self.follow(poses)
        return tuple(self.answer(found, k) for k in range(len(poses)))

    def line(self, elbow_flexion: float) -> CableLine:
        """How the cable runs past the elbow on this wearer.

        Parameters
        ----------
        elbow_flexion : float
            Elbow flexion [rad]

        Returns
        -------
        CableLine
            Bends, efficiency both ways, take-up, moment arm

        Notes
        -----
        From the crossbar, where the harness puts it, past the elbow on the side of `elbow_offset`, to a retainer
        at `RETAINER` of the forearm; the cable ends at the wrist. Beyond where a short housing stops the elbow,
        the line is that of the stopped elbow.

        Examples
        --------
        >>> from controlkit.mechanics import Wearer, figure_of_eight
        >>> SingleControl(figure_of_eight(Wearer.average("male"))).line(0.0).take_up
        0.0
        """
        angle = number("Elbow flexion", elbow_flexion, "deg(90)")
        if angle not in self._lines:
            self._lines[angle] = self.cable.line(self.arm_line, angle)
        return self._lines[angle]

    @cached_property
    def arm_line(self) -> ArmLine:
        """Where the cable's line is held on this wearer, above and below the elbow, and how it passes it."""
        shape = built(self.harness.wearer)
        upper, forearm = float(shape.upper_arm[0]), float(shape.forearm[0])
        above = max((1.0 - self.harness.crossbar) * upper, NEAREST)
        held = RETAINER * forearm
        return ArmLine(above, held, forearm_offset=self.retainer, device=forearm, elbow_offset=self.elbow_offset)

    def on(self, wearer: Wearer) -> SingleControl:
        """The same set-up on another wearer.

        Parameters
        ----------
        wearer : Wearer
            Who wears it

        Returns
        -------
        SingleControl
            The same settings, fitted anew

        Examples
        --------
        >>> from controlkit.mechanics import figure_of_eight
        >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
        >>> system.on(Wearer.average("female")).harness.wearer.sex
        'female'
        """
        return replace(self, harness=replace(self.harness, wearer=wearer))

    def sweep(self, arm_flexion: Sequence[float] | Array, near: Followed | None = None, **angles: float) -> Motion:
        """What a sweep of arm flexion does, the other angles staying the same.

        Parameters
        ----------
        arm_flexion : sequence of float
            Angles [rad], shape (angles,)
        near : Followed, optional
            `guess` of a similar motion
        **angles : float
            Other angles of the pose [rad]

        Returns
        -------
        Motion
            Result at each angle

        Raises
        ------
        InputError
            If an angle is unknown or outside its range

        Examples
        --------
        >>> from controlkit.mechanics import Wearer, figure_of_eight
        >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
        >>> motion = system.sweep(np.deg2rad([0, 45, 90]))
        >>> bool((np.diff(motion.captured) > 0).all())
        True
        """
        base = posed(angles)
        asked = np.atleast_1d(np.asarray(arm_flexion, dtype=object))  # text stays text, for the pose to refuse
        poses = [replace(base, arm_flexion=a) for a in asked]
        sweep = np.array([pose.arm_flexion for pose in poses], dtype=float)
        found = self.follow(poses, near)
        return Motion(sweep, self, found)

    def follow(self, poses: Sequence[Pose], near: Followed | None = None) -> Followed:
        """Follow the motion to each of some poses, for `answer` to read; one run of the solver for all.

        Parameters
        ----------
        poses : sequence of Pose
            Poses, in any order
        near : Followed, optional
            A similar motion to start from; it makes that faster, never different

        Returns
        -------
        Followed
            The motion

        Examples
        --------
        >>> from controlkit.mechanics import Wearer, figure_of_eight
        >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
        >>> found = system.follow([Pose(arm_flexion=0.3), Pose(elbow_flexion=1.0)])
        >>> system.answer(found, 1).pose.elbow_flexion
        1.0
        """
        new = sorted({0.0, *(float(pose.elbow_flexion) for pose in poses)} - set(self._lines))
        if new:
            self._lines.update(zip(new, self.cable.lines(self.arm_line, new), strict=True))  # one solution for all
        return follow(self.harness, poses, self.law, near)

    @cached_property
    def _lines(self) -> dict[float, CableLine]:
        """Lines of the cable found so far; an answer taken from here is the same, only sooner."""
        return {}

    def law(self, pose: Pose, strap_give: float) -> CableLaw:
        """Cable and device as the control strap feels them; `harness.motion.follow` and `suspend` ask for it.

        Parameters
        ----------
        pose : Pose
            The pose
        strap_give : float
            The give of the control strap's webbing [m/N]

        Returns
        -------
        CableLaw
            Stiffness, forces at the harness, and the cable that the elbow has taken up
        """
        line = self.line(pose.elbow_flexion)
        start, full = self.device.force(0.0), self.device.force(self.device.travel)
        rise = (full - start) / self.device.travel
        give = strap_give + line.give
        return CableLaw(
            stiffness=1.0 / give,
            start=start / line.efficiency,
            rise=rise / line.efficiency,
            full=full / line.efficiency,
            take_up=line.take_up,
        )

    def answer(self, found: Followed, asked: int) -> Pull:
        """Read one pose of a motion that has been followed.

        Parameters
        ----------
        found : Followed
            The motion
        asked : int
            Which of the poses asked for [-]

        Returns
        -------
        Pull
            From harness to device

        Examples
        --------
        >>> from controlkit.mechanics import Wearer, figure_of_eight
        >>> system = SingleControl(figure_of_eight(Wearer.average("male")))
        >>> system.answer(system.sweep([0.5]).guess, 0).pose.arm_flexion
        0.5
        """
        at, net, side = found.asked[asked], found.net, self.harness.wearer.amputated
        pose, device = found.poses[at], self.device
        line = self.line(pose.elbow_flexion)
        travel, rest = float(found.travel[at]), float(found.travel[0])
        harness, opening = float(net.tension[CONTROL, at]), device.opening(travel)
        share = harness / self.strength.cable
        back = device.force_back(travel) * line.efficiency_back if self._moved(travel) > MOVED else 0.0
        inadvertent = self._moved(float(found.law.pick(np.array([at])).travel(net.length[CONTROL, :1])[0]))
        straps = {name: to_right(run, side) for name, run in outcomes.strap_runs(found, at).items()}
        tensions, loads = outcomes.strap_tensions(found, at), strap_loads(found, at)
        worn = outcomes.states(self.harness, found, at, travel_at_rest=rest if self.device.opens else 0.0, loads=loads)
        return Pull(
            pose=pose,
            excursion=self._excursion(found, at),
            opening=opening,
            opening_at_rest=device.opening(rest),
            pinch=self._pinch(opening, line),
            harness_force=harness,
            device_force=harness * line.efficiency,
            strap_tension=tensions,
            strap_slack=outcomes.strap_slack(found, at),
            straps=straps,
            ring=to_right(net.ring[at], side),
            ring_travel=float(np.linalg.norm(net.ring[at] - found.donned.ring)),
            pad_shift=float(net.give[at]),
            ring_forces={name: to_right(force, side) for name, force in outcomes.ring_forces(found, at).items()},
            axilla_line_load=max(load.armpit for load in loads.values()),
            limited_by=self._limit(travel, float(found.law.full[at])),
            settled=bool(net.settled[at]),
            states=worn + line.states + self._states(pose, inadvertent, rest, tensions),
            travel=travel,
            inadvertent=inadvertent,
            force_back=min(back, harness),
            cable_share=share,
            fatigue=fatigue(share),
            flexion_strength=self.strength.flexion(self.harness.wearer.sex, pose.arm_flexion),
            elbow_moment=harness * line.elbow_arm,
            strap_load={name: replace(load, places=to_right(load.places, side)) for name, load in loads.items()},
            about_flexion=partial(found.moment_arm, at),
            about_shoulder=partial(shoulder_moment, found, at),
        )

    def _moved(self, travel: float) -> float:
        return abs(self.device.opening(travel) - self.device.opening(0.0))

    def _excursion(self, found: Followed, at: int) -> Excursion:
        length, law, snug = found.net.length[CONTROL], found.law, float(found.donned.length[CONTROL])
        generated, travel, rest = (float(each) for each in (excursion_generated(found)[at], *found.travel[[at, 0]]))
        taken_in = max(snug - float(law.free[0]), 0.0)
        own, others = found.tissue
        stretched = np.maximum(length - law.free, 0.0) - found.travel - own
        tissue, pad, stretch, moved = (
            float(each[at]) for each in (own + others, found.pad, stretched, length + others - snug)
        )
        elbow = float(law.free[at] - law.free[0])
        lost = {"ring": generated - moved - pad, "tissue": tissue, "pad": pad, "stretch": stretch, "elbow": elbow}
        lost["slack"] = taken_in + generated - travel - sum(lost.values())
        return Excursion(generated, travel - rest, self.device.travel, lost, taken_in=taken_in, at_rest=rest)

    def _pinch(self, opening: float, line: CableLine) -> float:
        return self.device.pinch(opening, 0.0 if self.device.opens else HELD * self.strength.cable * line.efficiency)

    def _states(self, pose: Pose, inadvertent: float, rest: float, tensions: Mapping[str, float]) -> tuple[State, ...]:
        said = []
        if not self.device.opens and self._moved(rest) > MOVED:
            said.append(State.of("partly-closed-at-rest", travel=rest))
        if inadvertent > self._moved(rest) + MOVED:
            said.append(State.of("moves-with-elbow", moved=inadvertent))
        if pose.arm_flexion > HIGH:
            said.append(State.of("arm-above-checked", arm_flexion=pose.arm_flexion))
        tightest, strength = max(tensions, key=lambda name: tensions[name]), self.strength.cable
        if tensions[CONTROL_STRAP] > strength:
            said.append(State.of("beyond-strength", force=tensions[CONTROL_STRAP], strength=strength))
        elif tensions[tightest] > strength:
            most = tensions[tightest]
            said.append(State.of("strap-beyond-strength", strap=tightest, force=most, strength=strength))
        return tuple(said)

    def _limit(self, travel: float, needed: float) -> str:
        if needed > self.strength.cable:
            return "force"
        if travel >= self.device.travel - 1e-9:
            return "nothing"
        slack = max(self.harness.control_strap + self.cable.slack, 0.0)
        return "slack" if travel + slack >= self.device.travel else "excursion"
