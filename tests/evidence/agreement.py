"""How near the package comes to what is printed: watched while the tests of this folder compare."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from threading import Event
from typing import Any

import numpy as np
import pytest

from controlkit.sources import practice_beside

REWRITE = "the page of evidence tells something else; write it anew with `python -m tests.evidence.page`"
writing = Event()
"""Set while the page is gathered: then nothing is held to the one that is to be replaced."""

EXACT = 1e-6
"""What must agree more closely than this is an identity of the package itself, not a printed figure."""


@dataclass
class Agreement:
    """What was set beside a printed number: how often, and the largest deviation as a share of it."""

    compared: int = 0
    off: float = 0.0

    def add(self, found: Any, printed: Any) -> None:
        ours, theirs = np.atleast_1d(np.asarray(found, float)), np.atleast_1d(np.asarray(printed, float))
        told = theirs != 0.0
        ours = np.broadcast_to(ours, theirs.shape)
        self.compared += int(told.sum())
        self.off = max(self.off, float(np.max(np.abs(ours / np.where(told, theirs, 1.0) - 1.0) * told, initial=0.0)))


@dataclass
class _Watched:
    """Something that is nearly equal, and tells what it was compared with."""

    near: Any
    printed: Any
    loose: bool
    noted: Agreement = field(repr=False)
    __array_ufunc__ = None
    __hash__ = None  # type: ignore[assignment]

    def __eq__(self, found: object) -> bool:
        if self.loose:
            self.noted.add(found, self.printed)
        return bool(self.near == found)

    def __repr__(self) -> str:
        return repr(self.near)


@contextmanager
def watched() -> Iterator[Agreement]:
    """Note every comparison by `pytest.approx` that leaves room for printed digits."""
    noted, true = Agreement(), pytest.approx

    def approx(expected: Any, rel: Any = None, abs: Any = None, nan_ok: bool = False) -> _Watched:  # noqa: A002
        largest = float(np.max(np.abs(np.asarray(expected, float)), initial=0.0))
        room = max(rel or 0.0, (abs or 0.0) / largest if largest else 0.0)
        return _Watched(true(expected, rel=rel, abs=abs, nan_ok=nan_ok), expected, room > EXACT, noted)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pytest, "approx", approx)
        yield noted


def as_on_the_page(says: str, found: Sequence[float]) -> None:
    """Hold the numbers of a statement of practice to those that the page of evidence tells."""
    if writing.is_set():
        return
    told = [row for row in practice_beside() if row.says == says]
    assert len(told) == 1, f"{REWRITE}: {says}"
    room = 0.02 * max(abs(told[0].least), abs(told[0].most)) + 1e-6
    assert abs(told[0].least - min(found)) <= room, f"{REWRITE}: {says}"
    assert abs(told[0].most - max(found)) <= room, f"{REWRITE}: {says}"
