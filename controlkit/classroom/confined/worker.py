"""Inside the confinement: warmed once, it gives each notebook a process of its own, and hands on what that wrote.

This process never reads a job, nor what comes of it: only the child that serves one notebook does, so nothing of one
notebook can be found in the memory of the next. That child sees its own child, which runs the cells, and is not seen.
"""

from __future__ import annotations

import contextlib
import gc
import importlib
import json
import os
import select
import sys
import time
from pathlib import Path
from typing import Any

import numpy  # noqa: F401 - loaded here, it need not be loaded in every notebook

from controlkit.classroom.confined import namespaces
from controlkit.classroom.confined.cells import hand_out, run_notebook

MOST_BYTES = 4 << 20
"""So much can a notebook hand out [bytes]."""

_IN, _OUT, _REPLY = 0, 1, 3
_NO_MORE = 42


def main(exercise: str, kit: str, scratch: str, mode: str) -> int:
    """Serve notebooks until there are no more.

    Parameters
    ----------
    exercise : str
        Its name
    kit : str
        The folder of what was handed out; empty where nothing was
    scratch : str
        The folder in which a notebook may write
    mode : str
        "apart": each notebook in namespaces of its own. "once": one notebook, then the worker ends, and with it all
        that runs behind its wall. "bare": the same, in this process; nothing protects

    Returns
    -------
    int
        0 if all went well [-]
    """
    sys.path += [kit] if kit else []
    for number in (_IN, _OUT):
        _binary(number)
    warmed = _warm(exercise, kit)
    gc.collect()
    gc.freeze()
    _write(_OUT, b'{"ready": true}\n')
    if mode == "bare":
        return _bare(warmed)
    while True:
        child = os.fork()
        if not child:
            try:
                os._exit(_serve(warmed, kit, scratch, apart=mode == "apart"))
            finally:
                os._exit(3)
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        if code or mode == "once":
            return 0 if code in (0, _NO_MORE) else 3


def _warm(exercise: str, kit: str) -> Any:
    """Load what notebooks load, once; the exercise, where it can be seen from here."""
    own = bool(kit) and Path(kit, f"{exercise}.py").is_file()
    try:
        return importlib.import_module(exercise if own else f"controlkit.exercises.{exercise}").exercise
    except (Exception, SystemExit):  # noqa: BLE001 - a sealed exercise is not to be seen; cells still run
        return None


def _serve(exercise: Any, kit: str, scratch: str, *, apart: bool) -> int:
    """One notebook: a child runs it, this process watches."""
    if apart:
        namespaces.apart()
    job = _job()
    if job is None:
        return _NO_MORE
    seconds = float(json.loads(job)["seconds"])
    reading, writing = os.pipe()
    child = os.fork()
    if not child:
        try:
            os.close(reading)
            null = os.open(os.devnull, os.O_RDWR)
            for number in (0, 1, 2):
                os.dup2(null, number)
            os.dup2(writing, _REPLY)
            os.closerange(_REPLY + 1, 1 << 16)
            os.setsid()
            if apart:
                namespaces.own_scratch(scratch)
            namespaces.give_up_rights()
            os.nice(5)
            namespaces.limits(seconds)
            _cells(job, exercise, kit, scratch)
        finally:
            os._exit(0)
    os.close(writing)
    held, how = _watched(reading, child, seconds)
    with contextlib.suppress(ProcessLookupError):
        os.kill(child, 9)
    with contextlib.suppress(ChildProcessError):
        code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        how = how or ("ended" if code == 0 else "stopped")
    _frame(held, how or "stopped")
    return 0


def _cells(job: bytes, exercise: Any, kit: str, scratch: str) -> None:
    """In the child: run the cells."""
    os.chdir(scratch)
    if kit:
        for name in os.listdir(kit):  # noqa: PTH208 - names alone
            with contextlib.suppress(OSError):
                Path(name).symlink_to(Path(kit, name))
    sys.stdin = sys.stdout = sys.stderr = open(os.devnull, "r+", encoding="utf-8")  # noqa: SIM115, PTH123
    say = hand_out(_REPLY)
    run_notebook(json.loads(job), exercise, say)
    say(["end"])


def _watched(reading: int, child: int, seconds: float) -> tuple[bytes, str]:
    """What a child wrote until it ended, or took too much of something: then the word for that."""
    others, held, until = {1, os.getpid(), os.getppid()}, bytearray(), time.monotonic() + seconds
    look = 0.0
    while True:
        left = until - time.monotonic()
        if left <= 0:
            return bytes(held), "time"
        if select.select([reading], [], [], min(left, 0.1))[0]:
            part = os.read(reading, 1 << 16)
            if not part:
                return bytes(held), ""
            held += part
            if len(held) > MOST_BYTES:
                return b"", "bytes"
        elif os.waitid(os.P_PID, child, os.WEXITED | os.WNOHANG | os.WNOWAIT) is not None:
            return bytes(held), ""
        if time.monotonic() > look:
            look = time.monotonic() + 0.1
            if namespaces.held_by(others) > namespaces.MOST_MEMORY:
                return bytes(held), "memory"


def _bare(exercise: Any) -> int:
    """One notebook, in this process and in its folder: without any protection, on any system."""
    job = _job()
    if job is None:
        return 0
    reply, null, held = os.dup(_OUT), os.open(os.devnull, os.O_RDWR), bytearray()
    _binary(reply)
    for number in (0, 1, 2):
        os.dup2(null, number)

    def say(record: list[Any]) -> None:
        held.extend((json.dumps(record, allow_nan=False) + "\n").encode("ascii"))

    sys.stdin = sys.stdout = sys.stderr = open(os.devnull, "r+", encoding="utf-8")  # noqa: SIM115, PTH123
    run_notebook(json.loads(job), exercise, say)
    say(["end"])
    _frame(bytes(held), "ended", reply)
    return 0


def _binary(number: int) -> None:
    """Windows shall not change the ends of lines."""
    if sys.platform == "win32":
        import msvcrt

        msvcrt.setmode(number, os.O_BINARY)


def _job() -> bytes | None:
    """The next job as it was sent: how long it is, then itself; None if there is none."""
    size = b""
    while not size.endswith(b"\n"):
        one = os.read(_IN, 1)
        if not one or len(size) > 20:
            return None
        size += one
    job = bytearray()
    while len(job) < int(size):
        part = os.read(_IN, int(size) - len(job))
        if not part:
            return None
        job += part
    return bytes(job)


def _frame(held: bytes, how: str, number: int = _OUT) -> None:
    _write(number, json.dumps({"bytes": len(held), "how": how}).encode("ascii") + b"\n" + held)


def _write(number: int, text: bytes) -> None:
    while text:
        text = text[os.write(number, text) :]
