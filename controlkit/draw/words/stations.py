"""Sentences about an operating sequence as a diagram: its road of right steps, and the steps out of a state."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from controlkit.draw.words.pull import Units, joined
from controlkit.draw.words.sequence import amount_words

if TYPE_CHECKING:
    from controlkit.mechanics.sequence import Situation, Taken

__all__ = ["changes_words", "right_words", "stations_words"]


def changes_words(taken: Taken) -> str:
    """Say in a few words what a step has changed.

    Parameters
    ----------
    taken : Taken
        A step that was made.

    Returns
    -------
    str
        For instance "elbow low, cable slack"; "nothing changes" if so.

    Examples
    --------
    >>> from controlkit.mechanics.sequence import Amount, Situation, Taken
    >>> slack, pulled = (Situation((("cable", value),)) for value in ("slack", "pulled"))
    >>> changes_words(Taken(before=slack, step="pull", after=pulled, amount=Amount()))
    'cable pulled'
    """
    new = [f"{part} {value}" for part, value in taken.after.facts if taken.before[part] != value]
    return ", ".join(new) or "nothing changes"


def right_words(road: Sequence[Taken], state: Situation) -> tuple[str, str, str]:
    """Name right steps out of a state: the one that the road takes next, and others, which do no harm.

    Parameters
    ----------
    road : sequence of Taken
        Right steps from the start to the goal.
    state : Situation
        How things stand.

    Returns
    -------
    tuple of str
        The road's next step, empty if there is none; what it is called; what other right steps are called.

    Examples
    --------
    >>> from controlkit.mechanics.sequence import Amount, Situation, Taken
    >>> slack, pulled = (Situation((("cable", value),)) for value in ("slack", "pulled"))
    >>> road = [Taken(before=slack, step="pull", after=pulled, amount=Amount())]
    >>> right_words(road, slack), right_words((), slack)
    (('pull', 'next', 'no harm'), ('', 'right', 'right'))
    """
    nexts = {one.before: one.step for one in road}
    if state in nexts:
        return nexts[state], "next", "no harm"
    return ("", "next", "no harm") if road and state == road[-1].after else ("", "right", "right")


def stations_words(
    name: str,
    road: Sequence[Taken],
    state: Situation,
    *,
    exits: Sequence[Taken] = (),
    named: bool = True,
    units: Units = "both",
) -> str:
    """Say what a diagram of stations shows.

    Parameters
    ----------
    name : str
        What is operated.
    road : sequence of Taken
        Right steps from the start to the goal; none if there is no such road.
    state : Situation
        How things stand.
    exits : sequence of Taken
        Steps out of that state, to be told.
    named : bool
        Whether to say which step leads to which station.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        Sentences.
    """
    said = [f"Operating sequence of {name}, as a road of stations from left to right."]
    if road and not named:
        said.append(f"It has {len(road) + 1} stations; which steps lead to them is not told.")
    elif road:
        said.append(f"It starts at: {road[0].before.words}.")
        said.append(f"Right steps lead to station {joined([f'{k} by {one.step}' for k, one in enumerate(road, 1)])}.")
    else:
        said.append("No order of right steps leads to the goal.")
    places = [one.before for one in road[:1]] + [one.after for one in road]
    here = f"at station {places.index(state)} of {len(road)}" if state in places else "off the road"
    said.append(f"Now you are {here}: {state.words}.")
    onward, on, beside = right_words(road, state)
    for one in (one for one in exits if one.right):
        called = (on if one.step == onward else beside).capitalize()
        needs = amount_words(one.amount, units)
        said.append(f"{called} from here: {one.step} ({changes_words(one)}). It needs: {needs}.")
    said += [
        f"Wrong from here: {one.step} ({changes_words(one)}). {one.consequence.said(units)}"
        for one in exits
        if not one.right
    ]
    return " ".join(said)
