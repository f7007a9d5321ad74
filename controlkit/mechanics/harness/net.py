"""Straps that meet at junctions: rings, forks and cross-points settle where straps, skin and body balance.

All stations (poses of one wearer, or of many) are solved at once. A station names the one
before it, because skin that has slipped stays slipped; so every result follows the motion
from donning, whatever the order in which anybody asked for it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.balance import Balance, Forces, Geometry, Laws
from controlkit.mechanics.harness.layout import Layout
from controlkit.mechanics.surface.field import Field
from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.taut import PathSolver, path_length

Array = NDArray[np.float64]
Index = NDArray[np.intp]

BALANCED = 3e-4  # [N] force left over on a junction that has settled
CALM = 5e-5  # [m] step of a node that has settled once it is taken: what is left is its square
CLOSE = 5e-6  # [m] step that a junction need not take any more
PATCH = 0.03
"""Half the length over which a sewn cross-point keeps its straps straight [m]. Assumption."""


@dataclass(frozen=True, kw_only=True)
class Stations:
    """What the net is asked: bodies in poses, anchors, laws, and the order of the motion.

    Attributes
    ----------
    layout : Layout
        The pattern
    union : Union
        Surfaces, one a station
    start, end : ndarray
        Ends of the runs that are anchored [m], shape (runs, stations, 3); not used where a junction is
    arms : ndarray
        From the middle of a sewn cross-point to where each run leaves it, as sewn [m], shape (runs, 3)
    up : ndarray
        Up along the limb, which way the prosthesis gives [-], shape (stations, 3)
    laws : Laws
        Webbing, device, skin, cuff and the order of the motion
    """

    layout: Layout
    union: Union
    start: Array
    end: Array
    arms: Array
    up: Array
    laws: Laws

    def rows(self, which: Index, donned: Array, crept: Array) -> Stations:
        """Some stations by themselves, each starting from its own past.

        Parameters
        ----------
        which : ndarray
            Stations [-], shape (picked,)
        donned : ndarray
            Where the skin would let each ring rest before [m], shape (picked, 3)
        crept : ndarray
            Webbing that had crept before [m], shape (picked,)

        Returns
        -------
        Stations
            Those stations
        """
        return Stations(
            layout=self.layout,
            union=self.union.rows(which),
            start=self.start[:, which],
            end=self.end[:, which],
            arms=self.arms,
            up=self.up[which],
            laws=self.laws.rows(which, donned, crept),
        )


@dataclass(frozen=True, kw_only=True)
class NetState:
    """The settled net.

    Attributes
    ----------
    junction : ndarray
        Junctions [m], shape (stations, junctions, 3)
    turn : ndarray
        Turn of a sewn cross-point, as the way of its arms' tips [m], shape (stations,)
    give : ndarray
        How far pad, socket and crossbar have moved up the limb [m], shape (stations,)
    nodes : tuple of ndarray
        Nodes of each run [m], shape (stations, nodes, 3)
    length : ndarray
        Lengths [m], shape (runs, stations)
    forces : Forces
        Tensions, what has crept and slipped, what the skin does, and the force left over
    settled : ndarray
        Whether straps and junctions have converged [-], shape (stations,)
    iterations : int
        Steps taken [-]
    """

    junction: Array
    turn: Array
    give: Array
    nodes: tuple[Array, ...]
    length: Array
    forces: Forces
    settled: NDArray[np.bool_]
    iterations: int

    @property
    def ring(self) -> Array:
        """The first junction [m], shape (stations, 3)."""
        return self.junction[:, 0]

    @property
    def tension(self) -> Array:
        """Tensions [N], shape (runs, stations)."""
        return self.forces.tension

    @property
    def residual(self) -> Array:
        """Force left over on the junctions [N], shape (stations,)."""
        return self.forces.residual


class Solver:
    """One run of the solver: straps and junctions take Newton steps together until both are calm."""

    def __init__(
        self,
        ask: Stations,
        *,
        junction: Array,
        turn: Array,
        nodes: tuple[Array, ...],
        give: Array | None = None,
        damping: float = 0.0,
    ) -> None:
        self.ask, layout = ask, ask.layout
        self.count = len(junction)
        self.junction, self.turn = junction.copy(), turn.copy()
        self.give = np.zeros(self.count) if give is None else give.copy()
        self.starts = [layout.junction(run.start) for run in layout.runs]
        self.ends = [layout.junction(run.end) for run in layout.runs]
        # the place of the turn of a sewn cross-point, and of the give of the cuff, among the unknowns
        self.turning = 3 * len(layout.junctions)
        self.giving = self.turning + int(layout.sewn)
        self.unknowns = self.giving + int(ask.laws.cuff.gives)
        self.slides = [run.on_prosthesis and ask.laws.cuff.gives for run in layout.runs]
        self.moves = [end >= 0 or slides for end, slides in zip(self.ends, self.slides, strict=True)]
        self.balance = Balance(ask.laws, damping)
        self.back = Field(ask.union, np.tile(np.arange(self.count), len(layout.junctions)))
        self.patch = Field(ask.union, np.arange(self.count))
        # runs of the same number of nodes make one chain, those whose far end moves standing last
        kinds = dict.fromkeys(run.nodes for run in layout.runs)
        self.groups = [
            sorted((k for k, run in enumerate(layout.runs) if run.nodes == n), key=lambda k: self.moves[k])
            for n in kinds
        ]
        self.chains = [
            PathSolver.over(
                ask.union, np.tile(np.arange(self.count), len(group)), np.concatenate([nodes[k] for k in group])
            )
            for group in self.groups
        ]

    def run(self, limit: int) -> NetState:
        """Let straps and junctions settle.

        Parameters
        ----------
        limit : int
            Most iterations [-]

        Returns
        -------
        NetState
            The net as it is then
        """
        self._pin()
        for _ in range(limit):
            geometry, shifts = self._geometry()
            balanced = self.balance.solve(geometry)
            step, self.forces = balanced.shift, balanced.here
            self.length = geometry.length
            still = self.forces.residual.max() < BALANCED and np.abs(step).max() < CLOSE
            if still and (self._largest_steps() < CALM).all():
                break
            calm = self.unrest.max(axis=0) < 0.004
            self._move(shifts, np.where(calm[:, None], step, 0.0))
        return self._state()

    def _largest_steps(self) -> Array:
        """Largest step of a node at each station; a slack run, which pulls nothing, may stray ten times as far."""
        return np.asarray(np.where(self.forces.tension > 0.0, self.unrest, 0.1 * self.unrest).max(axis=0))

    def _lever(self, run: int) -> tuple[Array, Array]:
        """Where a run leaves its first junction, and the rate of that place with a turn of the cross-point."""
        at = self.junction[:, self.starts[run]]
        if not self.ask.layout.sewn or self.starts[run] != 0:
            return at, np.zeros_like(at)
        arm = self.ask.arms[run]
        _, gradient = self.patch.slope(np.ascontiguousarray(at.T))
        normal = (gradient / np.sqrt((gradient * gradient).sum(axis=0))).T
        level = arm - (normal @ arm)[:, None] * normal
        level *= (PATCH / np.sqrt((level * level).sum(axis=1)))[:, None]
        across = np.cross(normal, level)
        angle = (self.turn / PATCH)[:, None]
        turned = np.cos(angle) * level + np.sin(angle) * across
        tip = self.patch.onto(np.ascontiguousarray((at + turned).T), 1).T
        return tip, np.cross(normal, turned) / PATCH

    def _pin(self) -> None:
        """Ends of the runs to where anchors and junctions are."""
        self.rates: dict[int, Array] = {}
        for group, chain in zip(self.groups, self.chains, strict=True):
            shaped = chain.x.reshape(len(group), self.count, chain.count, 3)
            for row, k in enumerate(group):
                if self.starts[k] >= 0:
                    shaped[row, :, 0], self.rates[k] = self._lever(k)
                else:
                    shaped[row, :, 0] = self.ask.start[k]
                shaped[row, :, -1] = self.junction[:, self.ends[k]] if self.ends[k] >= 0 else self.ask.end[k]
                if self.slides[k]:
                    shaped[row, :, -1] += self.give[:, None] * self.ask.up

    def _geometry(self) -> tuple[Geometry, list[tuple[Array, Array, Array]]]:
        """Lengths and their rates with the junctions, and the straps' own steps."""
        runs, count, unknowns = len(self.starts), self.count, self.unknowns
        length = np.empty((runs, count))
        slope, bend = np.zeros((runs, count, unknowns)), np.zeros((runs, count, unknowns, unknowns))
        self.unrest, self.taken = np.zeros((runs, count)), list[Array]()
        steps = []
        for group, chain in zip(self.groups, self.chains, strict=True):
            moving = sum(self.moves[k] for k in group)
            own = slice((len(group) - moving) * count, len(group) * count)
            shift, by_start, by_end = chain.step(start=True, end=own)
            for row, k in enumerate(group):
                if self.ask.layout.runs[k].laid:
                    shift[row * count : (row + 1) * count] = 0.0
            steps.append((shift, by_start, by_end))
            taken = chain.x.copy()  # as the straps lie once their own step is taken
            taken[:, 1:-1] += shift
            self.taken.append(taken)
            each = path_length(taken).reshape(len(group), count)
            self.unrest[group] = np.abs(shift).max(axis=(1, 2)).reshape(len(group), count)
            for row, k in enumerate(group):
                here, there = self.starts[k], self.ends[k]
                length[k] = each[row]
                some = slice(row * count, (row + 1) * count)
                x = taken[some]
                first = x[:, 1] - x[:, 0]
                first /= np.sqrt((first * first).sum(axis=1, keepdims=True))
                parts, tight = [], chain.scale / each[row][:, None, None]
                if here >= 0:
                    turn = self.rates[k] if here == 0 and self.ask.layout.sewn else None
                    parts.append((here, turn, first, tight * (np.eye(3) - by_start[some, 0])))
                if self.moves[k]:
                    last = x[:, -2] - x[:, -1]
                    last /= np.sqrt((last * last).sum(axis=1, keepdims=True))
                    ended = slice(some.start - own.start, some.stop - own.start)
                if self.slides[k]:
                    self._slid(k, slope[k], bend[k], last=last, tight=tight, by_end=by_end[ended])
                if there >= 0:
                    parts.append((there, None, last, tight * (np.eye(3) - by_end[ended, -1])))
                    if here >= 0:
                        self._couple(bend[k], here, there, -tight * by_end[ended, 0])
                for junction, turn, heading, hard in parts:
                    at = slice(3 * junction, 3 * junction + 3)
                    slope[k, :, at] -= heading
                    bend[k, :, at, at] += hard
                    if turn is not None:
                        own_ = self.turning
                        slope[k, :, own_] -= (heading * turn).sum(axis=1)
                        edge = np.matmul(hard, turn[..., None])[..., 0]
                        bend[k, :, at, own_] += edge
                        bend[k, :, own_, at] += edge
                        bend[k, :, own_, own_] += (edge * turn).sum(axis=1) + (heading * self._sweep(k)).sum(axis=1)
                bend[k] -= slope[k][:, :, None] * slope[k][:, None, :] / each[row][:, None, None]
        points = np.ascontiguousarray(self.junction.transpose(1, 0, 2).reshape(-1, 3).T)
        value, gradient, hessian = self.back.curvature(points)
        shape = (self.junction.shape[1], count)
        return (
            Geometry(
                length=length,
                slope=slope,
                bend=bend,
                value=value.reshape(shape).T,
                gradient=gradient.T.reshape(*shape, 3).transpose(1, 0, 2),
                hessian=hessian.transpose(2, 0, 1).reshape(*shape, 3, 3).transpose(1, 0, 2, 3),
                junction=self.junction,
                give=self.give,
            ),
            steps,
        )

    def _slid(self, run: int, slope: Array, bend: Array, *, last: Array, tight: Array, by_end: Array) -> None:
        """Add how a run lengthens as the prosthesis, on which it ends, moves up the limb."""
        up, at = self.ask.up, self.giving
        slope[:, at] -= (last * up).sum(axis=1)
        hard = np.matmul(tight * (np.eye(3) - by_end[:, -1]), up[..., None])[..., 0]
        bend[:, at, at] += (hard * up).sum(axis=1)
        if self.starts[run] >= 0:
            here = slice(3 * self.starts[run], 3 * self.starts[run] + 3)
            edge = np.matmul(-tight * by_end[:, 0], up[..., None])[..., 0]
            bend[:, here, at] += edge
            bend[:, at, here] += edge

    @staticmethod
    def _couple(bend: Array, here: int, there: int, block: Array) -> None:
        """Add how two junctions at the ends of one run change its length together."""
        a, b = slice(3 * here, 3 * here + 3), slice(3 * there, 3 * there + 3)
        bend[:, a, b] += block
        bend[:, b, a] += block.transpose(0, 2, 1)

    def _sweep(self, run: int) -> Array:
        """Second rate of a cross-point's tip with its turn, towards the middle [1/m]."""
        tip, _ = self._lever(run)
        return np.asarray((tip - self.junction[:, 0]) / PATCH**2)

    def _move(self, shifts: list[tuple[Array, Array, Array]], step: Array) -> None:
        """Apply the straps' own steps and the junctions' shift."""
        count = self.count
        for group, chain, (shift, by_start, by_end) in zip(self.groups, self.chains, shifts, strict=True):
            fixed = len(group) * count - len(by_end)
            start = np.zeros((len(group), count, 3))
            end = np.zeros((len(by_end) // count, count, 3))
            for row, k in enumerate(group):
                here, there = self.starts[k], self.ends[k]
                if here >= 0:
                    start[row] = step[:, 3 * here : 3 * here + 3]
                    if here == 0 and self.ask.layout.sewn:
                        start[row] += step[:, self.turning, None] * self.rates[k]
                if self.slides[k]:
                    end[row - fixed // count] = step[:, self.giving, None] * self.ask.up
                if there >= 0:
                    end[row - fixed // count] = step[:, 3 * there : 3 * there + 3]
            total = shift + np.matmul(by_start, start.reshape(-1, 1, 3, 1))[..., 0]
            if len(by_end):
                total[fixed:] += np.matmul(by_end, end.reshape(-1, 1, 3, 1))[..., 0]
            chain.move(total)
        self.junction = self.junction + step[:, : 3 * self.junction.shape[1]].reshape(self.junction.shape)
        if self.ask.layout.sewn:
            self.turn = self.turn + step[:, self.turning]
        if self.ask.laws.cuff.gives:
            self.give = self.give + step[:, self.giving]
        self._pin()

    def _state(self) -> NetState:
        """The net as it is now, each run as it lies once its own step is taken."""
        nodes: list[Array] = [np.empty(0)] * len(self.starts)
        for group, taken in zip(self.groups, self.taken, strict=True):
            for row, k in enumerate(group):
                nodes[k] = taken[row * self.count : (row + 1) * self.count]
        settled = (self.forces.residual < 1e-3) & (self._largest_steps() < 2.0 * CALM)
        iterations = max(chain.iterations for chain in self.chains)
        return NetState(
            junction=self.junction.copy(),
            turn=self.turn.copy(),
            give=self.give.copy(),
            nodes=tuple(nodes),
            length=self.length,
            forces=self.forces,
            settled=settled,
            iterations=iterations,
        )


def eases(ask: Stations, state: NetState) -> Array:
    """How much shorter the path of the control strap becomes as runs sink in or the pad gives, see `Balance.eases`.

    Parameters
    ----------
    ask : Stations
        What was asked
    state : NetState
        The settled net

    Returns
    -------
    ndarray
        For each metre of a run, and last of the pad [-], shape (runs + 1, stations)
    """
    solver = Solver(ask, junction=state.junction, turn=state.turn, nodes=state.nodes, give=state.give)
    solver._pin()
    return solver.balance.eases(solver._geometry()[0])


def turning(nodes: Array, reach: float | None = None) -> Array:
    """How far runs turn in all, or over a first stretch of them.

    Parameters
    ----------
    nodes : ndarray
        Runs [m], shape (runs, nodes, 3)
    reach : float, optional
        Length of the stretch from the first node [m]

    Returns
    -------
    ndarray
        Sum of the turns, without sign [rad], shape (runs,)

    Examples
    --------
    >>> float(turning(np.array([[[0.0, 0, 0], [1, 0, 0], [1, 1, 0]]]))[0].round(4))
    1.5708
    """
    way = np.diff(nodes, axis=1)
    chord = np.sqrt((way * way).sum(axis=2, keepdims=True))
    way = way / np.maximum(chord, 1e-12)
    turn = np.arccos(np.clip((way[:, 1:] * way[:, :-1]).sum(axis=2), -1.0, 1.0))
    if reach is not None:
        turn = turn * np.clip(reach / chord[:, :-1, 0] - np.arange(turn.shape[1]) - 0.5, 0.0, 1.0)
    return np.asarray(turn.sum(axis=1))


def sinking(nodes: Array) -> Array:
    r"""How much a run presses on flesh along its way, for each newton of its tension, weighed with what it shortens.

    .. math:: \int \kappa^2\,ds

    Parameters
    ----------
    nodes : ndarray
        Runs [m], shape (runs, nodes, 3)

    Returns
    -------
    ndarray
        Squared curvature added up along each run [1/m], shape (runs,)

    Examples
    --------
    Half a circle of radius 0.1 m turns by pi:

    >>> at = np.linspace(0.0, np.pi, 200)
    >>> half = 0.1 * np.stack([np.cos(at), np.sin(at), 0.0 * at], axis=1)
    >>> float(sinking(half[None])[0].round(1))
    31.3
    """
    way = np.diff(nodes, axis=1)
    chord = np.sqrt((way * way).sum(axis=2))
    heading = way / np.maximum(chord, 1e-12)[..., None]
    turn = np.sqrt((np.diff(heading, axis=1) ** 2).sum(axis=2))
    return np.asarray((turn * turn / (0.5 * (chord[:, 1:] + chord[:, :-1]))).sum(axis=1))
