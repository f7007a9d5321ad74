"""The question to a pair: one side pulls, the other is told what arrives."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import to_right
from controlkit.mechanics.body.pose import PairPose, Pose, posed
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.chain.pair.arms import PairArm, WornArm, worn_arm
from controlkit.mechanics.chain.pair.results import MOVES, PairPull, PairSide
from controlkit.mechanics.harness import outcomes
from controlkit.mechanics.harness.laws import CableLaw
from controlkit.mechanics.harness.layout import CONTROL_STRAP, OTHER
from controlkit.mechanics.harness.motion import Followed, follow
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.patterns.eight import FRONT_STRAP
from controlkit.mechanics.harness.patterns.pair import BilateralPair, level_of, seen_from
from controlkit.mechanics.harness.pressure import strap_loads
from controlkit.mechanics.harness.suspension import carried
from controlkit.mechanics.inputs import kind, within
from controlkit.mechanics.roots import illinois
from controlkit.mechanics.states import State
from controlkit.units import InputError, mm

Array = NDArray[np.float64]

SIDES = ("left", "right")
MOST = 2_000.0
"""A cable that gives way at this tension is as good as held [N]."""
PULLS = (0.0, 25.0, 50.0, 75.0, 100.0, 150.0, 200.0, 300.0, MOST)
"""Tensions at which the own cable gives way, in turn, to find the least one that moves the other side's device [N]."""
_CLOSE, _STEPS = mm(0.005), 20


