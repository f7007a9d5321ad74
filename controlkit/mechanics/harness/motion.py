"""Donning a harness and following a motion from there, by one fixed rule.

Rule: the harness is put on with the arm hanging; the wearer takes up the posture (everything
but arm flexion) in one step, then flexes or extends the arm in steps of 15 degrees, and stops at
the angle asked for. The same question therefore has the same answer, however it was reached.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, fields, replace
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.body.placed import place
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.body.wearer import Wearer
from controlkit.mechanics.harness import route
from controlkit.mechanics.harness.balance import Laws
from controlkit.mechanics.harness.donning import REST, Donned, anchored, don, legs_at, pin
from controlkit.mechanics.harness.flesh import NONE, Flesh
from controlkit.mechanics.harness.laws import TOE, ControlLaw, Law, Webbing
from controlkit.mechanics.harness.layout import CONTROL, CONTROL_STRAP, OVER, UNDER
from controlkit.mechanics.harness.net import NetState, Stations, eases, sinking, turning
from controlkit.mechanics.harness.pattern import Harness
from controlkit.mechanics.harness.route import Bodies, Span
from controlkit.mechanics.harness.settle import resume, settle
from controlkit.mechanics.harness.turned import TURN, turned
from controlkit.mechanics.surface.field import Field
from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.taut import Paths, PathSolver, path_length, tighten

Array = NDArray[np.float64]
Index = NDArray[np.intp]

STEP = float(np.deg2rad(15.0))
"""Step in which arm flexion is followed [rad]."""
REST_TOE = 0.1 * TOE
"""Stretch over which the rest of a strap that a junction divides takes up its load: the strap takes it up once [m]."""
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
    runs : tuple of ndarray
        Every run with the junctions where they were donned [m], shape (stations, nodes, 3)
    law : ControlLaw
        Law of the control strap at every station
    """

    harness: Harness
    poses: tuple[Pose, ...]
    asked: tuple[int, ...]
    donned: Donned
    ask: Stations = field(repr=False, compare=False)
    net: NetState
    held: Paths
    runs: tuple[Array, ...]
    law: ControlLaw

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
        sunk = self.ask.laws.webbing.sunk(length) * self._eased[:-1]
        sunk[CONTROL] = 0.0
        own = self.law.sunk(self.net.tension[CONTROL])
        return np.stack([own, sunk.sum(axis=0)])

    @cached_property
    def pad(self) -> Array:
        """Excursion that the pad takes by giving along the limb, to first order [m], shape (stations,)."""
        return np.asarray(self.net.give * self._eased[-1])

    @cached_property
    def _eased(self) -> Array:
        return eases(self.ask, self.net)

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
        row = slice(at, at + 1)
        held = Paths(self.held.nodes[row], self.held.press[row], self.held.settled[row], 0)
        return float(moment_arm(self.harness, self.poses[row], held)[0])


def itinerary(poses: Sequence[Pose]) -> tuple[tuple[Pose, ...], Index, tuple[int, ...]]:
    """Stations of the fixed rule for the poses asked for.

    Parameters
    ----------
    poses : sequence of Pose
        Poses asked for

    Returns
    -------
    stations : tuple of Pose
        Every pose on the way, the first is donning
    before : ndarray
        Station before each, -1 for the first [-], shape (stations,)
    asked : tuple of int
        Station of each pose asked for

    Examples
    --------
    >>> stations, before, asked = itinerary([Pose(arm_flexion=0.3), Pose(arm_flexion=0.1)])
    >>> len(stations), before.tolist(), asked
    (4, [-1, 0, 1, 0], (2, 3))
    """
    stations: list[Pose] = [REST]
    before: list[int] = [-1]
    index: dict[Pose, int] = {REST: 0}

    def add(pose: Pose, after: int) -> int:
        if pose not in index:
            index[pose] = len(stations)
            stations.append(pose)
            before.append(after)
        return index[pose]

    asked = []
    for pose in poses:
        place_ = add(replace(pose, arm_flexion=0.0), 0)
        sign = 1.0 if pose.arm_flexion >= 0.0 else -1.0
        k = 1
        while k * STEP < abs(pose.arm_flexion) - 1e-9:
            place_ = add(replace(pose, arm_flexion=sign * k * STEP), place_)
            k += 1
        if abs(pose.arm_flexion) > 0.0:
            on_grid = abs(abs(pose.arm_flexion) - k * STEP) < 1e-9
            place_ = add(replace(pose, arm_flexion=sign * k * STEP) if on_grid else pose, place_)
        asked.append(place_)
    return tuple(stations), np.array(before, dtype=np.intp), tuple(asked)


