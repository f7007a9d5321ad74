"""Many small tasks in several processes: one interface, whoever carries them out."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, as_completed
from contextlib import closing, contextmanager, nullcontext
from dataclasses import dataclass
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
    processes: int | None = None,
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
        Plain data. What an executor loses is carried out by processes of this machine, and what those lose, here;
        apart, each in a process of its own
    keep : callable
        Takes each result, in the order in which they are done; returning False stops the work
    executor : Executor, optional
        Where; somebody else's, which stays open. Processes of this machine if left out
    processes : int, optional
        How many of those; one for each core if left out, and with one the work is done here [-]
    first : callable, optional
        What each process needs loaded: called before they start, where they inherit it. Without it they inherit
        nothing, which is right where this process has threads of its own
    apart : SetApart, optional
        In place of `executor` and `first`: nothing is inherited, and nothing is carried out in this process
    told : callable, optional
        Hears how many are done, and of how many
    before : int
        How many of them had been done before [-]

    Raises
    ------
    Exception
        Whatever a task raises, as it is; tasks that still wait are given up
    """
    done, count = before, before + len(tasks)
    if told is not None:
        told(done, count)
    if apart is None:
        each = _each(does, tasks, executor=executor, processes=processes, first=first)
    else:
        each = _each_apart(does, tasks, apart)
    with closing(each) as results:
        for result in results:
            wants_more = keep(result) is not False
            done += 1
            if told is not None:
                told(done, count)
            if not wants_more:
                break


def _each(
    does: Callable[[Task], Result],
    tasks: Sequence[Task],
    *,
    executor: Executor | None,
    processes: int | None,
    first: Callable[[], object] | None,
) -> Generator[Result, None, None]:
    """Each result, in the order in which they are done, whoever falls away on the way."""
    left = list(tasks)
    if executor is not None:
        yield from _by(executor, does, left)
    with _own(len(left), processes, first) as own:
        if own is not None:
            yield from _by(own, does, left)
    yield from map(does, left)


def _each_apart(
    does: Callable[[Task], Result], tasks: Sequence[Task], apart: SetApart[Task, Result]
) -> Generator[Result, None, None]:
    """Each result; a task whose process died is tried once more in a process that takes nobody with it."""
    left = list(tasks)
    if left:
        with _pool(min(len(left), os.cpu_count() or 1, apart.most), apart) as own:
            yield from _by(own, does, left)
    for task in left:
        alone = [task]
        with _pool(1, apart) as own:
            yield from _by(own, does, alone)
        if alone:
            yield apart.lost(task)


def _by(executor: Executor, does: Callable[[Task], Result], left: list[Task]) -> Iterator[Result]:
    """Each result of an executor; what it loses stays in `left`."""
    futures: dict[Future[Result], Task] = {}
    waiting, left[:] = list(left), []
    try:
        with _born_deaf() if isinstance(executor, ProcessPoolExecutor) else nullcontext():
            for place, one in enumerate(waiting):
                try:
                    futures[executor.submit(does, one)] = one
                except (BrokenExecutor, OSError):  # no process can be had, or no more
                    left += waiting[place:]
                    break
        for future in as_completed(futures):
            task = futures.pop(future)
            try:
                result = future.result()
            except BrokenExecutor:
                left.append(task)
                continue
            yield result
    finally:
        for future in futures:
            future.cancel()


@contextmanager
def _born_deaf() -> Iterator[None]:
    """Processes begun meanwhile hear no Ctrl-C from their first moment on; this one hears it when they are there."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, (signal.SIGINT,))
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


@contextmanager
def _own(tasks: int, processes: int | None, first: Callable[[], object] | None) -> Iterator[Executor | None]:
    """Processes of this machine; None where there is too little to do for more than this one, or none can be had."""
    count = min(tasks, processes or os.cpu_count() or 1, MOST)
    if count <= 1:
        yield None
        return
    inherits = first is not None and sys.platform == "linux"
    if first is not None and inherits:
        first()
    context = multiprocessing.get_context("fork" if inherits else "spawn")
    try:
        own = ProcessPoolExecutor(count, mp_context=context, initializer=_leave_to_parent)
    except (OSError, ImportError, NotImplementedError):
        yield None
        return
    with _shut(own):
        yield own


@contextmanager
def _pool(count: int, apart: SetApart[Any, Any]) -> Iterator[Executor]:
    """Processes that inherit nothing and begin as they are told."""
    context, begin = multiprocessing.get_context("spawn"), (apart.begin, apart.given)
    own = ProcessPoolExecutor(max(1, count), mp_context=context, initializer=_start, initargs=begin)
    with _shut(own):
        yield own


@contextmanager
def _shut(own: ProcessPoolExecutor) -> Iterator[None]:
    """End processes with the work; without waiting for them if it was broken off."""
    try:
        yield
    except BaseException:
        own.shutdown(wait=False, cancel_futures=True)
        raise
    own.shutdown()


def _start(begin: Callable[..., object], given: tuple[Any, ...]) -> None:
    """What a process that is set apart does first."""
    _leave_to_parent()
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
