"""Which protection there is on this machine: found out by trying, and said in words."""

from __future__ import annotations

import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from controlkit.classroom.confined import wall

Mode = Literal["apart", "once", "bare"]
"""How notebooks are kept from each other: each in namespaces of its own inside one wall, each behind a wall of its own,
or not at all."""

_LONGEST = 20.0


@dataclass(frozen=True)
class Protection:
    """What protects on this machine.

    Parameters
    ----------
    mode : str or None
        How notebooks are kept apart; None where nothing protects, so nothing is run
    words : str
        The same for the instructor
    bubblewrap : str
        Where bubblewrap is
    """

    mode: Mode | None
    words: str
    bubblewrap: str = ""


def probe(bubblewrap: str | None = None) -> Protection:
    """Find out what protects here.

    Parameters
    ----------
    bubblewrap : str, optional
        Where bubblewrap is, if not where programs are

    Returns
    -------
    Protection
        What was found by trying: a file of this machine, its network and too many processes must be out of reach
    """
    if not sys.platform.startswith("linux"):
        return Protection(None, _none("this system is not Linux"))
    found = bubblewrap or shutil.which("bwrap")
    if not found:
        return Protection(None, _none("the program bubblewrap (bwrap) is not installed"))
    try:
        held = _try(found)
    except (OSError, ValueError, subprocess.SubprocessError) as trouble:
        said = " ".join(str(trouble).split())[:160]
        return Protection(None, _none(f"bubblewrap does not work here ({said})"))
    missed = [words for name, words in _HOLDS.items() if held.get(name) is not True]
    if missed:
        return Protection(None, _none(f"bubblewrap was tried, and inside it {' and '.join(missed)}"))
    who = " as an unprivileged user, not as root" if os.getuid() == 0 else ""
    inside = "no file of this machine but Python's, no network, limits on time, memory, processes and files"
    if held.get("apart") is True:
        words = f"Cells that compute run behind bubblewrap{who}: {inside}; each notebook in namespaces of its own."
        return Protection("apart", words, found)
    words = (
        f"Cells that compute run behind bubblewrap{who}: {inside}; each notebook starts a wall of its own, which takes "
        "a second or two, because no further namespaces are allowed inside."
    )
    return Protection("once", words, found)


_HOLDS = {
    "unseen": "a file that is private could be seen",
    "alone": "the network could be reached",
    "few": "the number of processes is not limited",
}


def _none(why: str) -> str:
    return (
        f"Cells that compute are not run: {why}, so nothing would protect this machine and the class from them. "
        "Answers that were typed are marked all the same, and what was not run is listed."
    )


@contextmanager
def stage() -> Iterator[Path | None]:
    """For root, an empty folder that everybody may enter, on which what is to be seen inside can be laid.

    Yields
    ------
    Path or None
        None for anybody else
    """
    if not hasattr(os, "getuid") or os.getuid() != 0:
        yield None
        return
    place = Path(tempfile.mkdtemp(prefix="controlkit-", dir="/tmp"))
    place.chmod(0o755)
    try:
        yield place
    finally:
        place.rmdir()


def _try(bubblewrap: str) -> dict[str, object]:
    """Start a process like a student's, and let it try."""
    program = f"{wall.PACKAGES}/controlkit/classroom/confined/namespaces.py"
    with (
        stage() as empty,
        tempfile.NamedTemporaryFile() as secret,
        socket.create_server(("127.0.0.1", 0)) as listener,
    ):
        Path(secret.name).chmod(0o644)
        asked = [program, secret.name, str(listener.getsockname()[1]), wall.SCRATCH]
        line = wall.command(asked, bubblewrap=bubblewrap, kit=None, stage=empty, once=False)
        done = subprocess.run(line, capture_output=True, text=True, timeout=_LONGEST, check=False)
        if done.returncode:
            raise OSError((done.stderr.strip().splitlines() or ["no word why"])[-1])
    held = json.loads(done.stdout)
    if not isinstance(held, dict):
        raise ValueError("no answer")
    return held
