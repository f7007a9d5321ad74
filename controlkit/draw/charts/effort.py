"""What a pose asks of the shoulder, as bars: straps, weight, and the moment that can be made."""

from __future__ import annotations

from typing import TYPE_CHECKING

from controlkit.draw.charts.bars import Bar, Group
from controlkit.draw.words.effort import percent

if TYPE_CHECKING:
    from controlkit.mechanics import Pull

__all__ = ["shoulder_group"]


def shoulder_group(pull: Pull) -> Group:
    """Lay straps and weight end to end, beside the largest moment of arm flexion.

    Parameters
    ----------
    pull : Pull
        What the mechanics found for one pose.

    Returns
    -------
    Group
        Bars of one unit.
    """
    moment = pull.shoulder_moment
    bars = (
        Bar("arm's weight", moment.weight, "bar lost"),
        Bar("all straps", moment.total, "bar lost", start=moment.weight),
        Bar(f"together, {percent(pull.shoulder_share)}", moment.total, "bar captured"),
        Bar("at most, once", pull.flexion_strength, "bar allowed"),
    )
    return Group("Moment about the shoulder [{unit}], share", bars, "moment", 40.0)
