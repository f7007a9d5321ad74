"""Bars with a name before and a number behind each, in groups that share a scale."""

from __future__ import annotations

import math
from dataclasses import KW_ONLY, dataclass

import numpy as np

from controlkit.draw.charts.drawn_in import drawn_in
from controlkit.draw.page.axes import nice_ticks
from controlkit.draw.page.scene import Frame, Item, Label, Line, Points, Region, Scene
from controlkit.draw.words.pull import Units
from controlkit.units import show

__all__ = ["Bar", "Group", "bar_scene"]

_WIDTH = 0.424  # of the page, so that text is as large as in a chart of the same width
_TEXT = 0.0135
_LEFT, _RIGHT = 0.140, 0.294  # where bars may lie; names stand before, numbers with their shares behind
_HIGH, _PITCH = 0.0125, 0.0245  # height of a bar, and from bar to bar
_HEAD = 0.037  # from a heading to its first bar


@dataclass(frozen=True)
class Bar:
    """One bar.

    Parameters
    ----------
    name : str
        What it stands for; a line break parts it in two lines.
    end : float
        Where the bar ends [SI].
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`.
    start : float
        Where it begins [SI].
    note : str
        What follows its number, written behind it.
    digits : int
        Decimals of its number in metric units [-].
    span : tuple of float, optional
        A range to lay over it as a whisker [SI].
    """

    name: str
    end: float
    style: str = "bar plain"
    _: KW_ONLY
    start: float = 0.0
    note: str = ""
    digits: int = 1
    span: tuple[float, float] | None = None


@dataclass(frozen=True)
class Group:
    """Bars with one scale.

    Parameters
    ----------
    heading : str
        Quantity, with ``{unit}`` where its unit shall stand.
    bars : tuple of Bar
        From the top.
    kind : str
        "length", "force" or "moment".
    least : float
        The scale never ends below this, so that small changes look small [SI].
    """

    heading: str
    bars: tuple[Bar, ...]
    kind: str
    least: float


def bar_scene(title: str, words: str, groups: tuple[Group, ...], units: Units = "both") -> Scene:
    """Draw groups of bars below each other.

    Parameters
    ----------
    title : str
        What is drawn, in a few words.
    words : str
        What it shows, in sentences.
    groups : tuple of Group
        From the top.
    units : str
        "metric", "inch-pound" or "both" (which draws in metric units).

    Returns
    -------
    Scene
        The drawing.

    Examples
    --------
    >>> scene = bar_scene("Lengths", "One bar.", (Group("length [{unit}]", (Bar("one", 0.005),), "length", 0.01),))
    >>> [" ".join(item.lines) for item in scene.items if isinstance(item, Label)][-2:]
    ['one', '5.0 mm']
    """
    items: list[Item] = [Label((title,), (0.004, -0.012), "start")]
    y = -0.030
    for group in groups:
        unit, scale = drawn_in(units, group.kind)
        items.append(Label((group.heading.format(unit=unit),), (0.004, y - 0.008), "start"))
        items.extend(_group(group, y - _HEAD, scale, "inch-pound" if units == "inch-pound" else "metric"))
        y -= _HEAD + _PITCH * len(group.bars) + 0.016
    return Scene(title, words, Frame(0.0, y, _WIDTH, 0.0, text=_TEXT), tuple(items))


def _group(group: Group, top: float, scale: float, units: Units) -> list[Item]:
    ends = [scale * value for bar in group.bars for value in (bar.start, bar.end, *(bar.span or ()))]
    high, ticks = nice_ticks(max(scale * group.least, *ends), 4)
    low = min(0.0, *ends)
    if low < 0.0:
        low = -ticks[1] * math.ceil(-low / ticks[1] - 1e-9)
        ticks = (*(float(tick) for tick in np.arange(low, -1e-9, ticks[1])), *ticks)
    wide = (_RIGHT - _LEFT) / (high - low)

    def across(value: float) -> float:
        return float(_LEFT + (value - low) * wide)

    bottom = top - _PITCH * len(group.bars) + 0.004
    items: list[Item] = []
    for tick in ticks:
        x = across(tick)
        items.append(Line(np.array([[x, top + 0.004], [x, bottom]]), "axis" if tick == 0.0 else "grid", "scale"))
        items.append(Label((f"{tick:g}",), (x, top + 0.011), "middle"))
    for number, bar in enumerate(group.bars):
        middle = top - _PITCH * (number + 0.5) + 0.004
        first, last = across(scale * bar.start), across(scale * bar.end)
        items.append(Label(tuple(bar.name.split("\n")), (_LEFT - 0.006, middle), "end"))
        if abs(last - first) > 1e-6:
            items.append(Region(_box(first, last, middle), bar.style, bar.name.replace("\n", " ")))
        if bar.span is not None:
            low_end, high_end = (across(scale * value) for value in bar.span)
            items.append(Line(_whisker(low_end, high_end, middle), "whisker", "published"))
        note = show(bar.end - bar.start, group.kind, units, bar.digits) + bar.note
        items.append(Label((note,), (_RIGHT + 0.008, middle), "start"))
    return items


def _box(first: float, last: float, middle: float) -> Points:
    low, high = middle - _HIGH / 2, middle + _HIGH / 2
    return np.array([[first, low], [last, low], [last, high], [first, high]])


def _whisker(first: float, last: float, middle: float) -> Points:
    tick = 0.004
    return np.array(
        [
            [first, middle + tick],
            [first, middle - tick],
            [first, middle],
            [last, middle],
            [last, middle + tick],
            [last, middle - tick],
        ]
    )
