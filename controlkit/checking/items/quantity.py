"""A quantity: one number with its unit, on the student's own case."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import floor, isclose, log10
from typing import Any

from controlkit.checking.case.cases import Candidate, Case, apart
from controlkit.checking.feedback import NO_ATTEMPT, Feedback, Judgement, in_words, with_hint
from controlkit.checking.forms.number import NumberForm
from controlkit.checking.items.base import Given, Item, Question
from controlkit.checking.items.wrong import Earlier
from controlkit.checking.reading import plain, unit_assumed
from controlkit.checking.unit_slips import sizes, slipped, unit_slips
from controlkit.units import InputError

SLIP_SHARE = 0.5
"""Share of the points for the right size with the wrong unit or the wrong sign, or rounded too far [-]."""

FIGURES = (2, 3)
"""Significant figures of an answer that is right as far as it goes [-]."""


@dataclass(frozen=True, kw_only=True)
class Quantity(Item):
    """One number with a unit.

    Parameters
    ----------
    name : str
        Name of the item, and of the variable in the notebook
    points : float
        What the right answer earns [-]
    kind : str
        Kind of quantity, as `controlkit.units.read` knows it
    unit : str
        Unit in which a bare number is taken, and in which all models of the item compute
    asks : str
        What is asked, in words
    right : callable
        From the case and the student's earlier answers, the right answer in ``unit``
    within : float
        How far an answer may lie from the right one [unit]
    relative : float
        The same as a share of the right answer; the larger of both counts [-]
    hints : tuple of str
        What to say at the first, second, ... attempt that matches nothing known
    counts : str
        What is counted, such as "bands", where the answer is a whole number; empty for none
    follows : str
        Item whose own earlier value this one is computed from; empty for none
    credible : tuple of float
        Between these a wrong value of this item may still be carried forward [unit]
    """

    name: str
    points: float
    kind: str
    unit: str
    asks: str
    right: Callable[[Case, Earlier], float]
    within: float = 0.0
    relative: float = 0.0
    hints: tuple[str, ...] = ()
    counts: str = ""
    follows: str = ""
    credible: tuple[float, float] = (-float("inf"), float("inf"))

    def __post_init__(self) -> None:
        if self.within <= 0 and self.relative <= 0:
            raise InputError(
                given=f"Item {self.name} has no tolerance.",
                do="Give within or relative.",
            )
        if self.unit not in sizes(self.kind):
            raise InputError(
                given=f"Item {self.name} asks for a {self.kind} in {self.unit!r}, which is not a unit of it.",
                allowed=f"Its units are {', '.join(sizes(self.kind))}.",
            )

    def tolerance(self, value: float, right: float) -> float:
        """How far from a value still counts as that value.

        Parameters
        ----------
        value : float
            The right answer or that of a wrong idea [unit]
        right : float
            The right answer [unit]

        Returns
        -------
        float
            Smaller for a value far below the right one, as when metres are taken for millimetres [unit]
        """
        finer = min(1.0, abs(value / right)) if right else 1.0
        return max(self.within * finer, self.relative * abs(value))

    def asked(self, case: Case) -> str:  # noqa: ARG002 - the same for every case
        near = [f"{self.within:g} {self.unit}"] if self.within > 0 else []
        near += [f"{100 * self.relative:g} %"] if self.relative > 0 else []
        stands = f"in {self.unit}" if self.unit else "a plain number"
        bare = f"; a number without a unit is read in {self.unit}" if self.unit else ""
        return f"{self.asks}; {stands}, within {' or '.join(part.strip() for part in near)}{bare}"

    def form(self, case: Case) -> NumberForm:  # noqa: ARG002 - the same for every case
        return NumberForm(name=self.name, kind=self.kind, unit=self.unit, counts=self.counts)

    def number(self, case: Case, earlier: Earlier) -> float:
        return float(self.right(case, earlier))

    def carries(self, value: float) -> bool:
        return self.credible[0] <= value <= self.credible[1]

    def explains(self, given: Given, value: float) -> bool:
        right = given.truth[self.name]
        wrong = (held for idea in given.ideas for held in idea.values(given.case, given.truth))
        return value != 0 and any(abs(value - held) <= self.tolerance(held, right) for held in wrong)

    def candidates(self, given: Given) -> list[Candidate]:
        """Everything that an answer could be taken for, wrong units apart.

        Parameters
        ----------
        given : Given
            The item with the student's case

        Returns
        -------
        list of Candidate
            The right answer first, then every wrong model, in the unit of the item
        """
        right = given.truth[self.name]
        found = [("right", right)]
        found += [(idea.label, value) for idea in given.ideas for value in idea.values(given.case, given.truth)]
        return [Candidate(label, value, self.tolerance(value, right)) for label, value in found]

    def admits(self, given: Given) -> bool:
        """Whether a case can tell the right answer and all wrong ideas apart.

        Five tolerances must lie between any two of them; the right size read in another unit must
        not be taken for one of them either.

        Parameters
        ----------
        given : Given
            The item with a drawn case

        Returns
        -------
        bool
            True if it can be handed out
        """
        answers = self.candidates(given)
        right = answers[0].value
        if not (self.carries(right) and apart(answers)):
            return False
        for slip in unit_slips(self.kind, self.unit):
            value = right * slip.factor
            other = Candidate("slip", value, self.tolerance(value, right))
            if not all(apart([answer, other]) for answer in answers):
                return False
        return True

    def wrong_answers(self, given: Given) -> tuple[float, ...]:
        return tuple(value for idea in given.ideas for value in idea.values(given.case, given.truth))

    def judge(self, question: Question) -> Judgement:
        form = self.form(question.case)
        value = form.read(question.answer)
        if isinstance(value, Feedback):
            return self.judged(0.0, value)
        weighed = [(one, *_weigh(self, one, question)) for one in form.meanings(question.answer, value)]
        value, share, notes = max(weighed, key=lambda one: (one[1], one[2][0].kind == "idea"))
        if notes[0].kind not in ("unit", "sign"):  # one thing to mend at a time
            notes = (*notes, *unit_assumed(question.answer, value, self.kind, self.unit))
        return self.judged(share * self.points, *notes, value=value)


def _weigh(item: Quantity, value: float, question: Question) -> tuple[float, tuple[Feedback, ...]]:
    """Share of the points and what to say for a value in the unit of the item."""
    case, truth, attempt = question.case, question.truth, question.attempt
    right = truth[item.name]
    if abs(value - right) <= item.tolerance(right, right):
        return 1.0, (Feedback("right", "right", f"{item.called}: yes, that is right.", "the right answer"),)

    own, carried = _own_earlier(item, question.earlier, truth), None
    if own is not None:
        carried = item.number(case, own)
        if abs(value - carried) <= item.tolerance(carried, carried) and not _repeats(item, value, question):
            said = (
                f"{item.called}: yes, it follows from your own {in_words(item.follows)}. "
                f"That earlier value still needs work; when you change it, change this one too."
            )
            return 1.0, (Feedback("right-from-own", "right", said, f"right from the student's own {item.follows}"),)

    # Known wrong ideas, on the right earlier value and on her own.
    for basis in (truth, own):
        if basis is None:
            continue
        for idea in question.ideas:
            if any(abs(value - wrong) <= item.tolerance(wrong, right) for wrong in idea.values(case, basis)):
                note = Feedback(idea.label, "idea", f"{item.called}: not yet. {idea.ask}", idea.held_because)
                share = max(idea.share, SLIP_SHARE) if _is_rounded(value, right) else idea.share
                return share, with_hint(note, item.hints, attempt - 1)

    if item.counts and any(one - 1 < value < one for one in (right, carried) if one is not None):
        said = (
            f"{item.called}: nearly. {item.counts.capitalize()} come whole, and with a part of one too few it is "
            "not yet enough: round up."
        )
        return SLIP_SHARE, (Feedback("not-whole", "partly", said, "right, but not rounded up to a whole number"),)

    slip = _slip(item, value, right, question.answer)
    if slip is not None:
        return SLIP_SHARE, (slip,)
    if any(_is_rounded(value, one) or _right_to_two(value, one) for one in (right, carried) if one is not None):
        said = (
            f"{item.called}: right to two figures or so, which is not near enough here. Keep every digit until the "
            "last step, and round only then. If you did, look once more at each number that you put in."
        )
        return SLIP_SHARE, (Feedback("rounded", "partly", said, "right, but rounded too far"),)
    return 0.0, with_hint(_by_size(item, value, right), item.hints, attempt)


def _is_rounded(value: float, right: float) -> bool:
    """Whether a value is the right one, rounded to a few figures."""
    return any(isclose(value, float(f"{right:.{figures - 1}e}"), rel_tol=1e-9) for figures in FIGURES)


def _right_to_two(value: float, right: float) -> bool:
    """Whether a value is as near to the right one as two significant figures can tell."""
    smaller = min(abs(value), abs(right))
    return smaller > 0 and abs(value - right) <= 0.5 * 10.0 ** (floor(log10(smaller)) - 1) * (1 + 1e-9)


def _own_earlier(item: Quantity, earlier: Earlier, truth: Mapping[str, float]) -> dict[str, float] | None:
    """The earlier answers with the student's own value, where it can be carried forward."""
    return {**truth, item.follows: earlier[item.follows]} if item.follows in earlier else None


