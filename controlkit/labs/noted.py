"""What a learner keeps of a lab: noted readings, predictions, challenges met, and the setting she left it in."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any

from IPython import get_ipython

__all__ = ["FILE", "LabNotes", "beside_the_notebook", "read_notes"]

FILE = "lab-notes.json"
"""Name of the file, beside the notebook; the learner's own, to read and to delete."""

_MOST_ROWS = 200
_EMPTY: dict[str, Any] = {"rows": [], "predicted": {}, "answered": {}, "met": {}, "given": [], "left": {}}


def beside_the_notebook() -> Path | None:
    """Find where notes are kept: nowhere without a notebook's kernel, or while one is graded."""
    shell: Any = get_ipython()
    kernel = getattr(shell, "kernel", None)
    return Path.cwd() if kernel is not None and "NBGRADER_EXECUTION" not in os.environ else None


def read_notes(folder: Path) -> dict[str, Any]:
    """Read what all labs of a folder keep.

    Parameters
    ----------
    folder : Path
        Where the file lies.

    Returns
    -------
    dict
        By the title of a lab; empty where there is no file.

    Raises
    ------
    ValueError
        If the file holds no such data.
    OSError
        If there is a file and it cannot be opened.

    Examples
    --------
    >>> read_notes(Path("no such folder"))
    {}
    """
    try:
        found = json.loads((folder / FILE).read_text(encoding="utf-8"))
    except (FileNotFoundError, NotADirectoryError):
        return {}
    except RecursionError as reason:
        raise ValueError("brackets within brackets without end") from reason
    return found if isinstance(found, dict) else {}


def _is_pair(value: Any) -> bool:
    """Whether a value is a list of two texts."""
    return isinstance(value, list) and len(value) == 2 and all(isinstance(text, str) for text in value)


_EACH: dict[str, Callable[[Any], bool]] = {
    "predicted": lambda option: isinstance(option, str),
    "answered": _is_pair,
    "met": lambda bodies: isinstance(bodies, list),
}
"""What each entry must be of what is kept by a name."""


def _is_row(row: Any) -> bool:
    """Whether a row holds settings by name, and readings as pairs of label and text."""
    if not isinstance(row, dict) or not isinstance(row.get("settings"), dict):
        return False
    readings = row.get("readings")
    return isinstance(readings, list) and all(isinstance(pair, list) and len(pair) == 2 for pair in readings)


class LabNotes:
    """Rows of readings, predictions with their answers, challenges met, what was given away, and the last setting.

    A file that cannot be read is kept beside a new one; one that cannot be opened now is left alone. Where none can be
    written, all is kept in memory.

    Parameters
    ----------
    lab : str
        Title of the lab.
    folder : Path or None
        Where the file lies; None keeps nothing on disk.
    """

    def __init__(self, lab: str, folder: Path | None) -> None:
        self._lab = lab
        self._path = folder / FILE if folder is not None else None
        found: Any = None
        with suppress(OSError):
            found = self._others().get(lab)
        kept = found if isinstance(found, dict) else {}
        usable = {key: kept[key] for key, empty in _EMPTY.items() if isinstance(kept.get(key), type(empty))}
        for key, fits in _EACH.items():
            usable[key] = {name: value for name, value in usable.get(key, {}).items() if fits(value)}
        self._kept = json.loads(json.dumps({**_EMPTY, **usable}))

    @property
    def rows(self) -> list[dict[str, Any]]:
        """Noted readings, oldest first."""
        return [row for row in self._kept["rows"] if _is_row(row)]

    @property
    def predicted(self) -> dict[str, str]:
        """What was predicted, by the key of the prediction."""
        return dict(self._kept["predicted"])

    @property
    def answered(self) -> dict[str, list[str]]:
        """What the model answered to a prediction: name of the answer, and its words."""
        return dict(self._kept["answered"])

    @property
    def met(self) -> dict[str, list[str]]:
        """On which bodies a challenge was met, by its title."""
        return {title: list(bodies) for title, bodies in self._kept["met"].items()}

    def note(self, row: dict[str, Any]) -> None:
        """Add a row of readings; the oldest goes when there are very many."""
        self._kept["rows"] = [*self.rows, row][-_MOST_ROWS:]
        self._save()

    def strike(self, number: int) -> None:
        """Take a row away, counted from 0 [-]."""
        self._kept["rows"] = [row for i, row in enumerate(self.rows) if i != number]
        self._save()

    def predict(self, key: str, option: str) -> None:
        """Keep a prediction; one that was answered stays as it was."""
        if key not in self._kept["answered"]:
            self._kept["predicted"][key] = option
            self._save()

    def answer(self, key: str, option: str, words: str) -> bool:
        """Keep the first answer to a prediction that was made; say whether this is it."""
        first = key in self._kept["predicted"] and key not in self._kept["answered"]
        if first:
            self._kept["answered"][key] = [option, words]
            self._save()
        return first

    def meet(self, title: str, body: str) -> bool:
        """Keep that a challenge was met on a body; say whether that is new."""
        bodies = self._kept["met"].setdefault(title, [])
        new = body not in bodies
        if new:
            bodies.append(body)
            self._save()
        return new

    @property
    def given(self) -> frozenset[str]:
        """Names of what the lab has given away."""
        return frozenset(name for name in self._kept["given"] if isinstance(name, str))

    def give_away(self, names: Iterable[str]) -> None:
        """Keep what the lab gives away; it stays known."""
        new = [name for name in names if name not in self.given]
        if new:
            self._kept["given"] += new
            self._save()

    def left(self, call: list[str]) -> dict[str, Any]:
        """The setting in which the lab was left that this call opened; nothing after another call."""
        left: dict[str, Any] = self._kept["left"]
        return dict(left) if left.get("call") == call else {}

    def leave(self, call: list[str], line: str, pinned: str, units: str) -> None:
        """Keep the setting on show, as lines, and the call that opened the lab."""
        now = {"call": call, "line": line, "pinned": pinned, "units": units}
        if now != self._kept["left"]:
            self._kept["left"] = now
            self._save()

    def _others(self) -> dict[str, Any]:
        """All labs of the folder; a file that cannot be read is laid aside."""
        if self._path is None:
            return {}
        try:
            return read_notes(self._path.parent)
        except ValueError:
            with suppress(OSError):
                self._path.replace(self._path.with_suffix(".unreadable"))
            return {}

    def _save(self) -> None:
        """Write the file whole or not at all; another lab's part stays."""
        if self._path is None:
            return
        with suppress(OSError):
            text = json.dumps({**self._others(), self._lab: self._kept}, ensure_ascii=False, indent=1)
            handle, name = tempfile.mkstemp(dir=self._path.parent, prefix=".lab-notes-")
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text)
            Path(name).replace(self._path)
