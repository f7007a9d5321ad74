"""Answers do not depend on what was asked before, and a question asks the solver only what is new."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import POSITIONS, Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.chain import BACK, on_command
from controlkit.mechanics.harness import Harness, follow, settle
from controlkit.mechanics.harness.net import Solver
from controlkit.mechanics.harness.stations import Start, Stations
from controlkit.units import deg, mm
from tests.laws.test_patterns import PATTERNS

ANGLES = deg(1) * np.arange(0.0, 91.0, 30.0)
BAR = 1e-6  # of a ring's place and of captured excursion [m]
SLIDERS = {"ring_below_c7": mm(4), "ring_to_sound_side": mm(3), "control_strap": mm(5), "crossbar": 0.04}
MOVES = 6


def _moved(harness: Harness, rng: np.random.Generator) -> Harness:
    """One slider a step on, back where it would leave its range."""
    names = [name for name in SLIDERS if name in harness.pattern.limits]
    name = names[rng.integers(len(names))]
    low, high = harness.pattern.limits[name]
    step = float(rng.choice([-1.0, 1.0])) * SLIDERS[name]
    at = getattr(harness, name)
    return replace(harness, **{name: at + step if low <= at + step <= high else at - step})


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("pattern", PATTERNS)
def test_a_walk_over_the_sliders_ends_where_a_fresh_start_does(pattern: str, sex: str) -> None:
    """Each step from the answer before, and each asked anew from nothing."""
    rng = np.random.default_rng(len(pattern) + len(sex))
    harness, walked = PATTERNS[pattern](Wearer.draw(sex, 1, seed=40 + len(pattern))[0]), None
    for _ in range(MOVES):
        harness = _moved(harness, rng)
        walked = SingleControl(harness).sweep(ANGLES, None if walked is None else walked.guess)
        fresh = SingleControl(harness).sweep(ANGLES)
        assert np.linalg.norm(walked.guess.net.ring - fresh.guess.net.ring, axis=1).max() < BAR
        assert np.abs(walked.captured - fresh.captured).max() < BAR


@pytest.fixture
def solved(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Stations of every run of the solver, as they are asked."""
    counts: list[int] = []

    class Counted(Solver):
        def __init__(self, ask: Stations, start: Start, damping: float = 0.0) -> None:
            counts.append(len(start.junction))
            super().__init__(ask, start, damping)

    monkeypatch.setattr(settle, "Solver", Counted)
    return counts


def _same(one: Any, other: Any, rows: list[int], others: list[int]) -> bool:
    return all(np.array_equal(a[rows], b[others]) for a, b in zip(one.net.nodes, other.net.nodes, strict=True))


def test_a_new_arm_flexion_solves_its_own_station_alone(solved: list[int]) -> None:
    """One more pose of a motion that is known: the others are taken over bit for bit."""
    harness = figure_of_eight(Wearer.average("male"))
    law = SingleControl(harness).law
    poses = [Pose(arm_flexion=float(angle)) for angle in ANGLES]
    known = follow(harness, poses, law)
    assert solved == [len(known.poses)]
    more = follow(harness, [*poses, Pose(arm_flexion=deg(52))], law, known)
    assert solved[1:] == [1]
    assert _same(more, known, list(more.asked[:-1]), list(known.asked))
    alone = follow(harness, [Pose(arm_flexion=deg(52))], law)
    assert np.linalg.norm(more.net.ring[more.asked[-1]] - alone.net.ring[alone.asked[-1]]) < BAR


def test_what_is_known_is_not_solved_again(solved: list[int]) -> None:
    harness = figure_of_eight(Wearer.average("female"))
    law = SingleControl(harness).law
    known = follow(harness, [Pose(arm_flexion=deg(60))], law)
    again = follow(harness, [Pose(arm_flexion=deg(60))], law, known)
    assert len(solved) == 1
    assert _same(again, known, list(again.asked), list(known.asked))


def test_a_ring_that_skin_alone_drags_home_is_found_at_once(solved: list[int]) -> None:
    """Scapulae drawn back, every strap is slack and the skin pulls as hard wherever the ring lies, till it is home."""
    wearer = Wearer.draw("female", 1, seed=10)[0]
    harness = figure_of_eight(wearer, ring_below_c7=mm(60), support_strap=mm(10))
    found = follow(harness, [on_command(wearer, POSITIONS["mouth"], BACK).pose], SingleControl(harness).law)
    assert found.net.settled.all()
    assert found.net.iterations < 15
    assert len(solved) == 1


def test_the_force_left_over_is_small_when_asked_anew() -> None:
    """The last step is taken by a model of the straps: told again from the straps themselves, balance holds."""
    for seed in range(4):
        harness = figure_of_eight(Wearer.draw("female", 1, seed=seed)[0], ring_below_c7=mm(30 + 20 * seed))
        found = SingleControl(harness).sweep(ANGLES).guess
        solver = Solver(found.ask, found.net.start)
        anew = solver.balance.solve(solver.geometry()).here
        assert anew.residual.max() < 1e-3
        assert np.abs(anew.tension - found.net.tension).max() < 1e-2
