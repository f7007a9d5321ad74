"""The motion that plays: computed page by page while the kernel is idle, sent once, shown without asking again."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from controlkit.labs.controls import Control, Slider, Values
from controlkit.labs.page import Page, Units
from controlkit.labs.sent import sent

__all__ = ["Film"]

_STEPS = 18
_BREATH = 0.001  # time for a move of the learner to come first [s]

Question = tuple[Values, Values | None, Units]
Pages = Callable[[Values, Values | None, Units], Page]


@dataclass(frozen=True, kw_only=True)
class _Reel:
    """A motion in the making: how the front end calls it, what is still to be made, and where it goes."""

    of: str
    pages: Iterator[tuple[float, Page]]
    units: Units
    send: Callable[[dict[str, Any]], Any]


class Film:
    """Makes the frames of a motion, one at a time, and gives up as soon as something else is asked.

    Parameters
    ----------
    controls : sequence of Control
        The controls of the lab.
    page : callable
        From (setting, pinned setting or nothing, unit system) to a `Page`.
    motion : callable or None
        From the same to the whole motion: where the slider stands [SI], and the page there.
    play : str
        Key of the slider that plays; empty if none does.
    """

    def __init__(
        self,
        controls: Sequence[Control],
        page: Pages,
        motion: Callable[[Values, Values | None, Units], Iterable[tuple[float, Page]]] | None,
        play: str,
    ) -> None:
        self._slider = next((c for c in controls if isinstance(c, Slider) and c.key == play), None)
        self._page = page
        self._motion = motion
        self._next: asyncio.TimerHandle | None = None

    def pages(self, question: Question) -> Iterator[tuple[float, Page]]:
        """Make the motion of a setting.

        Parameters
        ----------
        question : tuple
            Setting, pinned setting or nothing, and unit system.

        Yields
        ------
        tuple of float and Page
            Where the slider stands [SI], and the page there.
        """
        values, pinned, units = question
        if self._motion is not None:
            yield from self._motion(values, pinned, units)
        elif self._slider is not None:
            for at in np.linspace(self._slider.low, self._slider.high, _STEPS + 1):
                yield float(at), self._page({**values, self._slider.key: float(at)}, pinned, units)

    def start(self, of: str, question: Question, send: Callable[[dict[str, Any]], Any]) -> None:
        """Begin to make the frames of a setting and send them.

        Parameters
        ----------
        of : str
            How the front end calls this setting.
        question : tuple
            Setting, pinned setting or nothing, and unit system.
        send : callable
            Takes each message; the last one says so.
        """
        self.stop()
        self._go_on(_Reel(of=of, pages=self.pages(question), units=question[2], send=send))

    def stop(self) -> None:
        """Give up what is being made."""
        if self._next is not None:
            self._next.cancel()
            self._next = None

    def _go_on(self, reel: _Reel) -> None:
        try:
            at, page = next(reel.pages)
            drawn = sent(page, reel.units)
        except StopIteration:
            reel.send({"film": reel.of, "done": True})
            return
        except Exception:  # noqa: BLE001  the motion cannot be shown; the page says so
            reel.send({"film": reel.of, "done": True, "failed": True})
            return
        reel.send({"film": reel.of, "at": at, "pictures": list(drawn.pictures), "live": drawn.live})
        self._next = asyncio.get_running_loop().call_later(_BREATH, self._go_on, reel)
