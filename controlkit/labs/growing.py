"""A page that takes longer than a moment is shown at once as far as it goes, and goes on while nobody asks."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from contextlib import suppress

__all__ = ["Growing", "in_a_loop"]

_BREATH = 0.005  # time for a move of the learner to come first [s]


def in_a_loop() -> bool:
    """Whether a loop runs in which work can go on later, as in a kernel."""
    with suppress(RuntimeError):
        return asyncio.get_running_loop().is_running()
    return False


class Growing:
    """Goes on with a page, a little at a time, until there is nothing more to do or it is stopped.

    Parameters
    ----------
    further : callable
        Does a little more and shows it; says whether there is more.
    """

    def __init__(self, further: Callable[[], bool]) -> None:
        self._further = further
        self._next: asyncio.TimerHandle | None = None

    def start(self) -> None:
        """Go on as soon as the kernel has nothing else to do; without a loop, do nothing."""
        self.stop()
        with suppress(RuntimeError):  # no loop runs
            self._next = asyncio.get_running_loop().call_later(_BREATH, self._go_on)

    def stop(self) -> None:
        """Leave it as far as it is."""
        if self._next is not None:
            self._next.cancel()
            self._next = None

    def _go_on(self) -> None:
        if self._further():
            self.start()
