"""Workers side by side: each starts when it is needed, gets one job at a time, and is ended when it takes too long."""

from __future__ import annotations

import json
import queue
import subprocess
import tempfile
import threading
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from typing import IO, Any

from controlkit.classroom.confined.job import Job
from controlkit.classroom.confined.reply import Reply, in_order
from controlkit.classroom.confined.values import out
from controlkit.classroom.confined.worker import MOST_BYTES

Start = Callable[[IO[bytes]], "subprocess.Popen[bytes]"]
"""Starts a worker that talks over its standard input and output, and writes trouble to the file given."""

_GRACE = 5.0
_LONGEST_START = 120.0
_TRIES = 2


class _GoneError(RuntimeError):
    """A worker that ended before it answered; `late` if that was because it took too long."""

    def __init__(self, *, late: bool = False, said: str = "") -> None:
        super().__init__(said)
        self.late = late


class _NoStartError(_GoneError):
    """A worker that did not even start."""


class _Worker:
    """One worker: its process, and how to talk with it; used from one thread."""

    def __init__(self, start: Start, *, once: bool) -> None:
        self._start, self._once = start, once
        self._process: subprocess.Popen[bytes] | None = None
        self._trouble = tempfile.TemporaryFile()  # noqa: SIM115 - closed with the worker

    def ask(self, job: bytes, seconds: float) -> tuple[bytes, str]:
        """What a job came to: bytes from whomever, and how it ended."""
        process = self._process or self._begin()
        assert process.stdin is not None
        assert process.stdout is not None
        late = threading.Event()
        try:
            with _until(seconds + _GRACE, process, late):
                process.stdin.write(b"%d\n" % len(job) + job)
                process.stdin.flush()
                head = _line(process.stdout)
                size, how = head.get("bytes"), head.get("how")
                if type(size) is not int or not 0 <= size <= 2 * MOST_BYTES or type(how) is not str:
                    raise ValueError
                held = process.stdout.read(size)
                if len(held) != size:
                    raise ValueError
        except (OSError, ValueError):
            self.end()
            raise _GoneError(late=late.is_set()) from None
        if self._once:
            self.end()
        return held, how

    def end(self) -> None:
        """End its process, whatever it does."""
        process, self._process = self._process, None
        if process is not None:
            _kill(process)
            for stream in (process.stdin, process.stdout):
                if stream is not None:
                    with suppress(OSError):
                        stream.close()

    def kill(self) -> None:
        """The same from another thread; the one that uses it finds out."""
        process = self._process
        if process is not None:
            _kill(process)

    def close(self) -> None:
        """Put it away."""
        self.end()
        self._trouble.close()

    def _begin(self) -> subprocess.Popen[bytes]:
        self._trouble.seek(0)
        self._trouble.truncate()
        try:
            process = self._process = self._start(self._trouble)
        except OSError as trouble:
            raise _NoStartError(said=str(trouble)) from None
        assert process.stdout is not None
        try:
            with _until(_LONGEST_START, process, threading.Event()):
                if _line(process.stdout) != {"ready": True}:
                    raise ValueError
        except (OSError, ValueError):
            self.end()
            raise _NoStartError(said=self._said()) from None
        return process

    def _said(self) -> str:
        """The last line of trouble."""
        self._trouble.seek(0)
        lines = self._trouble.read(20_000).decode("utf-8", "replace").strip().splitlines()
        return "".join(char for char in (lines or ["without a word"])[-1][:200] if char.isprintable())


class Pool:
    """Workers for the jobs of one exercise.

    Parameters
    ----------
    start : callable
        Starts one worker
    workers : int
        How many side by side [-]
    seconds : float
        Longest time for one notebook [s]
    once : bool
        Whether a worker serves one notebook alone
    """

    def __init__(self, start: Start, *, workers: int, seconds: float, once: bool) -> None:
        self._seconds = seconds
        self._workers = [_Worker(start, once=once) for _ in range(workers)]
        self._turn, self._over = threading.Lock(), threading.Event()
        self._broken = ""

    def run(self, jobs: Iterable[bytes]) -> Iterator[tuple[int, Reply]]:
        """Run jobs, each to some end.

        Parameters
        ----------
        jobs : iterable of bytes
            From `as_sent`; taken one by one, as workers become free

        Yields
        ------
        int
            Which job, counted as they were taken [-]
        Reply
            What came of it. One a job, in the order in which they end
        """
        came: queue.SimpleQueue[tuple[int, Reply] | BaseException | None] = queue.SimpleQueue()
        left = enumerate(jobs)
        threads = [threading.Thread(target=self._work, args=(one, left, came), daemon=True) for one in self._workers]
        for thread in threads:
            thread.start()
        try:
            going = len(threads)
            while going:
                one = came.get()
                if one is None:
                    going -= 1
                elif isinstance(one, BaseException):
                    raise one
                else:
                    yield one
        finally:
            self._over.set()
            for worker in self._workers:
                worker.kill()
            for thread in threads:
                thread.join(_GRACE)

    def _work(self, worker: _Worker, left: Iterator[tuple[int, bytes]], came: queue.SimpleQueue[Any]) -> None:
        """One thread: its worker, job after job."""
        try:
            while not self._over.is_set():
                with self._turn:
                    number, job = next(left, (-1, b""))
                if number < 0:
                    break
                came.put((number, self._one(worker, job)))
        except BaseException as wrong:  # noqa: BLE001 - told to whoever waits for results
            came.put(wrong)
        finally:
            worker.close()
            came.put(None)

    def _one(self, worker: _Worker, job: bytes) -> Reply:
        """One job, tried again in a new worker if the first one ended under it for reasons of its own."""
        why = "the worker that ran its cells ended under them"
        for _ in range(_TRIES):
            if self._broken or self._over.is_set():
                break
            try:
                return Reply(*worker.ask(job, self._seconds))
            except _NoStartError as trouble:
                why = f"Its cells were not run: the confinement did not start ({trouble})."
            except _GoneError as trouble:
                if trouble.late:
                    return Reply(how="time")
        else:
            if not why.startswith("Its cells"):
                return Reply(why=why)
            self._broken = why
        return Reply(why=self._broken or "Its cells were not run: marking was stopped.", ran=False)


def as_sent(job: Job, seconds: float) -> bytes:
    """A job as a worker takes it: nothing in it says whose it is but the name that stood in the notebook.

    Parameters
    ----------
    job : Job
        A notebook
    seconds : float
        Longest time for it [s]

    Returns
    -------
    bytes
        For `Pool.run`
    """
    asked = [
        {
            "item": one.item,
            "after": one.after,
            "seconds": one.seconds,
            "calls": None if one.calls is None else out(one.calls),
        }
        for one in in_order(job.asked)
    ]
    case = {**vars(job.case), "values": job.case.as_data()}
    data = {"cells": list(job.cells), "asked": asked, "case": case, "name": job.name, "seconds": seconds}
    return json.dumps(data).encode("ascii")


def _line(stream: IO[bytes]) -> dict[str, Any]:
    found = json.loads(stream.readline(200).decode("ascii"))
    if type(found) is not dict:
        raise ValueError
    return found


def _kill(process: subprocess.Popen[bytes]) -> None:
    with suppress(OSError):
        process.kill()
    with suppress(subprocess.TimeoutExpired):
        process.wait(_GRACE)


@contextmanager
def _until(seconds: float, process: subprocess.Popen[bytes], late: threading.Event) -> Iterator[None]:
    """End a process that takes longer, so that nobody waits for it for ever."""

    def end() -> None:
        late.set()
        process.kill()

    timer = threading.Timer(seconds, end)
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()
