"""What nbgrader needs around it, wherever it is loaded: its helper on the path, and no grammar that it never asks."""

from __future__ import annotations

import os
import sys
from pathlib import Path

WITHOUT_GRAMMAR = 'import sys\nsys.modules.setdefault("rfc3987_syntax", None)\n'
"""Program text that begins a process of nbgrader: reading a notebook loads a grammar of web addresses, which takes
longer than all the rest and is asked for nothing; without it, it is passed over."""


def with_tools() -> dict[str, str]:
    """The surroundings in which nbgrader runs: it calls a helper by its bare name, which lies beside this Python.

    Returns
    -------
    dict of str to str
        For a process
    """
    own, path = str(Path(sys.executable).parent), os.environ.get("PATH", "")
    return {**os.environ, "PATH": path if path.split(os.pathsep)[0] == own else os.pathsep.join([own, path])}


def make_ready() -> None:
    """Let this process load nbgrader: to be called before it does, and as often as one likes."""
    os.environ["PATH"] = with_tools()["PATH"]
    sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]
