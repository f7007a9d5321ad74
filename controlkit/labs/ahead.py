"""One step ahead: what is likely asked next is answered while nobody waits."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from contextlib import suppress
from time import thread_time
from typing import Generic, TypeVar

from controlkit.labs.controls import Control, Slider, Values
from controlkit.units import InputError

__all__ = ["Ahead", "step_further"]

Question = TypeVar("Question")
Answer = TypeVar("Answer")

REST = 0.02
"""Time for a move that is already on its way to come first [s]."""
LONGEST = 0.1
"""What an answer may take to be given ahead [s]. Nothing is answered meanwhile, so whoever turns round may have to
wait that long; the last answer that was computed says how long the next one takes. Processor time: what other
programs do must not switch this on and off."""


class Ahead(Generic[Question, Answer]):
    """Answers questions, and one more while nobody asks.

    An answer given ahead is used only for the same question; it makes that one faster and never different.

    Parameters
    ----------
    compute : callable
        From a question to its answer.
    """

    def __init__(self, compute: Callable[[Question], Answer]) -> None:
        self._compute = compute
        self._took = 0.0
        self._kept: tuple[Question, Answer] | None = None
        self._begin: asyncio.TimerHandle | None = None

    def answer(self, question: Question) -> Answer:
        """Answer a question; what was to be answered ahead is given up.

        Parameters
        ----------
        question : Question
            What is asked.

        Returns
        -------
        Answer
            The answer.
        """
        if self._begin is not None:
            self._begin.cancel()
        if self._kept is not None and self._kept[0] == question:
            return self._kept[1]
        return self._timed(question)

    def look(self, question: Question) -> None:
        """Answer a question as soon as the kernel has rested; without a kernel, do nothing.

        Parameters
        ----------
        question : Question
            What is likely asked next.
        """
        if self._took <= LONGEST:
            with suppress(RuntimeError):  # no loop runs
                self._begin = asyncio.get_running_loop().call_later(REST, self._look, question)

    def _look(self, question: Question) -> None:
        with suppress(Exception):  # whoever asks it is told
            self._kept = question, self._timed(question)

    def _timed(self, question: Question) -> Answer:
        begun = thread_time()
        try:
            return self._compute(question)
        finally:
            self._took = thread_time() - begun


def step_further(controls: Sequence[Control], before: Values, now: Values, units: str) -> Values | None:
    """Take the control that was moved one step further the same way.

    Parameters
    ----------
    controls : sequence of Control
        The controls of a lab.
    before, now : mapping
        The setting before and after the move [SI].
    units : str
        "metric" or "inch-pound", which decides where a slider stops.

    Returns
    -------
    mapping or None
        The next setting [SI]; nothing if there is no way: no slider was moved or more than one control, the slider
        jumped (a hand faster than the lab will not stop at the next step), or it is at its end.

    Examples
    --------
    >>> ring = Slider("ring", "Ring below C7", "length", (0.0, 0.2), start=0.06)
    >>> step_further([ring], {"ring": 0.06}, {"ring": 0.055}, "metric")
    {'ring': 0.05}
    """
    moved = [control for control in controls if before[control.key] != now[control.key]]
    if len(moved) != 1 or not isinstance(slider := moved[0], Slider):
        return None
    size, step = (slider.scales()[units][name] for name in ("factor", "step"))
    there, start = (float(setting[slider.key]) / size / step for setting in (now, before))
    if abs(there - start) > 1.0 + 1e-6:
        return None
    stop = round(there) + (1 if there > start else -1)
    with suppress(InputError):
        return {**now, slider.key: slider.accept(stop * step * size, units)}
    return None
