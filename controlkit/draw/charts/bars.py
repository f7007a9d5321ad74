"""Bars with a name before and a number behind each, in groups that share a scale."""

from __future__ import annotations

import math
import textwrap
from dataclasses import KW_ONLY, dataclass

import numpy as np

from controlkit.draw.charts.drawn_in import drawn_in
from controlkit.draw.page.axes import nice_ticks
from controlkit.draw.page.scene import CHART, Frame, Item, Label, Line, Points, Region, Scene
from controlkit.draw.words.effort import percent
from controlkit.draw.words.pull import Units
from controlkit.units import show

__all__ = ["Bar", "Group", "bar_scene"]

_POINT = 0.001  # of the page for a picture point, so that text is as large as in a chart of the same size
_ROUND = 4  # letters; what is kept for numbers is a multiple of this, so that bars stay while a number gains a digit
_HEADING = 0.54  # width of a letter of a heading, as a share of its height [-]
_LETTER = 0.57  # width of a letter, as a share of its height [-]
_FIGURE = 0.605  # the same of a number with its unit, whose figures are broader [-]


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
        "length", "force", "moment" or "line load".
        "length", "force", "moment" or "ratio", which is written in percent.
    least : float
        The scale never ends below this, so that small changes look small [SI].
    """

    heading: str
    bars: tuple[Bar, ...]
    kind: str
    least: float


@dataclass(frozen=True)
class _Columns:
    """Where names end and numbers begin, and how far bars are apart."""

    wide: float = 0.424
    text: float = 0.0135
    left: float = 0.140
    right: float = 0.294
    pitch: float = 0.0245
    first: float = 0.030  # from the top to the first group
    head: float = 0.037  # from a heading to its first bar
    gap: float = 0.016  # between groups


def _columns(groups: tuple[Group, ...], size: tuple[float, float], units: Units) -> _Columns:
    """Fit names, bars and numbers into a size; where rows would touch, the picture becomes higher."""
    if size[0] >= CHART[0]:
        return _Columns()
    wide, text, bars = size[0] * _POINT, 0.012, [bar for group in groups for bar in group.bars]
    names = max(len(line) for bar in bars for line in bar.name.split("\n"))
    notes = max(len(_note(bar, group.kind, units)) for group in groups for bar in group.bars)
    left, right = 0.010 + names * _LETTER * text, _ROUND * math.ceil(notes / _ROUND) * _FIGURE * text + 0.012
    heads = sum(0.016 + 0.017 * len(_heading(group, units, wide, text)) for group in groups)
    room = size[1] * _POINT - 0.024 - heads - 0.006 * len(groups)
    pitch = min(max(room / len(bars), 1.22 * text), _Columns.pitch)
    return _Columns(wide, text, left, wide - right, pitch=pitch, first=0.024, head=0.033, gap=0.006)


def _heading(group: Group, units: Units, wide: float, text: float) -> list[str]:
    unit, _ = drawn_in(units, group.kind)
    return textwrap.wrap(group.heading.format(unit=unit), int((wide - 0.008) / (_HEADING * text)))


def _note(bar: Bar, kind: str, units: Units) -> str:
    written: Units = "inch-pound" if units == "inch-pound" else "metric"
    if kind == "ratio":
        return percent(bar.end - bar.start) + bar.note
    return show(bar.end - bar.start, kind, written, bar.digits) + bar.note


def bar_scene(
    title: str, words: str, groups: tuple[Group, ...], units: Units = "both", *, size: tuple[float, float] = CHART
) -> Scene:
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
    size : tuple of float
        Width and height, in picture points; many bars need more height [-].

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
    lay = _columns(groups, size, units)
    items: list[Item] = [Label((title,), (0.004, -0.012), "start")]
    y = -lay.first
    for group in groups:
        _, scale = drawn_in(units, group.kind)
        heading = _heading(group, units, lay.wide, lay.text)
        for line in heading:
            items.append(Label((line,), (0.004, y - 0.008), "start"))
            y -= 0.017
        y += 0.017
        items.extend(_group(group, y - lay.head, scale, units=units, lay=lay))
        y -= lay.head + lay.pitch * len(group.bars) + lay.gap
    return Scene(title, words, Frame(0.0, y, lay.wide, 0.0, text=lay.text), tuple(items), beside=True)


def _group(group: Group, top: float, scale: float, *, units: Units, lay: _Columns) -> list[Item]:
    ends = [scale * value for bar in group.bars for value in (bar.start, bar.end, *(bar.span or ()))]
    low = min(0.0, *ends)
    few = 3 if low == 0.0 else 2  # in a column; with numbers below zero there is less room
    high, ticks = nice_ticks(max(scale * group.least, *ends), 4 if lay.wide >= CHART[0] * _POINT else few)
    if low < 0.0:
        low = -ticks[1] * math.ceil(-low / ticks[1] - 1e-9)
        ticks = (*(float(tick) for tick in np.arange(low, -1e-9, ticks[1])), *ticks)
    wide = (lay.right - lay.left) / (high - low)

    def across(value: float) -> float:
        return float(lay.left + (value - low) * wide)

    bottom = top - lay.pitch * len(group.bars) + 0.004
    items: list[Item] = []
    for tick in ticks:
        x = across(tick)
        items.append(Line(np.array([[x, top + 0.004], [x, bottom]]), "axis" if tick == 0.0 else "grid", "scale"))
        items.append(Label((f"{tick:g}",), (x, top + 0.011), "middle"))
    for number, bar in enumerate(group.bars):
        middle = top - lay.pitch * (number + 0.5) + 0.004
        first, last = across(scale * bar.start), across(scale * bar.end)
        items.append(Label(tuple(bar.name.split("\n")), (lay.left - 0.006, middle), "end"))
        if abs(last - first) > 1e-6:
            items.append(
                Region(_box(first, last, middle, high=0.51 * lay.pitch), bar.style, bar.name.replace("\n", " "))
            )
        if bar.span is not None:
            low_end, high_end = (across(scale * value) for value in bar.span)
            items.append(Line(_whisker(low_end, high_end, middle), "whisker", "published"))
        items.append(Label((_note(bar, group.kind, units),), (lay.right + 0.008, middle), "start"))
    return items


def _box(first: float, last: float, middle: float, *, high: float) -> Points:
    low, high = middle - high / 2, middle + high / 2
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
