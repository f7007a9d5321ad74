"""Many small tasks in several processes: one interface, whoever carries them out."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import Executor, Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing.connection import wait
from typing import TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")

MOST = 61
"""More processes than that no system is asked for [-]."""


def carry_out(
    does: Callable[[Task], Result],
    tasks: Sequence[Task],
    *,
    keep: Callable[[Result], object],
    executor: Executor | None = None,
    first: Callable[[], object] | None = None,
    told: Callable[[int, int], None] | None = None,
    before: int = 0,
) -> None:
    """Carry out tasks, and keep each result as soon as it is there.

    Parameters
    ----------
    does : callable
        What is done; a function of a module, so that another process finds it
    tasks : sequence
        Plain data. A task whose process died is carried out here
    keep : callable
        Takes each result, in the order in which they are done
    executor : Executor, optional
        Where; somebody else's, which stays open. A process for each core if left out
    first : callable, optional
        What each process needs loaded: called before they start, where they inherit it
    told : callable, optional
        Hears how many are done, and of how many
    before : int
        How many of them had been done before [-]
    """
    done, count = before, before + len(tasks)
    if told is not None:
        told(done, count)
    with _processes(len(tasks), executor, first) as where:
        for result in _each(where, does, tasks):
            keep(result)
            done += 1
            if told is not None:
                told(done, count)


@contextmanager
def _processes(tasks: int, executor: Executor | None, first: Callable[[], object] | None) -> Iterator[Executor | None]:
    """Where tasks are carried out; None where there is too little to do for more than this process."""
    if executor is not None or tasks <= 1:
        yield executor
        return
    inherit = sys.platform == "linux"
    if inherit and first is not None:
        first()
    context = multiprocessing.get_context("fork" if inherit else "spawn")
    own = ProcessPoolExecutor(min(tasks, os.cpu_count() or 1, MOST), mp_context=context, initializer=_leave_to_parent)
    try:
        yield own
    except BaseException:
        own.shutdown(wait=False, cancel_futures=True)
        raise
    own.shutdown()


def _each(where: Executor | None, does: Callable[[Task], Result], tasks: Iterable[Task]) -> Iterator[Result]:
    """Each result, in the order in which they are done."""
    if where is None:
        yield from map(does, tasks)
        return
    futures: dict[Future[Result], Task] = {where.submit(does, one): one for one in tasks}
    for future in as_completed(futures):
        try:
            result = future.result()
        except BrokenProcessPool:
            result = does(futures[future])
        yield result


def _leave_to_parent() -> None:
    """A process leaves it to its parent to be stopped, and does not outlive it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)
