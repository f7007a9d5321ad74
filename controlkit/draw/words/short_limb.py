"""Sentences about ways to flex the forearm of a very short limb."""

from __future__ import annotations

import math
from collections.abc import Sequence

from controlkit.draw.words.pull import Units, degrees
from controlkit.mechanics.elbow.short_limb import ShortLimbWay
from controlkit.units import show

__all__ = ["short_limb_words", "ways_words"]


_NEAR = 1e-6


def short_limb_words(way: ShortLimbWay, *, limb_flexion: float, load: float, units: Units = "both") -> str:
    """Say what one way does with a forearm and a load.

    Parameters
    ----------
    way : ShortLimbWay
        What the mechanics found for it.
    limb_flexion : float
        How far the limb flexes [rad].
    load : float
        Mass in the device [kg].
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A few sentences.
    """
    carried = "the forearm alone" if load == 0.0 else f"the forearm and {show(load, 'mass', units, 2)}"
    if math.isinf(way.most_load):
        return (
            f"{way.name.capitalize()}: the cable lifts and the lock bears {carried}, so the limb makes no moment; the "
            f"forearm comes to {degrees(way.elbow_flexion)} at most. What harness and cable must do for that, lesson 7 "
            "says."
        )
    stops = way.limb_flexion < limb_flexion - _NEAR
    could = f" of the {degrees(limb_flexion)} that it could, for there the socket stops it," if stops else ""
    short = way.rises_to < way.elbow_flexion
    comes = (
        f"the forearm could come to {degrees(way.elbow_flexion)}, but with {carried} it rises to "
        f"{show(way.rises_to, 'angle', units, 0)} and no further"
        if short
        else f"the forearm comes to {degrees(way.elbow_flexion)}"
    )
    holds = "and does" if way.holds else "which is more than it has"
    return (
        f"{way.name.capitalize()}: the limb flexes {show(way.limb_flexion, 'angle', units, 0)}{could} and {comes}. "
        f"To hold {carried} level the limb must make "
        f"{show(way.limb_moment, 'moment', units)}, {holds}; it presses on its socket with "
        f"{show(way.couple, 'force', units)} at either end. Level it can hold {show(way.most_load, 'mass', units, 2)}."
    )


def ways_words(ways: Sequence[ShortLimbWay], units: Units = "both") -> str:
    """Compare all ways in one sentence.

    Parameters
    ----------
    ways : sequence of ShortLimbWay
        What the mechanics found.
    units : str
        "metric", "inch-pound" or "both".

    Returns
    -------
    str
        A sentence.
    """
    each = [
        f"{way.name} {show(way.rises_to, 'angle', units, 0)} and "
        + ("what the lock bears" if math.isinf(way.most_load) else show(way.most_load, "mass", units, 2))
        for way in ways
    ]
    return f"Forearm's angle, and the mass that can be held level: {'; '.join(each)}."
