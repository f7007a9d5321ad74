"""A formula in ordinary notation: read without running anything, tried on unseen values, and held against laws."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import ClassVar

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement, with_hint
from controlkit.checking.forms.formula import FormulaForm
from controlkit.checking.items.base import Given, Question
from controlkit.checking.items.laws import Inputs, Law, in_words, named
from controlkit.checking.items.notation import RESERVED, Read, read_formula
from controlkit.checking.items.tried import Tried
from controlkit.units import InputError

FULL_TURN = 360.0
"""A turn as a calculator set to degrees takes it [deg]."""

DEGREES_SHARE = 0.5
"""Share of the points for a formula that is right on a calculator set to degrees [-]."""


@dataclass(frozen=True, kw_only=True)
class WrongFormula:
    """A wrong idea as a formula in the same names.

    Parameters
    ----------
    label : str
        Fixed name, free of numbers
    formula : str or tuple of str
        What a student who holds it would write; several where the idea has several forms
    ask : str
        The question to give back; it holds no part of the answer
    held_because : str
        For the instructor: why learners hold it
    share : float
        Share of the points for right results that it still earns [-]
    """

    label: str
    formula: str | tuple[str, ...]
    ask: str
    held_because: str
    share: float = 0.0

    @property
    def forms(self) -> tuple[str, ...]:
        """Every form of the idea.

        Returns
        -------
        tuple of str
            One formula or more
        """
        return (self.formula,) if isinstance(self.formula, str) else self.formula


@dataclass(frozen=True, kw_only=True)
class Formula(Tried):
    """A formula to write, as text in ordinary notation.

    Parameters
    ----------
    name : str
        Name of the item, and of the variable in the notebook
    asks : str
        What it must come to, in words, with its unit
    arguments : tuple of str
        Meaning of each name that may stand in it, with its unit: "bends, all of them together [deg]"
    right : str
        The right formula
    inputs : callable
        From the case, the values on which it is tried in the notebook; graded ones replace them
    results_points : float
        What right results earn; all must be right [-]
    laws : tuple of Law
        What must hold; they earn only where the results depend on the values
    ideas : tuple of WrongFormula
        Known wrong ideas
    also : mapping
        Other spellings, each to the name it stands for
    relative : float
        How far a result may lie from the right one, as a share of it [-]
    within : float
        The same as a size; the larger of both counts [unit]
    hints : tuple of str
        What to say at the first, second, ... attempt that matches nothing known
    """

    keeps_back: ClassVar[bool] = True

    name: str
    asks: str
    arguments: tuple[str, ...]
    right: str
    inputs: Callable[[Case], tuple[Inputs, ...]]
    results_points: float
    laws: tuple[Law, ...] = ()
    ideas: tuple[WrongFormula, ...] = ()
    also: Mapping[str, str] = field(default_factory=dict)
    relative: float = 1e-3
    within: float = 1e-9
    hints: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        taken = sorted({one.casefold() for one in (*self.names, *self.also)} & RESERVED)
        if taken:
            raise InputError(
                given=f"Formula {self.name} calls something {', '.join(taken)}, which every formula knows.",
                do="Give it another name.",
            )
        for formula in (self.right, *(form for idea in self.ideas for form in idea.forms)):
            self._reads(formula)

    @property
    def names(self) -> tuple[str, ...]:
        """Names that may stand in the formula.

        Returns
        -------
        tuple of str
            In the order of the values
        """
        return tuple(named(meaning) for meaning in self.arguments)

    @cached_property
    def _known(self) -> dict[str, Read]:
        return {}

    def _reads(self, formula: str) -> Read:
        """A formula of the exercise itself, read once."""
        if formula not in self._known:
            self._known[formula] = read_formula(formula, self.names, self.also)
        return self._known[formula]

    def _truth(self, formula: str, calls: Sequence[Inputs]) -> list[float]:
        """What a formula of the exercise comes to."""
        found = self._values(self._reads(formula), calls)
        assert all(value is not None for value in found), f"{formula} has no finite value"
        return [value for value in found if value is not None]

    def _values(self, read: Read, calls: Sequence[Inputs], **how: float) -> list[float | None]:
        return [read.value(dict(zip(self.names, call, strict=True)), **how) for call in calls]

    def asked(self, case: Case) -> str:  # noqa: ARG002 - the same for every case
        turning = ". Sine, cosine and tangent take radians" if self._reads(self.right).turns else ""
        return f"{self.asks}. A formula between quotes, with these names: {'; '.join(self.arguments)}{turning}"

    def form(self, case: Case) -> FormulaForm:
        return FormulaForm(
            name=self.name, arguments=self.arguments, also=tuple(self.also.items()), tries=tuple(self.inputs(case))
        )

    def stub(self) -> str:
        return f'{self.name} = "..."'

    def admits(self, given: Given) -> bool:
        # Right and wrong ideas must differ on the values, and the right results among themselves.
        calls = self.inputs(given.case)
        results: list[tuple[str, list[float]]] = [("", self._truth(self.right, calls))]
        results += [(idea.label, self._truth(form, calls)) for idea in self.ideas for form in idea.forms]
        return self.told_apart(results)

    def wrong_answers(self, given: Given) -> tuple[str, ...]:  # noqa: ARG002
        return tuple(form for idea in self.ideas for form in idea.forms)

    def judge(self, question: Question) -> Judgement:
        """Judge a formula by what it comes to.

        Parameters
        ----------
        question : Question
            The text; what is kept back are values that replace those of the notebook, from the case, and they
            are never told

        Returns
        -------
        Judgement
            Points for results and laws, and what to say to each
        """
        case, form = question.case, self.form(question.case)
        if question.kept_back is not None:
            form = replace(form, tries=tuple(question.kept_back(case)), told=False)
        read = form.read(question.answer)
        if isinstance(read, Feedback):
            return self.judged(0.0, read)
        truth = self._truth(self.right, form.tries)
        results = [value for value in self._values(read, form.tries) if value is not None]
        if self._same(results, truth):
            share, notes = 1.0, self.all_right()
        else:
            share, notes = self._wrong(read, question, results=results, truth=truth)
        asked = [call for law in self.laws for call in law.inputs(case)]
        lawful = self._values(read, asked)
        return self.with_laws(case, share, notes, results=results, lawful=lawful)

    def _same(self, results: Sequence[float | None], others: Sequence[float]) -> bool:
        return all(one is not None and self.near(one, other) for one, other in zip(results, others, strict=True))

    def _wrong(
        self, read: Read, question: Question, *, results: Sequence[float], truth: Sequence[float]
    ) -> tuple[float, tuple[Feedback, ...]]:
        """Share of the points and what to say for results that are not all right."""
        calls, attempt = tuple((question.kept_back or self.inputs)(question.case)), question.attempt
        for idea in self.ideas:
            if any(self._same(results, self._truth(form, calls)) for form in idea.forms):
                note = Feedback(idea.label, "idea", f"{self.called}: not yet. {idea.ask}", idea.held_because)
                return idea.share, with_hint(note, self.hints, attempt - 1)
        if read.turns and self._same(self._values(read, calls, one_turn=FULL_TURN), truth):
            said = (
                f"{self.called}: not yet. It would be right on a calculator set to degrees. Here sine, cosine and "
                "tangent take radians: what turns an angle in degrees into radians?"
            )
            return DEGREES_SHARE, (
                Feedback("degrees-for-radians", "idea", said, "right with degrees in sine or cosine"),
            )
        wrong = [k for k, (one, other) in enumerate(zip(results, truth, strict=True)) if not self.near(one, other)]
        some = f"Right for {len(calls) - len(wrong)} of {len(calls)} tries. " if len(wrong) < len(calls) else ""
        told = ""
        if question.kept_back is None:
            first = wrong[0]
            size = "large" if abs(results[first]) > abs(truth[first]) else "small"
            how = "of the wrong sign" if results[first] * truth[first] < 0 else f"too {size}"
            told = f"With {in_words(self.arguments, calls[first])} it comes to {results[first]:.4g}, which is {how}."
        label = "some-results" if some else "results"
        said = f"{self.called}: not yet. {some}{told}".rstrip()
        note = Feedback(label, "partly" if some else "size", said, "matches no known idea")
        return 0.0, with_hint(note, self.hints, attempt)
