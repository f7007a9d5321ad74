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
from dataclasses import dataclass
from functools import partial
from multiprocessing.connection import wait
from typing import Any, Generic, TypeVar

Task = TypeVar("Task")
Result = TypeVar("Result")

MOST = 61
"""More processes than that no system is asked for [-]."""


@dataclass(frozen=True, kw_only=True)
class SetApart(Generic[Task, Result]):
    """Tasks that share nothing with this process: what they load, and what may become of them, stays in others.

    Parameters
    ----------
    begin : callable
        Called once in each new process; a function of a module
    given : tuple
        What it is called with
    lost : callable
        What comes of a task whose process died, and died again when it was alone
    most : int
        So many processes at a time at most [-]
    """

    begin: Callable[..., object]
    given: tuple[Any, ...]
    lost: Callable[[Task], Result]
    most: int = MOST


def carry_out(
    does: Callable[[Task], Result],
    tasks: Sequence[Task],
    *,
    keep: Callable[[Result], object],
    executor: Executor | None = None,
    first: Callable[[], object] | None = None,
    apart: SetApart[Task, Result] | None = None,
    told: Callable[[int, int], None] | None = None,
    before: int = 0,
) -> None:
    """Carry out tasks, and keep each result as soon as it is there.

    Parameters
    ----------
    does : callable
        What is done; a function of a module, so that another process finds it
    tasks : sequence
        Plain data. A task whose process died is carried out here; apart, once more in a process of its own
    keep : callable
        Takes each result, in the order in which they are done
    executor : Executor, optional
        Where; somebody else's, which stays open. A process for each core if left out
    first : callable, optional
        What each process needs loaded: called before they start, where they inherit it
    apart : SetApart, optional
        In place of it: nothing is inherited, and nothing is carried out in this process
    told : callable, optional
        Hears how many are done, and of how many
    before : int
        How many of them had been done before [-]
    """
    done, count = before, before + len(tasks)
    if told is not None:
        told(done, count)
    if not tasks:
        return
    with _processes(len(tasks), executor, first, apart) as where:
        for result in _each(where, does, tasks, does if apart is None else partial(_once_more, does, apart)):
            keep(result)
            done += 1
            if told is not None:
                told(done, count)


@contextmanager
def _processes(
    tasks: int, executor: Executor | None, first: Callable[[], object] | None, apart: SetApart[Any, Any] | None
) -> Iterator[Executor | None]:
    """Where tasks are carried out; None where there is too little to do for more than this process."""
    if executor is not None or (tasks <= 1 and apart is None):
        yield executor
        return
    inherit = sys.platform == "linux" and apart is None
    if inherit and first is not None:
        first()
    own = _pool(min(tasks, os.cpu_count() or 1, MOST), apart, inherit=inherit)
    try:
        yield own
    except BaseException:
        own.shutdown(wait=False, cancel_futures=True)
        raise
    own.shutdown()


def _pool(count: int, apart: SetApart[Any, Any] | None, *, inherit: bool = False) -> ProcessPoolExecutor:
    context = multiprocessing.get_context("fork" if inherit else "spawn")
    most = count if apart is None else max(1, min(count, apart.most))
    begin = () if apart is None else (apart.begin, apart.given)
    return ProcessPoolExecutor(most, mp_context=context, initializer=_start, initargs=begin)


def _each(
    where: Executor | None,
    does: Callable[[Task], Result],
    tasks: Iterable[Task],
    again: Callable[[Task], Result],
) -> Iterator[Result]:
    """Each result, in the order in which they are done; at the end those whose process died."""
    if where is None:
        yield from map(does, tasks)
        return
    futures: dict[Future[Result], Task] = {where.submit(does, one): one for one in tasks}
    died = []
    for future in as_completed(futures):
        try:
            result = future.result()
        except BrokenProcessPool:
            died.append(futures[future])
            continue
        yield result
    yield from map(again, died)


def _once_more(does: Callable[[Task], Result], apart: SetApart[Task, Result], task: Task) -> Result:
    """A task in a process of its own, which takes nobody with it."""
    with _pool(1, apart) as own:
        try:
            return own.submit(does, task).result()
        except BrokenProcessPool:
            return apart.lost(task)


def _start(begin: Callable[..., object] | None = None, given: tuple[Any, ...] = ()) -> None:
    """What every process does first."""
    _leave_to_parent()
    if begin is not None:
        begin(*given)


def _leave_to_parent() -> None:
    """A process leaves it to its parent to be stopped, and does not outlive it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int) -> None:
    wait([sentinel])
    os._exit(1)
