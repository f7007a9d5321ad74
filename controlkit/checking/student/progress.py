"""Progress of one student: a plain file in her folder, hers to read and to delete."""

from __future__ import annotations

import errno
import json
import os
import stat
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from controlkit.checking.feedback import Judgement

FILE = "progress.json"
"""Name of the file, beside the notebook."""

Asked = Mapping[str, Sequence[tuple[str, float, bool]]]
"""Exercise to its items: name, points [-], and whether nobody but a person gives them."""


class Progress:
    """Attempts and points by exercise, name and item.

    A file that cannot be read is kept beside the new one, and one that cannot be written is kept in
    memory; either is said once, in `notes`.

    Parameters
    ----------
    folder : Path or None
        Where the file lies; None keeps nothing on disk
    asked : mapping, optional
        Name of the exercise that is worked to what it asks: noted too, so that the file can be read by itself
    """

    def __init__(self, folder: Path | None, asked: Asked | None = None) -> None:
        self.path = folder / FILE if folder is not None else None
        self.notes: list[str] = []
        self._told = False
        self._asked = {} if asked is None else {name: [list(one) for one in items] for name, items in asked.items()}
        self._records: dict[str, dict[str, Any]] = self._load()

    def attempts(self, exercise: str, who: str, item: str) -> int:
        """How often an item was attempted.

        Parameters
        ----------
        exercise, who, item : str
            Name of the exercise, of the student (normalised), of the item

        Returns
        -------
        int
            Number of attempts [-]
        """
        found = self._records.get(_key(exercise, who), {}).get(item, {})
        return int(found.get("attempts", 0))

    def last(self, exercise: str, who: str, item: str) -> tuple[float | None, str]:
        """The last answer that counted.

        Parameters
        ----------
        exercise, who, item : str
            Name of the exercise, of the student (normalised), of the item

        Returns
        -------
        tuple of (float or None, str)
            Its points [-], None where there is none; and the answer as it was typed
        """
        found = self._records.get(_key(exercise, who), {}).get(item)
        if found is None:
            return None, ""
        return float(found.get("points", 0.0)), str(found.get("answer", ""))

    def outcome(self, exercise: str, who: str, item: str) -> str:
        """The label of the last answer that was noted.

        Parameters
        ----------
        exercise, who, item : str
            Name of the exercise, of the student (normalised), of the item

        Returns
        -------
        str
            Empty where there is none
        """
        return str(self._records.get(_key(exercise, who), {}).get(item, {}).get("last", ""))

    def basis(self, exercise: str, who: str, item: str) -> float | None:
        """The earlier answer from which the last one was judged.

        Parameters
        ----------
        exercise, who, item : str
            Name of the exercise, of the student (normalised), of the item

        Returns
        -------
        float or None
            None where it follows from none; in the unit of that item [-]
        """
        found = self._records.get(_key(exercise, who), {}).get(item, {}).get("basis")
        return None if found is None else float(found)

    def values(self, exercise: str, who: str) -> dict[str, float]:
        """The last answers that were numbers.

        Parameters
        ----------
        exercise, who : str
            Name of the exercise, of the student (normalised)

        Returns
        -------
        dict of str to float
            Item to the answer as it was read [unit of the item]
        """
        found = self._records.get(_key(exercise, who), {})
        return {item: float(one["value"]) for item, one in found.items() if one.get("value") is not None}

    def names(self, exercise: str) -> tuple[str, ...]:
        """Under which names an exercise was attempted here.

        Parameters
        ----------
        exercise : str
            Name of the exercise

        Returns
        -------
        tuple of str
            Normalised names
        """
        start = _key(exercise, "")
        return tuple(key.removeprefix(start) for key in self._records if key.startswith(start))

    def add(
        self,
        exercise: str,
        who: str,
        judged: Judgement,
        answer: str = "",
        *,
        basis: float | None = None,
        again: bool = False,
    ) -> None:
        """Note one attempt and write the file.

        Parameters
        ----------
        exercise, who : str
            Name of the exercise, of the student (normalised)
        judged : Judgement
            What the attempt was worth, and what was said
        answer : str
            The answer as it was typed
        basis : float, optional
            The earlier answer from which it was judged, in the unit of that item [-]
        again : bool
            Whether it is the same answer, judged anew: no further attempt
        """
        before = self._records.get(_key(exercise, who), {}).get(judged.item, {})
        noted = {
            "last": judged.feedback[0].label,
            "points": judged.points,
            "out_of": judged.out_of,
            "best": max(judged.points, float(before.get("best", 0.0))),
            "answer": answer,
            "value": judged.value,
            "basis": basis,
        }
        self._note(exercise, who, judged.item, noted, again=again)

    def add_read(
        self, exercise: str, who: str, item: str, answer: str, *, label: str, value: float | None, again: bool
    ) -> None:
        """Note an answer that was looked at and not judged, and write the file.

        Parameters
        ----------
        exercise, who, item : str
            Name of the exercise, of the student (normalised), of the item
        answer : str
            The answer as it was typed
        label : str
            What became of it, such as "read"
        value : float or None
            As what it was read, where it is a number, in the unit of its item [-]
        again : bool
            Whether it is the same answer as before
        """
        self._note(exercise, who, item, {"last": label, "answer": answer, "value": value}, again=again)

    def _note(self, exercise: str, who: str, item: str, noted: dict[str, Any], *, again: bool) -> None:
        items = self._records.setdefault(_key(exercise, who), {})
        items[item] = {"attempts": int(items.get(item, {}).get("attempts", 0)) + (not again), **noted}
        self._save()

    def _load(self) -> dict[str, dict[str, Any]]:
        if self.path is None or not self.path.exists():
            return {}
        try:
            return checked(json.loads(self.path.read_text(encoding="utf-8")))
        except OSError as reason:
            self.notes.append(
                f"Your progress file {FILE} cannot be read ({reason.strerror}). It is left as it is; until that is "
                "mended, progress is kept only while this notebook runs. Marks do not depend on it."
            )
            self.path = None
        except (ValueError, TypeError, RecursionError):
            self._set_aside()
        return {}

    def _set_aside(self) -> None:
        """Keep a file that is not progress under another name, and say so."""
        assert self.path is not None
        number = 1
        while (kept := self.path.with_name(f"progress-unreadable-{number}.json")).exists():
            number += 1
        try:
            self.path.rename(kept)
        except OSError:
            self.path = None
            self.notes.append(
                f"Your progress file {FILE} is damaged and cannot be moved. It is left as it is; progress is kept "
                "only while this notebook runs. Marks do not depend on it."
            )
            return
        self.notes.append(
            f"Your progress file {FILE} was damaged. It is kept as {kept.name}, and a new one is begun. "
            "Marks do not depend on it."
        )

    def _save(self) -> None:
        """Write beside the file, then put it in its place in one move."""
        self._merge()
        path = self.path
        if path is None:
            return
        held = {"format": 1, "progress": self._records, "asked": self._asked}
        text = json.dumps(held, indent=1, ensure_ascii=False, sort_keys=True)
        written: Path | None = None
        try:
            if path.exists() and not path.stat().st_mode & stat.S_IWUSR:
                raise PermissionError(errno.EACCES, "it is marked read-only")
            handle, name = tempfile.mkstemp(prefix=".progress-", suffix=".json", dir=path.parent)
            written = Path(name)
            with os.fdopen(handle, "w", encoding="utf-8") as file:
                file.write(text + "\n")
            written.replace(path)
        except OSError as reason:
            if written is not None:
                written.unlink(missing_ok=True)
            if not self._told:
                self._told = True
                self.notes.append(
                    f"Your progress cannot be written to {FILE} ({reason.strerror}). It is kept while this notebook "
                    "runs; what the file held before is untouched. Marks do not depend on it."
                )

    def _merge(self) -> None:
        """Take over what another notebook wrote meanwhile."""
        for key, items in self._load().items():
            own = self._records.setdefault(key, {})
            for item, record in items.items():
                if item not in own or own[item]["attempts"] < record["attempts"]:
                    own[item] = record


def _key(exercise: str, who: str) -> str:
    return f"{exercise}: {who}"


def checked(data: Any) -> dict[str, dict[str, Any]]:
    """The records of a file, or ValueError where it is not a progress file."""
    records = data.get("progress") if isinstance(data, dict) and data.get("format") == 1 else None
    if not isinstance(records, dict):
        raise ValueError("not a progress file")
    for items in records.values():
        if not isinstance(items, dict) or not all(
            isinstance(record, dict)
            and isinstance(record.get("attempts"), int)
            and all(_finite(record.get(name, 0.0)) for name in ("best", "points"))
            and all(record.get(name) is None or _finite(record[name]) for name in ("value", "basis"))
            for record in items.values()
        ):
            raise ValueError("not a progress file")
    return records


def _finite(value: Any) -> bool:
    """Whether a number of a file can be computed with: no NaN, nothing endless."""
    return isinstance(value, int | float) and abs(value) <= sys.float_info.max
