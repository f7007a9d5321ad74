"""A function that the student writes: run on inputs she has not seen, and held against laws."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from types import FunctionType
from typing import Any, ClassVar

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement, nothing_yet, unreadable, with_hint
from controlkit.checking.items.base import Given, Question
from controlkit.checking.items.laws import Inputs, Law, in_words, named
from controlkit.checking.items.running import SECONDS, Data, Outcome, as_data, run, shape
from controlkit.checking.items.tried import Tried
from controlkit.checking.reading import is_blank, plain


@dataclass(frozen=True, kw_only=True)
class WrongFunction:
    """A wrong idea as a function of the same arguments.

    Parameters
    ----------
    label : str
        Fixed name, free of numbers
    model : callable
        What a student who holds it would write
    ask : str
        The question to give back; it holds no part of the answer
    held_because : str
        For the instructor: why learners hold it
    share : float
        Share of the points for right results that it still earns [-]
    """

    label: str
    model: Callable[..., Any]
    ask: str
    held_because: str
    share: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Function(Tried):
    """A function to write.

    Parameters
    ----------
    name : str
        Name of the item, and of the function in the notebook
    asks : str
        What it must return, in words, with its unit
    arguments : tuple of str
        Meaning of each argument, with its unit
    right : callable
        The same function, right
    inputs : callable
        From the case, the calls on which it is tried in the notebook; graded ones replace them
    results_points : float
        What right results earn; all must be right [-]
    laws : tuple of Law
        What must hold; they earn only where the results depend on the inputs
    ideas : tuple of WrongFunction
        Known wrong ideas
    relative : float
        How far a result may lie from the right one, as a share of it [-]
    within : float
        The same as a size; the larger of both counts [unit]
    hints : tuple of str
        What to say at the first, second, ... attempt that matches nothing known
    seconds : float
        Longest time for one call [s]
    """

    keeps_back: ClassVar[bool] = True
    admits_late: ClassVar[bool] = True

    name: str
    asks: str
    arguments: tuple[str, ...]
    right: Callable[..., Any]
    inputs: Callable[[Case], tuple[Inputs, ...]]
    results_points: float
    laws: tuple[Law, ...] = ()
    ideas: tuple[WrongFunction, ...] = ()
    relative: float = 1e-6
    within: float = 1e-9
    hints: tuple[str, ...] = ()
    seconds: float = SECONDS

    def asked(self, case: Case) -> str:  # noqa: ARG002 - the same for every case
        return f"{self.asks}. Arguments, in this order: {'; '.join(self.arguments)}"

    def stub(self) -> str:
        names = [named(meaning).replace(" ", "_") for meaning in self.arguments]
        return f"def {self.name}({', '.join(names)}):\n    ..."

    def calls(self, case: Case, unseen: Callable[[Case], tuple[Inputs, ...]] | None = None) -> tuple[Inputs, ...]:
        """Every call that judging needs: results first, then law by law.

        Parameters
        ----------
        case : Case
            The student's case
        unseen : callable, optional
            Inputs that replace those of the notebook

        Returns
        -------
        tuple of tuple
            Inputs of each call
        """
        tried = tuple((unseen or self.inputs)(case))
        return tried + tuple(call for law in self.laws for call in law.inputs(case))

    def admits(self, given: Given) -> bool:
        # Right and wrong ideas must differ on the inputs, and the right results among themselves.
        calls = self.inputs(given.case)
        models = [("", self.right), *((idea.label, idea.model) for idea in self.ideas)]
        return self.told_apart([(label, [_truth(model, call) for call in calls]) for label, model in models])

    def wrong_answers(self, given: Given) -> tuple[Callable[..., Any], ...]:  # noqa: ARG002
        return tuple(idea.model for idea in self.ideas)

    def judge(self, question: Question) -> Judgement:
        """Judge a function by what it returns.

        Parameters
        ----------
        question : Question
            The function, or a `Ran`; what is kept back are inputs that replace those of the notebook, from
            the case, and they are never told

        Returns
        -------
        Judgement
            Points for results and laws, and what to say to each
        """
        answer, case, unseen = question.answer, question.case, question.kept_back
        calls = self.calls(case, unseen)
        if type(answer) is Ran and _is_whole(answer, len(calls)):
            outcomes = answer.outcomes
        else:
            if type(answer) is not FunctionType:
                return self.judged(0.0, _no_function(self, answer))
            outcomes = run(answer, calls, seconds=self.seconds)
        tried = len(calls) - sum(len(law.inputs(case)) for law in self.laws)
        truth = [_truth(self.right, call) for call in calls[:tried]]
        failed = _failure(self, calls, outcomes, truth, told=unseen is None)
        if failed is not None:
            return self.judged(0.0, failed)
        values = [outcome.value for outcome in outcomes if outcome.value is not None]
        results = values[:tried]
        if all(self.near(one, other) for one, other in zip(results, truth, strict=True)):
            share, notes = 1.0, self.all_right()
        else:
            tries = [_Try(*one) for one in zip(calls, results, truth, strict=False)]
            share, notes = _wrong(self, tries, question.attempt, told=unseen is None)
        return self.with_laws(case, share, notes, results=results, lawful=values[tried:])


@dataclass(frozen=True)
class Ran:
    """A function that was run elsewhere, in confinement: what each of `Function.calls` came to.

    Parameters
    ----------
    outcomes : tuple of Outcome
        One a call, in their order
    """

    outcomes: tuple[Outcome, ...]


@dataclass(frozen=True)
class _Try:
    """One call of the student's function: its inputs, what came back, and what should have."""

    call: Inputs
    result: Data
    truth: Data


