"""The wearers that a lab offers."""

from __future__ import annotations

from dataclasses import replace

from controlkit.labs.controls import Menu
from controlkit.mechanics import Wearer

__all__ = ["PEOPLE", "people", "person_of"]

PEOPLE: dict[str, tuple[str, str, float | None]] = {
    "small-woman": ("a small woman (5th percentile)", "female", 5),
    "average-woman": ("an average woman", "female", None),
    "average-man": ("an average man", "male", None),
    "large-man": ("a very large man (95th percentile)", "male", 95),
}
"""By name in a setting: name on the page, sex, and percentile of stature if it is not the average."""


def people(own: Wearer | None) -> tuple[Menu, Menu]:
    """Offer the wearers, and the side.

    Parameters
    ----------
    own : Wearer or None
        A wearer of the reader's own, put first

    Returns
    -------
    tuple of Menu
        Who, and which side is amputated

    Examples
    --------
    >>> who, side = people(None)
    >>> who.start, side.start
    ('average-woman', 'right')
    >>> who.options[1][1]
    'average woman'
    """
    listed = [(key, text.partition(" ")[2]) for key, (text, _, _) in PEOPLE.items()]  # no article: lists are narrow
    chosen, side = "average-woman", "right"
    if own is not None:
        listed.insert(0, ("own", own.name or "your wearer"))
        chosen, side = "own", own.amputated
    sides = (("left", "left"), ("right", "right"))
    return Menu("wearer", "Wearer", tuple(listed), chosen), Menu("amputated", "Amputated side", sides, side)


def person_of(own: Wearer | None, who: str, side: str) -> Wearer:
    """Make the wearer that was chosen.

    Parameters
    ----------
    own : Wearer or None
        The wearer of the reader's own
    who : str
        Name in a setting
    side : str
        "left" or "right"

    Returns
    -------
    Wearer
        The wearer

    Examples
    --------
    >>> person_of(None, "large-man", "left").name
    'a very large man'
    """
    if who == "own" and own is not None:
        return replace(own, amputated=side)
    text, sex, percentile = PEOPLE[who]
    name = text.partition(" (")[0]
    if percentile is None:
        return Wearer.average(sex, amputated=side, name=name)
    return Wearer.at_percentile(sex, percentile, amputated=side, name=name)
