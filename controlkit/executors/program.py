"""Which program this is: its fingerprint, by which results and workers are known to be of the same."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

import controlkit

PACKAGE = Path(controlkit.__file__).parent
"""Where the package lies."""


def of_files(*paths: Path) -> str:
    """A fingerprint of program text.

    Parameters
    ----------
    *paths : Path
        Files, or folders with all their files of program text and data

    Returns
    -------
    str
        SHA-256
    """
    found = hashlib.sha256()
    for path in paths:
        inside = sorted(path.rglob("*")) if path.is_dir() else [path]
        for file in inside:
            if file.suffix in (".py", ".toml", ".json") and file.is_file():
                found.update(file.name.encode() + b"\0" + file.read_bytes())
    return found.hexdigest()


@cache
def of_package() -> str:
    """A fingerprint of the package, without the pages that an installed one holds beside it.

    Returns
    -------
    str
        SHA-256
    """
    return of_files(*(one for one in sorted(PACKAGE.iterdir()) if not one.name.startswith("_") or one.is_file()))
