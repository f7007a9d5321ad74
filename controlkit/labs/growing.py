"""A page that takes longer than a moment is shown at once as far as it goes, and goes on while nobody asks."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from contextlib import suppress
from threading import RLock

__all__ = ["Growing", "in_a_loop"]

_BREATH = 0.005  # time for a move of the learner to come first [s]


def in_a_loop() -> bool:
    """Whether a loop runs in which work can go on later, as in a kernel."""
    with suppress(RuntimeError):
        return asyncio.get_running_loop().is_running()
    return False


class Growing:
    """Goes on with a page, a little at a time, until there is nothing more to do or it is stopped.

    A kernel may take what the page asks in another thread than the cell that opened the lab, with a loop of its own.
    So a turn has a number: only the latest goes on, and whoever stops it waits until its last step is done.

    Parameters
    ----------
    further : callable
        Does a little more and shows it; says whether there is more.
    """

    def __init__(self, further: Callable[[], bool]) -> None:
        self._further = further
        self._alone = RLock()
        self._turn = 0

    def start(self) -> None:
        """Go on as soon as the kernel has nothing else to do; without a loop, do nothing."""
        self.stop()
        self._later(self._turn)

    def stop(self) -> None:
        """Leave it as far as it is; from then on nothing more is shown."""
        with self._alone:
            self._turn += 1

    def _later(self, turn: int) -> None:
        with suppress(RuntimeError):  # no loop runs
            asyncio.get_running_loop().call_later(_BREATH, self._go_on, turn)

    def _go_on(self, turn: int) -> None:
        with self._alone:
            if turn == self._turn and self._further():
                self._later(turn)