@dataclass(frozen=True, kw_only=True)
class PairControl:
    """Two prostheses on one harness, joined on the back.

    Parameters
    ----------
    harness : Harness
        The pair on its wearer
    left, right : PairArm
        Cable and device of either side

    Raises
    ------
    InputError
        If the harness is not a pair

    Notes
    -----
    Quasi-static, as `SingleControl`. Both arms go to their poses at once, in even steps: the skin under the junction
    remembers the way. The other arm is held in its pose, whatever pulls at it: muscles do that, and
    what they make is not told.

    A flexed arm slackens its own front strap. Of its pull the other side's front strap takes what it can in a line, and
    what is left crosses over to the other control strap: nothing under a high junction, more the lower it lies. A
    shoulder drawn forward, an arm drawn back or a load on the prosthesis pulls on the own front strap, and so on the
    other side's cable. `tests/laws/test_pair.py` shows each.

    Examples
    --------
    >>> from controlkit.mechanics import Wearer
    >>> from controlkit.mechanics.harness import bilateral_pair
    >>> pair = PairControl(harness=bilateral_pair(Wearer.average("male")))
    >>> pull = pair.pull("right", arm_flexion=np.deg2rad(60))
    >>> pull.own.opening > 0.03, pull.other_opens
    (True, False)
    """

    harness: Harness
    left: PairArm = PairArm()
    right: PairArm = PairArm()

    def __post_init__(self) -> None:
        kind("The harness", self.harness, Harness, "bilateral_pair(wearer)")
        pattern, level = self.harness.pattern, self.harness.wearer.level
        if not isinstance(pattern, BilateralPair):
            raise InputError(
                given=f"The harness is a {pattern.name}; it serves one prosthesis.",
                do="Put on a pair: bilateral_pair(wearer).",
            )
        if level != level_of(pattern.above):
            raise InputError(
                given=f'The pair was put on for another level than "{level}", which is this wearer\'s.',
                do="Put it on anew: bilateral_pair(wearer).",
            )
        for side in SIDES:
            kind(f"The {side} arm", getattr(self, side), PairArm, "PairArm(device=hook_opening(3))")

    def pull(self, side: str, other: Pose = Pose(), against: float | None = None, **angles: float) -> PairPull:
        """One side pulls by a motion of its own.

        Parameters
        ----------
        side : str
            "left" or "right"
        other : Pose
            What the other arm does meanwhile; it hangs unless given
        against : float, optional
            Tension at which the own cable gives way, in place of what its device asks for; the own device is then told
            as far as its cable is drawn [N]
        **angles : float
            Angles of the arm that pulls, as in `Pose` [rad]

        Returns
        -------
        PairPull
            What arrives on either side

        Raises
        ------
        InputError
            If there is no such side or angle, or a value is outside its range

        Examples
        --------
        >>> from controlkit.mechanics import Wearer
        >>> from controlkit.mechanics.harness import bilateral_pair
        >>> pair = PairControl(harness=bilateral_pair(Wearer.average("female")))
        >>> shrugged = pair.pull("left", scapular_abduction=np.deg2rad(15))
        >>> shrugged.crossed_force > 10.0
        True
        """
        if side not in SIDES:
            raise InputError(
                given=f"{side!r} was given as the side.", allowed='"left" or "right"', do='Give "left" or "right".'
            )
        kind("The other arm's pose", other, Pose, "Pose(arm_flexion=deg(60))")
        if against is not None:
            within("The pull to work against", against, 0.0, MOST, example="newton(80)", of="force")
        return self.pull_near(side, PairPose(**vars(posed(angles)), other=other), against=against)[0]

    def pull_near(
        self, side: str, pose: PairPose, near: Followed | None = None, *, against: float | None = None
    ) -> tuple[PairPull, Followed]:
        """The same for a pose of both arms, from a motion that was followed before.

        Parameters
        ----------
        side : str
            The side that pulls, "left" or "right"; `pull` looks whether it is either
        pose : PairPose
            Both arms, that of this side first
        near : Followed, optional
            A motion of a like pair seen from the same side: it makes the answer faster, never different
        against : float, optional
            As of `pull` [N]

        Returns
        -------
        pull : PairPull
            What arrives on either side
        found : Followed
            The motion, a start for the next
        """
        return _FromOneSide(seen_from(self.harness, side), *self._arms(side)).answer(pose, against, near)

    def worn(self, side: str) -> WornArm:
        """One side as it is fitted: its system, the harness seen from there.

        Parameters
        ----------
        side : str
            "left" or "right"

        Returns
        -------
        Below or Above
            By the level of that side

        Examples
        --------
        >>> from controlkit.mechanics import Wearer
        >>> from controlkit.mechanics.harness import bilateral_pair
        >>> pair = PairControl(harness=bilateral_pair(Wearer.average("male"), other_level="transhumeral"))
        >>> [pair.worn(side).system.harness.wearer.level for side in ("left", "right")]
        ['transhumeral', 'transradial']
        """
        return worn_arm(self._arms(side)[0], seen_from(self.harness, side))

    def on(self, wearer: Wearer) -> PairControl:
        """The same set-up on another wearer.

        Parameters
        ----------
        wearer : Wearer
            Who wears it

        Returns
        -------
        PairControl
            The same settings, fitted anew
        """
        return replace(self, harness=replace(self.harness, wearer=wearer))

    def _arms(self, side: str) -> tuple[PairArm, PairArm]:
        """Both arms, that of a side first."""
        return (self.left, self.right) if side == "left" else (self.right, self.left)


