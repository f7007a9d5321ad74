"""Donning a harness and following a motion from there, by one fixed rule.

Rule: the harness is put on with the arm hanging; the wearer takes up the posture (everything
but arm flexion) in one step, then flexes or extends the arm in steps of 15 degrees, and stops at
the angle asked for. A wearer with two prostheses brings both arms to their poses at once, in even steps. The same
question therefore has the same answer, however it was reached.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.pose import PairPose, Pose
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.balance import Laws
from controlkit.mechanics.harness.donning import Donned, don
from controlkit.mechanics.harness.itinerary import Itinerary, alike, itinerary
from controlkit.mechanics.harness.laws import ControlLaw, Law
from controlkit.mechanics.harness.layout import CONTROL, CONTROL_STRAP, OTHER, OTHER_CONTROL, OVER, UNDER
from controlkit.mechanics.harness.net import NetState
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.settle import resume, settle
from controlkit.mechanics.harness.stations import Start, Stations
from controlkit.mechanics.harness.turned import TURN, turned
from controlkit.mechanics.harness.worn import Earlier, Runs, Worn, fresh, held_control, held_runs, wear
from controlkit.mechanics.harness.worn_laws import hung_places, loop_ratio, ring_friction, webbing_of
from controlkit.mechanics.surface.taut import Draft, Paths, tighten
from controlkit.units import InputError

Array = NDArray[np.float64]
Index = NDArray[np.intp]

NEAR = 0.006
"""How far apart two rings may lie for one harness to start from the other [m]."""


@dataclass(frozen=True, kw_only=True)
class Followed:
    """A motion followed from donning; also a start for the next, similar question.

    Attributes
    ----------
    harness : Harness
        The harness
    poses : tuple of Pose
        Pose of each station
    asked : tuple of int
        Station of each pose that was asked for
    donned : Donned
        The harness as put on
    ask : Stations
        What the net was asked
    net : NetState
        The settled net at every station
    held : Paths
        The control strap at every station, were the ring held where it was donned
    runs : mapping
        Runs of the control strap and of what goes round the sound side, by their places in the pattern, the junctions
        held where they were donned
    law : ControlLaw
        Law of the control strap at every station
    other : ControlLaw, optional
        The same of the other side's control strap, of a pair
    """

    harness: Harness
    poses: tuple[Pose, ...]
    asked: tuple[int, ...]
    donned: Donned
    ask: Stations = field(repr=False, compare=False)
    net: NetState
    held: Paths
    runs: Runs = field(repr=False, compare=False)
    law: ControlLaw
    other: ControlLaw | None = None

    @cached_property
    def travel(self) -> Array:
        """Travel of the cable at the device [m], shape (stations,)."""
        return self.law.travel(self.net.length[CONTROL])

    @cached_property
    def tissue(self) -> Array:
        """Excursion that straps take by sinking into flesh, the control strap itself first [m], shape (2, stations).

        The second row is what the other straps' sinking lets the ring travel towards the pull, to first order.
        """
        length, crept = self.net.length.copy(), self.net.forces.crept
        length[OVER] -= crept
        length[UNDER] += crept
        sunk = self.ask.laws.webbing.sunk(length) * self.net.eases[:-1]
        sunk[CONTROL] = 0.0
        own = self.law.sunk(self.net.tension[CONTROL])
        return np.stack([own, sunk.sum(axis=0)])

    @cached_property
    def pad(self) -> Array:
        """Excursion that the pad takes by giving along the limb, to first order [m], shape (stations,)."""
        return np.asarray(self.net.give * self.net.eases[-1])

    def moment_arm(self, at: int) -> float:
        """Moment arm of the control strap about arm flexion, ring held.

        Parameters
        ----------
        at : int
            Station [-]

        Returns
        -------
        float
            Moment arm [m]
        """
        return float(moment_arm(self.harness, self.poses[at : at + 1], self.held.rows(np.array([at])))[0])


def follow(
    harness: Harness,
    poses: Sequence[Pose],
    law: Law,
    near: Followed | None = None,
    *,
    other: Law | None = None,
) -> Followed:
    """Don a harness and follow the motion to each pose.

    Parameters
    ----------
    harness : Harness
        The harness
    poses : sequence of Pose
        Poses asked for
    law : callable
        From a pose and the give of the control strap's webbing [m/N] to the law of cable and device there, a `CableLaw`
    near : Followed, optional
        The answer to a similar question: what is the same in both is taken over, the rest starts there
    other : callable, optional
        The same law of the other side, of a pair: from its own pose, its cable and its device

    Returns
    -------
    Followed
        The settled motion

    Raises
    ------
    InputError
        If the harness has two control straps and poses or laws do not, or the other way round

    Notes
    -----
    A step costs O(stations x runs x nodes), see `settle`. Stations are the poses asked for and, on the way to each from
    donning, one every 15 degrees of arm flexion.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
    >>> harness = figure_of_eight(Wearer.average("male"))
    >>> found = follow(harness, [Pose(arm_flexion=1.0)], SingleControl(harness).law)
    >>> bool(found.net.settled.all()), len(found.poses), found.asked
    (True, 5, (4,))
    """
    paired = harness.pattern.paired
    if paired != (other is not None) or any(isinstance(pose, PairPose) != paired for pose in poses):
        raise _two_arms(paired)
    way = itinerary(tuple(poses))
    bodies = route.bodies_of(harness.wearer, way.poses)
    if near is not None and not _close(near.harness, harness):
        near = None  # a long way from there to here could leave a strap on the wrong side of something
    there = near is not None and _same_place(near.harness, harness)
    donned = near.donned if near is not None and there else don(harness, None if near is None else near.donned)
    worn, legs = wear(harness, bodies, way.poses, donned)
    earlier = None if near is None else _earlier(near, way.poses, there)
    runs = held_runs(worn, legs, earlier)
    held = held_control(harness.layout, runs)
    ask = _ask(worn, way, law, other=other, runs=runs, held=held)
    net = _solve(ask, worn, runs, near=near, earlier=earlier)
    return Followed(
        harness=harness,
        poses=way.poses,
        asked=way.asked,
        donned=donned,
        ask=ask,
        net=net,
        held=held,
        runs=runs,
        law=ask.laws.controls[CONTROL],
        other=ask.laws.controls.get(OTHER_CONTROL),
    )


def _close(one: Harness, other: Harness) -> bool:
    """Whether one harness lies so near the other that straps find their way from there."""
    same = one.wearer == other.wearer and one.layout == other.layout
    return same and all(
        abs(getattr(one, name) - getattr(other, name)) <= NEAR for name in ("ring_below_c7", "ring_to_sound_side")
    )


def _same_place(one: Harness, other: Harness) -> bool:
    """Whether two harnesses lie alike before any strap is let out."""
    snug, like = (replace(h, control_strap=0.0, axilla_loop=0.0, support_strap=0.0) for h in (one, other))
    return replace(snug, skin=like.skin, straps=like.straps, cuff=like.cuff) == like


def _same_laws(one: Laws, other: Laws, known: Index) -> bool:
    """Whether the stations known already obey the same laws of cable and device."""
    mine = np.flatnonzero(known >= 0)
    names = [f.name for f in fields(ControlLaw)[:-1]]
    laws = zip(one.controls.values(), other.controls.values(), strict=True)
    pairs = ((getattr(a, name)[known[mine]], getattr(b, name)[mine]) for a, b in laws for name in names)
    return all(np.array_equal(a, b) for a, b in pairs)


def _earlier(near: Followed, poses: tuple[Pose, ...], there: bool) -> Earlier:
    """What another motion knows of this one."""
    same, like = alike(poses, near.poses)
    return Earlier(runs=near.runs, same=same if there else np.full(len(poses), -1), like=like)


def _two_arms(paired: bool) -> InputError:
    """What to say where harness, poses and laws do not agree on how many prostheses there are."""
    wants = "both arms" if paired else "one arm"
    do = "Ask PairControl(harness)." if paired else "Put on bilateral_pair(wearer), or leave the other arm out."
    return InputError(given=f"This harness has the control strap of {wants}, poses and cables have not.", do=do)


def _ask(worn: Worn, way: Itinerary, law: Law, *, other: Law | None, runs: Runs, held: Paths) -> Stations:
    """What the net is asked."""
    harness, donned, places, posed = worn.harness, worn.donned, worn.places, worn.bodies.posed
    layout, count = harness.layout, len(way.poses)
    webbing = webbing_of(harness, donned, count)

    def control(run: int, of: Law, poses: Sequence[Pose], let_out: float) -> ControlLaw:
        give, snug = 1.0 / float(webbing.stiffness[run, 0]), donned.length[run] + let_out
        return ControlLaw.of([of(pose, give) for pose in poses], np.full(count, snug), webbing.flesh.pick((run,)))

    controls, straps = {CONTROL: control(CONTROL, law, way.poses, harness.control_strap)}, [held]
    if other is not None:
        poses = [pose.other for pose in way.poses if isinstance(pose, PairPose)]
        controls[OTHER_CONTROL] = control(OTHER_CONTROL, other, poses, harness.choice("other_control_strap"))
        straps.append(held_control(layout, runs, OTHER + CONTROL_STRAP))
    start, end = (np.stack([places[getattr(run, side)] for run in layout.runs]) for side in ("start", "end"))
    laws = Laws(
        before=way.before,
        webbing=webbing,
        controls=controls,
        meets=layout.meets,
        skin=harness.skin,
        cuff=harness.cuff,
        kept=posed.slip[:, : layout.limbs] > 0.0,
        donned=places["ring"],
        rested=places["ring"],
        hung=hung_places(worn),
        friction=ring_friction(worn, straps, list(controls.values())),
        ratio=loop_ratio(harness, runs),
        crept=np.zeros(count),
    )
    up = posed.axes[:, : layout.limbs, :, 1]
    return Stations(layout=layout, union=posed.surface, start=start, end=end, arms=donned.arms, up=up, laws=laws)


def _solve(ask: Stations, worn: Worn, runs: Runs, *, near: Followed | None, earlier: Earlier | None) -> NetState:
    """The settled net, from a similar motion where there is one."""

    def begin() -> Start:
        return fresh(worn, runs)

    if near is None or earlier is None or (earlier.like < 0).any():
        return settle(ask, begin)
    start = near.net.start.rows(earlier.like)
    if near.harness == worn.harness and _same_laws(near.ask.laws, ask.laws, earlier.same):
        return resume(ask, begin, start, earlier=near.net, known=earlier.same)
    carried = start.junction + (worn.donned.junction - near.donned.junction)
    return settle(ask, begin, replace(start, junction=carried))


def moment_arm(harness: Harness, poses: Sequence[Pose], held: Paths) -> Array:
    r"""Moment arm of the control strap about arm flexion, ring held.

    .. math:: r = \frac{dl}{d\theta}

    Parameters
    ----------
    harness : Harness
        The harness
    poses : sequence of Pose
        Poses
    held : Paths
        Taut control straps, one a pose

    Returns
    -------
    ndarray
        Moment arms [m], shape (poses,)

    Notes
    -----
    Central difference of the length, arm and skin turned a little each way. Both paths take one
    Newton step from the taut one, which leaves an error of second order in the turn.
    """
    count = len(poses)
    bodies, nodes = turned(harness.wearer, tuple(poses)), np.tile(held.nodes, (2, 1, 1))
    ends = nodes[:, 0], route.crossbar_point(bodies.posed, bodies.upper_arm, harness.crossbar)
    (led,) = tighten(bodies.posed.surface, [Draft(np.arange(2 * count), nodes, ends)], limit=1)
    more, less = led.length.reshape(2, count)
    return np.asarray((more - less) / (2.0 * TURN))
