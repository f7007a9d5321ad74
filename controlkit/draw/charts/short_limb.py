"""Ways to flex the forearm of a very short limb, as bars: how far, and at which price."""

from __future__ import annotations

import math
from collections.abc import Sequence

from controlkit.draw.charts.bars import Bar, Group, bar_scene
from controlkit.draw.page.scene import CHART, Scene
from controlkit.draw.words.pull import Units
from controlkit.draw.words.short_limb import ways_words
from controlkit.mechanics.elbow.short_limb import ShortLimbWay

__all__ = ["short_limb_bars"]


def short_limb_bars(
    ways: Sequence[ShortLimbWay], limb_moment: float, units: Units = "both", *, size: tuple[float, float] = CHART
) -> Scene:
    """Draw how far each way flexes the forearm, what it asks of the limb, and what it can hold.

    Parameters
    ----------
    ways : sequence of ShortLimbWay
        What the mechanics found.
    limb_moment : float
        The most that the limb can make [N m].
    units : str
        "metric", "inch-pound" or "both" (which draws in metric units).
    size : tuple of float
        Width and height, in picture points [-].

    Returns
    -------
    Scene
        Bars with their words.
    """
    named = [(way.name.partition(",")[0].replace(" with ", "\n"), way) for way in ways]
    lifted = [(name, way) for name, way in named if not math.isinf(way.most_load)]
    angles = tuple(Bar(name, way.rises_to, "bar captured", digits=0) for name, way in named)
    moments = (
        *(Bar(name, way.limb_moment, "bar required" if way.holds else "bar lost") for name, way in named),
        Bar("the limb can", limb_moment, "bar allowed"),
    )
    loads = tuple(Bar(name, way.most_load, "bar captured", digits=2) for name, way in lifted)
    groups = (
        Group("Forearm comes to [{unit}]", angles, "angle", math.radians(150.0)),
        Group("Limb must make [{unit}]", moments, "moment", 6.0),
        Group("Can be held level [{unit}]; a lock bears more", loads, "mass", 1.0),
    )
    return bar_scene("Ways to flex it", ways_words(ways, units), groups, units, size=size)
