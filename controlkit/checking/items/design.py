"""A design: settings that the student chooses, simulated on her wearer and on other bodies, judged by criteria."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import NO_ATTEMPT, Feedback, Judgement, Kind, in_words
from controlkit.checking.forms.base import Form
from controlkit.checking.forms.entries import EntriesForm
from controlkit.checking.forms.number import NumberForm
from controlkit.checking.forms.words import WordForm
from controlkit.checking.items.base import Item, Question
from controlkit.checking.unit_slips import sizes
from controlkit.checking.wording import Statement, in_rows
from controlkit.tables import Table
from controlkit.units import InputError


@dataclass(frozen=True)
class Setting:
    """One number that the student chooses in a design.

    Parameters
    ----------
    name : str
        Name of the setting
    kind : str
        Kind of quantity, as `controlkit.units.read` knows it
    unit : str
        Unit in which a bare number is taken
    meaning : str
        What it is, in words
    words : tuple of Statement, optional
        What there is to choose where it is no number; then kind and unit are empty
    counts : str, optional
        What is counted, such as "bands", where it is a number of them
    """

    name: str
    kind: str
    unit: str
    meaning: str
    words: tuple[Statement, ...] = ()
    counts: str = ""

    @property
    def form(self) -> Form[Any]:
        """How it is read.

        Returns
        -------
        Form
            Of a word, or of a number
        """
        if self.words:
            return WordForm(called=self.name, words=in_rows(self.words))
        return NumberForm(name=self.name, kind=self.kind, unit=self.unit, counts=self.counts)


@dataclass(frozen=True, kw_only=True)
class Criterion:
    """One thing that a design must do.

    Parameters
    ----------
    label : str
        Fixed name, free of numbers
    points : float
        What it earns [-]
    share : callable
        From the result of the simulation and the case, how far it is met, 0 to 1 [-]
    met : str
        What to say when it is met
    ask : str
        What to ask when it is not
    because : str
        For the instructor: what lies behind a failure
    reached : callable, optional
        From the result and the case, what the design came to, with its unit and what was wanted; told either way
    counts : callable, optional
        From the result, whether it counts yet: what comes free where nothing moves earns nothing there
    """

    label: str
    points: float
    share: Callable[[Any, Case], float]
    met: str
    ask: str
    because: str
    reached: Callable[[Any, Case], str] | None = None
    counts: Callable[[Any], bool] | None = None


@dataclass(frozen=True)
class Body:
    """Another wearer on whom a design is tried.

    Parameters
    ----------
    kind : str
        What sort of body it is, in words that may be told to the student
    make : callable
        Makes the wearer
    """

    kind: str
    make: Callable[[], Any]


@dataclass(frozen=True, kw_only=True)
class OtherBodies:
    """What is kept back of a design: other people, and other criteria where they differ.

    Parameters
    ----------
    bodies : tuple of Body
        They replace the bodies of the notebook; empty to keep them
    criteria : tuple of Criterion
        They replace those of the notebook, for the same total of points; empty to keep them
    """

    bodies: tuple[Body, ...] = ()
    criteria: tuple[Criterion, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Design(Item):
    """Settings chosen by the student, simulated, and judged against criteria and on other bodies.

    Parameters
    ----------
    name : str
        Name of the item, and of the variable in the notebook
    asks : str
        What is asked, in words
    settings : tuple of Setting
        What is chosen
    wearer : callable
        From the case, the student's own wearer
    simulate : callable
        From a wearer, the chosen settings in SI units or by their words, and the case, one result. Raises
        `controlkit.units.InputError` where the settings cannot be worn
    criteria : tuple of Criterion
        Judged on the result for the own wearer
    works : callable
        From a result, whether the design serves that body
    bodies : tuple of Body
        On whom it is tried in the notebook; graded ones replace them
    bodies_points : float
        Points for serving all of them, shared out evenly [-]
    graded_on : tuple of str
        Kinds of bodies on which grading tries it, as the notebook says beforehand
    """

    keeps_back: ClassVar[bool] = True

    name: str
    asks: str
    settings: tuple[Setting, ...]
    wearer: Callable[[Case], Any]
    simulate: Callable[[Any, Mapping[str, Any], Case], Any]
    criteria: tuple[Criterion, ...]
    works: Callable[[Any], bool]
    bodies: tuple[Body, ...]
    bodies_points: float
    graded_on: tuple[str, ...] = ()

    @property
    def points(self) -> float:
        """Most points that the design can earn.

        Returns
        -------
        float
            Criteria and other bodies together [-]
        """
        return sum(criterion.points for criterion in self.criteria) + self.bodies_points

    def asked(self, case: Case) -> str:  # noqa: ARG002 - the same for every case
        units = {one.kind: one.unit for one in self.settings if one.unit}
        bare = "; ".join(
            f"{'an' if kind[0] in 'aeiou' else 'a'} {kind} without a unit is read in {unit}"
            for kind, unit in units.items()
        )
        return f"{self.asks}; {bare}" if bare else self.asks

    def lists(self, case: Case) -> tuple[Table, ...]:  # noqa: ARG002 - the same for every case
        worded = [one for one in self.settings if one.words]
        return tuple(
            Table(f"Words for {in_words(one.name)}", ("word", "what it is"), in_rows(one.words)) for one in worded
        )

    def form(self, case: Case) -> EntriesForm:  # noqa: ARG002 - the same for every case
        return EntriesForm(name=self.name, parts=tuple((one.name, one.form) for one in self.settings))

    def stub(self) -> str:
        lines = [f"    {one.name}=...,  # {one.meaning}\n" for one in self.settings]
        return f"{self.name} = dict(\n{''.join(lines)})"

    def judge(self, question: Question) -> Judgement:
        """Judge the settings that a student chose.

        Parameters
        ----------
        question : Question
            A dict of settings, each a number or a text with a unit; what is kept back is an `OtherBodies`

        Returns
        -------
        Judgement
            Points by criterion and what to say to each
        """
        choice = read_settings(self, question.answer, question.case)
        if isinstance(choice, Feedback):
            return self.judged(0.0, choice)
        kept = question.kept_back or OtherBodies()
        criteria, bodies = kept.criteria or self.criteria, kept.bodies or self.bodies
        try:
            result = self.simulate(self.wearer(question.case), choice, question.case)
        except InputError as reason:
            said = f"{self.called}: this cannot be worn. {reason} {NO_ATTEMPT}"
            return self.judged(0.0, Feedback("cannot-be-worn", "impossible", said, str(reason)))

        points, notes = 0.0, []
        for criterion in criteria:
            share = min(1.0, max(0.0, float(criterion.share(result, question.case))))
            reached = criterion.reached(result, question.case) if criterion.reached is not None else ""
            if share > 0 and criterion.counts is not None and not criterion.counts(result):
                notes.append(_not_counted(criterion, reached))
                continue
            points += share * criterion.points
            notes.append(_criterion_note(criterion, share, reached))
        failing = _failing(self, bodies, choice, question.case)
        points += self.bodies_points * (len(bodies) - len(failing)) / len(bodies) if bodies else self.bodies_points
        notes.append(_bodies_note(len(bodies), failing))
        first = _headline(self, notes)
        if self.graded_on and question.kept_back is None:
            notes.append(_graded_on(self.graded_on))
        return self.judged(min(round(points, 2), self.points), first, *notes)


def read_settings(item: Design, answer: Any, case: Case) -> dict[str, Any] | Feedback:
    """Read the settings of a design.

    Parameters
    ----------
    item : Design
        What was asked
    answer : object
        Whatever the student's variable holds
    case : Case
        The student's case

    Returns
    -------
    dict, or Feedback
        Settings in SI units or by their words; else what to say
    """
    given = item.form(case).read(answer)
    if isinstance(given, Feedback):
        return given
    return {
        one.name: given[one.name] if one.words else given[one.name] * sizes(one.kind)[one.unit] for one in item.settings
    }


def _criterion_note(criterion: Criterion, share: float, reached: str) -> Feedback:
    if share >= 1.0:
        met = f"{criterion.met.removesuffix('.')}: {reached}." if reached else criterion.met
        return Feedback(f"{criterion.label}:met", "right", f"  Yes: {met}", "met")
    start = ("Partly" if share > 0 else "Not yet") + (f" ({reached})" if reached else "")
    kind: Kind = "partly" if share > 0 else "idea"
    return Feedback(f"{criterion.label}:not-met", kind, f"  {start}: {criterion.ask}", criterion.because)


def _not_counted(criterion: Criterion, reached: str) -> Feedback:
    met = f"{criterion.met.removesuffix('.')}: {reached}." if reached else criterion.met
    said = f"  So far without points: {met} It counts once the device opens far enough."
    return Feedback(f"{criterion.label}:not-counted", "partly", said, "met only because the device does not open")


def _failing(item: Design, bodies: tuple[Body, ...], choice: dict[str, Any], case: Case) -> list[str]:
    """Which kinds of other bodies are not served."""
    failing: list[str] = []
    for body in bodies:
        try:
            serves = bool(item.works(item.simulate(body.make(), choice, case)))
        except InputError:  # it cannot be worn by that body: it does not serve it
            serves = False
        if not serves:
            failing.append(body.kind)
    return failing


def _bodies_note(count: int, failing: list[str]) -> Feedback:
    if not failing:
        return Feedback("other-bodies:met", "right", "  Yes: it also serves the other bodies it was tried on.", "all")
    kinds = "; ".join(dict.fromkeys(failing))
    kind: Kind = "partly" if len(failing) < count else "idea"
    said = f"  {'Partly' if kind == 'partly' else 'Not yet'}: on another body it does not do its work: {kinds}. "
    said += "What is different there, and which setting answers to it?"
    return Feedback("other-bodies:not-met", kind, said, f"fails {len(failing)} of {count}")


def _graded_on(kinds: tuple[str, ...]) -> Feedback:
    """What the notebook says beforehand of the bodies of the grading."""
    said = f"  At grading it is tried on other people still: {', '.join(kinds[:-1])} and {kinds[-1]}."
    return Feedback("graded-on-others", "right", said, "said before grading")


def _headline(item: Design, notes: list[Feedback]) -> Feedback:
    if all(note.kind == "right" for note in notes):
        return Feedback("right", "right", f"{item.called}: yes, this design does its work.", "all criteria met")
    if any(note.kind == "right" for note in notes):
        return Feedback(
            "partly", "partly", f"{item.called}: it can be worn, and this is what it does.", "some criteria"
        )
    return Feedback(
        "not-met", "idea", f"{item.called}: it can be worn, but it does not do its work.", "no criteria met"
    )
