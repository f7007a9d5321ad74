"""Inside the confinement: a process puts itself apart from all others, with limits; Linux, standard library alone.

Run as a program, in the confinement, it tries out what holds there and says so as one line of JSON.
"""

from __future__ import annotations

import contextlib
import ctypes
import json
import os
import socket
import sys
import time
from pathlib import Path

with contextlib.suppress(ImportError):  # there is no such module on Windows
    import resource

_MOUNTS, _HOST, _IPC, _USER, _PROCESSES, _NETWORK = (
    0x00020000,
    0x04000000,
    0x08000000,
    0x10000000,
    0x20000000,
    0x40000000,
)
_NO_SUID, _NO_DEVICES, _RECURSIVE, _PRIVATE, _READ_ONLY = 2, 4, 0x4000, 1 << 18, 1
_DIE_WITH_PARENT, _NO_NEW_RIGHTS, _DROP_BOUND = 1, 38, 24
_KEYRINGS = {"x86_64": 250, "aarch64": 219}
"""By the sort of machine, the number of the call for keys that the system keeps."""

MOST_PROCESSES = 12
"""Processes and threads of one notebook [-]."""

MOST_MEMORY = 2 << 30
"""Memory that one process can address, and that all of a notebook can hold together [bytes]."""

LARGEST_FILE = 16 << 20
"""Largest file that a notebook can write, and its whole scratch folder [bytes]."""

MOST_FILES = 128
"""Files that one process holds open [-]."""


def apart() -> None:
    """Put the children of this process apart: users, processes, network, messages of their own.

    Raises
    ------
    OSError
        If the system does not allow it
    """
    user, group = os.getuid(), os.getgid()
    _unshare(_USER | _PROCESSES | _NETWORK | _IPC | _HOST)
    with contextlib.suppress(OSError):
        _write("/proc/self/setgroups", "deny")
    _write("/proc/self/uid_map", f"{user} {user} 1")
    _write("/proc/self/gid_map", f"{group} {group} 1")


def own_scratch(scratch: str) -> None:
    """Give this process, a child of one that is `apart`, a scratch folder that nobody else sees; and no /proc.

    Parameters
    ----------
    scratch : str
        An empty folder

    Raises
    ------
    OSError
        If the system does not allow it
    """
    with contextlib.suppress(OSError):  # the first to be ended where memory is short
        _write("/proc/self/oom_score_adj", "1000")
    with contextlib.suppress(OSError):  # no rights inside a further namespace
        _write("/proc/sys/user/max_user_namespaces", "0")
    _unshare(_MOUNTS)
    _mount("none", "/", "", _RECURSIVE | _PRIVATE)
    size = f"size={LARGEST_FILE},nr_inodes=2000,mode=0700"
    _mount("tmpfs", scratch, size, _NO_SUID | _NO_DEVICES)
    if Path("/dev/shm").is_dir():
        _mount("tmpfs", "/dev/shm", size, _NO_SUID | _NO_DEVICES)
    _mount("tmpfs", "/proc", "size=4096,nr_inodes=2", _NO_SUID | _NO_DEVICES | _READ_ONLY)


def give_up_rights() -> None:
    """Own this namespace no longer: no rights in it, for the children neither, and only keys of their own."""
    libc, nothing = _libc(), (0, 0, 0)
    keyrings = _KEYRINGS.get(os.uname().machine)
    if keyrings is not None:
        libc.syscall(keyrings, 1, None)
    libc.prctl(_NO_NEW_RIGHTS, 1, *nothing)
    libc.prctl(_DIE_WITH_PARENT, 9, *nothing)
    for right in range(64):
        libc.prctl(_DROP_BOUND, right, *nothing)
    header = (ctypes.c_uint32 * 2)(0x20080522, 0)
    libc.capset(header, (ctypes.c_uint32 * 6)())


def limits(seconds: float) -> None:
    """Limit what this process and each of its children can use.

    Parameters
    ----------
    seconds : float
        Most time of a processor [s]
    """
    whole = int(seconds) + 1
    for what, most in (
        ("RLIMIT_CORE", 0),
        ("RLIMIT_FSIZE", LARGEST_FILE),
        ("RLIMIT_NOFILE", MOST_FILES),
        ("RLIMIT_CPU", whole),
        ("RLIMIT_AS", MOST_MEMORY),
        ("RLIMIT_NPROC", MOST_PROCESSES),
        ("RLIMIT_MEMLOCK", 0),
        ("RLIMIT_MSGQUEUE", 0),
    ):
        if hasattr(resource, what):
            with contextlib.suppress(ValueError, OSError):
                resource.setrlimit(getattr(resource, what), (most, most))


def held_by(others: set[int]) -> int:
    """Memory that all processes in sight hold, but for some [bytes].

    Parameters
    ----------
    others : set of int
        Numbers of processes that do not count

    Returns
    -------
    int
        Bytes in memory; 0 where nothing can be seen
    """
    pages = 0
    for name in os.listdir("/proc"):  # noqa: PTH208 - names alone, ten times a second
        if name.isdigit() and int(name) not in others:
            with contextlib.suppress(OSError, ValueError, IndexError):
                pages += int(Path("/proc", name, "statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE")


def _libc() -> ctypes.CDLL:
    return ctypes.CDLL(None, use_errno=True)


def _unshare(flags: int) -> None:
    if _libc().unshare(flags):
        number = ctypes.get_errno()
        raise OSError(number, os.strerror(number), "unshare")


def _mount(what: str, where: str, options: str, flags: int) -> None:
    how = (ctypes.c_ulong(flags), options.encode() or None)
    if _libc().mount(what.encode(), where.encode(), what.encode(), *how):
        number = ctypes.get_errno()
        raise OSError(number, os.strerror(number), where)


def _write(path: str, text: str) -> None:
    number = os.open(path, os.O_WRONLY)
    try:
        os.write(number, text.encode("ascii"))
    finally:
        os.close(number)


def _tried(secret: str, port: int, scratch: str) -> dict[str, bool]:
    """What holds for a process like a student's, started here; each found by trying the opposite."""
    found = {"apart": True, "unseen": not Path(secret).exists(), "alone": not _reached(port), "few": False}
    if not os.fork():
        try:
            apart()
            child = os.fork()
            if not child:
                own_scratch(scratch)
                give_up_rights()
                limits(1)
                Path(scratch, "own").write_text("own", encoding="ascii")
                os._exit(0 if _few() else 2)
            os._exit(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]))
        except OSError:
            os._exit(1)
    code = os.waitstatus_to_exitcode(os.wait()[1])
    if code in (0, 2):
        return {**found, "few": code == 0}
    if not os.fork():
        limits(1)
        os._exit(0 if _few() else 2)
    return {**found, "apart": False, "few": os.waitstatus_to_exitcode(os.wait()[1]) == 0}


def _reached(port: int) -> bool:
    try:
        socket.create_connection(("127.0.0.1", port), timeout=1.0).close()
    except OSError:
        return False
    return True


def _few() -> bool:
    """Whether the number of processes is limited."""
    children = []
    try:
        for _ in range(MOST_PROCESSES + 1):
            child = os.fork()
            if not child:
                time.sleep(5.0)
                os._exit(0)
            children.append(child)
    except OSError:
        return True
    finally:
        for child in children:
            os.kill(child, 9)
            os.waitpid(child, 0)
    return False


if __name__ == "__main__":
    print(json.dumps(_tried(sys.argv[1], int(sys.argv[2]), sys.argv[3])))
