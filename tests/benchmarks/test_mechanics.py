"""How long the mechanics takes: cold, warm, and as a slider of the lab asks; ratios of one run are asserted loosely."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
from controlkit.units import deg, mm

pytestmark = pytest.mark.long

WEARER = Wearer.average("male")


def _angles(poses: int) -> np.ndarray:
    return np.linspace(0.0, deg(90), poses)


def _system(**setting: float) -> SingleControl:
    return SingleControl(figure_of_eight(WEARER, **{"ring_below_c7": mm(80), **setting}))


@pytest.mark.parametrize("poses", [7, 19])
def test_cold_sweep(benchmark: Callable[..., Any], poses: int) -> None:
    system, angles = _system(), _angles(poses)
    motion = benchmark(lambda: system.sweep(angles))
    assert motion.guess.net.settled.all()


@pytest.mark.parametrize("slider", ["ring_below_c7", "control_strap", "crossbar"])
@pytest.mark.parametrize("poses", [7, 19])
def test_sweep_after_a_small_move(benchmark: Any, poses: int, slider: str) -> None:
    """Every round asks for a setting that has not been asked before, one small step on."""
    angles, start = _angles(poses), {"ring_below_c7": 0.08, "control_strap": 0.0, "crossbar": 0.55}[slider]
    step = {"ring_below_c7": 0.001, "control_strap": 0.001, "crossbar": 0.005}[slider]
    last, moves = [_system(**{slider: start}).sweep(angles)], count(1)

    def move() -> None:
        place = start + step * (next(moves) % 20)
        last[0] = _system(**{slider: place}).sweep(angles, last[0].guess)

    benchmark.pedantic(move, rounds=15, warmup_rounds=1)
    assert last[0].guess.net.settled.all()


def test_a_warm_start_is_faster() -> None:
    """Wall time in one run, best of five each: a move of one millimetre against a start from nothing."""
    from time import perf_counter

    angles = _angles(19)

    def best(ask: Callable[[int], Any]) -> float:
        times = []
        for k in range(5):
            start = perf_counter()
            ask(k)
            times.append(perf_counter() - start)
        return min(times)

    near = _system().sweep(angles).guess
    cold = best(lambda k: _system(control_strap=0.001 * (k + 1)).sweep(angles))
    warm = best(lambda k: _system(control_strap=0.001 * (k + 1)).sweep(angles, near))
    print(f"19 poses: cold {cold * 1e3:.0f} ms, warm {warm * 1e3:.0f} ms, ratio {cold / warm:.1f}")
    assert warm < cold
