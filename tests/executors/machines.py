"""A Dask scheduler and its workers on the loopback address, each a process that can be killed."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).parents[2]
HOST = "127.0.0.1"
SLOWEST = 60.0
"""Longest time for a process to say that it is ready [s]."""


class Machines:
    """A scheduler, and workers that stand for machines."""

    def __init__(self) -> None:
        self.processes: list[subprocess.Popen[str]] = []
        self.scheduler = self._started("scheduler", "--port", "0", "--no-dashboard")
        self.address = _said(self.scheduler, r"Scheduler at:\s+(tcp://\S+)")

    def worker(
        self, *options: str, surroundings: Mapping[str, str] | None = None, cwd: Path = ROOT
    ) -> subprocess.Popen[str]:
        """Start a worker, and wait until the scheduler has it."""
        given = options or ("--nthreads", "1")
        line = ("worker", self.address, *given, "--no-nanny", "--no-dashboard")
        found = self._started(*line, surroundings=surroundings, cwd=cwd)
        _said(found, r"Registered to:\s+(tcp://\S+)")
        return found

    def kill(self, process: subprocess.Popen[str]) -> None:
        """As if its plug was pulled."""
        os.kill(process.pid, signal.SIGKILL)
        process.wait(SLOWEST)

    def close(self) -> None:
        """End all of them."""
        for process in self.processes:
            if process.poll() is None:
                process.kill()
            process.wait(SLOWEST)
            if process.stderr is not None:
                process.stderr.close()

    def _started(
        self, *what: str, surroundings: Mapping[str, str] | None = None, cwd: Path = ROOT
    ) -> subprocess.Popen[str]:
        line = [sys.executable, "-m", "dask", what[0], "--host", HOST, *what[1:]]
        found = subprocess.Popen(
            line,
            cwd=cwd,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, "OPENBLAS_NUM_THREADS": "1", **(surroundings or {})},
        )
        self.processes.append(found)
        return found


def _said(process: subprocess.Popen[str], pattern: str) -> str:
    """What a process says, as soon as it does; what follows is read and forgotten, so that it never waits."""
    assert process.stderr is not None
    stop = threading.Timer(SLOWEST, process.kill)
    stop.start()
    lines = []
    try:
        for line in process.stderr:
            lines.append(line)
            found = re.search(pattern, line)
            if found:
                threading.Thread(target=process.stderr.read, daemon=True).start()
                return found[1]
    finally:
        stop.cancel()
    raise AssertionError("".join(lines))


@contextmanager
def machines(workers: int = 2) -> Iterator[Machines]:
    """A scheduler with workers."""
    found = Machines()
    try:
        for _ in range(workers):
            found.worker()
        yield found
    finally:
        found.close()