def _is_whole(ran: Ran, calls: int) -> bool:
    """Whether a run has a plain outcome for every call."""
    return len(ran.outcomes) == calls and all(
        type(one) is Outcome and (one.sort != "value" or as_data(one.value).sort == "value") for one in ran.outcomes
    )


def _no_function(item: Function, answer: Any) -> Feedback:
    """What to say where there is no function to run."""
    if is_blank(plain(answer)):
        return nothing_yet(item.called)
    return unreadable(
        item.called,
        f"A function is needed here, not its result: hand over its name, {item.name}, without brackets.",
    )


def _unfit(item: Function, outcome: Outcome, inputs: int) -> Feedback | None:
    """What to say where a function was not called, because it could not be."""
    if outcome.sort == "empty":
        return nothing_yet(item.called, "Replace the dots by what the function computes and returns.")
    if outcome.sort == "arguments" and isinstance(outcome.value, float):
        counts = [f"{number} argument{'s' if number != 1 else ''}" for number in (int(outcome.value), inputs)]
        order = "; ".join(item.arguments)
        return unreadable(item.called, f"It takes {counts[0]} and is called with {counts[1]}, in this order: {order}.")
    return None


def _failure(
    item: Function, calls: Sequence[Inputs], outcomes: Sequence[Outcome], truth: Sequence[Data], *, told: bool
) -> Feedback | None:
    """The first call that came to no result of the right shape; it costs no attempt."""
    unfit = _unfit(item, outcomes[0], len(calls[0]))
    if unfit is not None:
        return unfit
    wanted = shape(truth[0])
    for place, (call, outcome) in enumerate(zip(calls, outcomes, strict=True)):
        tells = told or place >= len(truth)
        with_these = f" With {in_words(item.arguments, call)}" if tells else " With an input of the grading"
        if outcome.sort == "value" and outcome.value is not None:
            if shape(outcome.value) == wanted:
                continue
            says = f"{with_these} it returns {_numbers(shape(outcome.value))}, and {_numbers(wanted)} is asked for."
        elif outcome.sort == "nothing":
            says = " It hands nothing back. Write return in front of the result, on every way through the function."
        elif outcome.sort == "no-number":
            says = f" It returns {outcome.detail}. Return a plain number in the unit asked for."
        elif outcome.sort == "not-finite":
            says = f"{with_these} its result is not a finite number. Is there a division by zero?"
        elif outcome.sort == "endless":
            says = f"{with_these} it does not come to an end. Which condition ends its loop, and does it come about?"
        elif outcome.sort == "changed":
            says = " It changes what it was given. Work on a copy, or compute without assigning to the argument."
        else:
            says = f"{with_these} {outcome.detail}."
        note = unreadable(item.called, says.strip())
        return Feedback(f"function:{outcome.sort}", note.kind, note.message, note.justification)
    return None


def _wrong(item: Function, tries: Sequence[_Try], attempt: int, *, told: bool) -> tuple[float, tuple[Feedback, ...]]:
    """Share of the points and what to say for results that are not all right."""
    for idea in item.ideas:
        if all(item.near(one.result, _truth(idea.model, one.call)) for one in tries):
            note = Feedback(idea.label, "idea", f"{item.called}: not yet. {idea.ask}", idea.held_because)
            return idea.share, with_hint(note, item.hints, attempt - 1)
    wrong = [one for one in tries if not item.near(one.result, one.truth)]
    first, how = wrong[0], "not right"
    if isinstance(first.result, float) and isinstance(first.truth, float):
        size = "large" if abs(first.result) > abs(first.truth) else "small"
        how = "of the wrong sign" if first.result * first.truth < 0 else f"too {size}"
    some = f"Right for {len(tries) - len(wrong)} of {len(tries)} inputs. " if len(wrong) < len(tries) else ""
    said = f"{item.called}: not yet. {some}" + (
        f"With {in_words(item.arguments, first.call)} its result is {how}." if told else ""
    )
    label = "some-results" if some else "results"
    note = Feedback(label, "partly" if some else "size", said.rstrip(), "matches no known idea")
    return 0.0, with_hint(note, item.hints, attempt)


def _truth(model: Callable[..., Any], given: Inputs) -> Data:
    outcome = as_data(model(*given))
    assert outcome.value is not None, "a model of the exercise returned no number"
    return outcome.value


def _numbers(size: tuple[int, ...]) -> str:
    return "one number" if not size else " by ".join(str(count) for count in size) + " numbers"
