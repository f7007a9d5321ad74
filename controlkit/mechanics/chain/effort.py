"""Effort: which share of cable strength can be held, repeated, or spent once; how long a shoulder holds its own."""

from __future__ import annotations

import math
from collections.abc import Mapping

from controlkit.mechanics.inputs import number
from controlkit.sources import source
from controlkit.units import InputError

HELD = source("fatigue_share_sustained").si
"""Share of cable strength that can be held for an hour [-]."""
REPEATED = source("fatigue_share_intermittent").si, source("fatigue_free_share").si
"""Share of cable strength that can be repeated for long: measured, and the limit in use; sources disagree [-]."""

TASKS: Mapping[str, float] = {"once": 1.0, "repeat": REPEATED[1], "hold": HELD}
"""Share of cable strength that a task may take [-]."""
ENDURED = source("shoulder_endurance_tested").si_low, source("shoulder_endurance_tested").si_high
"""Share of flexion moment between which the endurance of a shoulder was measured [-]."""
TIME, FALL = 60.0 * source("shoulder_endurance_time").si, 100.0 * source("shoulder_endurance_fall").si


def fatigue(share: float) -> str:
    """What a share of cable strength means over a day; of a shoulder's share it says nothing.

    Parameters
    ----------
    share : float
        Pull over the wearer's cable strength, as `Pull.cable_share` [-]

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
    1977); 20 % is the limit in use for these prostheses (Hichert and others 2018), a share of the cable force that a
    wearer makes once. Between the two sources disagree: "may tire".

    Examples
    --------
    >>> fatigue(0.05), fatigue(0.17), fatigue(0.4)
    ('can be held', 'may tire', 'tires')
    """
    share = _share("The share of strength", share)
    bounds = ((1e-9, "no effort"), (HELD, "can be held"), (REPEATED[0], "can be repeated"), (REPEATED[1], "may tire"))
    for bound, words in bounds:
        if share <= bound:
            return words
    return "tires" if share <= 1.0 else "too much"


def endurance(share: float) -> float | None:
    r"""How long a shoulder holds still what takes a share of its moment of flexion.

    .. math:: t = 40.609\,\mathrm{min}\; e^{-0.097\,p}, \quad p = 100\,share

    Parameters
    ----------
    share : float
        Moment over the wearer's moment of arm flexion, as `Pull.shoulder_share` [-]

    Returns
    -------
    float or None
        Time to exhaustion; nothing outside 10 to 21 %, where it was not measured [s]

    Raises
    ------
    InputError
        If it is not a number, or negative

    Notes
    -----
    Mathiassen and Åhsberg 1999: 40 people held a straight arm forward; 30 % of the variance is explained. For steady
    holding only: a limit of 20 % is in use for pulls with pauses, and down to 5 % no load was found that is held for
    ever (Garg and others 2002). The sources disagree, so no word is made of them.

    Examples
    --------
    >>> round(endurance(0.20) / 60.0, 1), endurance(0.5)
    (5.8, None)
    """
    share = _share("The share of flexion moment", share)
    return TIME * math.exp(-FALL * share) if ENDURED[0] <= share <= ENDURED[1] else None


def _share(what: str, share: float) -> float:
    """A share that is no less than none."""
    share = number(what, share, "0.15")
    if share < 0.0:
        raise InputError(
            given=f"{what} was given as {share:g}.",
            do="Give 0 for no pull, 0.2 for a fifth.",
        )
    return share
