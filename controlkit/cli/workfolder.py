"""Lay lessons and exercises out in a work folder, and never overwrite what somebody worked on.

A small record, `.controlkit/files.json`, remembers the fingerprint of each file as it was laid out.
A file whose fingerprint is still the same has not been worked on and may be replaced by a newer
release. Any other file belongs to the person: the newer release is laid beside it, once.
"""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from controlkit.cli.release import START_PAGE, Release
from controlkit.cli.trouble import Trouble

__all__ = ["OWN_FOLDER", "LaidOut", "lay_out", "prepare"]

OWN_FOLDER = ".controlkit"
_RECORD = "files.json"


@dataclass
class LaidOut:
    """
    What laying out did, by file.

    Parameters
    ----------
    copied : list of str
        Files that were not there before.
    renewed : list of str
        Files that nobody had worked on, replaced by a newer release.
    beside : list of (str, str)
        Files that were worked on, and the name of the newer release laid beside each.
    """

    copied: list[str] = field(default_factory=list)
    renewed: list[str] = field(default_factory=list)
    beside: list[tuple[str, str]] = field(default_factory=list)

    def words(self) -> list[str]:
        """
        Say what was done, in sentences for the terminal.

        Returns
        -------
        list of str
            One sentence a line; empty if nothing was done.
        """
        lines = []
        if self.copied:
            lines.append(f"{_count(self.copied)} laid out.")
        if self.renewed:
            lines.append(f"{_count(self.renewed)} brought up to date (you had not changed them).")
        for place, name in self.beside:
            lines.append(f'You worked on {place}, so it stays as it is. The newer release lies beside it as "{name}".')
        return lines


def _count(places: list[str]) -> str:
    return "1 file" if len(places) == 1 else f"{len(places)} files"


def prepare(folder: Path, release: Release) -> Path:
    """
    Make sure that a folder can serve as a work folder.

    Parameters
    ----------
    folder : Path
        The folder asked for; made if it is not there.
    release : Release
        The release that is to be laid out in it.

    Returns
    -------
    Path
        The folder, resolved.

    Raises
    ------
    Trouble
        If it is a file, part of the release itself, or cannot be written.
    """
    folder = folder.expanduser()
    if folder.exists() and not folder.is_dir():
        raise Trouble(f"{folder} is a file, not a folder.", "Name another folder: controlkit start FOLDER")
    if release.holds(folder):
        raise Trouble(
            f"{folder.resolve()} holds the course's own files, which stay as they were released.",
            "Name another folder for your work: controlkit start FOLDER",
        )
    try:
        own = folder / OWN_FOLDER
        own.mkdir(parents=True, exist_ok=True)
        trial = own / f"trial-{os.getpid()}"
        trial.write_bytes(b"")
        trial.unlink()
    except OSError as error:
        raise _cannot_write(folder, error) from error
    return folder.resolve()


def _cannot_write(place: Path, error: OSError) -> Trouble:
    return Trouble(
        f"Nothing can be written to {place} ({error.strerror or error}).",
        "Free it (permissions, space, a program that holds it open), or name another folder: controlkit start FOLDER",
    )


def lay_out(folder: Path, release: Release) -> LaidOut:
    """
    Bring a work folder up to the release without touching what was worked on.

    Parameters
    ----------
    folder : Path
        A work folder, as `prepare` returns it.
    release : Release
        The release to lay out.

    Returns
    -------
    LaidOut
        What was copied, renewed, or laid beside.

    Raises
    ------
    Trouble
        If a file cannot be written. What was laid out before that is kept and remembered.
    """
    record = _read_record(folder)
    done = LaidOut()
    try:
        for place, source in release.files():
            _lay_out_one(folder, place, source.read_bytes(), record=record, done=done)
    except OSError as error:
        raise _cannot_write(Path(error.filename or folder), error) from error
    finally:
        _write_record(folder, record)
    return done


def _lay_out_one(
    folder: Path, place: PurePosixPath, content: bytes, *, record: dict[str, dict[str, str]], done: LaidOut
) -> None:
    name, target, released = str(place), folder / place, _fingerprint(content, place)
    known = record.get(name, {})
    if not target.exists():
        _write(target, content)
        done.copied.append(name)
        record[name] = {"laid_out": released}
        return
    present = _fingerprint(target.read_bytes(), place)
    if present == released:
        record[name] = {"laid_out": released}
    elif present == known.get("laid_out"):
        _write(target, content)
        done.renewed.append(name)
        record[name] = {"laid_out": released}
    elif released not in (known.get("laid_out"), known.get("beside")):
        beside = _free_name(target, {released, known.get("beside", released)}, place)
        _write(beside, content)
        done.beside.append((name, beside.name))
        record[name] = known | {"beside": released}


def _free_name(target: Path, ours: set[str], place: PurePosixPath) -> Path:
    """Name the newer release: "name (new).ext", or with a number if that one holds somebody's work.

    A file whose fingerprint is among `ours` was laid there by us and nobody changed it since.
    """
    number = 1
    while True:
        suffix = " (new)" if number == 1 else f" (new {number})"
        candidate = target.with_name(f"{target.stem}{suffix}{target.suffix}")
        if not candidate.exists() or _fingerprint(candidate.read_bytes(), place) in ours:
            return candidate
        number += 1


def _fingerprint(content: bytes, place: PurePosixPath | None = None) -> str:
    """What tells whether a file was worked on; on the start page there is nothing to answer, so that running it is
    no work on it."""
    if str(place) == START_PAGE:
        try:
            cells = json.loads(content)["cells"]
            content = json.dumps([[cell["cell_type"], "".join(cell["source"])] for cell in cells]).encode()
        except (KeyError, TypeError, ValueError):
            pass
    return hashlib.sha256(content).hexdigest()


def _write(target: Path, content: bytes) -> None:
    """Write a whole file or none of it."""
    target.parent.mkdir(parents=True, exist_ok=True)
    part = target.with_name(f".{target.name}.part")
    part.write_bytes(content)
    part.replace(target)


def _read_record(folder: Path) -> dict[str, dict[str, str]]:
    """Read what was laid out before; a lost or damaged record only makes every file count as worked on."""
    try:
        files = json.loads((folder / OWN_FOLDER / _RECORD).read_text(encoding="utf-8"))["files"]
        return {str(name): {str(k): str(v) for k, v in entry.items()} for name, entry in files.items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def _write_record(folder: Path, record: dict[str, dict[str, str]]) -> None:
    text = json.dumps({"files": record}, indent=1, sort_keys=True) + "\n"
    try:
        _write(folder / OWN_FOLDER / _RECORD, text.encode())
    except OSError as error:
        raise _cannot_write(folder / OWN_FOLDER / _RECORD, error) from error
