"""The figure-of-eight as one constrained minimum, for a solver that knows nothing of straps.

Where nothing slips, straps, device, skin and back have a potential. Its variables are all nodes of all runs, the
ring, and the webbing that has crept round the shoulder; nodes and ring stay outside the body. The nodes' spacing is
even where the sum of squared chords is least, so a run's length is

    L = sqrt(N sum |dx|^2) + d,

with d for the arcs that chords cut, taken from the net under test: a constant that bends no path.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.interpolate import CubicHermiteSpline
from scipy.optimize import OptimizeResult, minimize

from controlkit.mechanics import Harness, Pose, SingleControl, Skin, Wearer, figure_of_eight
from controlkit.mechanics.body.remembered import built, stand
from controlkit.mechanics.harness import RIGID
from controlkit.mechanics.harness.layout import CONTROL, OVER, UNDER, Layout
from controlkit.mechanics.harness.motion import Followed
from controlkit.mechanics.harness.route import Bodies, Span
from controlkit.mechanics.harness.worn_laws import webbing_of
from controlkit.mechanics.surface import Field
from controlkit.mechanics.surface.row import path_length
from controlkit.units import mm
from tests.benchmarks.clock import clocked

STICKY = Skin(friction=10.0, loop_friction=0.0)
"""Skin that gives and never lets slip, round a shoulder without friction: it has a potential too."""
LOOSEST, LEAST = 1e-7, 1e-12
"""Tolerance with which the ring is just found to 0.001 mm, and a fine one [J]."""


def system_of(nodes: int, skin: Skin = STICKY, control_strap: float = 0.0) -> SingleControl:
    """An average man in a figure-of-eight of three straps and a ring, so many nodes a run."""
    wearer = Wearer.average("male")
    harness = figure_of_eight(
        wearer, ring_below_c7=mm(80), control_strap=control_strap, skin=skin, fork=False, cuff=RIGID
    )
    return SingleControl(with_nodes(harness, nodes))


def with_nodes(harness: Harness, nodes: int) -> Harness:
    """The same harness, every run with so many nodes."""
    own = replace(harness)
    runs = tuple(replace(run, nodes=nodes) for run in own.layout.runs)
    vars(own)["layout"] = Layout(runs, own.layout.junctions, own.layout.sewn)
    return own


@dataclass
class OneMinimum:
    """One pose of a followed motion as a problem for `scipy.optimize.minimize`."""

    found: Followed
    at: int

    def __post_init__(self) -> None:
        found, at = self.found, self.at
        self.pose: Pose = found.poses[at]
        self.start_runs = np.stack([run[at] for run in found.net.nodes])
        for k in (OVER, UNDER):
            self.start_runs[k] = found.runs[k].nodes[at]
        self.start_runs[:, 0] = self.start_runs[OVER, 0]  # the ring where it was donned
        self.runs, self.count = self.start_runs.shape[:2]
        self.inner, self.links = self.count - 2, self.count - 1
        self.ends = self.start_runs[:, -1]
        solved = np.stack([run[at] for run in found.net.nodes])
        self.cut = path_length(solved) - self._measure(solved)[0]
        webbing = webbing_of(found.harness, found.donned, 1)
        self.energy = []
        for k in range(self.runs):
            free = float(webbing.free[k, 0]) if k != CONTROL else float(found.law.free[at])
            lengths = free + np.linspace(-0.06, 0.12, 18_001)
            law = found.law.pick(np.array([at])) if k == CONTROL else webbing.pick(np.zeros(1, dtype=int), k)
            ends, middles = law.pull(lengths)[0], law.pull(0.5 * (lengths[1:] + lengths[:-1]))[0]
            parts = np.diff(lengths) * (ends[1:] + ends[:-1] + 4.0 * middles) / 6.0
            self.energy.append(CubicHermiteSpline(lengths, np.concatenate([[0.0], np.cumsum(parts)]), ends))
        self.pull = [energy.derivative() for energy in self.energy]
        body = stand(found.harness.wearer, self.pose)
        bodies = Bodies(built(found.harness.wearer), np.zeros(1, dtype=np.intp), body)
        self.field = Field(body.surface, np.zeros(self.runs * self.inner + 1, dtype=np.intp))
        for k, run in list(enumerate(found.harness.layout.runs))[CONTROL:]:
            start, end = self.start_runs[k, :1].copy(), self.start_runs[k, -1:].copy()
            span = Span(run=run, bodies=bodies, start=start, end=end)
            self.start_runs[k] = found.harness.pattern.rough(span)[0]

    def _measure(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Lengths without what chords cut, and their rates with the nodes."""
        way = np.diff(x, axis=1)
        length = np.sqrt(self.links * (way * way).sum(axis=(1, 2)))
        return length, way * (self.links / length)[:, None, None]

    def start(self) -> np.ndarray:
        """The loop as donned and a rough run of the other two, the ring where it was donned: as the net starts cold."""
        return np.concatenate([self.start_runs[:, 1:-1].ravel(), self.start_runs[0, 0], [0.0]])

    def solution(self) -> np.ndarray:
        """The unknowns as the net has them."""
        nodes = np.stack([run[self.at, 1:-1] for run in self.found.net.nodes])
        state = self.found.net
        return np.concatenate([nodes.ravel(), state.ring[self.at], [state.forces.crept[self.at]]])

    def _shape(self, unknown: np.ndarray) -> tuple[np.ndarray, np.ndarray, float]:
        inner, ring = unknown[:-4].reshape(self.runs, self.inner, 3), unknown[-4:-1]
        first = np.broadcast_to(ring, (self.runs, 1, 3))
        return np.concatenate([first, inner, self.ends[:, None]], axis=1), ring, float(unknown[-1])

    def potential(self, unknown: np.ndarray) -> tuple[float, np.ndarray]:
        """Energy of straps and device, and its gradient."""
        x, ring, crept = self._shape(unknown)
        away, stiffness = ring - self.found.donned.ring, self.found.harness.skin.stiffness
        length, rate = self._measure(x)
        shift = np.zeros(self.runs)
        shift[OVER], shift[UNDER] = -crept, crept
        at = length + self.cut + shift
        energy = sum(float(one(length)) for one, length in zip(self.energy, at, strict=True))
        pull = np.array([float(one(length)) for one, length in zip(self.pull, at, strict=True)])
        way = rate * pull[:, None, None]
        nodes, ring = way[:, :-1] - way[:, 1:], -way[:, 0].sum(axis=0) + stiffness * away
        energy += 0.5 * stiffness * float(away @ away)
        return energy, np.concatenate([nodes.ravel(), ring, [pull[UNDER] - pull[OVER]]])

    def outside(self, unknown: np.ndarray) -> np.ndarray:
        """How far nodes and ring are outside the body."""
        return self.field.value(np.ascontiguousarray(unknown[:-1].reshape(-1, 3).T))

    def outside_rates(self, unknown: np.ndarray) -> np.ndarray:
        """Its gradient with all unknowns."""
        points = unknown[:-1].reshape(-1, 3)
        gradient = self.field.slope(np.ascontiguousarray(points.T))[1].T
        rates = np.zeros((len(points), len(unknown)))
        rows = np.arange(len(points))
        for d in range(3):
            rates[rows, 3 * rows + d] = gradient[:, d]
        return rates

    def apart(self, found: OptimizeResult) -> float:
        """Distance between both rings [m]."""
        return float(np.linalg.norm(found.x[-4:-1] - self.found.net.ring[self.at]))

    def solve(self, tolerance: float = LOOSEST) -> OptimizeResult:
        """Let SLSQP find the minimum."""
        return minimize(
            self.potential,
            self.start(),
            jac=True,
            method="SLSQP",
            constraints=[{"type": "ineq", "fun": self.outside, "jac": self.outside_rates}],
            options={"maxiter": 3000, "ftol": tolerance},
        )


@dataclass(frozen=True)
class Compared:
    """Both solvers on the same problem: least times [s], how far their rings lie apart [m], and both energies [J]."""

    cold: float
    warm: float
    one_pose: float
    one_pose_wall: float
    iterations: int
    success: bool
    apart: float
    energy: tuple[float, float]


def compare(nodes: int, angles: np.ndarray, which: int) -> Compared:
    """A sweep cold, and warm after moves of 1 mm, five rounds each; one pose of it by SLSQP."""
    system = system_of(nodes)
    motion, cold, _ = clocked(lambda: system.sweep(angles), 5)
    moves = iter([system_of(nodes, control_strap=mm(k)) for k in range(1, 6)])
    last = [motion]

    def move() -> None:
        last[0] = next(moves).sweep(angles, last[0].guess)

    _, warm, _ = clocked(move, 5)
    problem = OneMinimum(motion.guess, motion.guess.asked[which])
    found, once, wall = clocked(problem.solve, 1)
    own, _ = problem.potential(problem.solution())
    return Compared(cold, warm, once, wall, found.nit, bool(found.success), problem.apart(found), (own, found.fun))
