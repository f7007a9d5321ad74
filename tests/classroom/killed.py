"""A step of a class that is killed (kill -9) at its n-th write: before a file is whole, named, or in the gradebook."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest import mock

from sqlalchemy import event
from sqlalchemy.engine import Engine

Step = Callable[[str], object]
"""A step of a class, by the path of its folder; a function of a module."""


@contextmanager
def _each_write(moment: Callable[[], None]) -> Iterator[None]:
    """Call something before each write to the disk, before and after each renaming, and around each word to a book."""
    synced, renamed = os.fsync, Path.replace

    def sync(number: int) -> None:
        moment()
        synced(number)

    def rename(path: Path, target: Path) -> Path:
        moment()
        done = renamed(path, target)
        moment()
        return done

    def told(*_: Any) -> None:
        moment()

    words = ("before_cursor_execute", "after_cursor_execute", "commit")
    for word in words:
        event.listen(Engine, word, told)
    try:
        with mock.patch.object(os, "fsync", sync), mock.patch.object(Path, "replace", rename):
            yield
    finally:
        for word in words:
            event.remove(Engine, word, told)


def moments(step: Step, folder: Path) -> int:
    """Carry a step out to its end, and count the moments at which it can be killed."""
    count = 0

    def counted() -> None:
        nonlocal count
        count += 1

    with _each_write(counted):
        step(str(folder))
    return count


def _carry_out(step: Step, folder: str, last: int) -> None:
    left = last

    def perhaps() -> None:
        nonlocal left
        left -= 1
        if left == 0:
            os.kill(os.getpid(), signal.SIGKILL)

    with _each_write(perhaps):
        step(folder)


def killed(step: Step, folder: Path, last: int) -> bool:
    """Begin a step in a process of its own and kill it at a moment; whether it came so far."""
    run = multiprocessing.get_context("fork").Process(target=_carry_out, args=(step, str(folder), last))
    run.start()
    run.join()
    assert run.exitcode in (0, -signal.SIGKILL)
    return run.exitcode != 0


def holds(folder: Path, *rooms: str) -> dict[str, bytes]:
    """Every whole file in some rooms of a class folder; what a killed write left beside its place is none."""
    paths = [path for room in rooms for path in (folder / room).rglob("*") if path.is_file()]
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in paths if path.suffix != ".part"}
