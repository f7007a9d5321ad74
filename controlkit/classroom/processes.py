"""Many small tasks in several processes: one interface, whoever carries them out."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")

MOST = 61
"""More processes than that no system is asked for [-]."""


@contextmanager
def processes(
    tasks: int, executor: Executor | None = None, *, first: Callable[[], object] | None = None
) -> Iterator[Executor | None]:
    """Where tasks are carried out.

    Parameters
    ----------
    tasks : int
        How many there are [-]
    executor : Executor, optional
        Somebody else's, which stays open; a process for each core if left out
    first : callable, optional
        What each process needs loaded: called before they start, where they inherit it

    Yields
    ------
    Executor or None
        None where there is too little to do for more than this process
    """
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


def each(where: Executor | None, does: Callable[[Task], Result], tasks: Iterable[Task]) -> Iterator[Result]:
    """Carry out tasks.

    Parameters
    ----------
    where : Executor or None
        As `processes` gave it
    does : callable
        What is done; a function of a module, so that another process finds it
    tasks : iterable
        Plain data

    Yields
    ------
    object
        Each result, in the order in which they are done. A task whose process died is carried out here
    """
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
    """A process leaves it to its parent to be stopped."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
