"""A file that is either the old one or the new one, whole, whatever happens while it is written."""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
from pathlib import Path
from typing import Any


def keep(path: Path, data: Any) -> None:
    """Write plain data as JSON.

    Parameters
    ----------
    path : Path
        Where; folders above it are made
    data : object
        Dicts, lists, texts, numbers

    Raises
    ------
    OSError
        If there is no room, or no right to write; the old file is then as it was
    """
    keep_text(path, json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n")


def keep_text(path: Path, text: str) -> None:
    """Write a text whole: beside its place first, then under its name.

    Parameters
    ----------
    path : Path
        Where; folders above it are made
    text : str
        What it shall hold

    Raises
    ------
    OSError
        If there is no room, or no right to write; the old file is then as it was
    """
    keep_bytes(path, text.encode("utf-8", "backslashreplace"))


def keep_bytes(path: Path, content: bytes) -> None:
    """Write bytes whole: beside their place first, then under their name.

    Parameters
    ----------
    path : Path
        Where; folders above it are made
    content : bytes
        What it shall hold

    Raises
    ------
    OSError
        If there is no room, or no right to write; the old file is then as it was
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    number, beside = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    try:
        with os.fdopen(number, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(beside).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(beside).unlink()
        raise


def kept(path: Path) -> Any:
    """Read what was kept.

    Parameters
    ----------
    path : Path
        Where it lies

    Returns
    -------
    object
        As it was given; None where there is no such file

    Raises
    ------
    ValueError
        If it was changed by hand into something that is no JSON
    """
    try:
        return json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None
