"""The junctions' equations along a motion: the step of all stations together against finite differences."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.pose import Pose
from controlkit.mechanics.harness import Harness, Skin, chest_strap, figure_of_nine
from controlkit.mechanics.harness.balance import HANG, STEP, Balance, Balanced, Geometry
from controlkit.mechanics.harness.history import levels_of
from controlkit.mechanics.harness.motion import follow
from controlkit.mechanics.harness.net import Solver
from controlkit.mechanics.harness.stations import Stations
from controlkit.units import deg, mm

Array = NDArray[np.float64]
MAN = Wearer.average("male")
HARNESSES = {
    "ring": lambda: figure_of_eight(MAN, ring_below_c7=mm(60), control_strap=-mm(10)),
    "sewn": lambda: figure_of_eight(MAN, crossing="sewn", ring_below_c7=mm(60)),
    "cross-back": lambda: figure_of_eight(MAN, cross_back=0.0, ring_below_c7=mm(60)),
    "nine": lambda: figure_of_nine(MAN),
    "chest": lambda: chest_strap(MAN),
    "bare": lambda: figure_of_eight(MAN, skin=Skin(stiffness=0.0, friction=0.0, loop_friction=0.0)),
    "slippery": lambda: figure_of_eight(MAN, skin=Skin(friction=0.05, loop_friction=0.02)),
}
POSES = [Pose(arm_flexion=deg(angle)) for angle in (10, 20, 40, 45, 70, 90)]


@cache
def _near(name: str) -> tuple[Stations, Geometry]:
    """A motion's settled net, and how its runs lengthen there."""
    harness: Harness = HARNESSES[name]()
    found = follow(harness, POSES, SingleControl(harness).law)
    return found.ask, Solver(found.ask, found.net.start).geometry()


def _left(balance: Balance, near: Geometry, shift: Array, flat: Array) -> Array:
    """Force left over at a shifted place across the normals of another, with what the skin's curvature turns of it."""
    now = balance._pulls(near, shift)
    _, own = balance._matrix(near, now, balance._stiffness(near, now)[1])
    return np.asarray(np.matmul(flat, np.matmul(own, now.force[..., None]))[..., 0])


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("name", HARNESSES)
def test_a_full_step_is_the_newton_step_of_all_stations_together(name: str, seed: int) -> None:
    """What slips and creeps at one station moves the next: along the whole step the force left over falls to nought."""
    ask, near = _near(name)
    balance = Balance(ask.laws)
    rng = np.random.default_rng(seed)
    shift = 1e-3 * rng.normal(size=near.slope.shape[1:]) * (rng.random(near.slope.shape[1:]) < 0.7)
    now = balance._pulls(near, shift)
    _, flat = balance._matrix(near, now, balance._stiffness(near, now)[1])
    assert now.held.dragged.any() or now.creep.pushed.any()  # without either nothing would hang together
    whole = np.ones(len(shift))
    step = balance._links(near, now).steps(balance.levels, share=whole, start=shift, most=np.inf) - shift
    by = 1e-8 / np.abs(step).max()
    ends = [_left(balance, near, shift + sign * by * step, flat) for sign in (1.0, -1.0)]
    change = (ends[0] - ends[1]) / (2.0 * by)
    wanted = _left(balance, near, shift, flat)
    drag = 0.01 * np.matmul(flat, step[..., None])[..., 0]  # a trace of stiffness that keeps the equations regular
    assert np.abs(wanted).max() > 0.1
    assert np.allclose(change - drag, -wanted, rtol=0.0, atol=1e-4 * np.abs(wanted).max())


@pytest.mark.parametrize("name", HARNESSES)
def test_it_finds_back_to_balance_from_where_junctions_were_moved_to(name: str) -> None:
    ask, near = _near(name)
    rng = np.random.default_rng(5)
    moved = Geometry(
        length=near.length + 1e-3 * rng.normal(size=near.length.shape),
        slope=near.slope,
        bend=near.bend,
        value=near.value,
        gradient=near.gradient,
        hessian=near.hessian,
        junction=near.junction,
        gives=near.gives,
    )
    found = Balance(ask.laws).solve(moved, most=40)
    assert found.here.residual.max() > 1.0
    assert found.there.residual.max() < 0.011 * found.here.residual.max()
    assert np.linalg.norm(found.shift, axis=1).max() <= STEP * (1.0 + 1e-9)


@pytest.mark.parametrize("damping", [0.0, 2e3])
def test_what_it_says_of_there_is_what_it_says_of_here_once_there(damping: float) -> None:
    ask, near = _near("ring")
    balance = Balance(ask.laws, damping)
    found = balance.solve(near)
    again = balance._forces(balance._pulls(near, found.shift))
    before = balance._forces(balance._pulls(near, 0.0 * found.shift))
    assert np.allclose(found.here.tension, before.tension, rtol=1e-9, atol=1e-9)
    for name in ("tension", "crept", "skin", "anchor", "residual"):
        assert np.allclose(getattr(found.there, name), getattr(again, name), rtol=1e-9, atol=1e-9)


def test_a_slack_fork_hangs_where_it_was_put_whatever_was_asked_before() -> None:
    """Let out, its three straps are slack; only a trace of a force says where it is, and that is enough."""
    harness = figure_of_eight(MAN, support_strap=mm(60))
    law = SingleControl(harness).law
    alone = follow(harness, POSES[-1:], law)
    whole = follow(harness, POSES, law)
    a, b = (found.net.junction[found.asked[-1], 1] for found in (alone, whole))
    assert alone.net.tension[3:, -1].max() < 2.0 * HANG * STEP
    assert np.abs(a - b).max() < mm(0.1)


def test_stations_are_grouped_so_that_none_comes_before_what_it_follows() -> None:
    before = np.array([-1, 0, 0, 1, 3, 2, -1])
    groups = levels_of(before)
    place = {int(k): level for level, group in enumerate(groups) for k in group}
    assert sorted(place) == list(range(len(before)))
    assert all(place[k] == (0 if b < 0 else place[int(b)] + 1) for k, b in enumerate(before))


def test_with_damping_it_takes_one_short_step() -> None:
    ask, near = _near("ring")
    moved = Geometry(**{**vars(near), "length": near.length + 2e-3})
    quick, slow = (Balance(ask.laws, damping).solve(moved) for damping in (2e3, 2e6))
    assert isinstance(slow, Balanced)
    assert np.linalg.norm(slow.shift, axis=1).max() < 0.1 * np.linalg.norm(quick.shift, axis=1).max()
