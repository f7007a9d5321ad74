"""How long dual control takes, against the excursion curve of single control, in one run."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import DualControl, SingleControl, Wearer, above_elbow_eight, figure_of_eight
from controlkit.mechanics.chain.dual import ELBOWS
from controlkit.units import deg

pytestmark = pytest.mark.long

LOADS = (0.0, 0.25, 0.5)
POSES = np.linspace(0.0, deg(90), 13)


def _best(ask: Callable[[int], Any], rounds: int = 7) -> float:
    times = []
    for k in range(rounds):
        start = perf_counter()
        ask(k)
        times.append(perf_counter() - start)
    return min(times)


def test_thirteen_elbow_angles_and_three_loads_take_at_most_twice_a_curve_of_single_control() -> None:
    """Both from nothing, each round with a base plate or crossbar not asked for before; 13 angles in either."""
    below, above = Wearer.average("male"), Wearer.average("male", level="transhumeral")

    def single(k: int) -> None:
        motion = SingleControl(figure_of_eight(below, crossbar=0.55 + 0.001 * k)).sweep(POSES)
        assert motion.captured.shape == motion.harness_force.shape == POSES.shape

    def dual(k: int) -> None:
        system = DualControl(harness=above_elbow_eight(above, base_plate=0.55 + 0.001 * k))
        assert all(system.lift(ELBOWS, load=load).settled for load in LOADS)

    single(20)
    dual(20)
    curve, sweep = _best(single), _best(dual)
    print(f"single control {1e3 * curve:.0f} ms, dual control {1e3 * sweep:.0f} ms, ratio {sweep / curve:.2f}")
    assert sweep <= 2.0 * curve
