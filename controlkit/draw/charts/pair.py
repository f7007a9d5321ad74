"""Two prostheses on one harness, as bars: what straps pull with, how far either cable is drawn, how devices stand."""

from __future__ import annotations

from controlkit.draw.charts.bars import Bar, Group, bar_scene
from controlkit.draw.page.scene import CHART, Scene
from controlkit.draw.words.pair import crossed_words
from controlkit.draw.words.pull import Units
from controlkit.mechanics.chain.pair import PairPull

__all__ = ["pair_bars"]


def pair_bars(pull: PairPull, units: Units = "both", *, size: tuple[float, float] = CHART) -> Scene:
    """Draw what one side's pull does on either side.

    Parameters
    ----------
    pull : PairPull
        What the mechanics found.
    units : str
        "metric", "inch-pound" or "both" (which draws in newtons and millimetres).
    size : tuple of float
        Width and height, in picture points [-].

    Returns
    -------
    Scene
        Bars with their words.
    """
    own, other, alone = pull.own, pull.other, pull.alone
    pulls, stays = f"{own.side}, pulls", f"{other.side}, other"
    straps = (
        Bar(f"{pulls}: control", own.harness_force, "bar captured"),
        Bar(f"{pulls}: front", own.front_force, "bar plain"),
        Bar(f"{stays}: control", other.harness_force, "bar captured"),
        Bar(f"{stays}: front", other.front_force, "bar plain"),
    )
    cables = Bar(pulls, own.travel, "bar captured"), Bar(stays, other.travel, "bar captured")
    devices = (
        Bar(pulls, own.opening, "bar generated"),
        Bar(stays, other.opening, "bar generated"),
        Bar(f"{stays} at rest", alone.opening, "bar plain"),
    )
    groups = (
        Group("Straps pull with [{unit}]", straps, "force", 80.0),
        Group("Cable drawn [{unit}]", cables, "length", 0.06),
        Group("Device open [{unit}]", devices, "length", 0.09),
    )
    return bar_scene("What crosses over", crossed_words(pull, units), groups, units, size=size)
