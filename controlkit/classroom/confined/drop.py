"""Started as root: hands what is to be seen to an unprivileged user, becomes that user for good, goes on as a program.

Limits on processes do not hold for root, so nothing is confined as root. Linux, standard library alone.

    drop.py STAGE USER GROUP COUNT SOURCE... PROGRAM ARGUMENT...

Each source is bound to STAGE/0, STAGE/1, ..., in a namespace of mounts of its own: so a Python that lies in root's home
can be started by somebody who may not look into that home.
"""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path

_MOUNTS, _BIND, _RECURSIVE, _PRIVATE, _NO_SUID = 0x00020000, 0x1000, 0x4000, 1 << 18, 2


def main(stage: str, user: str, group: str, count: str, *rest: str) -> None:
    """Go on as somebody else.

    Parameters
    ----------
    stage : str
        An empty folder that everybody may enter
    user, group : str
        Numbers of the unprivileged user and group
    count : str
        How many sources follow [-]
    *rest : str
        The sources, then the program with its arguments

    Raises
    ------
    OSError
        If the system does not allow it
    """
    sources, program = rest[: int(count)], rest[int(count) :]
    libc = ctypes.CDLL(None, use_errno=True)

    def mount(what: str, where: str, flags: int, *options: bytes | None) -> None:
        done(libc.mount(what.encode(), where.encode(), b"tmpfs", *(ctypes.c_ulong(flags), *options)))

    done(libc.unshare(_MOUNTS))
    mount("none", "/", _RECURSIVE | _PRIVATE, None)
    mount("tmpfs", stage, _NO_SUID, b"mode=0755,size=1m")
    for number, source in enumerate(sources):
        place = Path(stage, str(number))
        if Path(source).is_dir():
            place.mkdir(mode=0o755)
        else:
            place.touch(mode=0o644)
        mount(source, str(place), _BIND | _RECURSIVE, None)
    os.chdir("/")
    os.setgroups([])
    os.setresgid(int(group), int(group), int(group))
    os.setresuid(int(user), int(user), int(user))
    os.execv(program[0], program)


def done(result: int) -> None:
    """Raise if a call of the system failed."""
    if result:
        number = ctypes.get_errno()
        raise OSError(number, os.strerror(number))


if __name__ == "__main__":
    main(*sys.argv[1:])
