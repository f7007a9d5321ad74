"""What is likely asked next is answered while nobody waits: one step further, or the wearer from every side."""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from time import thread_time
from typing import Generic, TypeVar

from controlkit.labs.controls import Control, Slider, Values
from controlkit.units import InputError

__all__ = ["Ahead", "all_round", "step_further"]

Question = TypeVar("Question")
Answer = TypeVar("Answer")

REST = 0.05
"""Time for the last picture to be painted, and for a move that is already on its way to come first [s]."""
LONGEST = 0.15
"""What an answer may take to be given ahead [s]. Nothing is answered meanwhile, so whoever turns round may have to
wait that long; the last answer that was computed says how long the next one takes. Processor time: what other
programs do must not switch this on and off."""
LONGEST_ROUND = 0.2
"""The same where a wearer is seen from every side: what takes long is then most likely what is asked for [s]."""
MOST = 80
"""Answers that are kept: a wearer seen from every side has one for each place at which a hand may halt [-]."""


class Ahead(Generic[Question, Answer]):
    """Answers questions, and further ones while nobody asks.

    An answer given ahead is used only for the same question; it makes that one faster and never different.

    Parameters
    ----------
    compute : callable
        From a question to its answer.
    """

    def __init__(self, compute: Callable[[Question], Answer]) -> None:
        self._compute = compute
        self._took, self._longest = 0.0, LONGEST
        self._kept: deque[tuple[Question, Answer]] = deque(maxlen=MOST)
        self._next: Iterator[Question] = iter(())
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
        known = self._known(question)
        return self._timed(question) if known is None else known

    def look(self, questions: Iterator[Question], longest: float = LONGEST) -> None:
        """Answer questions one after the other as soon as the kernel has rested; without a kernel, do nothing.

        Parameters
        ----------
        questions : iterator of Question
            What is likely asked next.
        longest : float
            What an answer may take to be given ahead [s].
        """
        self._next, self._longest = questions, longest
        self._rest()

    def _rest(self) -> None:
        if self._begin is not None:
            self._begin.cancel()
        if self._took <= self._longest:
            with suppress(RuntimeError):  # no loop runs
                self._begin = asyncio.get_running_loop().call_later(REST, self._look)

    def _look(self) -> None:
        with suppress(Exception):  # whoever asks it is told
            question = next((one for one in self._next if self._known(one) is None), None)
            if question is None:
                return
            self._kept.append((question, self._timed(question)))
        self._rest()

    def _known(self, question: Question) -> Answer | None:
        return next((answer for kept, answer in self._kept if kept == question), None)

    def _timed(self, question: Question) -> Answer:
        begun = thread_time()
        try:
            return self._compute(question)
        finally:
            self._took = thread_time() - begun


def all_round(slider: Slider, now: Values, units: str) -> Iterator[Values]:
    """Take a slider that turns what is seen to every other place, its own stops first, the nearest before the others.

    Parameters
    ----------
    slider : Slider
        The control.
    now : mapping
        The setting [SI].
    units : str
        "metric" or "inch-pound", which decides where the slider stops.

    Yields
    ------
    mapping
        The settings [SI].

    Examples
    --------
    >>> view = Slider("view", "View", "angle", (0.0, 6.2832), start=0.0, fine=3.0, turns=True)
    >>> [round(setting["view"], 3) for setting in all_round(view, {"view": 0.0}, "metric")][:2]
    [0.262, 0.524]
    """
    size, step, high = (slider.scales()[units][name] for name in ("factor", "step", "high"))
    there = float(now[slider.key]) / size / step
    places = [place / slider.parts for place in range(int(slider.parts * high / step + 1e-6) + 1)]
    for place in sorted(places, key=lambda place: (place % 1.0 > 1e-6, abs(place - there))):
        if abs(place - there) > 1e-6:
            yield {**now, slider.key: slider.accept(place * step * size, units)}


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
