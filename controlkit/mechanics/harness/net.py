"""Straps that meet at junctions: rings, forks and cross-points settle where straps, skin and body balance.

All stations (poses of one wearer, or of many) are solved at once. A station names the one
before it, because skin that has slipped stays slipped; so every result follows the motion
from donning, whatever the order in which anybody asked for it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from controlkit.mechanics.harness.balance import Balance, Balanced, Forces, Geometry
from controlkit.mechanics.harness.stations import Start, Stations
from controlkit.mechanics.surface.field import SQUARE, bound
from controlkit.mechanics.surface.row import path_length
from controlkit.mechanics.surface.strands import Strands
from controlkit.mechanics.surface.taut import settle

Array = NDArray[np.float64]
Index = NDArray[np.intp]

BALANCED = 3e-4  # [N] force left over on a junction that has settled
STILL = 1e-4  # [m] step of a node that has settled once it is taken,
LEFT = 5e-6  # [m] if its next step, told from this and the last, is no longer than this
FIRST = 1e-3  # [m] the last step where there has been none
PEEL = 12  # steps of a strap by itself, at most
CLOSE = 2e-5  # [m] step of a junction after which what is left is of third order
NEARLY = 5e-6  # [m] the same where the step is not quite Newton's: damped, or of a sewn cross-point's tips
CALM = 4e-3  # [m] step of a node beyond which junctions wait for their straps
PATCH = 0.03
"""Half the length over which a sewn cross-point keeps its straps straight [m]. Assumption."""


@dataclass(frozen=True, kw_only=True)
class NetState:
    """The settled net.

    Attributes
    ----------
    junction : ndarray
        Junctions [m], shape (stations, junctions, 3)
    turn : ndarray
        Turn of a sewn cross-point, as the way of its arms' tips [m], shape (stations,)
    gives : ndarray
        How far pad, socket and crossbar of each prosthesis have moved up its limb [m], shape (stations, limbs)
    nodes : tuple of ndarray
        Nodes of each run [m], shape (stations, nodes, 3)
    length : ndarray
        Lengths [m], shape (runs, stations)
    eases : ndarray
        How much shorter the path of the control strap becomes for each metre that a run sinks in, and last that the
        own pad gives, see `Balance.eases` [-], shape (runs + 1, stations)
    forces : Forces
        Tensions, what has crept and slipped, what the skin does, and the force left over
    settled : ndarray
        Whether straps and junctions have converged [-], shape (stations,)
    iterations : int
        Steps taken [-]
    """

    junction: Array
    turn: Array
    gives: Array
    nodes: tuple[Array, ...]
    length: Array
    eases: Array
    forces: Forces
    settled: NDArray[np.bool_]
    iterations: int

    @property
    def start(self) -> Start:
        """A start for a similar question."""
        return Start(junction=self.junction, turn=self.turn, gives=self.gives, nodes=self.nodes)

    @property
    def give(self) -> Array:
        """How far the own prosthesis has moved up its limb [m], shape (stations,)."""
        return self.gives[:, 0]

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

    def __init__(self, ask: Stations, start: Start, damping: float = 0.0) -> None:
        self.ask, self.start, layout = ask, start, ask.layout
        self.count, self.damping = len(start.junction), damping
        self.junction, self.turn, self.gives = start.junction, start.turn, start.gives
        # the place of the turn of a sewn cross-point, and of what each cuff gives, among the unknowns
        self.turning = 3 * len(layout.junctions)
        self.giving = self.turning + int(layout.sewn)
        self.unknowns = self.giving + layout.limbs * ask.laws.cuff.gives
        self.balance = Balance(ask.laws, damping)
        every = np.arange(self.count)
        self.back = bound(ask.union, np.tile(every, len(layout.junctions)))
        self.patch = bound(ask.union, every)
        self.free = [k for k, run in enumerate(layout.runs) if not run.laid]
        # each path runs from its far end to the junction where it starts, whose pull its factor's last block gives
        backwards = [start.nodes[k][:, ::-1] for k in self.free]
        self.strands = Strands.over(ask.union, np.tile(every, len(self.free)), backwards)
        self.segments = (self.strands.row.counts - 1.0).reshape(-1, self.count)
        self.laid = {k: path_length(start.nodes[k]) for k, run in enumerate(layout.runs) if run.laid}
        self._tie()

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
        strands = self.strands
        self._aim()
        last: Array | float = FIRST
        for _ in range(limit):
            wait = CALM + 2.0 * strands.carried
            own = strands.step()
            near = self._geometry(own)
            found = self.balance.solve(near)
            unrest = self._largest(own)
            tight = found.here.tension[self.free] > 0.0
            sure = ~strands.stiffened.reshape(-1, self.count) & (unrest < STILL)
            sure &= unrest * np.minimum(unrest / np.maximum(last, LEFT), 1.0) < LEFT
            # a slack run, which pulls nothing, may stray further
            sure |= ~tight & (unrest < 10.0 * STILL)
            step = np.where((unrest.max(axis=0) < wait)[:, None], found.shift, 0.0)
            total = strands.answer(self._following(step))
            arrived = self._arrived(found)
            if arrived and sure.all():
                strands.x = strands.x + total
                self._shift(step)
                return self._state(near, step, found.there, np.ones(self.count, dtype=bool))
            strands.move(own, total - own)
            last = self._largest(total)
            self._shift(step)
            self._pin(strands.x)
            if arrived:  # a strap that peels off the skin node by node does so by itself
                peeling = ~sure.ravel()
                strands.put(peeling, settle(strands.some(peeling), PEEL, LEFT))
        settled = sure.all(axis=0) & (found.here.residual < 1e-3)
        return self._state(near, np.zeros_like(step), found.here, settled)

    def _largest(self, shift: Array) -> Array:
        """Largest shift of a node of each free run at each station, shape (free runs, stations)."""
        return self.strands.row.largest(np.abs(shift).max(axis=0)).reshape(-1, self.count)

    def geometry(self) -> Geometry:
        """How runs lengthen as junctions move, from where the search begins.

        Returns
        -------
        Geometry
            Lengths with their rates
        """
        self._aim()
        return self._geometry(self.strands.step())

    def _aim(self) -> None:
        """Let the runs follow to where anchors and junctions are."""
        ends = self.strands.x.copy()
        self._pin(ends)
        self.strands.to(ends)

    def _arrived(self, found: Balanced) -> bool:
        """Whether the step to be taken ends the search for the junctions."""
        far = np.abs(found.shift).max()
        if self.damping > 0.0:
            return bool(far < NEARLY and found.here.residual.max() < BALANCED)
        return bool(far < (NEARLY if self.ask.layout.sewn else CLOSE) and found.there.residual.max() < BALANCED)

    def _tie(self) -> None:
        """How the ends of paths move with the unknowns: a start in space, an end in space or along the limb."""
        layout, every = self.ask.layout, np.arange(3)
        gives = self.ask.laws.cuff.gives
        self.ties = np.zeros((len(self.free), self.count, 6, self.unknowns))
        self.ways: dict[int, Array] = {}  # directions in which far ends move, in columns, by path
        for at, k in enumerate(self.free):
            run = layout.runs[k]
            here, there = layout.junction(run.start), layout.junction(run.end)
            if here >= 0:
                self.ties[at, :, every, 3 * here + every] = 1.0
            if there >= 0:
                self.ties[at, :, 3 + every, 3 * there + every] = 1.0
                self.ways[at] = np.repeat(np.eye(3)[None], self.count, axis=0)
            elif run.limb >= 0 and gives:
                self.ties[at, :, 3, self.giving + run.limb] = 1.0
                self.ways[at] = self.ask.up[:, run.limb, :, None]

    def _rows(self, at: int) -> slice:
        """Paths of one run, one a station."""
        return slice(at * self.count, (at + 1) * self.count)

    def _pin(self, x: Array) -> None:
        """Write into a row of nodes where the ends of runs are: at anchors and junctions."""
        layout, row = self.ask.layout, self.strands.row
        for at, k in enumerate(self.free):
            run, rows = layout.runs[k], self._rows(at)
            here, there = layout.junction(run.start), layout.junction(run.end)
            begin = self.junction[:, here] if here >= 0 else self.ask.start[k]
            if layout.sewn and here == 0:
                begin, self.ties[at, :, :3, self.turning] = self._lever(k)
            end = self.junction[:, there] if there >= 0 else self.ask.end[k]
            if there < 0 and at in self.ways:
                end = end + self.gives[:, run.limb, None] * self.ask.up[:, run.limb]
            x[:, row.last[rows]], x[:, row.first[rows]] = begin.T, end.T

    def _lever(self, run: int) -> tuple[Array, Array]:
        """Where a run leaves a sewn cross-point, and the rate of that place with its turn."""
        at, arm = self.junction[:, 0], self.ask.arms[run]
        _, gradient = self.patch.slope(np.ascontiguousarray(at.T))
        normal = (gradient / np.sqrt((gradient * gradient).sum(axis=0))).T
        level = arm - (normal @ arm)[:, None] * normal
        level *= (PATCH / np.sqrt((level * level).sum(axis=1)))[:, None]
        across = np.cross(normal, level)
        angle = (self.turn / PATCH)[:, None]
        turned = np.cos(angle) * level + np.sin(angle) * across
        tip = self.patch.onto(np.ascontiguousarray((at + turned).T), 1).T
        return tip, np.cross(normal, turned) / PATCH

    def _geometry(self, own: Array) -> Geometry:
        """Lengths once the straps' own step is taken, and their rates with the unknowns."""
        count, unknowns, free = self.count, self.unknowns, self.free
        strands, row = self.strands, self.strands.row
        x = strands.x + own
        lengths = row.lengths(x).reshape(-1, count)
        tight = (self.segments / lengths)[..., None, None]
        # what a path pulls on its own ends, and how that changes with them, in the coordinates of `ties`
        pull, hard = np.zeros((len(free), count, 1, 6)), np.zeros((len(free), count, 6, 6))
        pull[..., 0, :3] = _unit(x[:, row.last - 1] - x[:, row.last]).T.reshape(-1, count, 3)
        hard[..., :3, :3] = tight * (np.eye(3) - strands.by_last().reshape(-1, count, 3, 3))
        for at, ways in self.ways.items():
            rows, far = self._rows(at), slice(3, 3 + ways.shape[2])
            first, last = strands.by_first(rows, ways)
            heading = _unit(x[:, row.first[rows] + 1] - x[:, row.first[rows]]).T
            pull[at, :, :, far] = heading[:, None, :] @ ways
            hard[at, :, far, far] = tight[at] * (ways.transpose(0, 2, 1) @ (ways - first))
            hard[at, :, :3, far] = -tight[at] * last
            hard[at, :, far, :3] = hard[at, :, :3, far].transpose(0, 2, 1)
        rate = -(pull @ self.ties)[..., 0, :]
        bent = self.ties.transpose(0, 1, 3, 2) @ hard @ self.ties
        if self.ask.layout.sewn:
            bent[..., self.turning, self.turning] += self._sweep(pull[..., 0, :3], x[:, row.last])
        bent -= rate[..., :, None] * rate[..., None, :] / lengths[..., None, None]
        runs = len(self.ask.layout.runs)
        length, slope, bend = (
            np.empty((runs, count)),
            np.zeros((runs, count, unknowns)),
            np.zeros((runs, count, unknowns, unknowns)),
        )
        length[free], slope[free], bend[free] = lengths, rate, bent
        for k, whole in self.laid.items():
            length[k] = whole
        points = np.ascontiguousarray(self.junction.transpose(1, 0, 2).reshape(-1, 3).T)
        value, gradient, hessian = self.back.curvature(points)
        shape = (self.junction.shape[1], count)
        return Geometry(
            length=length,
            slope=slope,
            bend=bend,
            value=value.reshape(shape).T,
            gradient=gradient.T.reshape(*shape, 3).transpose(1, 0, 2),
            hessian=hessian[SQUARE].transpose(2, 0, 1).reshape(*shape, 3, 3).transpose(1, 0, 2, 3),
            junction=self.junction,
            gives=self.gives,
        )

    def _sweep(self, heading: Array, tips: Array) -> Array:
        """Second rate of runs' lengths with the turn of the cross-point that they leave [1/m]."""
        layout = self.ask.layout
        turned = np.array([layout.junction(layout.runs[k].start) == 0 for k in self.free])
        arm = tips.T.reshape(-1, self.count, 3) - self.junction[:, 0]
        return np.where(turned[:, None], (heading * arm).sum(axis=2) / PATCH**2, 0.0)

    def _following(self, step: Array) -> Array:
        """Shifts of the ends of paths for a step of the unknowns, nought at other nodes."""
        row, ends = self.strands.row, np.zeros_like(self.strands.x)
        moved = (self.ties @ step[None, :, :, None])[..., 0]
        ends[:, row.last] = moved[..., :3].reshape(-1, 3).T
        for at, ways in self.ways.items():
            ends[:, row.first[self._rows(at)]] = (ways @ moved[at, :, 3 : 3 + ways.shape[2], None])[..., 0].T
        return ends

    def _shift(self, step: Array) -> None:
        """Move the unknowns."""
        self.junction = self.junction + step[:, : self.turning].reshape(self.junction.shape)
        if self.ask.layout.sewn:
            self.turn = self.turn + step[:, self.turning]
        if self.ask.laws.cuff.gives:
            self.gives = self.gives + step[:, self.giving :]

    def _state(self, near: Geometry, step: Array, forces: Forces, settled: NDArray[np.bool_]) -> NetState:
        """The net as it is now, a step away from where its lengths were found."""
        balance = Balance(self.ask.laws) if self.damping > 0.0 else self.balance
        nodes = list(self.start.nodes)
        for k, part in zip(self.free, self.strands.parts(self.strands.x, [nodes[k] for k in self.free]), strict=True):
            nodes[k] = part[:, ::-1]
        return NetState(
            junction=self.junction,
            turn=self.turn,
            gives=self.gives,
            nodes=tuple(nodes),
            length=near.moved(step)[0],
            eases=balance.eases(near, step),
            forces=forces,
            settled=settled,
            iterations=self.strands.iterations,
        )


def _unit(way: Array) -> Array:
    """Directions of vectors that stand in columns."""
    return np.asarray(way / np.sqrt((way * way).sum(axis=0)))
