"""How time grows with nodes, poses and wearers, as ratios within one run."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from controlkit.mechanics import SingleControl, Wearer, figure_of_eight
from controlkit.mechanics.study.population import population
from controlkit.units import deg, mm
from tests.benchmarks.clock import clocked
from tests.benchmarks.one_minimum import with_nodes

pytestmark = pytest.mark.long

HARNESS = figure_of_eight(Wearer.average("male"), ring_below_c7=mm(80))


def sweep(nodes: int, poses: int) -> Any:
    motion = SingleControl(with_nodes(HARNESS, nodes)).sweep(np.linspace(0.0, deg(90), poses))
    assert motion.guess.net.settled.all()
    return motion


def grown(
    name: str, sizes: tuple[int, ...], ask: Callable[[int], Any], capsys: pytest.CaptureFixture[str]
) -> list[float]:
    """Times by size, as multiples of the first; printed."""
    ask(sizes[0])
    cpu, wall = zip(*(clocked(lambda size=size: ask(size))[1:] for size in sizes), strict=True)
    with capsys.disabled():
        print(f"\n{name:>10}  {'time':>5}  processor   wall")
        for size, c, w in zip(sizes, cpu, wall, strict=True):
            print(f"{size:10d}  {c / cpu[0]:5.2f}  {c * 1e3:6.0f} ms  {w * 1e3:5.0f} ms")
    return [c / cpu[0] for c in cpu]


def test_with_nodes(capsys: pytest.CaptureFixture[str]) -> None:
    """No faster than the nodes: a banded factorisation grows with their number, not with its cube.

    Few nodes are no cheaper: corners between them cost more steps.
    """
    times = grown("nodes", (17, 33, 65), lambda nodes: sweep(nodes, 19), capsys)
    assert times[-1] < 1.5 * 65 / 17


def test_with_poses(capsys: pytest.CaptureFixture[str]) -> None:
    """Slower than the poses: all of them are solved at once."""
    times = grown("poses", (7, 19, 37), lambda poses: sweep(41, poses), capsys)
    assert times[-1] < 37 / 7


def test_with_wearers(capsys: pytest.CaptureFixture[str]) -> None:
    """A batch spares a hundred wearers most of what ten cost; beyond, time grows with the wearers."""
    times = grown("wearers", (10, 100, 1000), lambda count: population("male", count, 1, processes=1), capsys)
    assert times[1] < 10
    assert times[2] < 15 * times[1]
