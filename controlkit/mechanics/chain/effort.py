"""Effort: which share of a wearer's strength can be held, repeated, or spent once."""

from __future__ import annotations

from collections.abc import Mapping

from controlkit.mechanics.inputs import number
from controlkit.sources import source
from controlkit.units import InputError

HELD = source("fatigue_share_sustained").si
"""Share of strength that can be held for an hour [-]."""
REPEATED = source("fatigue_share_intermittent").si, source("fatigue_free_share").si
"""Share of strength that can be repeated for long: measured, and the limit in use; sources disagree [-]."""

TASKS: Mapping[str, float] = {"once": 1.0, "repeat": REPEATED[1], "hold": HELD}
"""Share of strength that a task may take [-]."""


def fatigue(share: float) -> str:
    """What a share of strength means over a day.

    Parameters
    ----------
    share : float
        Pull over the wearer's strength [-]

    Returns
    -------
    str
        "no effort", "can be held", "can be repeated", "may tire", "tires" or "too much"

    Raises
    ------
    InputError
        If it is not a number, or negative

    Notes
    -----
    Measured over 60 minutes, 7.9 % of the maximum can be held and 14.0 % repeated (Björkstén and Jonsson
    1977); 20 % is the limit in use for these prostheses (Hichert and others 2018). Between the two
    sources disagree: "may tire".

    Examples
    --------
    >>> fatigue(0.05), fatigue(0.17), fatigue(0.4)
    ('can be held', 'may tire', 'tires')
    """
    share = number("The share of strength", share, "0.15")
    if share < 0.0:
        raise InputError(
            given=f"A share of strength of {share:g} was given.",
            do="Give 0 for no pull, 0.2 for a fifth.",
        )
    bounds = ((1e-9, "no effort"), (HELD, "can be held"), (REPEATED[0], "can be repeated"), (REPEATED[1], "may tire"))
    for bound, words in bounds:
        if share <= bound:
            return words
    return "tires" if share <= 1.0 else "too much"
