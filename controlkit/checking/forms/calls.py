"""A function that is called."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from types import FunctionType
from typing import Any, ClassVar

from controlkit.checking.feedback import Feedback, nothing_yet, unreadable
from controlkit.checking.forms.base import ByName, Form
from controlkit.checking.items.laws import Inputs, in_words
from controlkit.checking.items.running import SECONDS, Data, Outcome, Ran, as_data, run, shape
from controlkit.checking.reading import is_blank, plain


@dataclass(frozen=True, kw_only=True)
class CallsForm(ByName, Form[tuple[Data, ...]]):
    """A function, read by what its calls come to.

    Parameters
    ----------
    name : str
        Name of the item, and of the function
    arguments : tuple of str
        Meaning of each argument, with its unit
    calls : tuple of tuple
        Inputs of each call
    tried : int
        So many of them, the first ones, are those whose results are asked for; the others may always be told [-]
    wanted : tuple of int
        How many numbers there are in each row of a result; empty for one number [-]
    seconds : float
        Longest time for one call [s]
    told : bool
        Whether the inputs of the first ones may be told
    """

    sort: ClassVar[str] = "function"

    name: str
    arguments: tuple[str, ...]
    calls: tuple[Inputs, ...]
    tried: int
    wanted: tuple[int, ...] = ()
    seconds: float = SECONDS
    told: bool = True

    def read(self, answer: Any) -> tuple[Data, ...] | Feedback:
        if type(answer) is Ran and _is_whole(answer, len(self.calls)):
            outcomes = answer.outcomes
        else:
            trouble = self._no_function(answer)
            if trouble is not None:
                return trouble
            outcomes = run(answer, self.calls, seconds=self.seconds)
        failed = self._failure(outcomes)
        if failed is not None:
            return failed
        return tuple(outcome.value for outcome in outcomes if outcome.value is not None)

    def shown(self, value: tuple[Data, ...]) -> str:  # noqa: ARG002 - not what it comes to
        each = "a number" if not self.wanted else _numbers(self.wanted)
        return f"a function that returns {each} each time"

    def _no_function(self, answer: Any) -> Feedback | None:
        """What to say where there is no function to run."""
        if type(answer) is not FunctionType:
            given = plain(answer)
            if is_blank(given):
                return nothing_yet(self.called)
            return unreadable(
                self.called,
                f"A function is needed here, not its result: hand over its name, {self.name}, without brackets.",
            )
        return None

    def _unfit(self, outcome: Outcome) -> Feedback | None:
        """What to say where a function was not called, because it could not be."""
        if outcome.sort == "empty":
            return nothing_yet(self.called, "Replace the dots by what the function computes and returns.")
        if outcome.sort == "arguments" and isinstance(outcome.value, float):
            numbers = (int(outcome.value), len(self.calls[0]))
            counts = [f"{number} argument{'s' if number != 1 else ''}" for number in numbers]
            says = f"It takes {counts[0]} and is called with {counts[1]}, in this order: {'; '.join(self.arguments)}."
            return unreadable(self.called, says)
        return None

    def _failure(self, outcomes: Sequence[Outcome]) -> Feedback | None:
        """The first call that came to no result of the right shape; it costs no attempt."""
        unfit = self._unfit(outcomes[0])
        if unfit is not None:
            return unfit
        for place, (call, outcome) in enumerate(zip(self.calls, outcomes, strict=True)):
            tells = self.told or place >= self.tried
            with_these = f" With {in_words(self.arguments, call)}" if tells else " With an input of the grading"
            if outcome.sort == "value" and outcome.value is not None:
                if shape(outcome.value) == self.wanted:
                    continue
                returns, wants = _numbers(shape(outcome.value)), _numbers(self.wanted)
                says = f"{with_these} it returns {returns}, and {wants} is asked for."
            elif outcome.sort == "nothing":
                says = " It hands nothing back. Write return in front of the result, on every way through the function."
            elif outcome.sort == "no-number":
                says = f" It returns {outcome.detail}. Return a plain number in the unit asked for."
            elif outcome.sort == "not-finite":
                says = f"{with_these} its result is not a finite number. Is there a division by zero?"
            elif outcome.sort == "endless":
                says = (
                    f"{with_these} it does not come to an end. Which condition ends its loop, and does it come about?"
                )
            elif outcome.sort == "changed":
                says = " It changes what it was given. Work on a copy, or compute without assigning to the argument."
            else:
                says = f"{with_these} {outcome.detail}."
            note = unreadable(self.called, says.strip())
            return Feedback(f"function:{outcome.sort}", note.kind, note.message, note.justification)
        return None


def _is_whole(ran: Ran, calls: int) -> bool:
    """Whether a run has a plain outcome for every call."""
    return len(ran.outcomes) == calls and all(
        type(one) is Outcome and (one.sort != "value" or as_data(one.value).sort == "value") for one in ran.outcomes
    )


def _numbers(size: tuple[int, ...]) -> str:
    return "one number" if not size else " by ".join(str(count) for count in size) + " numbers"