def _repeats(item: Quantity, value: float, question: Question) -> bool:
    """Whether an answer is the earlier one over again, and an idea gives just that number of the case."""
    near = item.tolerance(value, question.truth[item.name])
    ideas = [idea for idea in question.ideas if idea.repeats_given]
    given = [held for idea in ideas for held in idea.values(question.case, question.truth)]
    return abs(value - question.earlier[item.follows]) <= near and any(abs(value - one) <= near for one in given)


def _slip(item: Quantity, value: float, right: float, answer: Any) -> Feedback | None:
    """The right size with another unit or the other sign."""
    if abs(value + right) <= item.tolerance(right, right):
        wrong = f"{item.called}: the size is right, the sign is not. {_convention(right)}"
        said = f"{wrong} {NO_ATTEMPT}"
        return Feedback("other-sign", "sign", said, "the right size with the other sign")
    near = item.tolerance(right, right)
    return slipped(item.called, plain(answer), item.kind, item.unit, fits=lambda one: abs(one - right) <= near)


def _convention(right: float) -> str:
    """Which sign an item takes, and what to type."""
    if right >= 0:
        return "Here it counts as positive: type it without the minus sign."
    return "Here it counts as negative: type a minus sign before it."


def _by_size(item: Quantity, value: float, right: float) -> Feedback:
    """How a value that matches nothing known differs from the right one."""
    if value * right < 0:
        said = f"not yet. The sign is the wrong way round, and the size does not fit either. {_convention(right)}"
        return Feedback("sign-and-size", "size", f"{item.called}: {said}", "other sign, other size")
    much = abs(value) > abs(right)
    if abs(value - right) <= 5 * item.tolerance(right, right):
        said = f"close, but a little too {'large' if much else 'small'}. Keep every digit until the last step."
        return Feedback("close", "size", f"{item.called}: {said}", "within five tolerances")
    far = abs(value) > 2 * abs(right) or 2 * abs(value) < abs(right)
    said = f"not yet. Your value is {'far ' if far else ''}too {'large' if much else 'small'}."
    return Feedback("too-large" if much else "too-small", "size", f"{item.called}: {said}", "matches no known idea")
