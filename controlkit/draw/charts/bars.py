"""Bars with a name before and a number behind each, in groups that share a scale."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from controlkit.draw.page.axes import nice_ticks
from controlkit.draw.page.scene import Frame, Item, Label, Line, Points, Region, Scene

__all__ = ["Group", "Row", "bars"]

_WIDTH = 0.424  # of the page, so that text is as large as in a chart of the same width
_TEXT = 0.0135
_LEFT, _RIGHT = 0.132, 0.322  # where bars may lie
_HIGH, _PITCH = 0.0125, 0.0245  # height of a bar, and from bar to bar
_HEAD = 0.037  # from a heading to its first bar


@dataclass(frozen=True)
class Row:
    """One bar.

    Parameters
    ----------
    name : str
        What it stands for; a line break parts it in two lines.
    start, end : float
        Where the bar begins and ends, in the unit of its group [-].
    note : str
        Its number, written behind it.
    style : str
        Name of an entry of `controlkit.draw.page.style.STYLES`.
    span : tuple of float, optional
        A range to lay over it as a whisker, in the unit of its group [-].
    """

    name: str
    start: float
    end: float
    note: str
    style: str = "bar plain"
    span: tuple[float, float] | None = None


@dataclass(frozen=True)
class Group:
    """Bars with one scale.

    Parameters
    ----------
    heading : str
        Quantity and unit.
    rows : tuple of Row
        Its bars, from the top.
    least : float
        The scale never ends below this, so that small changes look small [-].
    """

    heading: str
    rows: tuple[Row, ...]
    least: float


def bars(title: str, words: str, groups: tuple[Group, ...]) -> Scene:
    """Draw groups of bars below each other.

    Parameters
    ----------
    title : str
        What is drawn, in a few words.
    words : str
        What it shows, in sentences.
    groups : tuple of Group
        From the top.

    Returns
    -------
    Scene
        The drawing.

    Examples
    --------
    >>> scene = bars("Lengths", "One bar.", (Group("length [mm]", (Row("one", 0.0, 5.0, "5 mm"),), 10.0),))
    >>> [item.name for item in scene.items if isinstance(item, Region)]
    ['one']
    """
    items: list[Item] = [Label((title,), (0.004, -0.012), "start")]
    y = -0.030
    for group in groups:
        items.append(Label((group.heading,), (0.004, y - 0.008), "start"))
        items.extend(_group(group, y - _HEAD))
        y -= _HEAD + _PITCH * len(group.rows) + 0.016
    return Scene(title, words, Frame(0.0, y, _WIDTH, 0.0, _TEXT), tuple(items))


def _group(group: Group, top: float) -> list[Item]:
    ends = [value for row in group.rows for value in (row.start, row.end, *(row.span or ()))]
    high, ticks = nice_ticks(max(group.least, *ends), 4)
    low = min(0.0, *ends)
    if low < 0.0:
        low = -ticks[1] * math.ceil(-low / ticks[1] - 1e-9)
        ticks = (*(float(tick) for tick in np.arange(low, -1e-9, ticks[1])), *ticks)
    scale = (_RIGHT - _LEFT) / (high - low)

    def across(value: float) -> float:
        return float(_LEFT + (value - low) * scale)

    bottom = top - _PITCH * len(group.rows) + 0.004
    items: list[Item] = []
    for tick in ticks:
        x = across(tick)
        items.append(Line(np.array([[x, top + 0.004], [x, bottom]]), "axis" if tick == 0.0 else "grid", "scale"))
        items.append(Label((f"{tick:g}",), (x, top + 0.011), "middle"))
    for number, row in enumerate(group.rows):
        middle = top - _PITCH * (number + 0.5) + 0.004
        first, last = across(row.start), across(row.end)
        items.append(Label(tuple(row.name.split("\n")), (_LEFT - 0.006, middle), "end"))
        if abs(last - first) > 1e-6:
            items.append(Region(_box(first, last, middle), row.style, row.name.replace("\n", " ")))
        if row.span is not None:
            items.append(Line(_whisker(across(row.span[0]), across(row.span[1]), middle), "whisker", "published"))
        items.append(Label((row.note,), (_RIGHT + 0.008, middle), "start"))
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
