"""What goals and predictions of several labs share: whether clauses hold, and what a move has changed."""

from __future__ import annotations

import math
from collections.abc import Mapping

from controlkit.labs.controls import Values
from controlkit.labs.page import Answer, Units, Verdict
from controlkit.units import mm, newton, show

__all__ = ["FORCE_ROUNDED", "LENGTH_ROUNDED", "MORE_OR_LESS", "judged", "limit", "more_or_less", "stands"]

MORE_OR_LESS = (("more", "more"), ("the same", "the same"), ("less", "less"))
"""Options of a prediction about a quantity."""
LENGTH_ROUNDED, FORCE_ROUNDED = mm(0.2), newton(0.25)
"""How far a limit may be from itself as it is written, in either unit system; whoever types it meets it [m, N]."""


def judged(*clauses: tuple[bool, str]) -> Verdict:
    """Judge a goal by its clauses.

    Parameters
    ----------
    *clauses : tuple of bool and str
        Whether a clause holds, and what is said where it does not.

    Returns
    -------
    Verdict
        With what is missing.

    Examples
    --------
    >>> judged((True, "too little"), (False, "too much")).missing
    ('too much',)
    """
    return Verdict(tuple(words for holds, words in clauses if not holds))


def limit(value: float, kind: str, units: Units) -> str:
    """Write a limit that a goal sets, round in metric units.

    Parameters
    ----------
    value : float
        The limit [SI].
    kind : str
        What it is: length, force, moment or angle.
    units : str
        "metric" or "inch-pound".

    Returns
    -------
    str
        With its unit.

    Examples
    --------
    >>> limit(0.005, "length", "metric"), limit(0.005, "length", "inch-pound"), limit(3.5, "moment", "metric")
    ('5 mm', '0.20 in', '3.5 N m')
    """
    if units == "inch-pound" and kind != "angle":
        return show(value, kind, units)
    return show(value, kind, units, 1 if kind == "moment" else 0)


def more_or_less(
    what: str,
    before: float,
    after: float,
    *,
    kind: str,
    units: Units,
    said: tuple[str, str] = ("before", "after"),
    why: Mapping[str, str] | None = None,
) -> Answer:
    """Answer a prediction about a quantity before and after a move.

    Parameters
    ----------
    what : str
        Name of the quantity.
    before, after : float
        The quantity [SI].
    kind : str
        What it is: length, force, moment and so on.
    units : str
        "metric" or "inch-pound".
    said : tuple of str
        What each of the two is called.
    why : mapping of str to str, optional
        Why, for each option that the mechanics can come to by the move.

    Returns
    -------
    Answer
        "more", "less", or "the same" where both are written alike.

    Examples
    --------
    >>> more_or_less("Captured", 0.0137, 0.0199, kind="length", units="metric")
    Answer(option='more', words='Captured: 13.7 mm before, 19.9 mm after.', why='')
    """
    then, now = (show(value, kind, units) for value in (before, after))
    option = "the same" if then == now else "more" if after > before else "less"
    return Answer(option, f"{what}: {then} {said[0]}, {now} {said[1]}.", (why or {}).get(option, ""))


def stands(setting: Values, **asked: float | str | bool) -> bool:
    """Whether controls stand as a question has them.

    Parameters
    ----------
    setting : mapping
        The setting [SI].
    **asked : float or str or bool
        Where the question has a control [SI].

    Returns
    -------
    bool
        Whether all do, sliders to a millionth [SI].

    Examples
    --------
    >>> stands({"ring": 0.060, "view": "side"}, ring=0.06, view="side")
    True
    """

    def same(key: str, value: float | str | bool) -> bool:
        now = setting[key]
        if isinstance(value, str | bool) or isinstance(now, str | bool):
            return now == value
        return math.isclose(float(now), value, rel_tol=1e-6, abs_tol=1e-6)

    return all(same(key, value) for key, value in asked.items())