class _FromOneSide:
    """A pair seen from the side that pulls."""

    def __init__(self, harness: Harness, own: PairArm, other: PairArm) -> None:
        self.harness = harness
        side = harness.wearer.amputated
        self.sides = side, next(each for each in SIDES if each != side)
        self.arms: tuple[WornArm, WornArm] = worn_arm(own, harness), worn_arm(other, seen_from(harness, self.sides[1]))

    def answer(self, asked: PairPose, against: float | None, near: Followed | None = None) -> tuple[PairPull, Followed]:
        """What arrives on either side in one pose, and the motion that told."""
        found = self._follow(asked, against, near)
        at = found.asked[1]
        net, turn = found.net, partial(to_right, amputated=self.sides[0])
        names = {strap: self._named(strap) for strap in found.harness.layout.straps}
        runs, tensions = outcomes.strap_runs(found, at), outcomes.strap_tensions(found, at)
        forces, loads = outcomes.ring_forces(found, at), strap_loads(found, at)
        slack = outcomes.strap_slack(found, at)
        pull = PairPull(
            side=self.sides[0],
            pose=asked,
            own=self._side(found, 1, 0),
            other=self._side(found, 1, 1),
            alone=self._side(found, 0, 1),
            junction=turn(net.ring[at]),
            junction_shift=turn(net.ring[at] - found.donned.ring),
            junction_forces={names.get(strap, strap): turn(force) for strap, force in forces.items()},
            strap_tension={names[strap]: tension for strap, tension in tensions.items()},
            strap_slack={names[strap]: left for strap, left in slack.items()},
            strap_load={names[strap]: replace(load, places=turn(load.places)) for strap, load in loads.items()},
            straps={names[strap]: turn(run) for strap, run in runs.items()},
            settled=bool(net.settled.all()),
            states=self._states(found, at),
            about_opening=partial(self._opens_at, asked),
        )
        return pull, found

    def _follow(self, asked: PairPose, against: float | None, near: Followed | None = None) -> Followed:
        """The motion to a pose, and what the other arm alone would do."""

        def held(pose: Pose, give: float) -> CableLaw:
            law = self.arms[0].law(pose, give)
            return law if against is None else replace(law, start=against, rise=0.0, full=MOST)

        alone = PairPose(elbow_flexion=asked.elbow_flexion, other=asked.other)
        return follow(self.harness, [alone, asked], held, near, other=self.arms[1].law)

    def _opens_at(self, asked: PairPose) -> float:
        """What `PairPull.opens_at` returns."""
        last: Followed | None = None

        def apart(pull: Array) -> Array:
            nonlocal last
            last = self._follow(asked, float(pull[0]), last)
            alone, pulled = (self._side(last, pose, 1).travel for pose in range(2))
            return np.array([pulled - alone - MOVES])

        low = below = None
        for pull in PULLS:
            high = np.array([pull])
            above = apart(high)
            if above[0] >= 0.0:
                break
            low, below = high, above
        else:
            return np.inf
        if low is not None:
            illinois(apart, low=low, high=high, below=below, above=above, close=_CLOSE, most=_STEPS)
        assert last is not None
        return self._side(last, 1, 0).harness_force

    def _side(self, found: Followed, asked: int, which: int) -> PairSide:
        """One side, the own one first, in one pose asked for."""
        at = found.asked[asked]
        arm, net, before = self.arms[which], found.net, OTHER if which else ""
        run = found.harness.layout.of(before + CONTROL_STRAP)[0]
        pose = found.poses[at].other if which else found.poses[at]  # type: ignore[attr-defined]
        law = found.ask.laws.controls[run]
        travel, force = float(law.travel(net.length[run])[at]), float(net.tension[run, at])
        return PairSide(
            side=self.sides[which],
            harness_force=force,
            device_force=force / arm.gain(pose),
            travel=travel,
            opening=arm.opening(travel),
            elbow_flexion=arm.forearm(pose, travel),
            front_force=outcomes.strap_tensions(found, at)[before + FRONT_STRAP],
            slack=outcomes.strap_slack(found, at)[before + CONTROL_STRAP],
            pad_shift=float(net.gives[at, which]),
            carried=float(carried(found, which)[asked]),
        )

    def _states(self, found: Followed, at: int) -> tuple[State, ...]:
        """Outcomes worth knowing, straps called by their sides."""
        rest, opens = float(found.travel[0]), self.arms[0].system.device.opens
        said = outcomes.states(
            self.harness, found, at, travel_at_rest=rest if opens else 0.0, loads=strap_loads(found, at)
        )
        return tuple(self._renamed(state) for state in said)

    def _renamed(self, state: State) -> State:
        values = dict(state.values)
        if "strap" in values:
            values["strap"] = self._named(str(values["strap"]))
        return State.of(state.code, **values)

    def _named(self, strap: str) -> str:
        """A strap by its side and name."""
        return f"{self.sides[strap.startswith(OTHER)]} {strap.removeprefix(OTHER)}"
