"""Straps on real bodies against the same straps with eight times the nodes.

The bar is 0.005 % of the length, at the nodes of the labs. The control strap comes within a fifth of it; the
upper leg of the loop, which turns hardest, comes nearest to it.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from controlkit.mechanics import Pose, SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.body.placed import place
from controlkit.mechanics.body.remembered import built
from controlkit.mechanics.harness.layout import CONTROL, OVER, UNDER
from controlkit.mechanics.harness.layout import LONG as NODES
from controlkit.mechanics.harness.motion import follow
from controlkit.mechanics.surface import Field
from controlkit.mechanics.surface.shapes import Union
from controlkit.mechanics.surface.taut import Draft, resample, tighten
from controlkit.units import deg, mm

BAR = 5e-5  # of the length [-]
FRONT = 3
RUNS = {"over the shoulder": OVER, "under the arm": UNDER, "anterior": FRONT, "control": CONTROL}


@cache
def _settled() -> list[tuple[Union, tuple[np.ndarray, ...]]]:
    """Surfaces and settled straps of some wearers at three angles of the arm."""
    rng, found = np.random.default_rng(3), []
    for k in range(12):
        wearer = Wearer.draw(("male", "female")[k % 2], 1, seed=50 + k)[0]
        harness = figure_of_eight(
            wearer,
            ring_below_c7=rng.uniform(mm(20), mm(150)),
            ring_to_sound_side=rng.uniform(0.0, mm(60)),
            crossbar=rng.uniform(0.3, 0.85),
        )
        net = SingleControl(harness).sweep([0.0, deg(45), deg(90)]).guess
        bodies = place(built(wearer), np.zeros(len(net.poses), dtype=np.intp), net.poses)
        found.append((bodies.surface, net.net.nodes))
    return found


def _errors(run: int, nodes: int) -> list[float]:
    errors: list[float] = []
    for union, runs in _settled():
        body = np.arange(len(runs[run]))
        lengths = []
        for count in (nodes, 8 * (nodes - 1) + 1):
            (path,) = tighten(union, [Draft(body, resample(runs[run], count))], limit=200)
            assert path.settled.all()
            lengths.append(path.length)
        errors.extend(np.abs(lengths[0] / lengths[1] - 1.0))
    return errors


@pytest.mark.parametrize("run", RUNS)
def test_against_eight_times_the_nodes(run: str) -> None:
    assert max(_errors(RUNS[run], NODES)) < BAR


def test_control_strap_is_five_times_better_than_the_bar() -> None:
    assert max(_errors(CONTROL, NODES)) < BAR / 5


@pytest.mark.parametrize("sex", ["female", "male"])
def test_the_loop_turns_under_the_arm_on_the_skin(sex: str) -> None:
    """Where both legs meet is neither inside the body nor off it, whatever pose of the sound side."""
    wearer = Wearer.average(sex)
    system = SingleControl(figure_of_eight(wearer))
    for pose in (Pose(), Pose(sound_arm_abduction=deg(60)), Pose(sound_scapular_abduction=deg(20))):
        found = follow(system.harness, [pose], system.law)
        bodies = place(built(wearer), np.zeros(len(found.poses), dtype=np.intp), found.poses)
        turn = np.ascontiguousarray(found.net.nodes[OVER][:, -1].T)
        assert np.array_equal(found.net.nodes[OVER][:, -1], found.net.nodes[UNDER][:, -1])
        assert np.abs(Field(bodies.surface, np.arange(len(found.poses))).value(turn)).max() < 1e-9
