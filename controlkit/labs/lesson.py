"""Two small helpers for the text of a lesson: going on after a prediction, and trying a number."""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.labs.frame import Lab
from controlkit.labs.halt import halted
from controlkit.labs.page import Answer
from controlkit.tables import Table
from controlkit.units import InputError, read, show

__all__ = ["go_on", "try_it"]


def go_on(lab: Lab, *decided_at: str) -> Table:
    """Lay what was predicted beside what the model says; wait, in words, while a prediction is missing.

    Parameters
    ----------
    lab : Lab
        The lab that asked for predictions.
    *decided_at : str
        Settings in one line, each from the start of the lab, that decide its predictions.

    Returns
    -------
    Table
        A row for each prediction.

    Raises
    ------
    InputError
        If a prediction is missing: a notebook that runs all its cells stops here, with that sentence alone.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> go_on(SimpleNamespace(predictions=(), predicted={})).header
    ('asked', 'you said', 'the model says', 'its numbers')
    """
    missing = [one.question for one in lab.predictions if one.key not in lab.predicted]
    if missing:
        raise halted(
            f"The page waits here for your prediction: “{missing[0]}”",
            "Press one of its buttons in the lab, make the move, and then run this cell and all below it.",
        )
    pages = [lab.page_at(line).answers for line in decided_at]
    rows = []
    for number, one in enumerate(lab.predictions):
        texts, said = dict(one.options), lab.predicted[one.key]
        found: Answer | None = next((page[number] for page in pages if page[number] is not None), None)
        model = ("not decided here", "") if found is None else (texts[found.option], found.to(said))
        rows.append((one.question, texts.get(said, said), *model))  # an older edition may have had other answers
    return Table("Your predictions", ("asked", "you said", "the model says", "its numbers"), tuple(rows))


def try_it(
    answer: object, right: float, kind: str, *, within: float = 0.05, slips: Mapping[float, str] | None = None
) -> str:
    """Look at an answer that counts for nothing.

    Parameters
    ----------
    answer : object
        What was written, such as ``"62 mm"``; of a part of something, a bare number above 1 is taken as percent.
    right : float
        The value it should have [SI].
    kind : str
        What it is: length, force, moment and so on.
    within : float
        How far it may be off, as a share of the value [-].
    slips : mapping of float to str, optional
        Values that a known wrong idea gives [SI], each with the question that leads on from it.

    Returns
    -------
    str
        A sentence that never gives the answer away.

    Raises
    ------
    InputError
        If nothing was written yet: a notebook that runs all its cells stops here, with that sentence alone.

    Examples
    --------
    >>> try_it("61 mm", 0.060, "length")
    'Yes, 61.0 mm (2.40 in) is right.'
    >>> try_it("30 mm", 0.060, "length")
    'Not yet: 30.0 mm (1.18 in) is too small. Look at the steps above once more.'
    >>> try_it("30 mm", 0.060, "length", slips={0.030: "Is that one leg or both?"})
    'Not yet: 30.0 mm (1.18 in). Is that one leg or both?'
    >>> try_it("6.2", 0.0625, "ratio")
    'Yes, 6.2 % is right.'
    >>> try_it("3264 N m", 3.264, "moment")
    'Not yet: 3264 N m (28889 lbf in) is too large. Look at the steps above once more.'
    """
    if answer is ...:
        raise halted(
            "An answer is still empty.",
            "Write your answer in place of the three dots, in quotes and with its unit. "
            "Then run that cell and this one.",
        )
    try:
        value = read(answer, kind)
    except InputError as error:
        return str(error)
    known = (right, *(slips or {}))
    percent = kind == "ratio" and isinstance(answer, str) and "%" in answer
    if kind == "ratio" and not percent and right < 1.0 < value and not any(_near(value, one, within) for one in known):
        value, percent = value / 100.0, True  # a bare 6.2 where a part is asked for
    written = f"{100.0 * value:.4g} %" if percent else f"{value:.4g}" if kind == "ratio" else _written(value, kind)
    if _near(value, right, within):
        return f"Yes, {written} is right."
    nearest = min(slips or (), key=lambda slip: abs(value - slip), default=right)
    if slips and _near(value, nearest, within):
        return f"Not yet: {written}. {slips[nearest]}"
    side = "small" if value < right else "large"
    return f"Not yet: {written} is too {side}. Look at the steps above once more."


def _written(value: float, kind: str) -> str:
    """A quantity with four figures at most, where its usual decimals would promise more."""
    figure = show(value, kind, "metric").lstrip("-").split("°")[0].split()[0]
    whole, _, decimals = figure.partition(".")
    return show(value, kind, digits=max(0, 4 - len(whole))) if len(whole) + len(decimals) > 4 else show(value, kind)


def _near(value: float, other: float, within: float) -> bool:
    return abs(value - other) <= within * abs(other)
