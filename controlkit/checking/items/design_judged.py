"""Judging a design: read its settings, simulate it on the wearer and on other bodies, weigh the criteria."""

from __future__ import annotations

from typing import Any

from controlkit.checking.case.cases import Case
from controlkit.checking.feedback import Feedback, Judgement
from controlkit.checking.items.quantity import Body, Criterion, Design, Graded
from controlkit.checking.reading import Reading, is_blank, plain, read_answer, sizes
from controlkit.units import InputError


def judge_design(item: Design, answer: Any, case: Case, graded: Graded | None) -> Judgement:
    """Judge the settings that a student chose.

    Parameters
    ----------
    item : Design
        What was asked
    answer : object
        A dict of settings, each a number or a text with a unit
    case : Case
        The student's case
    graded : Graded or None
        Bodies and criteria that replace those of the notebook

    Returns
    -------
    Judgement
        Points by criterion and what to say to each
    """
    choice, trouble = read_settings(item, answer)
    if trouble is not None:
        return Judgement(item.name, 0.0, item.points, (trouble,))
    criteria, bodies = item.criteria, item.bodies
    if graded is not None:
        bodies = graded.bodies or bodies
        criteria = graded.criteria or criteria
    try:
        result = item.simulate(item.wearer(case), choice, case)
    except InputError as reason:
        said = f"{item.name}: this cannot be worn. {reason} This does not count as an attempt."
        return Judgement(item.name, 0.0, item.points, (Feedback("cannot-be-worn", "impossible", said, str(reason)),))

    points, notes = 0.0, []
    for criterion in criteria:
        share = min(1.0, max(0.0, float(criterion.share(result, case))))
        points += share * criterion.points
        notes.append(_criterion_note(criterion, share))
    served, failing = _on_others(item, bodies, choice, case)
    points += item.bodies_points * served / len(bodies) if bodies else item.bodies_points
    notes.append(_bodies_note(len(bodies), failing))
    points = min(round(points, 2), item.points)
    return Judgement(item.name, points, item.points, (_headline(item, notes), *notes))


def read_settings(item: Design, answer: Any) -> tuple[dict[str, float], Feedback | None]:
    """Read the settings of a design.

    Parameters
    ----------
    item : Design
        What was asked
    answer : object
        Whatever the student's variable holds

    Returns
    -------
    dict of str to float
        Settings in SI units; incomplete if there is trouble
    Feedback or None
        What to say if a setting cannot be read
    """
    names = [setting.name for setting in item.settings]
    if not issubclass(type(answer), dict):
        if is_blank(plain(answer)):
            said = f"{item.name}: nothing stands here yet. Give the settings by name, as the cell shows them: "
            return {}, Feedback("blank", "blank", f"{said}{', '.join(names)}.", "no answer")
        said = f"{item.name}: the settings are needed together, by name, as the cell shows them: "
        return {}, _unreadable(said + ", ".join(names) + ".")
    given = {key: value for key, value in dict.items(answer) if type(key) is str}
    missing = [name for name in names if name not in given]
    extra = len(dict.keys(answer)) - (len(names) - len(missing))
    if missing or extra:
        said = f"{item.name}: the settings are {', '.join(names)}"
        said += f"; missing: {', '.join(missing)}." if missing else ", and no others."
        return {}, _unreadable(said)
    if all(is_blank(plain(given[name])) for name in names):
        said = f"{item.name}: nothing stands here yet. Replace the dots by your settings."
        return {}, Feedback("blank", "blank", said, "no answer")
    choice: dict[str, float] = {}
    for setting in item.settings:
        reading: Reading = read_answer(given[setting.name], setting.kind, setting.unit, setting.name)
        if reading.value is None:
            return choice, reading.trouble
        choice[setting.name] = reading.value * sizes(setting.kind)[setting.unit]
    return choice, None


def _unreadable(said: str) -> Feedback:
    return Feedback("unreadable", "unreadable", f"{said} This does not count as an attempt.", "could not be read")


def _criterion_note(criterion: Criterion, share: float) -> Feedback:
    if share >= 1.0:
        return Feedback(f"{criterion.label}:met", "right", f"  Yes: {criterion.met}", "met")
    start = "Partly" if share > 0 else "Not yet"
    kind = "partly" if share > 0 else "idea"
    return Feedback(f"{criterion.label}:not-met", kind, f"  {start}: {criterion.ask}", criterion.because)  # type: ignore[arg-type]


def _on_others(item: Design, bodies: tuple[Body, ...], choice: dict[str, float], case: Case) -> tuple[int, list[str]]:
    """How many other bodies are served, and which kinds are not."""
    failing: list[str] = []
    for body in bodies:
        try:
            serves = bool(item.works(item.simulate(body.make(), choice, case)))
        except InputError:  # it cannot be worn by that body: it does not serve it
            serves = False
        if not serves:
            failing.append(body.kind)
    return len(bodies) - len(failing), failing


def _bodies_note(count: int, failing: list[str]) -> Feedback:
    if not failing:
        return Feedback("other-bodies:met", "right", "  Yes: it also serves the other bodies it was tried on.", "all")
    kinds = "; ".join(dict.fromkeys(failing))
    kind = "partly" if len(failing) < count else "idea"
    said = f"  {'Partly' if kind == 'partly' else 'Not yet'}: on another body it does not do its work: {kinds}. "
    said += "What is different there, and which setting answers to it?"
    return Feedback("other-bodies:not-met", kind, said, f"fails {len(failing)} of {count}")  # type: ignore[arg-type]


def _headline(item: Design, notes: list[Feedback]) -> Feedback:
    if all(note.kind == "right" for note in notes):
        return Feedback("right", "right", f"{item.name}: yes, this design does its work.", "all criteria met")
    if any(note.kind == "right" for note in notes):
        return Feedback("partly", "partly", f"{item.name}: it can be worn, and this is what it does.", "some criteria")
    return Feedback("not-met", "idea", f"{item.name}: it can be worn, but it does not do its work.", "no criteria met")
