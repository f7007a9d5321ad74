"""Tasks carried out by whoever is there: every result once, whoever falls away, and no more than is wanted."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from typing import Any

import numpy as np
import pytest

from controlkit.executors import carry_out
from controlkit.mechanics import population
from controlkit.mechanics.study.dual import dual_population
from controlkit.mechanics.study.population import FLEXION, LOT

HERE = os.getpid()


def double(number: int) -> int:
    return 2 * number


def double_elsewhere(number: int) -> int:
    """As `double`; a process that is not the one of the tests dies under an odd number."""
    if number % 2 and os.getpid() != HERE:
        os._exit(1)
    return 2 * number


class Losing(Executor):
    """Answers some tasks, loses some, and takes no more after a while."""

    def __init__(self, takes: int) -> None:
        self._takes = takes
        self.given: list[Future[Any]] = []

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        if len(self.given) == self._takes:
            raise BrokenExecutor("nobody is there")
        future: Future[Any] = Future()
        self.given.append(future)
        if len(self.given) % 2:
            future.set_result(fn(*args, **kwargs))
        else:
            future.set_exception(BrokenExecutor("it went away"))
        return future


@pytest.fixture(params=["threads", "processes", "none", "one that loses", "one that takes nothing"])
def executor(request: pytest.FixtureRequest) -> Iterator[Executor | None]:
    made: dict[str, Callable[[], Executor | None]] = {
        "threads": lambda: ThreadPoolExecutor(2),
        "processes": lambda: ProcessPoolExecutor(2),
        "none": lambda: None,
        "one that loses": lambda: Losing(5),
        "one that takes nothing": lambda: Losing(0),
    }
    found = made[request.param]()
    yield found
    if found is not None:
        found.shutdown()


def test_every_result_comes_once_and_it_is_told_how_far_it_is(executor: Executor | None) -> None:
    kept: list[int] = []
    told: list[tuple[int, int]] = []
    carry_out(
        double, range(9), keep=kept.append, executor=executor, processes=1, told=lambda *far: told.append(far), before=3
    )
    assert sorted(kept) == [2 * number for number in range(9)]
    assert told == [(done, 12) for done in range(3, 13)]


def test_a_process_that_dies_takes_nothing_with_it() -> None:
    kept: list[int] = []
    carry_out(double_elsewhere, range(9), keep=kept.append, processes=2, first=lambda: None)
    assert sorted(kept) == [2 * number for number in range(9)]


def test_it_stops_when_no_more_is_wanted(executor: Executor | None) -> None:
    kept: list[int] = []

    def enough(result: int) -> bool:
        kept.append(result)
        return len(kept) < 2

    carry_out(double, range(40), keep=enough, executor=executor, processes=1)
    assert len(kept) == 2


def test_what_waits_is_given_up_when_no_more_is_wanted() -> None:
    started, goes_on = [], threading.Event()

    def slow(number: int) -> int:
        started.append(number)
        return number if number == 0 or goes_on.wait(60.0) else -1

    with ThreadPoolExecutor(1) as one:
        carry_out(slow, range(50), keep=lambda _: False, executor=one)
        goes_on.set()
    assert started in ([0], [0, 1])


def test_an_error_of_a_task_is_told_and_not_tried_again(executor: Executor | None) -> None:
    with pytest.raises(TypeError):
        carry_out(double, [{}], keep=print, executor=executor, processes=1)  # type: ignore[list-item]


@pytest.mark.parametrize("executor", ["processes", "one that loses"], indirect=True)
def test_a_population_is_the_same_to_the_last_bit_whoever_works_on_it(executor: Executor) -> None:
    ask: dict[str, Any] = {"arm_flexion": FLEXION[:2], "processes": 1}
    count = LOT + 30
    here, there = population("female", count, 6, **ask), population("female", count, 6, executor=executor, **ask)
    for name, value in vars(here).items():
        if isinstance(value, np.ndarray):
            np.testing.assert_array_equal(value, getattr(there, name), err_msg=name)
    assert here.settled.all()


def test_a_population_above_the_elbow_too_stopped_and_gone_on_with() -> None:
    whole = dual_population("female", 2, 11)
    with ThreadPoolExecutor(1) as there:
        half = dual_population("female", 2, 11, executor=there, progress=lambda share: share < 0.5)
        assert half.done.sum() == 1
        again = dual_population("female", 2, 11, executor=there, start=half)
    for name, value in vars(whole).items():
        if isinstance(value, np.ndarray):
            np.testing.assert_array_equal(value, getattr(again, name), err_msg=name)