def follow(
    harness: Harness,
    poses: Sequence[Pose],
    law: Law,
    near: Followed | None = None,
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

    Returns
    -------
    Followed
        The settled motion

    Notes
    -----
    A step costs O(stations x runs x nodes), see `settle`. Stations are the poses asked for and, on the way to each from
    donning, one every 15 degrees of arm flexion.

    Examples
    --------
    >>> from controlkit.mechanics import SingleControl, figure_of_eight
    >>> harness = figure_of_eight(Wearer.average("male"))
    >>> found = follow(harness, [Pose(arm_flexion=1.0)], SingleControl(harness).law)
    >>> bool(found.net.settled.all()), len(found.poses), found.asked
    (True, 5, (4,))
    """
    layout = harness.layout
    stations, before, asked = itinerary(poses)
    count = len(stations)
    bodies = _bodies(harness.wearer, stations)
    surface = bodies.posed.surface
    there = near is not None and _same_place(near.harness, harness)
    if near is not None and not ((there or _close(near.harness, harness)) and _as_far(near.poses, stations)):
        near = None  # a long way from there to here could leave a strap on the wrong side of something
    donned = near.donned if near is not None and there else don(harness, None if near is None else near.donned)
    index = {pose: k for k, pose in enumerate(near.poses)} if near is not None and there else {}
    known = np.array([index.get(pose, -1) for pose in stations])
    ring = np.repeat(donned.junction[:1], count, axis=0)
    places = {"ring": ring, **anchored(harness, bodies, ring)}
    legs = legs_at(harness, bodies=bodies, poses=stations, donned=donned, places=places)
    places[layout.runs[OVER].end] = legs[0][:, -1]
    runs, held = _held(harness, stations, places, donned=donned, near=near, known=known)
    runs = (*legs, *runs)
    webbing = _webbing(harness, donned, count)
    give, snug = 1.0 / float(webbing.stiffness[CONTROL, 0]), donned.length[CONTROL] + harness.control_strap
    flesh = webbing.flesh.pick((CONTROL,))
    control_law = ControlLaw.of([law(pose, give) for pose in stations], np.full(count, snug), flesh)
    start, end = (np.stack([places[getattr(run, side)] for run in layout.runs]) for side in ("start", "end"))
    ask = Stations(
        layout=layout,
        union=surface,
        start=start,
        end=end,
        arms=donned.arms,
        up=bodies.posed.axes[:, 0, :, 1],
        laws=Laws(
            before=before,
            webbing=webbing,
            control=control_law,
            skin=harness.skin,
            cuff=harness.cuff,
            kept=bodies.posed.slip > 0.0,
            donned=places["ring"],
            friction=_ring_friction(harness, surface, donned=donned, held=held, law=control_law),
            ratio=_loop_ratio(harness, runs),
            crept=np.zeros(count),
        ),
    )
    if near is not None and near.harness == harness and _same_law(near.law, control_law, known):
        net = resume(ask, near.net, known, runs)
    else:
        junction = np.stack([places[name] for name in layout.junctions], axis=1)
        net = settle(ask, junction, runs)
    return Followed(
        harness=harness,
        poses=stations,
        asked=asked,
        donned=donned,
        ask=ask,
        net=net,
        held=held,
        runs=runs,
        law=control_law,
    )


@lru_cache(maxsize=32)
def _bodies(wearer: Wearer, poses: tuple[Pose, ...]) -> Bodies:
    """One wearer in many poses, kept for the next question: straps move more often than bodies."""
    who = np.zeros(len(poses), dtype=np.intp)
    return Bodies(built(wearer), who, place(built(wearer), who, poses))


def _close(one: Harness, other: Harness) -> bool:
    """Whether one harness lies so near the other that straps find their way from there."""
    same = one.wearer == other.wearer and one.layout == other.layout
    return same and all(
        abs(getattr(one, name) - getattr(other, name)) <= NEAR for name in ("ring_below_c7", "ring_to_sound_side")
    )


def _as_far(known: Sequence[Pose], asked: Sequence[Pose]) -> bool:
    """Whether a motion was followed so far that no pose asked for lies more than a step of arm flexion from it."""
    reached = np.array([pose.arm_flexion for pose in known])
    return all(np.abs(reached - pose.arm_flexion).min() <= STEP + 1e-9 for pose in asked)


def _same_place(one: Harness, other: Harness) -> bool:
    """Whether two harnesses lie alike before any strap is let out."""
    snug, like = (replace(h, control_strap=0.0, axilla_loop=0.0, support_strap=0.0) for h in (one, other))
    return replace(snug, skin=like.skin, straps=like.straps, cuff=like.cuff) == like


def _same_law(one: ControlLaw, other: ControlLaw, known: Index) -> bool:
    """Whether the stations known already obey the same laws."""
    mine = np.flatnonzero(known >= 0)
    pairs = ((getattr(one, f.name)[known[mine]], getattr(other, f.name)[mine]) for f in fields(ControlLaw)[:-1])
    return all(np.array_equal(a, b) for a, b in pairs)


def _nearest(pose: Pose, others: Sequence[Pose]) -> int:
    """Which of some poses is most like another."""
    gaps = [sum(abs(getattr(pose, f.name) - getattr(o, f.name)) for f in fields(Pose)) for o in others]
    return int(np.argmin(gaps))


def _held(
    harness: Harness,
    poses: Sequence[Pose],
    places: dict[str, Array],
    *,
    donned: Donned,
    near: Followed | None,
    known: Index,
) -> tuple[tuple[Array, ...], Paths]:
    """Every run but the legs on the sound side with the junctions held, and the control strap among them."""
    layout, count, new = harness.layout, len(poses), np.flatnonzero(known < 0)
    nodes = [np.empty((count, run.nodes, 3)) for run in layout.runs[2:]]
    press, settled = np.zeros((count, layout.runs[CONTROL].nodes)), np.ones(count, dtype=bool)
    read = [k for k, _ in layout.chain(CONTROL_STRAP)]  # a junction may divide the control strap
    turned = layout.of(layout.runs[OVER].strap)  # and the loop, whose turns round the body are read too
    if near is not None and (known >= 0).any():
        mine, theirs = np.flatnonzero(known >= 0), known[known >= 0]
        for k, each in enumerate(nodes, 2):
            each[mine] = near.runs[k][theirs]
        press[mine], settled[mine] = near.held.press[theirs][:, -press.shape[1] :], near.held.settled[theirs]
    if new.size:
        some = [poses[int(k)] for k in new]
        bodies = _bodies(harness.wearer, tuple(some))
        like = [] if near is None else [_nearest(pose, near.poses) for pose in some]
        for count_ in dict.fromkeys(run.nodes for run in layout.runs[2:]):
            group = [k for k, run in enumerate(layout.runs) if k > 1 and run.nodes == count_]
            rough = {}
            for k in group:
                run = layout.runs[k]
                first, last = places[run.start][new] + donned.arms[k], places[run.end][new]
                if near is None:
                    rough[k] = harness.pattern.rough(Span(run=run, bodies=bodies, start=first, end=last))
                else:
                    nodes[k - 2][new] = rough[k] = pin(near.runs[k][like], first, last)
            if near is not None:  # these lie well enough for the net to start from; only what is read must be taut
                rough = {k: run for k, run in rough.items() if k in read or k in turned}
            if not rough:
                continue
            which = np.tile(np.arange(new.size), len(rough))
            taut = tighten(bodies.posed.surface, which, np.concatenate([*rough.values()]))
            for row, k in enumerate(rough):
                rows = slice(row * new.size, (row + 1) * new.size)
                nodes[k - 2][new] = taut.nodes[rows]
                if k in read:
                    settled[new] &= taut.settled[rows]
                if k == CONTROL:
                    press[new] = taut.press[rows]
    before = [nodes[k - 2][:, :-1] for k in read[:-1]]
    press = np.concatenate([np.zeros(part.shape[:2]) for part in before] + [press], axis=1)
    return tuple(nodes), Paths(np.concatenate([*before, nodes[CONTROL - 2]], axis=1), press, settled, 0)


def _ring_friction(harness: Harness, surface: Union, *, donned: Donned, held: Paths, law: ControlLaw) -> Array:
    """Friction limit of the ring: what the control strap would press on the back, were the ring held."""
    skin, count = harness.skin, len(held.nodes)
    divided = sum(donned.length[k] for k, _ in harness.layout.chain(CONTROL_STRAP) if k != CONTROL)
    tension = law.pull(held.length - divided)[0]
    first = held.nodes[:, 1] - held.nodes[:, 0]
    heading = first / np.linalg.norm(first, axis=1, keepdims=True)
    _, gradient = Field(surface, np.arange(count)).slope(np.ascontiguousarray(held.nodes[:, 0].T))
    inward = np.maximum(-(heading.T * gradient).sum(axis=0), 0.0)
    return np.asarray(skin.friction * (skin.floor + tension * (inward + turning(held.nodes, skin.reach))))


def _loop_ratio(harness: Harness, runs: tuple[Array, ...]) -> Array:
    """Largest ratio of the tensions of the legs on the sound side, from how far they turn round the body."""
    over, under = runs[OVER], runs[UNDER]
    rest = sum(turning(runs[k]) for k in harness.layout.of(harness.layout.runs[OVER].strap) if k not in (OVER, UNDER))
    last, first = over[:, -1] - over[:, -2], under[:, -2] - under[:, -1]
    joint = np.stack([np.zeros_like(last), last, last + first], axis=1)
    return np.asarray(np.exp(harness.skin.loop_friction * (turning(over) + turning(under) + turning(joint) + rest)))


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
    bodies = turned(harness.wearer, tuple(poses))
    solver = PathSolver.over(bodies.posed.surface, np.arange(2 * count), np.tile(held.nodes, (2, 1, 1)))
    solver.x[:, -1] = route.crossbar_point(bodies.posed, bodies.upper_arm, harness.crossbar)
    solver.move(solver.step()[0])
    more, less = path_length(solver.x).reshape(2, count)
    return np.asarray((more - less) / (2.0 * TURN))


def _webbing(harness: Harness, donned: Donned, count: int) -> Webbing:
    """Every run as webbing, let out or taken in at its buckle."""
    layout, straps = harness.layout, harness.straps
    length = donned.length
    free = length.copy()
    pair = [OVER, UNDER]
    free[pair] += harness.axilla_loop * length[pair] / length[pair].sum()
    for k, run in enumerate(layout.runs):
        if run.buckle:
            free[k] += harness.choice(run.buckle)
    narrow = np.array([straps.narrow / straps.width if run.narrow else 1.0 for run in layout.runs])
    elastic = np.array([run.elastic and straps.elastic_reach > 0.0 for run in layout.runs])
    whole = (layout.runs[OVER].strap, CONTROL_STRAP)
    rest = np.array([k not in (OVER, UNDER, CONTROL) and run.strap in whole for k, run in enumerate(layout.runs)])
    stiffness = straps.webbing * narrow / length

    def everywhere(part: Array) -> Array:
        return np.repeat(part[:, None], count, axis=1)

    return Webbing(
        free=everywhere(free),
        stiffness=everywhere(stiffness),
        soft=everywhere(elastic * straps.elastic),
        reach=everywhere(elastic * straps.elastic_reach),
        toe=everywhere(np.where(rest, REST_TOE, TOE)),
        flesh=_flesh(harness, donned, everywhere),
    )


def _flesh(harness: Harness, donned: Donned, everywhere: Callable[[Array], Array]) -> Flesh:
    """What each run sinks into: an even arc that turns as far, and presses as hard, stands for it."""
    skin, straps = harness.skin, harness.straps
    if not skin.flesh:
        return NONE
    wide = np.array([straps.narrow if run.narrow else straps.width for run in harness.layout.runs]) + skin.flesh
    turn = np.array([float(turning(run)[0]) for run in donned.nodes])
    pressing = np.array([float(sinking(run)[0]) for run in donned.nodes])
    return Flesh(
        most=everywhere(turn * skin.flesh),
        press=everywhere(pressing / (np.maximum(turn, 1e-9) * wide)),
        modulus=skin.flesh_modulus,
        stiffening=skin.flesh_stiffening,
    )
