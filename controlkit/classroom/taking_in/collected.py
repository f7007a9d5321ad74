"""Collecting from an exchange in which strangers lay files: what belongs to whom is told by the system, not by a name.

Named in the configuration of an instructor on a shared machine; loads nbgrader, so nothing else imports it.
"""

from __future__ import annotations

import contextlib
import os
import stat
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from nbgrader.exchange import ExchangeError
from nbgrader.exchange.default import ExchangeCollect

from controlkit.classroom.records.class_folder import FROM_EXCHANGE
from controlkit.classroom.records.harmless import line
from controlkit.classroom.records.kept import keep_bytes
from controlkit.classroom.taking_in.pages import MOST_BYTES

MOST_NOTEBOOKS = 20
"""More notebooks than that of one submission are not collected [-]."""

_LEFT = "left in the exchange"


class CollectOwn(ExchangeCollect):  # type: ignore[misc]
    """Collects a submission if it belongs to the account whose name it bears, and of it that account's own files.

    nbgrader's own collects what bears another's name as well, with a warning, and follows links with the rights of
    the instructor. A submission that cannot be read is passed over and said; the others are collected.
    """

    src_records: list[dict[str, Any]]

    def init_src(self) -> None:
        """Find the submission of each account that counts; whoever laid others in her name is said."""
        super().init_src()
        self.src_records = [one for one in self.src_records if one["username"]]

    def do_copy(self, src: str, dest: str, log: Any = None) -> None:  # noqa: ARG002
        """Copy the notebooks of one submission, and the two files beside them.

        Parameters
        ----------
        src, dest : str
            Folder in the exchange, and in the class
        log : object, optional
            As nbgrader passes it; not used
        """
        Path(dest).mkdir(parents=True, exist_ok=True)
        name = Path(src).name
        try:
            owner = _number(name.rsplit("+", 3)[0])
            for file, content in _own_files(src, owner):
                keep_bytes(Path(dest, file), content)
        except (OSError, KeyError) as trouble:
            self._say(name, f"it could not be read ({trouble})")
            with contextlib.suppress(OSError):
                Path(dest).rmdir()

    def _path_to_record(self, path: str) -> dict[str, Any]:
        name = Path(path).name
        try:
            record: dict[str, Any] = super()._path_to_record(path)
            owner = _number(record["username"])
            found = os.lstat(path)
        except (ExchangeError, ValueError, OverflowError):
            return self._say(name, "its name is none that a submission has")
        except KeyError:
            return self._say(name, "nobody here has an account of that name")
        except OSError as trouble:
            return self._say(name, f"it could not be read ({trouble.strerror})")
        if not stat.S_ISDIR(found.st_mode):
            return self._say(name, "it is no folder")
        if found.st_uid != owner:
            return self._say(name, f"it belongs to {_owner(found.st_uid)}, not to {record['username']}")
        return record

    def _say(self, name: str, why: str) -> dict[str, Any]:
        self.log.warning("%s: %s; %s.", line(name), line(why), _LEFT)
        return {"username": "", "filename": name, "timestamp": datetime.min}


def _number(account: str) -> int:
    import pwd  # there is none on Windows, and no exchange either

    return pwd.getpwnam(account).pw_uid


def _owner(number: int) -> str:
    import pwd

    try:
        return pwd.getpwuid(number).pw_name
    except KeyError:
        return f"account number {number}"


def _own_files(folder: str, owner: int) -> Iterator[tuple[str, bytes]]:
    """Plain files of one account that lie directly in a folder of hers; no link is followed."""
    there = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW)
    try:
        if os.fstat(there).st_uid != owner:
            raise OSError("it belongs to somebody else now")
        with os.scandir(there) as entries:
            names = [one.name for one in entries if one.name.endswith(".ipynb") or one.name in FROM_EXCHANGE]
        for name in sorted(names)[: MOST_NOTEBOOKS + len(FROM_EXCHANGE)]:
            content = _own_file(name, there, owner)
            if content is not None:
                yield name, content
    finally:
        os.close(there)


def _own_file(name: str, there: int, owner: int) -> bytes | None:
    try:
        number = os.open(name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK, dir_fd=there)
    except OSError:
        return None
    with os.fdopen(number, "rb") as file:
        found = os.fstat(number)
        if not stat.S_ISREG(found.st_mode) or found.st_uid != owner:
            return None
        return file.read(MOST_BYTES + 1)
