"""What arrived: the notebooks of a folder or a zip of a learning platform, found without unpacking anything."""

from __future__ import annotations

import re
import stat
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from controlkit.classroom.taking_in.pages import MOST_BYTES
from controlkit.units import InputError

MOST_FILES = 20_000
"""More files than that are not looked at [-]."""

MOST_TOGETHER = 2_000_000_000
"""So much of a zip is read at most, all notebooks together [bytes]."""

_NOTEBOOK = re.compile(r"\.ipynb(?:\.(?:txt|json))?$", re.IGNORECASE)
"""How a notebook's name ends; some browsers and mail programs add to it."""

_TIMES = ("%Y-%m-%d %H:%M:%S.%f %Z", "%Y-%m-%d %H:%M:%S %Z")


@dataclass(frozen=True)
class Arrived:
    """One notebook that arrived.

    Parameters
    ----------
    path : str
        Where it stood, folders and all, with slashes; only ever shown and compared
    content : bytes
        The file; one byte more than `MOST_BYTES` where it is too large
    when : datetime or None
        When it was handed in, as far as is known
    """

    path: str
    content: bytes
    when: datetime | None


def arrived(source: Path, *, exchange: bool = False) -> Iterator[Arrived]:
    """Every notebook of a folder or a zip.

    Parameters
    ----------
    source : Path
        A folder, with folders in it or not; a zip; or one notebook
    exchange : bool
        Whether nbgrader's exchange collected there: then the time is the one that it laid beside each notebook.
        Elsewhere a file of that name is a student's, and tells nothing

    Yields
    ------
    Arrived
        In the order of their paths

    Raises
    ------
    InputError
        If there is nothing of the sort
    """
    if source.is_dir():
        yield from _of_folder(source, exchange=exchange)
    elif source.suffix.casefold() == ".zip" and source.is_file():
        yield from _of_zip(source)
    elif is_notebook(source.name) and source.is_file():
        yield _of_file(source, source.name, exchange=False)
    else:
        raise InputError(
            given=f"{source.name} is neither a folder nor a zip nor a notebook.",
            do="Name the folder or the zip that came back from your class.",
        )


def is_notebook(name: str) -> bool:
    """Whether a file is a notebook by its name.

    Parameters
    ----------
    name : str
        Of the file

    Returns
    -------
    bool
        Also where a browser has put ``.txt`` or ``.json`` behind it

    Examples
    --------
    >>> is_notebook("ex07 (1).ipynb"), is_notebook("ex07.ipynb.txt"), is_notebook("ex07.zip")
    (True, True, False)
    """
    return _NOTEBOOK.search(name) is not None


def others(source: Path) -> list[str]:
    """What arrived besides notebooks, such as a zip in a zip: nothing of it is opened.

    Parameters
    ----------
    source : Path
        A folder or a zip

    Returns
    -------
    list of str
        Where each file stood, with slashes
    """
    if source.is_dir():
        found = [path.relative_to(source).as_posix() for path in source.rglob("*") if path.is_file()]
    else:
        try:
            with zipfile.ZipFile(source) as packed:
                found = [one.filename.replace("\\", "/") for one in packed.infolist()[:MOST_FILES] if not one.is_dir()]
        except (zipfile.BadZipFile, OSError):
            found = []
    parts = [(one, one.split("/")) for one in sorted(found)[:MOST_FILES]]
    return [
        one for one, way in parts if not is_notebook(way[-1]) and not way[-1].startswith(".") and "__MACOSX" not in way
    ]


def _of_folder(folder: Path, *, exchange: bool) -> Iterator[Arrived]:
    seen = 0
    for path in sorted(one for one in folder.rglob("*") if is_notebook(one.name)):
        seen += 1
        if seen > MOST_FILES:
            return
        inside = path.relative_to(folder)
        if ".ipynb_checkpoints" in inside.parts or path.is_symlink() or not path.is_file():
            continue
        if not path.resolve().is_relative_to(folder.resolve()):
            continue
        yield _of_file(path, inside.as_posix(), exchange=exchange)


def _of_file(path: Path, inside: str, *, exchange: bool) -> Arrived:
    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except OSError:
        content = b""
    noted = _stamped(path) if exchange else None
    return Arrived(inside, content, noted or datetime.fromtimestamp(path.stat().st_mtime).astimezone())


def _stamped(path: Path) -> datetime | None:
    """The time in a file that an exchange laid beside the notebook."""
    try:
        text = (path.parent / "timestamp.txt").read_text(encoding="utf-8")[:60].strip()
    except (OSError, ValueError):
        return None
    for form in _TIMES:
        try:
            return datetime.strptime(text.replace("UTC", "+0000"), form.replace("%Z", "%z")).astimezone()
        except ValueError:
            continue
    return None


def _of_zip(source: Path) -> Iterator[Arrived]:
    try:
        with zipfile.ZipFile(source) as packed:
            members = [one for one in packed.infolist()[:MOST_FILES] if _is_notebook(one)]
            left = MOST_TOGETHER
            for member in sorted(members, key=lambda one: one.filename):
                content = _unpacked(packed, member, min(left, MOST_BYTES + 1))
                left -= len(content)
                yield Arrived(member.filename.replace("\\", "/"), content, _packed_at(member))
    except (zipfile.BadZipFile, OSError):
        raise InputError(
            given=f"{source.name} is damaged: it is no zip that can be read.",
            do="Download it again.",
        ) from None


def _is_notebook(member: zipfile.ZipInfo) -> bool:
    parts = member.filename.replace("\\", "/").split("/")
    link = stat.S_ISLNK(member.external_attr >> 16)
    hidden = ".ipynb_checkpoints" in parts or "__MACOSX" in parts
    return is_notebook(parts[-1]) and not link and not hidden


def _unpacked(packed: zipfile.ZipFile, member: zipfile.ZipInfo, most: int) -> bytes:
    """What a member holds, and not a byte more than allowed, whatever it says of its own size."""
    try:
        with packed.open(member) as file:
            return file.read(most)
    except (zipfile.BadZipFile, RuntimeError, NotImplementedError, OSError, EOFError, ValueError):
        return b""


def _packed_at(member: zipfile.ZipInfo) -> datetime | None:
    try:
        when = datetime(*member.date_time).astimezone()
    except (ValueError, OverflowError, OSError):
        return None
    return when if when.year > 1980 else None
