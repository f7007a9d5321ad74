"""Two small helpers for the text of a lesson: looking back at a prediction, and trying a number."""

from __future__ import annotations

from controlkit.units import InputError, read, show

__all__ = ["look_back", "try_it"]


def look_back(predicted: str, now: float, then: float, kind: str) -> str:
    """Lay a prediction beside what the model computes.

    Parameters
    ----------
    predicted : str
        "more", "less" or "the same"; nothing counts as no prediction.
    now, then : float
        The quantity after and before the change [SI].
    kind : str
        What it is: length, force, moment and so on.

    Returns
    -------
    str
        A sentence.

    Examples
    --------
    >>> look_back("less", 0.090, 0.070, "length")
    'You predicted less. The model: 70.0 mm (2.76 in) before, 90.0 mm (3.54 in) after: more.'
    """
    before, after = show(then, kind), show(now, kind)
    if before == after:
        found = "the same"
    else:
        found = "more" if now > then else "less"
    return f"{_predicted(predicted)} The model: {before} before, {after} after: {found}."


def _predicted(predicted: str) -> str:
    """What was predicted, as far as it can be read."""
    said = str(predicted).strip(" .!'\"").casefold()
    words = [word for word in ("more", "less", "same") if word in said.split()]
    if not said:
        return "You made no prediction."
    if len(words) != 1:
        return f'Your prediction "{said}" could not be read: write more, less or the same.'
    return f"You predicted {'the same' if words == ['same'] else words[0]}."


def try_it(answer: object, right: float, kind: str, *, within: float = 0.05) -> str:
    """Look at an answer that counts for nothing.

    Parameters
    ----------
    answer : object
        What was written, such as ``"62 mm"``.
    right : float
        The value it should have [SI].
    kind : str
        What it is: length, force, moment and so on.
    within : float
        How far it may be off, as a share of the value [-].

    Returns
    -------
    str
        A sentence that never gives the answer away.

    Examples
    --------
    >>> try_it("61 mm", 0.060, "length")
    'Yes, 61.0 mm (2.40 in) is right.'
    >>> try_it("30 mm", 0.060, "length")
    'Not yet: 30.0 mm (1.18 in) is too small. Look at the steps above once more.'
    """
    if answer is ...:
        return (
            "Write your answer in place of the three dots, in quotes and with its unit. "
            "Then run that cell and this one."
        )
    try:
        value = read(answer, kind)
    except InputError as error:
        return str(error)
    written = show(value, kind)
    if abs(value - right) <= within * abs(right):
        return f"Yes, {written} is right."
    side = "small" if value < right else "large"
    return f"Not yet: {written} is too {side}. Look at the steps above once more."
