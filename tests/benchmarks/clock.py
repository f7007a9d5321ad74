"""Timing for the benchmarks: processor time counts where others share the machine; wall time is shown beside it."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter, process_time
from typing import Any


def clocked(ask: Callable[[], Any], rounds: int = 3) -> tuple[Any, float, float]:
    """The answer, and the least processor and wall time of some rounds [s]."""
    times = []
    for _ in range(rounds):
        wall, cpu = perf_counter(), process_time()
        answer = ask()
        times.append((process_time() - cpu, perf_counter() - wall))
    return answer, min(t[0] for t in times), min(t[1] for t in times)
